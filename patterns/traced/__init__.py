"""Outlines of losses, read from SVG, DXF or points, at full size.

Touches the model and units. Begin with `outlines`.
"""
