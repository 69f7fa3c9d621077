"""One unequal book for every structure, each corner worked out by hand, and found again in the finished PDF.

A book is a module of its own: the record as it would be typed, and tables of what must come of it, with the
arithmetic beside them. Nothing here calls the code that is tested.
"""
