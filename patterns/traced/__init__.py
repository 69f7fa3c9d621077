"""Traced outlines: read from SVG, DXF or points, mended, and turned into losses to fill."""
