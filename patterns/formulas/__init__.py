"""Formulas on plain numbers, each with its source beside it.

Touches errors, and a point as `model.drawing` has it. Begin with `geometry`.
"""
