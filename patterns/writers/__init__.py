"""Drawings written as SVG, PDF, DXF and PNG, one module a format.

Touches the model alone. Begin with `svg`.
"""
