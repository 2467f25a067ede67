"""Puts application, session and window together and runs them."""

import sys
from pathlib import Path
from typing import Final

from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication

from app.assets import DEMO, icon
from app.session import Session
from app.theme import Look, Theme
from app.window import Window
from core.design.files import read_design
from core.errors import DesignError

_SMALL_SCREEN: Final = 1500


def start_window(path: Path | None, *, self_test: bool = False) -> int:
    """Open the window with a design or the demo; return when it is closed.

    With `self_test` it ends by itself after the first paint.
    """
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(application, QApplication)
    application.setApplicationName("Dipslope")
    application.setOrganizationName("Dipslope")
    application.setDesktopFileName("dipslope")
    application.setWindowIcon(icon("dipslope"))
    settings = QSettings()
    theme = Theme()
    theme.set_look(_kept_look(settings))
    problem = ""
    try:
        design = read_design(path) if path is not None else read_design(DEMO)
    except (DesignError, OSError) as error:
        design, problem, path = read_design(DEMO), str(error), None
    session = Session(design)
    session.open(design, path)
    window = Window(session, theme, settings)
    _show(window)
    if problem:
        print(f"dipslope: {problem}", file=sys.stderr)
        QTimer.singleShot(0, lambda: window.documents.complain_about_start(problem))
    if self_test:
        QTimer.singleShot(300, application.quit)
        code = application.exec()
        window.live.close()
        window.fabric.close_worker()
        return code
    return application.exec()


def _show(window: Window) -> None:
    """Show the window at a size that fits the screen; a small screen is filled."""
    room = window.screen().availableGeometry()
    if room.width() < _SMALL_SCREEN:
        window.showMaximized()
        return
    window.resize(min(int(0.85 * room.width()), 1900), min(int(0.88 * room.height()), 1200))
    window.show()


def _kept_look(settings: QSettings) -> Look:
    """Return the look chosen last time; anything else in the settings is ignored."""
    kept = settings.value("look", "system")
    if kept == "light":
        return "light"
    return "dark" if kept == "dark" else "system"
