"""A whole collection at once: a table or a folder of records, every book of it examined and counted.

It reads what libraries keep (CSV, XLSX, TOML), writes one folder, and asks the same examination and the same draft as
every other command; nothing here judges a book. It may touch every room
below it, and its own folder alone. Begin with `run`, then `columns` for what a heading may be.
"""
