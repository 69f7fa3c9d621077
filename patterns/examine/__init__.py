"""Findings about one book: what fails, and why; which structures would hold, they say themselves.

Touches the book and the structures. Begin with `examination`; `offers` asks the structures.
"""
