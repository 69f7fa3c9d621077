"""Small patterns of invented books, as the folders that a draft leaves, for the gallery's tests."""

from __future__ import annotations

import json
from typing import Any

OWNER = "The harbour office"
# a picture a browser can decode: one white dot (GIF89a, as the format's specification lays it out)
DOT = bytes.fromhex("47494638396101000100800000ffffff0000002c00000000010001000002024401003b")

SHEET = """\
<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">\
<rect x="40" y="40" width="51" height="{height}" fill="none" stroke="black" stroke-width="0.35"/>\
<text x="10" y="290" textLength="31.5">1:1 · mendfold {version}</text></svg>
"""


def one_page(words: str) -> bytes:
    """Return a PDF of one page with a line of words, as small as its standard allows (ISO 32000)."""
    drawn = f"BT /F 12 Tf 40 700 Td ({words}) Tj ET".encode()
    parts = (
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R"
        b"/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>>>",
        b"<</Length %d>>stream\n%s\nendstream" % (len(drawn), drawn),
    )
    data, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(data))
        data += b"%d 0 obj%s\nendobj\n" % (number, part)
    rows = b"".join(b"%010d 00000 n \n" % place for place in places)
    head = b"xref\n0 %d\n0000000000 65535 f \n" % (len(parts) + 1)
    tail = b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (len(parts) + 1, len(data))
    return data + head + rows + tail


def record_text(tables: dict[str, Any]) -> str:
    """Return a record as TOML with an owner, who must not be seen elsewhere."""
    lines = []
    for table, rows in tables.items():
        lines.append(f"[{table}]")
        if table == "book":
            lines.append(f'owner = "{OWNER}"')
        for key, value in rows.items():
            bare = key == "on"
            lines.append(f"{key} = {value if bare else json.dumps(value, ensure_ascii=False)}")
    return "\n".join(lines) + "\n"


def pattern_files(
    book_id: str = "LOG-1",
    *,
    title: str = "Harbour master's logbook",
    height: float = 196.0,
    structures: tuple[str, ...] = ("hollow_tube",),
    material: str = "kraft lining paper, 0.12 mm",
    version: str = "0.1.0",
    setback: float = 1.0,
    **record: dict[str, Any],
) -> dict[str, bytes]:
    """Return the files of one drafted pattern, by name."""
    tables: dict[str, Any] = {
        "book": {"id": book_id, "title": title, "weight": 4.1, "note": "boards parted"},
        "text_block": {"height": height, "width": 160.0, "thickness": 38.0},
        "spine": {"profile": "rounded", "girth_head": 46.0},
        "measuring": {"on": "2026-11-25"},
    }
    for table, rows in record.items():
        tables[table] = {**tables.get(table, {}), **rows}
    tree = {
        "format": "mendfold-pattern/1",
        "mendfold": version,
        "structures": list(structures),
        "record": tables,
        "parameters": {name: {"setback": setback, "on": 1} for name in structures},
        "paper": "A4",
        "printer": "none",
        "correction": {"across": 1.0, "down": 1.0},
        "quantities": {"strip_mm": 153.9, "girth_head_mm": 46.0},
        "pieces": [
            {
                "name": "strip",
                "structures": list(structures),
                "material": material,
                "quantity": 1,
                "grain": "head-tail",
                "width_mm": 51.0,
                "height_mm": height,
                "outline_mm": [[0, 0], [51, 0], [51, height], [0, height]],
                "zones": [
                    {"kind": "pasted", "face": "under", "to": "spine", "adhesive": "wheat starch",
                     "outline_mm": [[0, 0], [51, 0], [51, height], [0, height]]},
                ],
            }
        ],
        "sheets": [{"file": "sheet-01.svg", "pdf_page": 1, "page_width_mm": 210.0,
                    "page_height_mm": 297.0}],
        "warnings": [],
        "steps": [{"phase": "prepare", "text": "Cut the strip 153.9 wide.", "cautions": []}],
        "checks": [],
    }  # fmt: skip
    return {
        "record.toml": record_text(tables).encode(),
        "pattern.json": json.dumps(tree, ensure_ascii=False).encode(),
        "sheets.pdf": one_page(f"mendfold {version}, {height:g}"),
        "sheet-01.svg": SHEET.format(height=height, version=version).encode(),
    }
