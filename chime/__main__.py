"""`python -m chime`, and the `chime` command."""

from chime.cli import main

if __name__ == "__main__":
    main()
