"""The one book on the bench: its record, its spine, its boards and joints, its masses, what is worked out so far.

Touches the record, formulas and stock. Whoever wants a fact of the book asks here, never the
record. Begin with `book`.
"""
