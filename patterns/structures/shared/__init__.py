"""What several structures share: hinges, albums, infills, supports, joints in section.

Touches the book, the sewing and the model. A structure may use it; it uses no structure.
"""
