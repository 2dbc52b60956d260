"""``python -m packlearn`` does what the ``packlearn`` command does."""

import sys

from packlearn.command import main

if __name__ == "__main__":
    sys.exit(main())
