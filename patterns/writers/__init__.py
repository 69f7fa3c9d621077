"""Drawings written as SVG, PDF, DXF and PNG, one module a format; web pages by escaping templates.

Touches the model alone. Begin with `table`, which names every format: a new one is a module and a
row there.
"""
