"""The one book on the bench: its spine, boards, joints, masses and old sewing, and what is worked out so far.

Touches the record, formulas, model and stock. Whoever wants a fact of the book asks here, never the
record; the answer says where it is from. Begin with `book`, then `answer` and `results`.
"""
