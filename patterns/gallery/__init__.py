"""Past patterns: kept, found again, shown and passed on; the plain folder is the only truth."""
