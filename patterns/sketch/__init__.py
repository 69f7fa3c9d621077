"""The kit that every diagram is drawn with: boxes and clipping, scales, hatching, arrows.

Touches the model alone. Begin with `marks`; then `scales` (how large a diagram is drawn),
`hatching` (what is pasted) and `arrows` (forces, dimensions, leaders).
"""
