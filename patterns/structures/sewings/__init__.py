"""The scattered sewing of each structure that has one, worked out alone, for drafting and examining alike.

Touches the sewing and what the structures are asked. One module a structure, of the same name: `sewn(book,
params)`. It loads nothing that draws.
"""
