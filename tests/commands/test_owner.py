"""The owner stands in the record alone: on nothing that is kept, shown or passed on."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path

import pytest

from patterns.drafting.job import draft
from patterns.drafting.making import make, naming_owner
from patterns.drafting.order import Order
from patterns.errors import GalleryError
from patterns.gallery import manifest, pack, site, store
from patterns.gallery.owner import drawn_without_owner, passed_on
from patterns.record import reading
from tests.books import made
from tests.commands.bench import Run, listing
from tests.every_byte import found, holding

OWNER = 'Brannträsk & Söhne "Zum Anker"'
"""With every mark that SVG, HTML, JSON and TOML each write in a way of their own."""
LONG = "The widow and the seven heirs of the last keeper of the lighthouse at Nether Skerrow " * 2
NAME = "logbook-hollow_tube"
PATTERN = f"gallery/{NAME}"


@pytest.fixture
def owner(request: pytest.FixtureRequest, bench: Path) -> str:
    """The owner of the bench's book."""
    own = str(getattr(request, "param", OWNER)).strip()
    book = bench / "book.toml"
    book.write_text(
        book.read_text().replace('"The harbour office"', json.dumps(own, ensure_ascii=False))
    )
    assert reading.load(book).book.owner == own
    return own


def old(book: Path, *formats: str, owner: bool = True) -> dict[str, bytes]:
    """Return a pattern's files as earlier versions kept them: the owner on the overview."""
    record = reading.load(book)
    drafted = draft(Order(record, ("hollow_tube",), formats=formats))
    return dict(make(naming_owner(drafted, record.book.owner or "") if owner else drafted).files)


FORMATS = [
    (OWNER, "svg,pdf,dxf"),
    (LONG, "svg,pdf"),
    pytest.param(OWNER, "png", marks=pytest.mark.outside),
]


@pytest.mark.parametrize(("owner", "formats"), FORMATS, indirect=["owner"])
def test_sheets_with_the_owner_are_for_printing_alone(
    run: Run, bench: Path, owner: str, formats: str
) -> None:
    """Searched byte by byte: folder, gallery, index, page with its report, zip; not the one PDF."""
    said = run("draft", "book.toml", "hollow_tube", "--with-owner", "--keep", "--formats", formats)
    assert said.status == 0, said.err
    treatment = 'format = "mendfold-treatment/1"\n[treatment]\nby = "AB"\n'
    (bench / "treatment.toml").write_text(treatment)
    for words in (
        ("gallery", "add", "logbook", "treatment.toml"),
        ("gallery", "find", "logbook"),
        ("gallery", "page"),
        ("gallery", "export", "logbook"),
        ("report", "logbook"),
    ):
        said = run(*words)
        assert (said.status, said.err) == (0, ""), words
    assert (
        run("draft", "book.toml", "hollow_tube", "--formats", formats, "--out", "plain").status == 0
    )
    assert listing(bench / "plain" / NAME) == listing(bench / NAME)
    shutil.rmtree(bench / "plain")
    records_of = {"book.toml", f"{NAME}/record.toml"}
    records_of |= {f"{PATTERN}/{number}/record.toml" for number in ("r0001", "r0002")}
    assert set(holding(bench, owner)) == {*records_of, f"{NAME}-with-owner.pdf"}


def test_the_sheets_for_printing_are_the_same_but_for_the_owner(run: Run, bench: Path) -> None:
    """Pages of one size; drawn twice they are equal, and another file stays in its place."""
    from pypdf import PdfReader

    draft = ("draft", "book.toml", "hollow_tube", "--with-owner")
    assert run(*draft).status == 0
    beside = bench / f"{NAME}-with-owner.pdf"
    one, other = (PdfReader(path) for path in (bench / NAME / "sheets.pdf", beside))
    assert {str(page.mediabox) for page in one.pages} == {
        str(page.mediabox) for page in other.pages
    }
    assert abs(len(one.pages) - len(other.pages)) <= 1  # the name's row may turn a page
    assert f"{beside.name}: the same with the owner's name" in run(*draft).out
    beside.write_bytes(b"mine")
    (bench / NAME / "record.toml").unlink()
    said = run(*draft)
    assert said.status == 1
    assert f"{beside.name}: already there and different" in said.err
    assert beside.read_bytes() == b"mine"
    assert not (bench / NAME / "record.toml").exists()


def test_a_draft_without_the_owner_leaves_the_sheets_for_printing_where_they_are(
    run: Run, bench: Path
) -> None:
    """Drafted again without the wish it is unchanged, and the file beside it is in nobody's way."""
    draft = ("draft", "book.toml", "hollow_tube", "--formats", "pdf")
    assert run(*draft, "--with-owner").status == 0
    (beside,) = (one for one in bench.iterdir() if one.suffix == ".pdf")
    before = beside.read_bytes()
    said = run(*draft)
    assert (said.status, beside.read_bytes() == before) == (0, True), said.err


def test_a_record_without_an_owner_is_told_so(run: Run, bench: Path) -> None:
    """Asked for, and not there: a remark, and no second PDF."""
    book = bench / "book.toml"
    book.write_text(book.read_text().replace('owner = "The harbour office"\n', ""))
    said = run("draft", "book.toml", "hollow_tube", "--with-owner")
    assert "the record names no owner" in said.err
    assert not (bench / f"{NAME}-with-owner.pdf").exists()


KINDS = [
    (OWNER, ("svg", "pdf")),
    (LONG, ("svg", "pdf")),
    (LONG, ("pdf",)),
    (OWNER, ("svg",)),
    pytest.param(OWNER, ("png",), marks=pytest.mark.outside),
]


@pytest.mark.parametrize(("owner", "formats"), KINDS, indirect=["owner"])
def test_what_an_earlier_version_kept_with_the_owner_is_drawn_again(
    run: Run, bench: Path, owner: str, formats: tuple[str, ...]
) -> None:
    """Export and page draw it without; what is in the gallery stays as it was kept.

    Without a long name the overview may end on its first page: then there is a sheet fewer.
    """
    store.keep(bench / "gallery", NAME, old(bench / "book.toml", *formats))
    said = run("gallery", "export", "logbook", "--out", "out")
    assert (said.status, said.err) == (0, "")
    said = run("gallery", "page", "--out", "out/page")
    assert (said.status, said.err) == (0, "")
    assert holding(bench / "out", owner) == []
    with zipfile.ZipFile(bench / "out" / f"{NAME}.zip") as archive:
        packed = {Path(name).name: archive.read(name) for name in archive.namelist()}
    kept, clean = (old(bench / "book.toml", *formats, owner=drawn) for drawn in (True, False))
    assert packed.keys() == {*clean, "manifest.json"}
    drawings = clean.keys() - {"record.toml"}
    assert {name: packed[name] for name in drawings} == {name: clean[name] for name in drawings}
    assert store.newest(bench / PATTERN).files() == kept


def test_only_the_sheets_that_were_kept_are_drawn_again(bench: Path, owner: str) -> None:
    """An example kept with its first sheet alone is passed on with that alone."""
    names = ("record.toml", "pattern.json", "sheet-01.svg")
    few = {name: data for name, data in old(bench / "book.toml", "svg").items() if name in names}
    assert found("sheet-01.svg", few["sheet-01.svg"], owner)
    clean = drawn_without_owner({**few, "note.txt": b"mine"}, "x")
    assert clean.keys() == {*names, "note.txt"}
    assert not found("sheet-01.svg", clean["sheet-01.svg"], owner)


def drifted(files: dict[str, bytes]) -> dict[str, bytes]:
    """Return files as a version with another figure would have drawn them."""
    tree = json.loads(files["pattern.json"])
    tree["quantities"]["strip_mm"] += 0.5
    return {**files, "pattern.json": json.dumps(tree).encode()}


def test_what_cannot_be_drawn_again_is_refused_by_name(run: Run, bench: Path, owner: str) -> None:
    """A pattern that today's version draws otherwise is not passed on; one without the owner is."""
    files = old(bench / "book.toml", "svg", "pdf")
    clean = made(reading.load(bench / "book.toml"), "hollow_tube")
    store.keep(bench / "gallery", NAME, drifted(dict(clean.files)))
    assert run("gallery", "export", "logbook").status == 0
    (bench / f"{NAME}.zip").unlink()
    store.keep(bench / "gallery", NAME, drifted(files))
    said = run("gallery", "export", "logbook")
    assert (said.status, said.out) == (1, "")
    assert said.err.count("\n") == 1
    assert f"{NAME}/r0002: sheet-01.svg may name the owner" in said.err
    assert not (bench / f"{NAME}.zip").exists()
    said = run("gallery", "page")
    assert said.out == "gallery-page/index.html: 0 patterns\n"
    assert "not on the page: " in said.err
    assert "sheet-01.svg may name the owner" in said.err
    assert holding(bench / "gallery-page", owner) == []


def test_an_old_folder_is_kept_without_the_owner(run: Run, bench: Path, owner: str) -> None:
    """What an earlier version drafted with the owner is drawn again when it is kept, or refused."""
    for name, files in (
        ("folder", old(bench / "book.toml", "svg", "pdf")),
        ("other", drifted(old(bench / "book.toml", "svg", "pdf"))),
    ):
        (bench / name).mkdir()
        for file, data in files.items():
            (bench / name / file).write_bytes(data)
    said = run("gallery", "keep", "other")
    assert said.status == 1
    assert "other: sheet-01.svg may name the owner" in said.err
    assert not (bench / "gallery").exists()
    assert run("gallery", "keep", "folder").status == 0
    assert holding(bench / "gallery", owner) == [f"{NAME}/r0001/record.toml"]


def test_a_pdf_laid_into_the_gallery_by_hand_is_not_trusted(bench: Path, owner: str) -> None:
    """The mark of a revision kept without the owner holds for the files that its manifest lists."""
    one = made(reading.load(bench / "book.toml"), "hollow_tube")
    place = store.keep(bench / "gallery", NAME, one.files, no_owner_drawn=True)
    assert manifest.load(place).no_owner_drawn
    (place / "sheets.pdf").write_bytes(old(bench / "book.toml", "pdf")["sheets.pdf"])
    files = passed_on(store.Revision(place))
    assert not found("sheets.pdf", files["sheets.pdf"], owner)
    (place / "sheets.pdf").write_bytes(b"%PDF-1.7 no more")
    assert passed_on(store.Revision(place))["sheets.pdf"] == files["sheets.pdf"]


def test_the_mark_goes_along_with_what_is_added_and_not_with_what_comes_from_elsewhere(
    bench: Path,
) -> None:
    """Who imports a pattern knows nothing of its drawings but what they say."""
    one = made("logbook", "hollow_tube")
    gallery = bench / "gallery"
    store.keep(gallery, NAME, one.files, no_owner_drawn=True)
    added = store.add(gallery, NAME, {"note.txt": b"x"})
    assert manifest.load(added).no_owner_drawn
    (bench / "one.zip").write_bytes(pack.export(gallery, NAME).data)
    _, place, new = pack.take_in(bench / "there", bench / "one.zip")[0]
    assert new
    assert not manifest.load(place).no_owner_drawn


def test_words_of_ones_own_that_name_the_owner_are_pointed_out(run: Run, bench: Path) -> None:
    """A note and a title are the keeper's own; the export says where the name can be read."""
    assert run("draft", "book.toml", "hollow_tube", "--keep", "--formats", "svg").status == 0
    (bench / "letter.txt").write_text("From The harbour office, with thanks")
    assert run("gallery", "add", "logbook", "letter.txt").status == 0
    said = run("gallery", "export", "logbook")
    assert said.status == 0
    assert "the owner's name can still be read in letter.txt" in said.err
    said = run("gallery", "page")
    assert f"the owner's name can still be read in {NAME}.html" in said.err


def test_a_gallery_of_an_earlier_version_without_owners_is_passed_on_as_it_is(bench: Path) -> None:
    """No owner, nothing to look for: not a byte changes, whatever today's version would draw."""
    book = bench / "book.toml"
    book.write_text(book.read_text().replace('owner = "The harbour office"\n', ""))
    files = drifted(old(book, "svg", "pdf"))
    place = store.keep(bench / "gallery", NAME, files)
    assert passed_on(store.Revision(place)) == files
    with pytest.raises(GalleryError):
        site.build(bench / "nowhere", bench / "page")
