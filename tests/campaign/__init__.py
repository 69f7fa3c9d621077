"""A campaign of drawn input: records with structures, tracings, and every file that people pass on.

A script of its own, `python -m tests.campaign`, not a part of the tests: `records`, `tracings` and
`kept` draw what is asked (the same for the same seed), `trying` asks it in a child process that may
use so much time and memory, `judging` looks at what was accepted, `minimising` makes a failing
input small. Begin reading in `__main__`.
"""
