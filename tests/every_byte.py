"""Searching every written byte for a name, each kind of file through a reader not of this project.

PDF is read by PDFium (words, metadata, outline, labels) and its streams are unpacked by pypdf; SVG
by ElementTree, HTML by html.parser, DXF by ezdxf, PNG's notes by Pillow, zip by zipfile, the search
index by sqlite3; whatever it is, its bytes are searched as they are as well.
"""

from __future__ import annotations

import io
import sqlite3
import unicodedata
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import ezdxf
import pypdf
import pypdfium2
from PIL import Image

CODINGS = ("utf-8", "utf-16-le", "utf-16-be", "latin-1")


def holding(folder: Path, name: str) -> list[str]:
    """Return every file below `folder` in which `name` can be found, members of a zip included."""
    return [
        inner
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        for inner, data in _opened(str(path.relative_to(folder)), path.read_bytes())
        if found(inner, data, name)
    ]


def _opened(path: str, data: bytes) -> Iterator[tuple[str, bytes]]:
    yield path, data
    if path.endswith(".zip"):
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            for info in archive.infolist():
                yield f"{path}/{info.filename}", archive.read(info)


def found(path: str, data: bytes, name: str) -> bool:
    """Return whether `name`, or one of its words of eight letters and more, is in a file."""
    marks = [name, *(word for word in name.split() if len(word) >= 8)]
    coded = [mark.encode(coding, "ignore") for mark in marks for coding in CODINGS]
    if any(one and one in data for one in coded):
        return True
    words = _squeezed(" ".join(_words(path, data)))
    return any(_squeezed(mark) in words for mark in marks)


def _squeezed(words: str) -> str:
    return "".join(unicodedata.normalize("NFC", words).split())


def _words(path: str, data: bytes) -> Iterator[str]:
    kind = path.rpartition(".")[2]
    if kind == "pdf":
        yield from _pdf(data)
    elif kind == "svg":
        for element in ET.fromstring(data).iter():
            yield from (element.text or "", element.tail or "", *element.attrib.values())
    elif kind == "html":
        yield from _Html(data.decode()).words
    elif kind == "dxf":
        drawing = ezdxf.read(io.StringIO(data.decode()))
        yield from (str(entity.dxfattribs()) for entity in drawing.entitydb.values())
    elif kind == "png":
        with Image.open(io.BytesIO(data)) as picture:
            picture.load()
            yield str(picture.info)
    elif kind == "sqlite":
        with sqlite3.connect(":memory:") as base:
            base.deserialize(data)
            yield "\n".join(base.iterdump())


def _pdf(data: bytes) -> Iterator[str]:
    with pypdfium2.PdfDocument(data) as document:
        yield str(document.get_metadata_dict())
        yield from (str(item.get_title()) for item in document.get_toc())
        for number, page in enumerate(document):
            yield page.get_textpage().get_text_range()
            yield document.get_page_label(number)
    reader = pypdf.PdfReader(io.BytesIO(data))
    for number in range(1, len(reader.xref[0]) + 1):
        held = reader.get_object(number)
        yield str(held)
        if isinstance(held, pypdf.generic.StreamObject):
            yield held.get_data().decode("latin-1")


class _Html(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.words += [tag, *(value or "" for _, value in attrs)]

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def handle_comment(self, data: str) -> None:
        self.words.append(data)
