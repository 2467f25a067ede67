"""Collect the licences of everything that is shipped: `licences.py FOLDER`."""

import sys
from pathlib import Path

from app.licences import write_collected


def main(folder: Path) -> int:
    """Write an index and one text for each component."""
    without = write_collected(folder)
    for name in without:
        print(f"there is no licence text for {name}", file=sys.stderr)
    return 1 if without else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
