"""What functions of the project remember from one call to the next, forgotten before a first time is measured."""

from __future__ import annotations

import sys

TYPEFACE = ("font_path", "face", "_advances")
"""The typeface itself stays read."""


def forget(*rooms: str) -> None:
    """Clear what functions of all modules whose names begin so keep."""
    for name, module in list(sys.modules.items()):
        if name.startswith(rooms):
            for kept in list(vars(module).values()):
                if hasattr(kept, "cache_clear") and kept.__name__ not in TYPEFACE:
                    kept.cache_clear()
