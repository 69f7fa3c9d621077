"""The small faults that `python -m tests.mutation` makes, on a program of two functions."""

from __future__ import annotations

import ast
import doctest
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from textwrap import dedent
from types import ModuleType

import pytest

from tests.mutation import fence, judged, operators, rooms, trying, waiting
from tests.mutation.copies import Answer, Copy
from tests.mutation.mapping import mapped
from tests.mutation.operators import Fault, Names, faults, stands
from tests.mutation.rooms import room
from tests.mutation.run import attempts, table
from tests.mutation.touching import Program
from tests.mutation.trying import Bench, Tried, drawn, verdict

PROJECT = Path(__file__).parents[1]


def made(source: str, more: str = "") -> set[tuple[str, str, str]]:
    """Return the faults of a text as kind, what stood there, what stands there now."""
    source = dedent(source)
    found = faults("patterns/toy.py", source, Names.of([source, dedent(more)]))
    assert all(stands(one.applied(source)) for one in found)
    assert all(
        ast.dump(ast.parse(one.applied(source))) != ast.dump(ast.parse(source)) for one in found
    )
    return {(one.kind, one.was, one.now) for one in found}


def test_sums_lose_terms_and_change_signs() -> None:
    """+ for -, * for /, a term dropped on either side; figures grow by 5 %, small counts by one."""
    assert made("x = a + 3.0") == {
        ("sign", "a + 3.0", "(a - 3.0)"),
        ("term", "a + 3.0", "a"),
        ("term", "a + 3.0", "3.0"),
        ("constant", "3.0", "3.15"),
    }
    assert made("x = a - b") == {
        ("sign", "a - b", "(a + b)"),
        ("term", "a - b", "a"),
        ("term", "a - b", "(-b)"),
    }
    assert made("x = a * 40") == {("factor", "a * 40", "(a / 40)"), ("constant", "40", "42")}
    assert made("x = a / 2") == {("factor", "a / 2", "(a * 2)"), ("constant", "2", "2.1")}
    assert made("x = -a") == {("sign", "-a", "a")}
    assert made("x = a[1]") == {("constant", "1", "2")}


def test_decisions_are_turned() -> None:
    """Comparisons turn, conditions are negated, `and` becomes `or`, one of them is dropped."""
    assert made("x = a < b") == {("comparison", "a < b", "(a > b)")}
    assert made("x = a <= b < c") == {
        ("comparison", "a <= b < c", "(a >= b < c)"),
        ("comparison", "a <= b < c", "(a <= b > c)"),
    }
    assert made("x = a if b else c") == {("negation", "b", "(not b)")}
    assert made("x = not a") == {("negation", "not a", "a")}
    assert made("x = True") == {("negation", "True", "False")}
    assert made("x = a and b") >= {
        ("negation", "a and b", "(a or b)"),
        ("term", "a and b", "a"),
        ("term", "a and b", "b"),
    }
    assert made("x = min(a, b)") == {("least and most", "min(a, b)", "max(a, b)")}
    assert made("x = math.floor(a)") == {("least and most", "math.floor(a)", "math.ceil(a)")}


def test_directions_are_swapped_where_the_other_exists() -> None:
    """Head for tail, front for back, across for down, left for right; never into a name that is none."""
    assert made("x = book.head_square", "book.tail_square") == {
        ("name", "book.head_square", "book.tail_square")
    }
    assert made("x = book.head_square") == set()
    assert made("def f(front, back):\n return front") == {("name", "front", "back")}
    assert made("def f(front):\n return front", "back = 1") == set()
    assert made("x = f(left=a, right=b)") == {("name", "f(left=a, right=b)", "f(right=a, left=b)")}
    assert made("x = f(left=a, right=a)") == set(), "nothing would change"
    assert made("x = f['across']", "y = 'down'") == {("name", "'across'", "'down'")}
    assert made("x = ahead + 'the head of it'", "tail = 1") == set()


def test_a_fault_within_a_formatted_text_replaces_the_whole_text() -> None:
    """What is worked out inside the braces is a place as any other; the words are none."""
    assert made("x = f'{a + b:.1f} mm'") == {
        ("sign", "f'{a + b:.1f} mm'", "f'{a - b:.1f} mm'"),
        ("term", "f'{a + b:.1f} mm'", "f'{a:.1f} mm'"),
        ("term", "f'{a + b:.1f} mm'", "f'{b:.1f} mm'"),
    }


def test_what_no_sheet_can_show_is_left_alone() -> None:
    """No annotation, tolerance, data class setting, docstring or sum of texts is touched."""
    assert (
        made('''
            """A head and a tail."""
            @dataclass(frozen=True)
            class Part:
                """The front."""
                width: Literal["left", "right"]
            if TYPE_CHECKING:
                x = 1 + 2
            near = 1e-9
            words = "a" + b + "c"
        ''')
        == set()
    )


def test_the_rest_of_the_module_stays_as_it_is() -> None:
    """Characters before and after are kept, also beside letters of more than one byte."""
    source = "# in mm\ny = {'é': a + b}  # sum\n"
    one = faults("patterns/toy.py", source, Names.of([source]))[0]
    assert one.applied(source) == "# in mm\ny = {'é': (a - b)}  # sum\n"
    assert (one.line, one.text) == (2, "y = {'é': a + b}  # sum")


def test_a_seed_draws_the_same_faults_and_spreads_them_over_the_lines() -> None:
    """Every line comes up once before one comes up twice; another seed draws others."""
    source = "".join(f"x{n} = a{n} + b{n} - c{n}\n" for n in range(30))
    found = faults("patterns/formulas/toy.py", source, Names.of([source]))
    order = drawn(found, 1)
    assert list(order) == ["formulas"]
    assert order == drawn(found, 1) != drawn(found, 2)
    assert len({one.line for one in order["formulas"][:30]}) == 30


def test_every_module_of_the_program_has_a_room() -> None:
    """A module falls into a listed room today, so that no share goes missing from the table."""
    paths = (PROJECT / "patterns").rglob("*.py")
    names = {room(path.relative_to(PROJECT).as_posix()) for path in paths}
    assert {"formulas", "structures", "sewing", "record", "examine", "sheets"} <= names


@pytest.mark.parametrize("module", [rooms, operators, trying], ids=lambda one: one.__name__)
def test_the_examples_in_its_words_are_true(module: ModuleType) -> None:
    """The script is not collected, so its examples are run here."""
    done = doctest.testmod(module)
    assert done.attempted
    assert not done.failed


def test_the_shares_are_of_what_counts() -> None:
    """A stopped test caught the fault; what no test touches survived; what was refused is no fault."""
    fault = Fault("patterns/traced/toy.py", 1, 1, "name", "a", "b", 4, 5, "x = a")
    outcomes = ("caught", "time", "survived", "untouched", "refused", "refused")
    rows = table([Tried("traced", fault, outcome, "") for outcome in outcomes]).splitlines()
    assert rows[1].split() == ["traced", "4", "2", "1", "1", "1", "50", "%"]
    assert rows[2].split() == ["all", "4", "2", "1", "1", "1", "50", "%"]


@pytest.mark.parametrize(
    ("status", "said", "outcome"),
    [
        (0, {}, "survived"),
        (1, {"test": "t", "message": "assert 3 == 2"}, "caught"),
        (1, {"test": "t", "message": "ZeroDivisionError: division by zero"}, "caught"),
        (1, {"test": "t", "message": "TypeError: unsupported operand type(s) for -"}, "refused"),
        (1, {"test": "t", "message": "NameError: name 'tail' is not defined"}, "refused"),
        (-27, {}, "time"),
        (None, {}, "time"),
        (4, {}, "caught"),
    ],
)
def test_what_a_run_says_of_a_fault(status: int | None, said: dict[str, str], outcome: str) -> None:
    """Any failing test catches; what a type checker would have refused is not for a test to find."""
    assert verdict(Answer(status, said, ""))[0] == outcome


class Quick(Bench):
    """A bench that refuses every fault of line 3 and lets all others survive, without any test."""

    def __init__(self) -> None:
        self.lock = threading.Lock()

    def attempt(self, fault: Fault, copy: Copy) -> Tried:
        """Go by the line."""
        assert copy.tree.exists()
        return Tried("toy", fault, "refused" if fault.line == 3 else "survived", "")


def test_rooms_take_turns_and_refused_faults_do_not_count(toy: Copy) -> None:
    """As many are tried in each room as asked for, one room after the other, and not more."""
    found = faults("patterns/toy.py", text := "a = 1\nb = 2\nc = 3\nd = 4\n", Names.of([text]))
    order = {"one": found[2:], "two": found}
    tried = list(attempts(Quick(), [toy], order, {"one": 1, "two": 2}))
    assert [one.fault.line for one in tried] == [3, 4, 1, 2]


def test_a_judgement_holds_when_its_line_is_moved(tmp_path: Path) -> None:
    """It goes by the text of the line; one without a reason is refused."""
    kept = tmp_path / "judged.toml"
    words = 'file = "toy.py"\ntext = "x = a"\nwas = "a"\nnow = "b"\n'
    kept.write_text(f'[[fault]]\n{words}reason = "a equals b here"\n', encoding="utf-8")
    (one,) = judged.read(kept)
    assert one.meets(Fault("patterns/new/toy.py", 90, 90, "name", "a", "b", 800, 801, "x = a"))
    assert not one.meets(Fault("patterns/toy.py", 1, 1, "name", "a", "c", 4, 5, "x = a"))
    kept.write_text(f"[[fault]]\n{words}", encoding="utf-8")
    with pytest.raises(ValueError, match="fault 1 needs"):
        judged.read(kept)


def test_the_projects_own_judgements_can_be_read() -> None:
    """Each has its line, its change and its reason."""
    judged.read()


TOY = """
from functools import cache

GAP = 2.0

def width(block, front, back):
    return block + front + back + GAP

def unseen(a):
    return a * 2

@cache
def stated():
    return 7.0

def loop(n):
    while n > 0:
        n -= 1
    return n
"""

TESTS = """
import os
import pytest
from patterns import toy

def test_width():
    assert toy.width(20, 3, 3) == 28

def test_stated():
    assert toy.stated() > 0

def test_stated_to_the_point():
    assert toy.stated() == 7

def test_loop():
    assert toy.loop(3) == 0

@pytest.mark.golden
def test_golden():
    assert toy.width(20, 3, 4) == 29

def test_writes():
    with open(OUTSIDE, "w") as file:
        file.write("written")
"""


@pytest.fixture
def toy(tmp_path: Path) -> Iterator[Copy]:
    """A project of one module with its tests, in a private copy."""
    project = tmp_path / "project"
    shutil.copytree(PROJECT / "tests" / "mutation", project / "tests" / "mutation")
    shutil.copy(PROJECT / "tests" / "conftest.py", project / "tests")
    (project / "tests" / "__init__.py").touch()
    (project / "patterns").mkdir()
    (project / "patterns" / "__init__.py").touch()
    (project / "patterns" / "toy.py").write_text(TOY, encoding="utf-8")
    outside = f"OUTSIDE = {str(tmp_path / 'outside.txt')!r}\n"
    (project / "tests" / "test_toy.py").write_text(outside + TESTS, encoding="utf-8")
    (project / "pyproject.toml").write_text('[tool.pytest.ini_options]\nmarkers = ["golden"]\n')
    with Copy(project, tmp_path / "copy") as copy:
        yield copy


def test_faults_of_a_small_project_are_caught_or_not(toy: Copy, tmp_path: Path) -> None:
    """Caught, survived, never touched or stopped, each as it is; nothing is written outside."""
    ran, failing = mapped([toy], tmp_path / "map")
    assert failing == ["tests/test_toy.py::test_writes"]
    assert not (tmp_path / "outside.txt").exists()
    assert "tests/test_toy.py::test_golden" not in ran.seconds
    bench = Bench(Program({"patterns/toy.py": ast.parse(TOY)}), ran, 60)
    found = faults("patterns/toy.py", TOY, Names.of([TOY]))

    def outcome(was: str, now: str) -> str:
        (fault,) = (one for one in found if (one.was, one.now) == (was, now))
        return bench.attempt(fault, toy).outcome

    assert outcome("block + front + back", "(block + front - back)") == "caught"
    assert outcome("front", "back") == "survived", "3 and 3: no test can tell them apart"
    assert outcome("2.0", "2.1") == "caught", "what is set on import, by who uses it"
    assert outcome("7.0", "7.35") == "caught", "what is worked out once, by all who ask"
    assert outcome("2", "2.1") == "untouched"
    assert (toy.tree / "patterns" / "toy.py").read_text(encoding="utf-8") == TOY


def test_a_fault_without_end_is_stopped(toy: Copy) -> None:
    """A test is ended after its own share of the processor's time, whatever the machine does."""
    (fault,) = (
        one
        for one in faults("patterns/toy.py", TOY, Names.of([TOY]))
        if (one.was, one.now) == ("1", "2")
    )
    endless = Fault(**{**{n: getattr(fault, n) for n in fault.__dataclass_fields__}, "now": "0"})
    with toy.fault(endless):
        task = {"do": "run", "tests": {"tests/test_toy.py::test_loop": 0.5}}
        answer = toy.run(task, ["tests/test_toy.py"], 60)
    assert answer.status is not None
    assert answer.status < 0
    assert not answer.said


def test_a_run_is_stopped_by_what_it_uses_and_not_by_the_clock() -> None:
    """One that only waits is stopped after a time; one that works is when its seconds are used up."""

    def answer(words: str, seconds: float) -> int | None:
        command = [sys.executable, "-S", "-c", words]
        with subprocess.Popen(command, start_new_session=True) as running:
            try:
                return waiting.wait(running, seconds)
            finally:
                running.kill()

    assert answer("raise SystemExit(3)", 60) == 3
    assert answer("while True: pass", 0.3) is None
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(waiting, "IDLE", 1.0)
        assert answer("import time; time.sleep(1000)", 60) is None
        assert answer("import time; s = time.process_time\nwhile s() < 2: pass", 60) == 0


@pytest.mark.parametrize(
    ("event", "given"),
    [
        ("open", ("outside", "w", 0)),
        ("open", ("outside", None, os.O_RDWR)),
        ("open", ("home/../outside", "a", 0)),
        ("open", ("home/link/new", "w", 0)),
        ("os.remove", ("outside", -1)),
        ("os.rename", ("home/here", "outside", -1, -1)),
        ("os.symlink", ("home/here", "outside", -1)),
        ("os.mkdir", ("new", 0o777, -1)),
        ("shutil.rmtree", ("outside", None)),
        ("os.kill", (os.getppid(), 15)),
        ("os.killpg", (1, 15)),
    ],
)
def test_the_fence_lets_nothing_out(
    event: str, given: tuple[object, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Writing, removing and linking stay inside, whatever way a path takes; reading is free."""
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "link").symlink_to(tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(fence, "HOME", str(tmp_path / "home"))
    monkeypatch.setattr(os, "getpgrp", lambda: 0)
    with pytest.raises(PermissionError, match="outside"):
        fence.watch(event, given)
    fence.watch("open", ("outside", "r", 0))
    fence.watch("open", ("home/inside", "w", 0))
    fence.watch("os.remove", ("home/inside", -1))
    fence.watch("os.kill", (0, 15))
