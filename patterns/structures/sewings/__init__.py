"""Where each structure that pierces folds or shoulders does so, worked out alone, for drafting and examining alike.

Touches the sewing and what the structures are asked. One module a structure, of the same name: `sewn(book,
params)` for a scattered sewing, `places(book, params)` for single holes. It loads nothing that draws.
"""
