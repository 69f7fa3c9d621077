"""The one way from an order to a pattern, and from a pattern to its files; again from a kept one.

Touches the structures, the sheets and the writers. Begin with `order` (what is asked for), then
`job` (`draft`: the structures in working order) and `making` (`make`: sheets and files).
"""
