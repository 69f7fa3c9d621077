"""What several structures share: hinges, albums, infills, supports, joints in section.

Touches the book, the sewing and the model. A structure may use it; it drafts none. The
modules of one structure's own drawing may take sizes from what that structure asks.
"""
