"""One module a command: options and words, nothing else.

Touches every room. Begin with `draft`.
"""
