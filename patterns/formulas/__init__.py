"""Formulas on plain numbers, each with its source beside it.

Touches nothing. Begin with `geometry`.
"""
