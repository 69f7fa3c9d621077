"""Where stitches may lie, which layout is best, the way of the needle, loads, and the views that show them.

Touches the book and the sketch kit. Begin with `plan`, which calls the others in order.
"""
