"""`python -m patterns` is `mendfold`."""

from patterns.cli import main

if __name__ == "__main__":
    main()
