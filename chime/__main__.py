"""`python -m chime`, and the `chime` command."""

import gc

# A command is short-lived and makes next to no cycles. Without the collector the libraries load a tenth
# faster, and what is frozen at the end is not gone through once more on the way out.
gc.disable()

from chime.cli import main as run_command  # noqa: E402


def main() -> None:
    """Run a command of chime."""
    try:
        run_command()
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()
