"""`python -m fitcheck` is the same as the `fitcheck` command."""

import sys

from fitcheck.rim.cli.main import run

sys.exit(run())
