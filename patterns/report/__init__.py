"""The treatment report of one kept pattern.

Touches the gallery and drafting. Begin with `content`.
"""
