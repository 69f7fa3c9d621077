"""One module a structure, the template of the same name in `templates/` beside it.

Each module holds `Params` (the type of each setting; defaults stand in the template alone) and
`draft(book, params)`. Structures never import each other; what two of them need stands in `shared`.
`template` and `parameter` read what a structure declares, `catalogue` puts both together. Begin
with `spine_inlay`, the shortest.
"""
