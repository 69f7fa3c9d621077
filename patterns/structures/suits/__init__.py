"""What each structure asks of a book: one light module a structure, beside the one that drafts it.

Each holds `Params` (the type of each setting; defaults stand in the template alone), `suits(book,
params)`, and what it works out that drafting needs as well. Nothing here draws: examining a book
loads these modules and no others. Touches the book, formulas and `structures.shared`.
"""
