"""Patterns kept, found, compared, shown and used again.

Touches drafting and the writers. Begin with `store`.
"""
