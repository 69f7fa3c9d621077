"""The record: what is read, what it is called, what it lacks, and what it keeps to itself."""

from __future__ import annotations

import dataclasses
import datetime
import os
import shutil
import subprocess
import sys
import tomllib
import typing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.errors import MendfoldError, RecordError
from patterns.record import reading, record, values, writing
from patterns.record.field import Field
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, TABLES
from patterns.record.needs import require
from patterns.record.text import key_lines

DEMO = Path(record.__file__).parent.parent / "demo"
DEMOS = [
    DEMO / f"{name}.toml" for name in ("logbook", "chart_book", "seaweed_album", "almanac", "atlas")
]
CLASSES = {
    "book": record.BookTable,
    "condition": record.ConditionTable,
    "text_block": record.TextBlockTable,
    "spine": record.SpineTable,
    "cover": record.CoverTable,
    "cover.front": record.SideTable,
    "cover.back": record.SideTable,
    "sewing": record.SewingTable,
    "sewing.fold": record.FoldTable,
    "album": record.AlbumTable,
    "union": record.UnionTable,
    "measuring": record.MeasuringTable,
}

# The fields the design of the record asks for, copied from it and not from the table under test.
DESIGNED = {
    "book": "id title owner note format reading weight outside",
    "text_block": "height width thickness thickness_fore_edge weight leaves gatherings "
    "leaves_per_gathering leaf_thickness grammage grain tear_strength anchor_first anchor_last",
    "spine": "profile round_depth over_shoulders shoulder shoulder_front shoulder_back "
    "shoulder_angle girth_head girth_tail girth_sewn_head girth_sewn_tail strip_over linings edge_angle",
    "sewing": "kind stations kettles supports_at holes_at support_width support_height supports tie_down "
    "stations_from",
    "sewing.fold": "gathering folios holes",
    "cover": "kind board_height board_width board_thickness board_weight joint joint_gap joint_over "
    "square_head square_tail_spine square_tail_fore_edge square_tail square_fore_edge "
    "spine_width spine_width_head spine_width_tail spine_strip side_width side_height thickness turn_in "
    "endband_head endband_tail",
    "album": "kind leaves leaf_thickness contents_thickness leaf_width leaf_height old_stub "
    "inner_margin",
    "condition": "paper leather mould parchment photographs iron_gall green_cloth soluble_media "
    "active_pests",
    "union": "between moves made state",
    "measuring": "error caliper_error checked by on",
}


def _within(field: Field) -> str:
    """Return something that may stand in a field, as TOML, chosen without the code under test."""
    middle = f"{field.low + (field.high - field.low) / 100:.3f}"
    return {
        "lengths": "[12, 60.5, 110]",
        "length or lengths": "0.5",
        "three lengths": "[312, 218, 42]",
        "count": "2",
        "text": '"words"',
        "id": '"book-1"',
        "choice": f'"{field.words[0]}"' if field.words else "",
        "choices": f'["{field.words[-1]}"]' if field.words else "",
        "yes or no": "true",
        "date": "2026-11-25",
        "two names": '["text block", "boards"]',
        "fields": '["cover.back.board_thickness"]',
    }.get(field.kind, middle)


@pytest.mark.parametrize("table", DESIGNED)
def test_the_record_has_every_field_of_the_design_and_no_other(table: str) -> None:
    """Neither the table of fields nor the classes lack or invent one."""
    wanted = set(DESIGNED[table].split())
    assert {field.key for field in FIELDS if field.table == table} == wanted
    held = {field.name for field in dataclasses.fields(CLASSES[table])}
    assert held - {"front", "back", "fold"} == wanted


TYPES: dict[str, object] = {
    "mm": float | None, "kg": float | None, "mN": float | None, "g/m²": float | None, "°": float | None,
    "count": int | None, "text": str | None, "id": str | None, "choice": str | None,
    "choices": tuple[str, ...] | None, "yes or no": bool | None, "date": datetime.date | None, "lengths": tuple[float, ...] | None,
    "length or lengths": float | tuple[float, ...] | None, "two names": tuple[str, str],
    "fields": tuple[str, ...] | None,
    "three lengths": tuple[float, float, float] | None,
}  # fmt: skip


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_the_type_of_a_field_is_that_of_its_kind(field: Field) -> None:
    """What mypy takes an attribute for is what reading makes of it; only what is needed has no None."""
    hint = typing.get_type_hints(CLASSES[field.table])[field.key]
    wanted: Any = TYPES[field.kind]
    assert hint == (int if field.needed and field.kind == "count" else wanted)


ONE_LINE = r"""
from patterns.errors import RecordError
from patterns.record import reading, writing
from patterns.record.fields import FIELDS
from patterns.record.interview import Interview

assert "# more about the gilding (1 to 9 mm)\n#gilding =" in writing.blank()
book = reading.parse('[spine]\ngilding = "0.4 cm"\n', "x")
assert book.get("spine.gilding") == book.spine.gilding == 4.0
assert writing.dump(book) == "[spine]\ngilding = 4\n"
names = [field.name for field in FIELDS]
assert names[names.index("spine.gilding") - 1] == "spine.profile"
assert "spine.gilding" in {step.name for step in Interview(input, print, print).steps}
try:
    reading.parse("[spine]\ngilding = 10\n", "x")
except RecordError as refusal:
    assert "spine.gilding is 10 mm; allowed: 1 to 9 mm" in str(refusal)
else:
    raise AssertionError("10 mm was taken")
"""


def test_a_field_is_declared_in_one_line(tmp_path: Path) -> None:
    """In a copy with one line more: read, refused, written, asked for and in the blank record."""
    package = Path(record.__file__).parents[1]
    copy = tmp_path / "patterns"
    for part in ("__init__.py", "errors.py", "units.py", "reading.py"):
        copy.mkdir(exist_ok=True)
        shutil.copy(package / part, copy / part)
    shutil.copytree(package / "record", copy / "record")
    declared = copy / "record" / "record.py"
    before = next(row for row in declared.read_text().split("\n") if "    profile:" in row)
    line = '    gilding: float | None = mm(1, 9, "more about the gilding")'
    declared.write_text(declared.read_text().replace(before, f"{before}\n{line}"))
    done = subprocess.run(
        [sys.executable, "-c", ONE_LINE], cwd=tmp_path, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def test_every_class_is_frozen_and_slotted() -> None:
    """A record is a value: nothing can be changed in it or hung on it."""
    for kind in {*CLASSES.values(), record.Record}:
        assert "__slots__" in vars(kind)
        value: Any = object.__new__(kind)
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, dataclasses.fields(kind)[0].name, None)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demonstration_books_read_and_write_back_equal(path: Path) -> None:
    """Every invented book loads, keeps its source, and is the same after writing and reading."""
    book = reading.load(path)
    assert book.book.id == path.stem
    assert book.text == path.read_text("utf-8")
    assert reading.parse(writing.dump(book), "again") == book
    assert tomllib.loads(writing.dump(book))["book"]["owner"] == book.book.owner


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demonstration_books_agree_with_themselves(path: Path) -> None:
    """Leaves × caliper is the thickness and leaves × area × grammage the mass (ISO 534, ISO 536)."""
    book = reading.load(path)
    block, cover = book.text_block, book.cover
    if block.leaves and block.leaf_thickness and block.thickness:
        assert block.leaves * block.leaf_thickness == pytest.approx(block.thickness, rel=0.1)
    if block.leaves and block.grammage and block.width and block.height and book.book.weight:
        mass = block.leaves * block.grammage * block.width * block.height * 1e-9
        boards = 2 * (cover.board_weight or 0)
        assert mass == pytest.approx(book.book.weight - boards, rel=0.1)
    if block.gatherings and block.leaves_per_gathering and path.stem != "chart_book":
        assert block.leaves == block.gatherings * block.leaves_per_gathering
    if cover.board_height and block.height and cover.square_head and cover.square_tail:
        assert cover.board_height == block.height + cover.square_head + cover.square_tail


def test_a_measurement_keeps_its_unit_in_the_text_and_is_millimetres_inside() -> None:
    """Quoted units become the field's own; whole TOML numbers become floats; lists become tuples."""
    book = reading.parse(
        '[book]\nid = "x"\nweight = "2 lb 3 oz"\n[text_block]\nheight = "9 3/4 in"\nthickness = 50\n'
        'tear_strength = "0.35 N"\n[sewing]\nkettles = [12, "9 in"]\n[album]\n'
        "leaves = 2\ncontents_thickness = [0.5, 1]\n[measuring]\non = 2026-11-25\n",
        "x.toml",
    )
    assert book.book.weight == pytest.approx(35 * 0.028349523125)  # NIST SP 811: ounce
    assert book.text_block.height == pytest.approx(247.65)
    assert type(book.text_block.thickness) is float
    assert book.text_block.tear_strength == 350
    assert book.sewing.kettles == pytest.approx((12, 228.6))
    assert book.album.contents_thickness == (0.5, 1.0)
    assert book.measuring.on == datetime.date(2026, 11, 25)


def test_what_is_absent_is_none() -> None:
    """A record of an id alone holds no invented figure."""
    book = reading.parse('[book]\nid = "x"\n', "x.toml")
    for field in FIELDS:
        if field.table not in LIST_TABLES and field.name != "book.id":
            assert book.get(field.name) is None
    assert book.unions == () == book.sewing.fold


def test_one_board_overrides_the_common_values_and_only_those_it_names() -> None:
    """[cover.back] changes the back board alone."""
    book = reading.parse(
        "[cover]\nboard_thickness = 3.2\nboard_width = 150\n[cover.back]\nboard_thickness = 3.0\n",
        "x.toml",
    )
    assert book.cover.side("front").board_thickness == 3.2
    assert book.cover.side("back").board_thickness == 3.0
    assert book.cover.side("back").board_width == 150
    assert book.cover.side("front").joint is None


def test_all_that_is_missing_is_named_at_once_in_the_order_of_handling() -> None:
    """One line; block before spine before boards; alternatives with "or"; the id always."""
    book = reading.parse("[text_block]\nheight = 240\n", "x.toml")
    with pytest.raises(RecordError) as refusal:
        require(
            book,
            [
                "cover.board_height",
                "spine.girth_head|spine.round_depth",
                "text_block.thickness",
                "text_block.height",
                "cover.board_height",
            ],
        )
    line = str(refusal.value)
    places = [
        line.index(word)
        for word in (
            "x.toml",
            "book.id",
            "text_block.thickness (mm)",
            "spine.girth_head (mm) or spine.round_depth (mm)",
            "cover.board_height (mm)",
        )
    ]
    assert places == sorted(places)
    assert "text_block.height" not in line
    assert line.count("cover.board_height") == 1


def test_what_is_missing_is_said_with_the_line_of_its_table_where_there_is_one() -> None:
    """The first missing field's table stands on line 3 here; without a table there is no line."""
    book = reading.parse('[book]\nid = "x"\n[spine]\nround_depth = 8\n', "x.toml")
    with pytest.raises(RecordError, match=r"^x\.toml, line 3: missing spine\.linings \(mm\)"):
        require(book, ["spine.linings", "cover.kind"])
    with pytest.raises(RecordError, match=r"^x\.toml: missing cover\.kind"):
        require(book, ["cover.kind"])


def test_a_board_value_given_for_both_sides_is_not_missing() -> None:
    """Overrides of both boards stand for the common value; of one board they do not."""
    one = '[book]\nid = "x"\n[cover.front]\nboard_thickness = 3\n'
    with pytest.raises(RecordError, match=r"cover\.board_thickness"):
        require(reading.parse(one, "x"), ["cover.board_thickness"])
    both = one + "[cover.back]\nboard_thickness = 3\n"
    require(reading.parse(both, "x"), ["cover.board_thickness"])


@pytest.mark.parametrize(
    "text",
    [
        '[book]\nid = "x"\nowner = "Somebody"  # of the town\ntitle = "T"\n',
        '[book]\nid = "x"\ntitle = "T"\nowner = """\\\n  Somebody"""\n',
        'book = {id = "x", owner = "Somebody", title = "T"}\n',
        'book.id = "x"\nbook.owner = "Somebody"\nbook.title = "T"\n',
    ],
)
def test_the_owner_leaves_the_text_too(text: str) -> None:
    """However it was written, the owner is in neither the values nor the text."""
    bare = writing.without_owner(reading.parse(text, "x.toml"))
    assert bare.book.owner is None
    assert "Somebody" not in bare.text
    assert reading.parse(bare.text, "x").book == record.BookTable(id="x", title="T")


def test_the_source_is_kept_as_it_was(tmp_path: Path) -> None:
    """Comments, order and line ends of the file survive; a mark at its start is taken off."""
    path = tmp_path / "book.toml"
    path.write_bytes(b'\xef\xbb\xbf# mine\r\n[book]\r\nid = "x"\r\n')
    assert reading.load(path).text == '# mine\r\n[book]\r\nid = "x"\r\n'


def _filled(blank: str, names: set[str]) -> str:
    """Take the mark away before the named fields of a blank record and write values after them."""
    lines, table = [], ""
    for line in blank.splitlines():
        bare = line.removeprefix("#")
        name = f"{table}.{bare.removesuffix(' =')}"
        if bare.startswith("["):
            table = bare.strip("[]")
            lines.append(bare if any(name.startswith(f"{table}.") for name in names) else line)
        elif bare.endswith(" =") and name in names:
            lines.append(f"{bare} {_within(BY_NAME[name])}")
        else:
            lines.append(line)
    return "\n".join(lines)


def test_the_blank_record_loads_empty() -> None:
    """Nothing is required to open it."""
    assert reading.parse(writing.blank(), "blank") == record.Record()


@pytest.mark.parametrize("table", TABLES)
def test_the_blank_record_loads_with_any_field_filled_in(table: str) -> None:
    """The mark before a name taken away and a value put after it: that field, and no other."""
    blank = writing.blank()
    first = next(field.name for field in FIELDS if field.table == table)
    for field in (field for field in FIELDS if field.table == table):
        names = {field.name, first} if table in LIST_TABLES else {field.name}
        there = {"cover.back.board_thickness"} if field.kind == "fields" else set()
        values = reading.checked(_filled(blank, names | there), "filled")
        held = values[table][0] if table in LIST_TABLES else values[table]
        assert {f"{table}.{key}" for key in held} == names


def test_a_board_is_as_thick_as_the_least_of_its_readings() -> None:
    """Three readings along the spine edge: a board is slotted where it is thinnest."""
    text = """
    [book]
    id = "b"
    [cover]
    board_thickness = [3.2, "3.1 mm", 3.25]
    [cover.back]
    board_thickness = 2.9
    """
    found = reading.parse(text, "b.toml")
    assert found.cover.side("front").board_thickness == 3.1
    assert found.cover.side("back").board_thickness == 2.9
    for wrong, words in (("[]", "holds 0 readings"), ("[3.1, 0.1]", "0.1 mm"), ("[true]", "true")):
        with pytest.raises(MendfoldError, match=words):
            reading.parse(f"[cover]\nboard_thickness = {wrong}", "b.toml")


def test_readings_that_were_checked_are_fields_of_the_record() -> None:
    """What is confirmed is named as the record names it; a slip of the pen is told with what was meant."""
    given = "[cover.back]\nboard_thickness = 3.1\n"
    found = reading.parse(f'{given}[measuring]\nchecked = ["cover.back.board_thickness"]', "b.toml")
    assert found.measuring.checked == ("cover.back.board_thickness",)
    with pytest.raises(MendfoldError, match=r"did you mean “cover\.back\.board_thickness”"):
        reading.parse('[measuring]\nchecked = ["cover.back.bord_thickness"]', "b.toml")
    with pytest.raises(MendfoldError, match="names of fields"):
        reading.parse('[measuring]\nchecked = "cover"', "b.toml")


@pytest.mark.parametrize(
    ("written", "mould", "parchment"),
    [
        ("true", "active", ("leaves", "cover")),
        ("false", "none", ()),
        (None, None, None),
    ],
)
def test_a_plain_yes_is_read_as_the_worst_of_it(
    written: str | None, mould: str | None, parchment: tuple[str, ...] | None
) -> None:
    """Records of before say true and false: true is mould that lives, and parchment everywhere."""
    lines = f"mould = {written}\nparchment = {written}" if written else ""
    found = reading.parse(f"[condition]\n{lines}\n", "b.toml").condition
    assert (found.mould, found.parchment) == (mould, parchment)


def test_parchment_is_named_where_it_is() -> None:
    """In the order of the book, each once; what is written is read back."""
    for text, meant in (
        ('["cover", "leaves"]', ("leaves", "cover")),
        ('["cover"]', ("cover",)),
        ("[]", ()),
    ):
        book = reading.parse(f"[condition]\nparchment = {text}\n", "b.toml")
        assert book.condition.parchment == meant
        assert reading.parse(writing.dump(book), "c.toml").condition == book.condition
    with pytest.raises(MendfoldError, match=r"parchment holds “spine”; allowed: a list of"):
        reading.parse('[condition]\nparchment = ["spine"]\n', "b.toml")
    with pytest.raises(MendfoldError, match="parchment is “leaves”"):
        reading.parse('[condition]\nparchment = "leaves"\n', "b.toml")


def test_every_field_has_a_reason_and_a_range() -> None:
    """The interview, the blank record and the refusals have something to say of each field."""
    for field in FIELDS:
        assert len(field.reason) > 8, field.name
        assert field.allowed
        if field.unit or field.kind == "count":
            assert field.low < field.high, field.name
        if field.kind == "choice":
            assert len(field.words) > 1, field.name


@pytest.mark.parametrize("field", [f for f in FIELDS if f.unit == "mm" and "length" not in f.kind])
def test_no_length_of_four_metres_is_taken(field: Field) -> None:
    """A 4 m book is a slip of the unit, whatever part of it was measured."""
    with pytest.raises(MendfoldError, match="allowed"):
        values.value(field, 4000)


@given(st.text(max_size=300))
@settings(max_examples=150)
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text brings anything but a record or one plain line."""
    try:
        reading.parse(text, "any.toml")
    except RecordError as refusal:
        line = str(refusal)
    else:
        return
    assert "\n" not in line
    assert line.startswith("any.toml")


VALUES = st.one_of(
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.lists(st.integers(0, 300), max_size=4),
    st.dates(),
    st.dictionaries(st.sampled_from(["a", "height"]), st.integers(), max_size=1),
)


@given(st.sampled_from(FIELDS), VALUES)
@settings(max_examples=400)
def test_any_value_in_any_field_stands_within_its_range_or_is_refused(
    field: Field, raw: object
) -> None:
    """What passes is of the right type and inside the range; all else is one line."""
    try:
        kept = values.value(field, raw)
    except MendfoldError as refusal:
        kept, line = None, str(refusal)
    else:
        line = ""
    assert "\n" not in line
    if isinstance(kept, float | int) and not isinstance(kept, bool):
        assert field.low <= kept <= field.high
        assert not isinstance(raw, bool)


def test_lines_are_counted_past_lists_comments_and_long_texts() -> None:
    """The scan of keys names the line tomllib keeps to itself."""
    text = (
        "# top\n[sewing]\nkettles = [\n  12,\n  228,\n]\n"
        'kind = """\n[spine]\nlinings = 3\n"""\n[spine]  # spine\n"linings" = 0\n'
        "[[union]]\nmoves = true\n[[union]]\nmoves = 1\n"
    )
    lines = key_lines(text)
    assert lines["sewing.kettles"] == 3
    assert lines["sewing.kind"] == 7
    assert lines["spine"] == 11
    assert lines["spine.linings"] == 12
    assert lines["union[2].moves"] == 16


def test_reading_a_record_needs_no_geometry_and_no_writer() -> None:
    """A refused record is told at once: none of the heavy libraries is loaded for it."""
    code = (
        "import sys\nfrom patterns import record\n"
        "heavy = {'shapely', 'numpy', 'reportlab', 'svgwrite', 'click'} & set(sys.modules)\n"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
