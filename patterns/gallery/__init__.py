"""Patterns kept, found, compared, shown and used again.

Touches drafting, the record and the writers. Begin with `store`.
"""
