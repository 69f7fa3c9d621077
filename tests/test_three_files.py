"""A new structure is three new files and no edit: shown on a temporary copy of the project."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import patterns

PROJECT = Path(patterns.__file__).parent.parent

TEMPLATE = """
title = "Joint guard"
purpose = "A strip of paper laid along the spine edge of a board, for this test alone."
example = "logbook"
order = 95
needs = ["cover.board_height"]
answers = ["board joint"]
undo = ["lift it dry"]

[parameters.width]
title = "width of the strip"
kind = "length"
default = 20.0
range = [5.0, 60.0]
source = "this test"
confidence = "own"

[materials.paper]
kind = "paper"
default = "kraft lining paper"
purpose = "the strip"

[[steps]]
phase = "cover"
text = "Cut the strip {width} mm wide and {height_mm} mm high."
"""

MODULE = '''
"""joint_guard: a strip of paper, for a test."""

from dataclasses import dataclass

from patterns.book.suits import Reason, Ruling, Suits
from patterns.model.part import Part
from patterns.model.piece import Piece


@dataclass(frozen=True, slots=True)
class Params:
    width: float


@dataclass(frozen=True, slots=True)
class Figures:
    height_mm: float


def suits(book, params):
    limp = Ruling("a limp cover has no board to lay it along", tie_or_box=True)
    reason = Reason("board joint", "a guard is laid in an hour", "it holds nothing", place=9)
    return Suits((reason,), rulings=(limp,) if book.limp else ())


def draft(book, params):
    height = book.record.cover.board_height
    w = params.width
    paper = book.material("paper")
    ring = ((0.0, 0.0), (w, 0.0), (w, height), (0.0, height))
    piece = Piece("strip", "joint_guard", paper.name, paper.thickness_mm, ring, "head-tail")
    return Part("joint_guard", "Joint guard", Figures(height), (piece,))
'''


def test_a_new_structure_needs_no_edit(tmp_path: Path) -> None:
    """Template, module and golden file are enough to list, draft and check a structure."""
    copy = tmp_path / "project"
    for name in ("patterns", "templates", "tests"):
        shutil.copytree(
            PROJECT / name,
            copy / name,
            ignore=shutil.ignore_patterns("__pycache__", "test_*", "benchmarks"),
        )
    shutil.copy(PROJECT / "tests" / "test_golden.py", copy / "tests")
    shutil.copy(PROJECT / "pyproject.toml", copy)
    (copy / "templates" / "joint_guard.toml").write_text(TEMPLATE, encoding="utf-8")
    (copy / "patterns" / "structures" / "joint_guard.py").write_text(MODULE, encoding="utf-8")

    def run(*words: str) -> str:
        done = subprocess.run(
            [sys.executable, *words],
            cwd=copy,
            env={**os.environ, "PYTHONPATH": str(copy)},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    golden = ("-m", "pytest", "-q", "tests/test_golden.py", "-k", "joint_guard or left_over")
    run(*golden, "--update-golden")
    run(*golden)
    assert (copy / "tests" / "golden" / "joint_guard.svg").exists()
    assert "joint_guard" in run("-m", "patterns", "structures")
    record = str(copy / "patterns" / "demo" / "logbook.toml")
    made = json.loads(
        run("-m", "patterns", "draft", record, "joint_guard", "--set", "width=25", "--json")
    )
    examined = json.loads(run("-m", "patterns", "examine", record, "--json"))
    offered = {choice["structure"]: choice for choice in examined["choices"]}
    assert offered["joint_guard"]["pros"] == ["a guard is laid in an hour"]
    assert offered["joint_guard"]["title"] == "Joint guard"
    assert made["pieces"][0]["width_mm"] == 25
    assert made["pieces"][0]["height_mm"] == 339
    assert "25.0 mm wide" in made["steps"][-2]["text"]

    opening = TEMPLATE.replace("undo =", 'opens = ["lining", "covering"]\nundo =', 1)
    (copy / "templates" / "joint_guard.toml").write_text(opening, encoding="utf-8")
    examined = json.loads(run("-m", "patterns", "examine", record, "--json"))
    ways = [choice["structure"].split("+") for choice in examined["choices"]]
    (way,) = (way for way in ways if "joint_guard" in way)
    assert len(way) > 1, "what it opens is closed by others in the same way"
    made = json.loads(run("-m", "patterns", "draft", record, *way, "--json"))
    assert made["structures"] == way
