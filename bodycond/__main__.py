"""``python -m bodycond``: the command line without its script."""

import sys

from bodycond.cli import main

if __name__ == "__main__":
    sys.exit(main())
