"""What to type, and next: the command line alone adds it to a refusal, by its first problem's kind."""

from __future__ import annotations

from patterns.errors import MendfoldError, PaperError, ProblemKind

_BEFORE: dict[ProblemKind, str] = {
    "setting": "--set ",
    "unknown setting": "--set ",
    "option": "--",
    "no cluster": "--",
    "open scheduler": "--",
}
_NEXT: dict[ProblemKind, str] = {
    "missing": ": measure and add each below its [table], "
    "or run “mendfold measure” for the reason of each",
    "empty": " from “mendfold measure --blank”",
    "absent": ", or start one with “mendfold measure --blank”",
    "unknown setting": "; `mendfold structures NAME` lists them",
    "no outline": ": --set outline=FILE.svg, a DXF file, or points in mm "
    "such as --set outline='12,30 31,28 40,52 18,60'",
    "no thickness": " and give --set {field}=…",
    "shared setting": "; set both with --set {field}=…",
    "unknown structure": " `mendfold structures` lists them",
    "no structure": "; `mendfold structures` lists them",
    "other folder": ". Give another --out, or --force to set the earlier folder aside",
    "other file": ". Name another file, or --force to replace it",
    "other page": ", or give another --out",
    "no gallery": "; name one with --gallery or MENDFOLD_GALLERY, or keep a first pattern",
    "no pattern": "; `mendfold gallery list` shows what there is",
    "no draft": "; name a folder that `mendfold draft` wrote",
    "no treatment": "; begin with mendfold report ID --blank",
    "no photograph": " with `mendfold gallery add`",
    "printer file": ": mendfold printer set {field}",
    "no printer": ": mendfold printer test, then: mendfold printer set {field}",
    "no dxf": ": run  pip install 'mendfold[dxf]'",
    "no xlsx": ", or run  pip install 'mendfold[xlsx]'",
    "no cluster": ": run  pip install 'mendfold[cluster]'",
    "open scheduler": ", or tls://HOST:PORT with --tls ca,certificate,key",
    "unknown heading": "; `mendfold survey --blank FILE` writes all headings, "
    "--columns names a library's own",
    "decimal sign": ": --decimal point or --decimal comma",
    "no typeface": ": run  pip install --force-reinstall font-source-sans-pro",
}


def told(error: MendfoldError) -> str:
    """Return a refusal's line with what to type."""
    if not error.problems:
        return f"--paper: {error}" if isinstance(error, PaperError) else str(error)
    first = error.problems[0]
    following = _NEXT.get(first.kind, "").format(field=first.field)
    return f"{_BEFORE.get(first.kind, '')}{error}{following}"
