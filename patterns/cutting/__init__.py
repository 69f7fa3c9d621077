"""The pieces of patterns laid out on what the studio has: grain kept, little wasted, offcuts kept.

Touches the model, the stock, the sheets and the writers; kept patterns are handed to it. Begin with `plan`, then `laying`, which makes one; `search` looks for layouts by
`skyline` (cut free) or `guillotine` (cut through), and `pages` draws what was found.
"""
