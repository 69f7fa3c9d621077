"""The settings of a draft as they are written, before a structure is asked what they mean."""

from __future__ import annotations

from collections.abc import Iterable

from patterns.errors import Problem, SettingError


def settings_given(texts: Iterable[str]) -> dict[str, str]:
    """Return the settings written as NAME=VALUE, each given once; raises SettingError.

    >>> settings_given(["hollow_tube.on = 2"])
    {'hollow_tube.on': '2'}
    """
    found: dict[str, str] = {}
    for one in texts:
        name, sign, value = (part.strip() for part in one.partition("="))
        if not (sign and name and value):
            raise _refusal(repr(one), "", "NAME=VALUE", "write NAME=VALUE, as in hollow_tube.on=2")
        if name in found:
            raise _refusal(name, "given twice", "one value", "give it once")
        found[name] = value
    return found


def _refusal(name: str, found: str, allowed: str, remedy: str) -> SettingError:
    words = "; ".join(filter(None, (found, remedy)))
    return SettingError(f"{name}: {words}", [Problem(name, found, allowed, remedy, "setting")])
