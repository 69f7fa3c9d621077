"""Formulas on plain numbers, each with its published source: no record, no template, no drawing."""
