"""One module a structure, the template of the same name in `templates/` beside it.

Each module holds `draft(book, params)`; `Params` (the type of each setting; defaults stand in the
template alone) and `suits(book, params)` stand in `suits`, so that asking loads nothing that draws; a scattered
sewing is worked out in `sewings`, for drafting and examining alike.
Structures never import each other; what two of them need stands in `shared`. `template`, `steps` and
`parameter` read what a structure declares, `catalogue` puts it together, `asking` asks it whether it
suits a book. Begin with `spine_inlay`, the shortest.
"""
