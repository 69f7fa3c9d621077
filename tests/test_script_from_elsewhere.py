"""Nothing that comes from elsewhere runs: pictures are pictures, names are taken, words stay words."""

from __future__ import annotations

import ast
import io
import json
import os
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject

import patterns
from patterns.errors import GalleryError
from patterns.gallery import foreign, pack, pictures, store
from patterns.gallery import manifest as manifests
from patterns.gallery.site import build
from patterns.gallery.summary import summarise
from patterns.report.writing import report_files
from patterns.writers import html
from tests.books import made
from tests.gallery_samples import OWNER, pattern_files

PACKAGE = Path(patterns.__file__).parent
NAME = "LOG-1-hollow_tube"
SCRIPT = b"<!doctype html><script>document.title='owned'</script>"
TREATMENT = 'format = "mendfold-treatment/1"\n[[photograph]]\nfile = "{}"\nwhen = "before"\n'


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "cache"))


def picture(kind: str, width: int = 8, height: int = 6) -> bytes:
    """Return a small picture as a file of a kind."""
    out = io.BytesIO()
    Image.new("RGB", (width, height), (200, 190, 170)).save(out, kind)
    return out.getvalue()


def planted(gallery: Path, files: Mapping[str, bytes], added: tuple[str, ...] = ()) -> None:
    """Write a revision as an earlier version took it in from elsewhere: nobody looked at it."""
    whole = {**pattern_files(), **files}
    added = added or tuple(files.keys() - pattern_files().keys())
    kept = "2025-01-02T03:04:05Z"
    listed = manifests.make(NAME, whole, added, kept, summarise(whole, added, NAME))
    place = gallery / NAME / "r0001"
    place.mkdir(parents=True)
    for name, data in {**whole, manifests.MANIFEST: listed.write()}.items():
        (place / name).write_bytes(data)


def zipped(gallery: Path, path: Path) -> Path:
    """Pack what is planted as it is, for an import."""
    with zipfile.ZipFile(path, "w") as archive:
        for file in sorted((gallery / NAME / "r0001").iterdir()):
            archive.write(file, f"{NAME}/r0001/{file.name}")
    return path


def made_report(gallery: Path, name: str) -> Mapping[str, bytes]:
    """Make the report of a kept pattern, as `gallery page` and `report` do."""
    kept = store.newest(gallery / name).files()
    return report_files(kept, kept["treatment.toml"].decode(), kept.get, name)


OWN = ["report.html", "Report.HTML", "report.pdf", "unions.svg", "thumbnail.png", "SHEET-01.PNG"]


@pytest.mark.parametrize("name", OWN)
def test_no_photograph_takes_the_place_of_a_file_of_the_report(tmp_path: Path, name: str) -> None:
    """A treatment from elsewhere names report.html as a photograph: refused by name, not made."""
    planted(tmp_path / "gallery", {name: SCRIPT, "treatment.toml": TREATMENT.format(name).encode()})
    with pytest.raises(GalleryError, match=re.escape(f"{name} has a name that mendfold uses")):
        made_report(tmp_path / "gallery", NAME)


def test_a_photograph_is_one_by_its_name_and_by_its_content(tmp_path: Path) -> None:
    """HTML under a picture's suffix, a picture under another's, a broken one: each is refused."""
    for name, data in {
        "one.html": SCRIPT, "one.svg": b"<svg/>", "one.jpg": SCRIPT, "one": picture("PNG"),
        "two.jpg": picture("PNG"), "two.png": picture("JPEG"), "three.gif": picture("GIF")[:40],
        "four.png": picture("BMP"), "four.html": picture("PNG"), "five.jpg": b"",
    }.items():  # fmt: skip
        gallery = tmp_path / name
        planted(gallery, {name: data, "treatment.toml": TREATMENT.format(name).encode()})
        with pytest.raises(GalleryError, match="not a picture that can be placed"):
            made_report(gallery, NAME)
    for name, kind in {
        "a.JPG": "JPEG",
        "a.jpeg": "JPEG",
        "b.png": "PNG",
        "c.gif": "GIF",
        "d.tif": "TIFF",
    }.items():
        assert pictures.why_no_photograph(name, picture(kind)) == ""


def test_a_picture_of_too_many_points_is_not_unpacked() -> None:
    """A few bytes that would fill the memory are refused by their head alone."""
    small = picture("PNG")
    for side in (
        8_000,
        30_000,
    ):  # width and height stand first in the chunk IHDR (ISO 15948, 11.2.1)
        head = b"IHDR" + struct.pack(">II", side, side) + small[24:29]
        told = small[:12] + head + struct.pack(">I", zlib.crc32(head)) + small[33:]
        assert "more than 50 million pixels" in pictures.why_no_photograph("a.png", told)


def test_the_page_shows_what_decodes_and_names_the_rest(tmp_path: Path) -> None:
    """What an earlier version took in lies in the gallery; the page copies none that is no picture."""
    bad = {"evil.jpg": SCRIPT, "report.html": SCRIPT, "index.html": SCRIPT, "a.svg": SCRIPT}
    planted(tmp_path / "gallery", {**bad, "good.png": picture("PNG")})
    built = build(tmp_path / "gallery", tmp_path / "page")
    assert built.missing == [
        f"{NAME}/evil.jpg: cannot be decoded; give a whole JPEG, PNG, GIF, TIFF or WebP file"
    ]
    written = {path.name: path.read_bytes() for path in (tmp_path / "page").rglob("*.*")}
    assert SCRIPT not in written.values()
    assert "good.png" in written
    assert b"evil.jpg" not in written[f"{NAME}.html"]


@pytest.mark.parametrize("name", [*OWN, "Index.html", "manifest.JSON", "PATTERN.json"])
def test_names_of_the_program_s_own_files_are_reserved(tmp_path: Path, name: str) -> None:
    """However they are capitalised: not added, not kept, not imported, nothing half-written."""
    gallery = tmp_path / "gallery"
    place = store.keep(gallery, NAME, pattern_files())
    with pytest.raises(GalleryError, match=f"{re.escape(name)} is a name that mendfold uses"):
        store.add(gallery, NAME, {name: SCRIPT})
    if name not in ("thumbnail.png",):
        with pytest.raises(GalleryError, match=f"{re.escape(name)} is a name that mendfold uses"):
            store.keep(gallery, NAME, {**pattern_files(height=9.0), name: SCRIPT})
        planted(tmp_path / "elsewhere", {name: SCRIPT})
        with pytest.raises(GalleryError, match=r"(has a name that mendfold uses|twice).*unpacked"):
            pack.take_in(tmp_path / "new", zipped(tmp_path / "elsewhere", tmp_path / "one.zip"))
    assert os.listdir(gallery / NAME) == [place.name]
    assert not (tmp_path / "new").exists()


def test_what_no_import_would_take_is_left_out_of_an_export(tmp_path: Path) -> None:
    """A report that was added to its pattern before its name was reserved."""
    planted(tmp_path / "gallery", {"report.pdf": b"%PDF-", "note.txt": b"x"})
    packed = pack.export(tmp_path / "gallery", NAME)
    assert packed.left_out == ("report.pdf",)
    (tmp_path / "one.zip").write_bytes(packed.data)
    ((_, place, _),) = pack.take_in(tmp_path / "there", tmp_path / "one.zip")
    assert manifests.load(place).added == ("note.txt",)


SHEETS = {
    "script": "<script>document.title='owned'</script>",
    "onload": "<g onload=\"document.title='owned'\"/>",
    "href": "<g href='javascript:x'/>",
    "a": "<a><text>here</text></a>",
    "image": "<image width='1' height='1'/>",
    "foreignObject": "<foreignObject/>",
    "style": "<style>@import 'x'</style>",
    "use": "<use/>",
    "set": "<set attributeName='href'/>",
    "animate": "<animate/>",
    "body": "<body xmlns='http://www.w3.org/1999/xhtml'/>",
    "fill": "<path fill='URL(http://x/#a)'/>",
    "instruction": "<?xml-stylesheet href='x.xsl'?>",
    "declaration": "<!-- -->",
}


@pytest.mark.parametrize("word", SHEETS)
def test_a_sheet_from_elsewhere_holds_nothing_that_runs_or_fetches(
    tmp_path: Path, word: str
) -> None:
    """Refused on import; what was taken in before stands on no page and is named."""
    sheet = f'<svg xmlns="http://www.w3.org/2000/svg">{SHEETS[word]}</svg>'.encode()
    planted(tmp_path / "gallery", {"sheet-01.svg": sheet})
    with pytest.raises(GalleryError, match=rf"sheet-01\.svg .*\b{word}\b.*nothing was unpacked"):
        pack.take_in(tmp_path / "new", zipped(tmp_path / "gallery", tmp_path / "one.zip"))
    assert not (tmp_path / "new").exists()
    built = build(tmp_path / "gallery", tmp_path / "page")
    assert [f"{NAME}/sheet-01.svg" in line for line in built.missing] == [True]
    assert not list((tmp_path / "page").rglob("sheet-*"))


def test_a_sheet_in_another_coding_or_with_entities_is_none() -> None:
    """A reader that takes it otherwise finds nothing it could run either."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg"/>'
    assert foreign.why_no_sheet(svg.encode()) == ""
    assert foreign.why_no_sheet(f'<?xml version="1.0"?>\n{svg}'.encode()) == ""
    for data in (
        svg.encode("utf-16"),
        f'<!DOCTYPE svg [<!ENTITY a "b">]>{svg}'.encode(),
        f'<?xml version="1.0"?><?xml-stylesheet href="a"?>{svg}'.encode(),
        b"<svg",
        b"<html/>",
    ):
        assert foreign.why_no_sheet(data)


def sheets() -> Iterator[Path]:
    """Yield every drawing that the repository holds."""
    for folder in (PACKAGE.parent / "gallery", PACKAGE.parent / "tests" / "golden"):
        yield from folder.rglob("*.svg")


def test_every_sheet_that_mendfold_writes_is_one() -> None:
    """Golden drawings and the gallery's."""
    every = {path.name: foreign.why_no_sheet(path.read_bytes()) for path in sheets()}
    assert len(every) > 10
    assert {name: reason for name, reason in every.items() if reason} == {}


class Marks(HTMLParser):
    """Every tag of a page with its attributes, and its content policy."""

    def __init__(self, data: bytes) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(data.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    @property
    def policy(self) -> dict[str, str]:
        """Directive: what it allows (Content Security Policy Level 3)."""
        (found,) = [given["content"] for _, given in self.tags if given.get("http-equiv")]
        rows = (row.strip().partition(" ") for row in (found or "").split(";"))
        return {name: allowed for name, _, allowed in rows}


HOSTILE = (
    "\"'>&<script>document.title='owned'</script><img src=x onerror=alert(1)>{{ 7 * 7 }}{% x %}"
)


def test_every_page_has_the_policy_and_no_tag_from_elsewhere(tmp_path: Path) -> None:
    """Hostile words in every text of a record, a note, a treatment and a drawing's title."""
    gallery = tmp_path / "gallery"
    words = {"title": HOSTILE, "note": HOSTILE}
    files = pattern_files(book=words, material=HOSTILE, condition={"paper": "fair"})
    store.keep(gallery, NAME, files)
    filled = TREATMENT.format("é #1.png") + f"[treatment]\nundo = {json.dumps(HOSTILE)}\n"
    added = {"a note.txt": HOSTILE.encode(), "é #1.png": picture("PNG")}
    added["treatment.toml"] = filled.encode()
    store.add(gallery, NAME, added)

    def report(_name: str, kept: Mapping[str, bytes]) -> Mapping[str, bytes]:
        return report_files(kept, kept["treatment.toml"].decode(), kept.get, "t")

    built = build(gallery, tmp_path / "page", report)
    assert built.missing == []
    pages = sorted((tmp_path / "page").rglob("*.html"))
    assert sorted(path.name for path in pages) == [f"{NAME}.html", "index.html", "report.html"]
    for path in pages:
        marks = Marks(path.read_bytes())
        index = path.name == "index.html"
        assert marks.policy["default-src"] == "'none'"
        assert marks.policy["base-uri"] == marks.policy["form-action"] == "'none'"
        assert marks.policy.get("script-src") == ("'self' file:" if index else None)
        scripts = [given for tag, given in marks.tags if tag == "script"]
        assert scripts == ([{"src": "filter.js", "defer": None}] if index else [])
        assert not [name for _, given in marks.tags for name in given if name.startswith("on")]
        assert {given["src"] for tag, given in marks.tags if tag == "img"} <= {
            f"{NAME}/pieces.svg", f"{NAME}/sheet-01.svg", f"{NAME}/%C3%A9%20%231.png",
            "unions.svg", "%C3%A9%20%231.png",
        }  # fmt: skip
        assert OWNER not in path.read_text("utf-8")


def test_what_a_template_is_not_given_is_an_error(tmp_path: Path) -> None:
    """No page stands with a hole in it; and what it is given is never taken for a template."""
    from jinja2 import UndefinedError

    (tmp_path / "one.html").write_text(
        '{% extends "frame.html" %}{% block page %}{{ a }}{% endblock %}'
    )
    assert b"{{ 7 * 7 }}" in html.page(tmp_path, "one.html", {"a": HOSTILE})
    assert b"&lt;script&gt;" in html.page(tmp_path, "one.html", {"a": HOSTILE})
    with pytest.raises(UndefinedError):
        html.page(tmp_path, "one.html", {})


TAG = re.compile(
    r"</?(a|body|div|figure|h\d|head|html|img|li|main|p|script|section|style|table|ul)\b[^<]*>"
)


def test_no_module_writes_html_of_its_own() -> None:
    """Tags stand in templates alone; no text of the code holds one, docstrings apart."""
    wrong = []
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        told = {
            node.body[0].value
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and node.body
            and isinstance(node.body[0], ast.Expr)
        }
        wrong += [
            f"{path.relative_to(PACKAGE)}:{node.lineno}"
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and node not in told
            and TAG.search(node.value)
        ]
    assert wrong == []
    assert not [path for path in PACKAGE.rglob("*.html") if "|safe" in path.read_text("utf-8")]


def acting(change: Callable[[PdfWriter], object]) -> bytes:
    """Return a sheet's PDF with something in it that no sheet has."""
    writer = PdfWriter(clone_from=io.BytesIO(pattern_files()["sheets.pdf"]))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (
            lambda pdf: pdf.root_object.update(
                {NameObject("/Names"): DictionaryObject({NameObject("/JavaScript"): DictionaryObject()})}
            ),
            "/JavaScript",
        ),
        (lambda pdf: pdf.add_attachment("run.exe", b"MZ"), "/EmbeddedFiles"),
        (
            lambda pdf: pdf.root_object.update(
                {NameObject("/OpenAction"): DictionaryObject({NameObject("/S"): NameObject("/Launch")})}
            ),
            "/OpenAction",
        ),
        (
            lambda pdf: pdf.pages[0].update(
                {NameObject("/AA"): DictionaryObject({NameObject("/O"): DictionaryObject()})}
            ),
            "/AA",
        ),
        (lambda pdf: pdf.add_uri(0, "http://elsewhere.example", ArrayObject([0, 0, 9, 9])), "/Annots"),
        (
            lambda pdf: pdf.root_object.update(
                {NameObject("/A"): DictionaryObject({NameObject("/S"): NameObject("/GoToR")})}
            ),
            "/GoToR",
        ),
        (lambda pdf: pdf.encrypt("secret"), "password"),
    ],
)  # fmt: skip
def test_a_pdf_that_would_act_is_no_sheet(
    change: Callable[[PdfWriter], object], named: str, tmp_path: Path
) -> None:
    planted(tmp_path / "there", {"sheets.pdf": acting(change)})
    path = zipped(tmp_path / "there", tmp_path / "x.zip")
    with pytest.raises(GalleryError, match=rf"sheets\.pdf .*{named}"):
        pack.take_in(tmp_path / "here", path)
    assert not (tmp_path / "here").exists()


def test_the_sheets_of_a_draft_are_a_pdf_that_does_nothing() -> None:
    files = made("pay_book", "flap_wrapper", formats=("pdf",)).files
    assert foreign.why_no_pdf(files["sheets.pdf"]) == ""


def test_a_pdf_with_a_wrong_table_brings_no_words_of_its_readers(
    caplog: pytest.LogCaptureFixture,
) -> None:
    """Its third object stands a byte beside where the table says: the reader mends that, and would say so."""
    kept = io.BytesIO()
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.write(kept)
    whole = kept.getvalue()
    third = list(re.finditer(rb"\d{10} 00000 n", whole))[2]
    moved = b"%010d" % (int(third.group()[:10]) + 1)
    assert foreign.why_no_pdf(whole[: third.start()] + moved + whole[third.start() + 10 :]) == ""
    assert caplog.records == []
