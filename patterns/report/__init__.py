"""The treatment report: what the book was, what was done to it, and how to undo it."""
