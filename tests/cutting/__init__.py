"""Tests of the cutting plan."""
