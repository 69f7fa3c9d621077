"""Scattered sewing: where stitches may lie, which layout is best, the needle's way, loads, pages."""
