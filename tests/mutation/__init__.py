"""Would a wrong sheet be caught? Small faults, one at a time, in a private copy: python -m tests.mutation.

`operators` makes the faults, `rooms` says which part of the program each belongs to, `touching`
finds the tests that run a line, `copies` runs them behind a fence (`watch` and `fence` run inside),
`judged` leaves out what was judged to be no fault, `run` is the command.
"""
