"""The record of one book as it was measured: fields declared once, read, checked, asked for, written.

Touches the model and units. Begin with `fields` (what is measured, in handling order), then
`record`.
"""
