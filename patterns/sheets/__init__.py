"""Pages at full size: words, labels, pieces, tiles, diagrams, composed on paper.

Touches the model, stock and (for the measuring form) the record. Begin with `whole`, which makes
every sheet of a pattern.
"""
