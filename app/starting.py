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
from core import __version__
from core.design.files import read_design
from core.errors import DesignError

_SMALL_SCREEN: Final = 1500
_PAINTED_MS: Final = 300
_FEWEST_TONES: Final = 50  # a window with nothing drawn in it has a handful


def start_window(path: Path | None, *, self_test: bool = False) -> int:
    """Open the window with a design or the demo; return when it is closed.

    With `self_test` it ends by itself after the first paint, with 1 if nothing was drawn.
    """
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(application, QApplication)
    application.setApplicationName("Dipslope")
    application.setOrganizationName("Dipslope")
    application.setApplicationVersion(__version__)
    application.setDesktopFileName("org.dipslope.Dipslope")
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
        QTimer.singleShot(_PAINTED_MS, application.quit)
        code = application.exec()
        painted = _is_painted(window)
        window.live.close()
        window.fabric.close_worker()
        return code if painted else 1
    return application.exec()


def _is_painted(window: Window) -> bool:
    """Return whether something is drawn in the window; text alone isn't enough."""
    picture = window.grab().toImage().scaled(200, 150)
    tones = {picture.pixel(x, y) for x in range(200) for y in range(150)}
    return len(tones) >= _FEWEST_TONES


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
