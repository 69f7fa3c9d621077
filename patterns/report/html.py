"""The report as one web page that opens from the disk, its pictures beside it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from urllib.parse import quote

from patterns.report.content import Block, Photograph, Report, Table, Text, Unions

UNIONS_SVG = "unions.svg"

_STYLE = """
html { color: #111; background: #fff;
  font: 1.0625rem/1.5 "Source Sans 3", "Source Sans Pro", system-ui, sans-serif; }
body { margin: 0 auto; max-width: 60rem; padding: 2rem; overflow-wrap: anywhere; }
header { border-bottom: 3px solid #111; padding-bottom: 1rem; }
h1 { font-size: 2.25rem; line-height: 1.15; margin: 0; }
h2 { font-size: 1.25rem; margin: 2.5rem 0 .75rem; }
p { margin: 0 0 .75rem; }
.soft, figcaption, footer { color: #595959; }
table { border-collapse: collapse; width: 100%; margin: 0 0 1.25rem;
  font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .3rem 1rem .3rem 0;
  border-bottom: 1px solid #c8c8c8; font-weight: 400; }
thead th { font-weight: 700; border-bottom: 1px solid #111; }
td:first-child { overflow-wrap: break-word; }
figure { margin: 0 0 1.5rem; }
img { max-width: 100%; max-height: 50rem; }
footer { border-top: 1px solid #c8c8c8; margin-top: 3rem; padding-top: 1rem; }
@media print { @page { margin: 16mm; } html { font-size: 10pt; } body { padding: 0; }
  tr, figure { break-inside: avoid; } h2 { break-after: avoid; } img { max-height: 110mm; } }
"""


def report_html(report: Report) -> str:
    """Return the page; everything from the record and the treatment is escaped."""
    body = "\n".join(_lines(report))
    return f"""<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; \
img-src 'self' file:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<title>Treatment report: {escape(report.title)}</title>
<style>{_STYLE}</style>
</head>
<body>
{body}
</body>
</html>
"""


def _lines(report: Report) -> Iterator[str]:
    yield f'<header><p class="soft">Treatment report · {escape(report.book_id)}</p>'
    yield f"<h1>{escape(report.title)}</h1>"
    yield f'<p class="soft">{escape(report.made)}</p></header>'
    yield "<main>"
    for number, section in enumerate(report.sections, 1):
        yield f'<section aria-labelledby="part-{number}">'
        yield f'<h2 id="part-{number}">{escape(section.title)}</h2>'
        for block in section.blocks:
            yield _block(block)
        yield "</section>"
    yield "</main>"
    yield f"<footer><p>{escape(report.foot)}</p></footer>"


def _block(block: Block) -> str:
    match block:
        case Text(words):
            return f"<p>{escape(words)}</p>"
        case Table(heads, rows):
            top = "".join(f'<th scope="col">{escape(head)}</th>' for head in heads)
            lines = "\n".join(
                "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>"
                for row in rows
            )
            return f"<table><thead><tr>{top}</tr></thead><tbody>{lines}</tbody></table>"
        case Unions(found):
            told = "; ".join(
                f"{one.part} {one.made} to {one.to}" + (f" ({one.note})" if one.note else "")
                for one in found
            )
            return f'<figure><img src="{UNIONS_SVG}" alt="{escape(told)}"></figure>'
        case Photograph(file, caption):
            return (
                f'<figure><img src="{escape(quote(file, safe=""))}" alt="{escape(caption)}" '
                f'loading="lazy"><figcaption>{escape(caption)}</figcaption></figure>'
            )
