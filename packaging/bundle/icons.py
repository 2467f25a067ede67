"""Draw the icon in the sizes and formats that systems want: `icons.py FOLDER SIZE...`."""

import sys
from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtGui import QGuiApplication

from app.assets import icon


def main(folder: Path, sizes: list[int]) -> int:
    """Write a PNG of every size and one file each for Windows and macOS."""
    application = QGuiApplication(["icons"])
    drawn = icon("dipslope")
    for size in sizes:
        if not drawn.pixmap(QSize(size, size)).save(str(folder / f"{size}.png"), "PNG"):
            print(f"the icon of {size} pixels could not be written", file=sys.stderr)
            return 1
    drawn.pixmap(QSize(256, 256)).save(str(folder / "dipslope.ico"), "ICO")
    drawn.pixmap(QSize(512, 512)).save(str(folder / "dipslope.icns"), "ICNS")
    del application
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), [int(size) for size in sys.argv[2:]]))
