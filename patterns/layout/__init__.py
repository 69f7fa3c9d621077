"""Composing pages: pieces, labels, dimensions, tiles, furniture."""
