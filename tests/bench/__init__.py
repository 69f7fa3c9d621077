"""The bench's own tests."""
