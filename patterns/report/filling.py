"""A treatment.toml with some of its values changed and everything else as somebody wrote it.

Comments, order and spaces stay (tomlkit reads and writes them). What comes out is read back and
compared; where it is not what was meant, the treatment is written anew, without its comments.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from patterns.reading import tables
from patterns.record.writing import toml
from patterns.report.treatment import FORMAT, HEAD, ROWS

TypedRow = Mapping[str, str]
"""Key → what is typed there; a size as `51 × 194`."""


def words_of(value: Any) -> str:
    """Return a value of a treatment as it is typed.

    >>> words_of([51.0, "19.4 cm"]), words_of(1.25), words_of("AB")
    ('51 × 19.4 cm', '1.25', 'AB')
    """
    if isinstance(value, list):
        return " × ".join(map(words_of, value))
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def filled(text: str, head: TypedRow, rows: Mapping[str, Sequence[TypedRow]]) -> str:
    """Return `text` with the words that were typed: by key, and by table and place of a row.

    Rows and keys that are not given stay; a row after the last is added where it says anything, and one
    of which every word was taken away goes. Raises ValueError for what is no TOML.
    """
    before = tables(text)
    wanted = {name: value for name, value in before.items() if name not in ("treatment", *ROWS)}
    wanted["format"] = FORMAT
    wanted["treatment"] = _row(before.get("treatment", {}), head, HEAD)
    after = {
        table: list(_rows(before.get(table, []), rows.get(table, ()), keys))
        for table, keys in ROWS.items()
    }
    left = {table: [row for row in held if row is not None] for table, held in after.items()}
    wanted |= {table: held for table, held in left.items() if held}
    try:
        changed = _changed(text, before, wanted["treatment"], after)
        if tables(changed) == wanted:
            return changed
    except (TOMLKitError, ValueError, TypeError, KeyError, IndexError, AttributeError):
        pass
    return _anew(wanted)


def _rows(
    old: Sequence[Mapping[str, Any]], given: Sequence[TypedRow], keys: Mapping[str, str]
) -> Iterator[dict[str, Any] | None]:
    """Yield every row as it is to be, None for one that goes, those that are added last."""
    for place in range(max(len(old), len(given))):
        held = old[place] if place < len(old) else {}
        row = _row(held, given[place], keys) if place < len(given) else dict(held)
        if any(value not in ("", []) for value in row.values()) or row == held != {}:
            yield row
        elif place < len(old):
            yield None


def _row(old: Mapping[str, Any], words: TypedRow, keys: Mapping[str, str]) -> dict[str, Any]:
    """Return a row with the words that differ from what stands there; the others stay as written."""
    changed = {
        key: _size(typed) if keys[key] == "size" else typed.strip()
        for key, typed in words.items()
        if typed.strip() != (words_of(old[key]).strip() if key in old else "")
    }
    return {**old, **changed}


def _size(words: str) -> list[float | str]:
    """Return width and height from words such as `51 × 194`."""
    parts = [part.strip() for part in words.replace("x", "×").split("×")]
    return [_figure(part) for part in parts] if words.strip() else []


def _figure(words: str) -> float | str:
    try:
        return float(words)
    except ValueError:
        return words


def _changed(
    text: str,
    before: Mapping[str, Any],
    head: Mapping[str, Any],
    after: Mapping[str, Sequence[Mapping[str, Any] | None]],
) -> str:
    document: Any = tomlkit.parse(text)
    if "treatment" not in document:
        document["treatment"] = tomlkit.table()
    _change(document["treatment"], before.get("treatment", {}), head)
    for table, rows in after.items():
        _change_rows(document, table, before.get(table, []), rows)
    return tomlkit.dumps(document)


def _change_rows(
    document: Any,
    table: str,
    old: Sequence[Mapping[str, Any]],
    new: Sequence[Mapping[str, Any] | None],
) -> None:
    if table not in document and new:
        document.add(tomlkit.nl())
        document[table] = tomlkit.aot()
    for place, row in enumerate(new):
        if row is None:
            continue
        if place >= len(old):
            document[table].append(tomlkit.table())
        _change(document[table][place], old[place] if place < len(old) else {}, row)
    for place in [place for place, row in enumerate(new) if row is None][::-1]:
        del document[table][place]
    if table in document and not document[table]:
        del document[table]


def _change(held: Any, old: Mapping[str, Any], new: Mapping[str, Any]) -> None:
    for key in [key for key in old if key not in new]:
        del held[key]
    for key, value in new.items():
        if key not in old or old[key] != value:
            held[key] = tomlkit.value(toml(value))


def _anew(tree: Mapping[str, Any]) -> str:
    blocks = [f'format = "{FORMAT}"']
    for table in ("treatment", *ROWS):
        held = tree.get(table, {} if table == "treatment" else [])
        for row in held if isinstance(held, list) else [held]:
            head = f"[[{table}]]" if table in ROWS else f"[{table}]"
            blocks.append("\n".join([head, *(f"{key} = {toml(row[key])}" for key in row)]))
    return "\n\n".join(blocks) + "\n"
