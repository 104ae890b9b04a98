"""`python -m fitcheck` is the same as the `fitcheck` command."""

import sys


def start() -> int:
    """Run the command from the command line and return its exit code; see `fitcheck.cli.main.run`."""
    try:
        from fitcheck.cli.main import run
    except KeyboardInterrupt:  # Ctrl-C while the program is being loaded
        return 130
    return run()


if __name__ == "__main__":
    sys.exit(start())
