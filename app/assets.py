"""Where the program's own files lie: the demo design, icons and the bundled font."""

import sys
from functools import cache
from pathlib import Path
from typing import Final

from PySide6.QtGui import QFontDatabase, QIcon

FOLDER: Final = Path(getattr(sys, "_MEIPASS", Path(__file__).resolve().parent.parent)) / "assets"
DEMO: Final = FOLDER / "harbour-steps.dipslope"

_FONTS: Final = ("Cabin-Regular.otf", "Cabin-Bold.otf")


@cache
def chart_font() -> str:
    """Return the family for charts; the bundled one, so that exports look the same everywhere."""
    families: list[str] = []
    for name in _FONTS:
        number = QFontDatabase.addApplicationFont(str(FOLDER / "fonts" / name))
        families += QFontDatabase.applicationFontFamilies(number)
    return families[0] if families else "sans-serif"


def icon(name: str) -> QIcon:
    """Return one of the program's own icons."""
    return QIcon(str(FOLDER / "icons" / f"{name}.svg"))
