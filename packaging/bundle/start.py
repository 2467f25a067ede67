"""Where the installed program begins; the checkout begins with `python -m app`."""

import sys

from app.__main__ import main

if __name__ == "__main__":
    sys.exit(main())
