"""The one way from an order to a pattern: settings, structures in working order, sheets, files.

Touches the structures, the sheets and the writers. Begin with `making`, then `job`.
"""
