"""Options of the test run."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

# The same drawn examples in every run, however busy the machine; HYPOTHESIS_PROFILE=wide draws anew.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("wide", deadline=None, max_examples=500)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--update-golden`: write the golden drawings anew."""
    parser.addoption("--update-golden", action="store_true", help="write golden drawings anew")
