"""One module a structure, the template of the same name in `templates/` beside it.

Each module holds `draft(book, params)`; `Params` (the type of each setting; defaults stand in the
template alone) and `suits(book, params)` stand in `suits`, so that asking loads nothing that draws; a scattered
sewing is worked out in `sewings`, for drafting and examining alike.
Structures never import each other; what two of them need stands in `shared`. `template`, `steps`,
`parameter` and `rows` read what a structure declares, `comparing` holds it against the module,
`catalogue` puts both together, `asking` asks it whether it suits a book. Touches the book, the
sewing, the traced losses and the sketch kit. Begin with `spine_inlay`, the shortest.
"""
