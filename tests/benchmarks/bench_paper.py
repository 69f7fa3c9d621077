"""How much paper the demonstration takes: python -m tests.benchmarks.bench_paper [PAPER].

Prints the pages of every book, and how full those behind the steps are, read back from the PDF.
"""

from __future__ import annotations

import sys

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.sheets import whole
from patterns.sheets.page import Layout
from patterns.stock.paper import parse
from patterns.writers import pdf
from tests.paper_used import printed


def main() -> int:
    """Print a line a book, and the sum."""
    paper = parse(sys.argv[1] if len(sys.argv) > 1 else "A4")
    total = 0
    for order in orders():
        pattern = draft(order).pattern
        sheets = whole.sheets(Layout(pattern, paper))
        (data,) = pdf.write(sheets, pattern.book_id, ())
        used = [page.used for page in printed(data)]
        mean = sum(used) / len(used) if used else 0.0
        each = " ".join(f"{100 * share:.0f}" for share in used)
        print(f"{pattern.book_id:14} {len(sheets):3} pages, {100 * mean:3.0f} % used: {each}")
        total += len(sheets)
    print(f"{'together':14} {total:3} pages on {paper.name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
