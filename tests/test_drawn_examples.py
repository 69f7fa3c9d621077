"""How many examples a property test draws: its own number, or under the wide profile the profile's."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

DRAWS = """
from hypothesis import given, settings, strategies as st

@settings(max_examples=5)
@given(st.integers())
def test_few(number):
    with open("drawn.txt", "a") as file:
        file.write(f"{number}\\n")
"""


@pytest.mark.parametrize(
    ("profile", "count"),
    [({}, 5), ({"HYPOTHESIS_PROFILE": "wide", "HYPOTHESIS_EXAMPLES": "40"}, 40)],
)
def test_the_wide_profile_reaches_tests_that_say_a_number(
    profile: dict[str, str], count: int, tmp_path: Path
) -> None:
    """Five by its own word; forty where forty are asked of every test."""
    shutil.copy(Path(__file__).with_name("conftest.py"), tmp_path)
    (tmp_path / "test_draws.py").write_text(DRAWS, encoding="utf-8")
    own = {k: v for k, v in os.environ.items() if not k.startswith(("HYPOTHESIS_", "PYTEST_"))}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir=.", "-c", os.devnull, "test_draws.py"],
        cwd=tmp_path, env={**own, **profile}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    assert len((tmp_path / "drawn.txt").read_text("utf-8").splitlines()) == count
