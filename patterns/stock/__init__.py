"""What the studio has: materials with their figures, cautions, papers, printers and their corrections.

Touches units and formulas. Begin with `materials`; the figures themselves stand in `data/`.
"""
