"""`python -m patterns` is `mendfold`: until its modules are loaded, Ctrl-C ends it without a word."""

import signal

signal.signal(
    signal.SIGINT, signal.SIG_DFL
)  # nothing is written yet; `cli.main` listens from there

from patterns.cli import main  # noqa: E402

if __name__ == "__main__":
    main()
