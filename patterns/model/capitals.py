"""The typographic scale: how high the capitals stand, in mm, of everything that is printed.

Whoever sets words takes one of these heights and no other. What is read at the bench, keys and
small views included, is BODY or larger; SMALL stands in title block and legend alone.
"""

from __future__ import annotations

LETTER = 7.0
"""The letter of a pricking strip, told from the next strip's at arm's length."""
TITLE = 5.2
"""A page's title."""
NAME = 4.2
"""Names that are read across the bench: a panel's, the title in a column."""
HEAD = 3.0
"""Headings, and HEAD, TAIL, FRONT and BACK on a piece."""
BODY = 2.5
"""Everything that is read at the bench."""
SMALL = 1.8
"""Title block and legend."""
SCALE = (LETTER, TITLE, NAME, HEAD, BODY, SMALL)
