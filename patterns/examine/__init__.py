"""Findings about one book: what fails, and why; which structures would hold, they say themselves.

Touches the book, the structures and, for its page, the sheets. Begin with `examination`; `offers` asks the
structures.
"""
