"""Options of the test run."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--update-golden`: write the golden drawings anew."""
    parser.addoption("--update-golden", action="store_true", help="write golden drawings anew")
