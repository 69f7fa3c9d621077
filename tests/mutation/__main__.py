"""`python -m tests.mutation` from the project's folder."""

from tests.mutation.run import main

if __name__ == "__main__":
    main(prog_name="python -m tests.mutation")
