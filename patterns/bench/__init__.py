"""The page for whoever does not use a terminal: measure, see the sheets change, print, keep, find.

A room on top: it may touch every room below its floor, and cutting beside it, not survey. Begin with
`server`, which starts and ends it; `app` holds what the page may ask for, `guards` who may ask,
`shelf` the folder it works in, `desk` one book in hand, `drawer` and `worker` the drawing beside it.
"""
