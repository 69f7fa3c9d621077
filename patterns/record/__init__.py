"""The record of one book as it was measured: fields declared once, read, checked, asked for, written.

Touches units and the reading of plain files. Begin with `record`: each field is one line there, in words that
`field` explains. `fields` gathers them in handling order; `reading` makes a record of a text.
"""
