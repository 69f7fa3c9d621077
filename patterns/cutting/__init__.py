"""The pieces of patterns laid out on what the studio has: grain kept, little wasted, offcuts kept.

Touches the gallery, the sheets and the writers. Begin with `plan`, then `laying`, which makes one; `search` looks for layouts by
`skyline` (cut free) or `guillotine` (cut through), and `pages` draws what was found.
"""
