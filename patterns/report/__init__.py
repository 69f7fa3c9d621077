"""The treatment report of one kept pattern.

Touches the gallery, the findings of `examine`, the sheets and the writers. Begin with `content`.
"""
