"""Frozen values: a drawing in millimetres, the piece that is cut, the part a structure hands over, the pattern of one book.

They touch nothing but errors and units, and know no book, no paper and no file. Begin with
`drawing` (the marks everything is drawn with), then `piece`, `part`, `pattern`: each holds the one before.
"""
