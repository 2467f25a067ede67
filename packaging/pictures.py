"""Makes the pictures of the README from the program itself, so that they never go stale.

Run it with the test environment's Python: `python3 packaging/environment.py python
packaging/pictures.py`, or any Python that has the program's dependencies.
"""

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "assets" / "pictures"
sys.path.insert(0, str(ROOT))
os.environ["QT_QPA_PLATFORM"] = "offscreen"


def main() -> None:
    """Write every picture."""
    from PySide6.QtCore import QEventLoop, QSettings, QTimer
    from PySide6.QtWidgets import QApplication

    from app.assets import DEMO
    from app.exporting import chart_png
    from app.painting.choices import Choices
    from app.session import Session
    from app.theme import Theme
    from app.window import Window
    from core.design.files import read_design
    from core.pipeline import Pipeline

    application = QApplication.instance() or QApplication([])
    FOLDER.mkdir(exist_ok=True)
    design = read_design(DEMO)
    theme = Theme()

    def wait(milliseconds: int) -> None:
        loop = QEventLoop()
        QTimer.singleShot(milliseconds, loop.quit)
        loop.exec()

    def shoot(name: str, width: int, height: int, *, dark: bool, page: int | None) -> None:
        theme.set_look("dark" if dark else "light")
        with tempfile.TemporaryDirectory() as folder:
            settings = QSettings(f"{folder}/settings.ini", QSettings.Format.IniFormat)
            settings.setValue("first/closed", True)
            window = Window(Session(design), theme, settings)
            window.resize(width, height)
            window.show()
            if page is not None:
                window.show_page(page)
            wait(1000)
            for _ in range(60):  # until every stitch has settled, on a busy machine too
                if window.live.is_settled and not window.live.is_busy:
                    break
                wait(1000)
            wait(2000)  # until it is painted fine
            window.grab().save(str(FOLDER / name))
            window.close()

    shoot("window-1366.png", 1366, 768, dark=False, page=None)
    shoot("window-2560-dark.jpg", 2560, 1440, dark=True, page=0)
    results = Pipeline().settled_results(design)
    (FOLDER / "chart.png").write_bytes(chart_png(results, Choices(width_px=1200)))
    del application


if __name__ == "__main__":
    main()
