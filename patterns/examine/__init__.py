"""Findings about one book: what fails, why, what would hold.

Touches the book and the structures. Begin with `examination`.
"""
