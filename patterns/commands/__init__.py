"""One module a command; the command line loads them only when they are called."""
