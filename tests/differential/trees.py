"""The two versions on the disk, and the workers that run in them."""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.differential.kept import Keeper

WORKER = Path(__file__).with_name("worker.py")
PARTS = ("patterns", "templates")
"""What of a tree the program consists of."""
SHARED = "PATH", "HOME", "LANG", "LC_ALL", "TMPDIR", "TEMP", "TMP", "SYSTEMROOT", "VIRTUAL_ENV"
_FIELD = re.compile(r"#?\s*([a-z_]+) =")
_TABLE = re.compile(r"#?\[+([a-z_.]+)\]+")


NOTHING_KEPT = Keeper(None)


class DifferentialError(Exception):
    """The comparison cannot be made; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Tree:
    """One version of the program, copied to a place of its own so that nothing moves under it."""

    name: str
    root: Path
    config: Path
    commit: str = ""
    """Its full name, where it is one."""
    keeper: Keeper = NOTHING_KEPT

    def answers(self, tasks: Sequence[dict[str, object]]) -> list[dict[str, Any]]:
        """Return the answers to tasks, what the worker says of itself first; kept ones if there are."""
        return self.keeper.answers(self.commit, WORKER, tasks, lambda: self._asked(tasks))

    def _asked(self, tasks: Sequence[dict[str, object]]) -> list[dict[str, Any]]:
        """Run tasks in a worker of its own.

        Raises DifferentialError when the worker ends early or runs another tree.
        """
        done = subprocess.run(
            [sys.executable, "-P", str(WORKER)],
            input=json.dumps(tasks),
            capture_output=True,
            text=True,
            encoding="utf-8",
            env=self._environment(),
            check=False,
        )
        lines: list[dict[str, Any]] = [json.loads(line) for line in done.stdout.splitlines()]
        if done.returncode or len(lines) != len(tasks) + 1:
            at = tasks[len(lines) - 1]["name"] if 0 < len(lines) <= len(tasks) else "its start"
            raise DifferentialError(
                f"{self.name}: the worker ended with {done.returncode} at {at}:\n{done.stderr}"
            )
        if Path(lines[0].pop("root")) != self.root.resolve():
            raise DifferentialError(
                f"{self.name}: the worker runs another tree than {self.root}: "
                "take away what puts another `patterns` first on Python's path"
            )
        return lines

    def _environment(self) -> dict[str, str]:
        kept = {key: os.environ[key] for key in SHARED if key in os.environ}
        return kept | {
            "PYTHONPATH": str(self.root),
            "PYTHONUTF8": "1",
            "MENDFOLD_CONFIG": str(self.config),
            "XDG_CACHE_HOME": str(self.config / "cache"),
            "COLUMNS": "100",
        }

    def about(self) -> About:
        """Ask the version what it knows, by its own commands."""
        asked = {
            "name": "what it knows",
            "files": {},
            "commands": [["structures", "--json"], ["measure", "--blank", "blank.toml"]],
            "read": ["blank.toml"],
            "sheets": False,
        }
        itself, answer = self.answers([asked])
        for run in answer["runs"]:
            if run["status"] or run["crash"]:
                raise DifferentialError(f"{self.name}: {run['crash'] or run['err'].strip()}")
        return About(
            json.loads(answer["runs"][0]["out"]),
            frozenset(_fields(answer["files"]["blank.toml"])),
            itself["quick"],
        )


@dataclass(frozen=True, slots=True)
class About:
    """What a version says it knows: structures, fields of a record, and whether sheets can wait."""

    structures: list[dict[str, Any]]
    fields: frozenset[str]
    quick: bool


def _fields(blank: str) -> Iterator[str]:
    """Yield the fields of a blank record, as `text_block.height`.

    >>> list(_fields("[book]\\n# names it\\n#id =\\n#[[union]]\\n#made =\\n"))
    ['book.id', 'union.made']
    """
    table = ""
    for line in blank.splitlines():
        if found := _TABLE.fullmatch(line.strip()):
            table = found[1]
        elif found := _FIELD.match(line):
            yield f"{table}.{found[1]}"


def laid_down(name: str, repository: Path, into: Path, keeper: Keeper = NOTHING_KEPT) -> Tree:
    """Copy a version below `into`: the folder `name` if it is one, else that commit.

    Raises DifferentialError for what is neither.
    """
    root, config = into / "tree", into / "config"
    root.mkdir(parents=True)
    config.mkdir()
    if not Path(name).is_dir():
        try:
            commit = (
                _git(repository, "rev-parse", "--verify", f"{name}^{{commit}}").decode().strip()
            )
            made = _git(repository, "archive", "--format=tar", commit, "--", *PARTS)
        except subprocess.CalledProcessError as error:
            said = error.stderr.decode(errors="replace").strip()
            raise DifferentialError(
                f"{name}: neither a folder nor a commit that holds the program: {said}"
            ) from error
        with tarfile.open(fileobj=io.BytesIO(made)) as archive:
            archive.extractall(root, filter="data")
        return Tree(name, root, config, commit, keeper)
    for part in PARTS:
        shutil.copytree(Path(name) / part, root / part, ignore=_rubbish)
    return Tree(name, root, config)


def _git(repository: Path, *words: str) -> bytes:
    words = ("git", "-C", str(repository), *words)
    return subprocess.run(words, capture_output=True, check=True).stdout


def _rubbish(_folder: str, names: Iterable[str]) -> set[str]:
    return {name for name in names if name == "__pycache__"}
