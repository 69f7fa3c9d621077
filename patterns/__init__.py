"""mendfold: from a book's measurements to full-size repair sheets."""

__version__ = "0.1.0"
