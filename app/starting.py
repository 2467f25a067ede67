"""Puts application, session and window together and runs them."""

import sys
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication

from app.assets import DEMO, icon
from app.collecting import collect_here
from app.documents import file_to_reopen, recent_files
from app.keeping.places import usual_folder
from app.keeping.presence import ask_to_show
from app.keeping.reasons import why_not_read
from app.session import Session
from app.theme import Contrast, Look, Theme
from app.window import Window
from core import __version__
from core.design.disk import sweep
from core.design.files import read_design
from core.errors import DesignError

_SMALL_SCREEN: Final = 1500
_PAINTED_MS: Final = 300
_OPEN_MS: Final = 3_000
_FEWEST_TONES: Final = 50  # a window with nothing drawn in it has a handful


def start_window(path: Path | None, *, recover: str | None = None, self_test: bool = False) -> int:
    """Open the window with a design or the demo; return when it is closed.

    A design that is open in another window is shown there instead. `recover` names a journal
    whose design is to be shown. With `self_test` it ends by itself after the first paint, with 1
    if nothing was drawn.
    """
    application, window = open_window(path, recover=recover, self_test=self_test)
    if window is None:
        return 0
    if self_test:
        QTimer.singleShot(_PAINTED_MS, application.quit)
        code = application.exec()
        painted = _is_painted(window)
        window.live.close()
        window.fabric.close_worker()
        window.keeper.close()
        return code if painted else 1
    return application.exec()


def open_window(
    path: Path | None, *, recover: str | None = None, self_test: bool = False
) -> tuple[QApplication, Window | None]:
    """Return the application and its window, shown but not yet painted; see `start_window`.

    There is no window if another one shows the design.
    """
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(application, QApplication)
    application.setApplicationName("Dipslope")
    application.setOrganizationName("Dipslope")
    application.setApplicationVersion(__version__)
    application.setDesktopFileName("org.dipslope.Dipslope")
    application.setWindowIcon(icon("dipslope"))
    settings = QSettings()
    folder = usual_folder()
    path = path.absolute() if path is not None else None
    if path is not None and ask_to_show(folder, path) == "raised":
        print(f"dipslope: {path.name} is open in another window")
        return application, None
    asked_for = path
    if path is None and recover is None and not self_test:
        path = _last_design(settings, folder)
    theme = Theme()
    theme.set_look(_kept_look(settings))
    theme.set_contrast(_kept_contrast(settings))
    problem = ""
    try:
        design = read_design(path) if path is not None else read_design(DEMO)
    except (DesignError, OSError, ValueError) as error:
        assert path is not None
        design, problem, path = read_design(DEMO), why_not_read(error, path), None
    session = Session(design)
    session.open(design, path)
    window = Window(session, theme, settings, folder)
    _show(window)
    collecting = collect_here()
    if collecting is not None:
        QTimer.singleShot(_OPEN_MS, collecting.spare)
    window.keeper.do(partial(_sweep, recent_files(settings)), lambda _: None)
    if problem:
        print(f"dipslope: {problem}", file=sys.stderr)
        QTimer.singleShot(0, lambda: window.documents.complain_about_start(problem))
    elif path is not None:
        QTimer.singleShot(0, window.documents.claim_at_start)
    if recover is not None:
        window.recovery.recover_by_name(recover)
    elif not self_test:
        window.recovery.look(only=asked_for)
    return application, window


def _sweep(recent: list[Path]) -> None:
    """Remove what a crash left half written beside the designs used last."""
    for folder in dict.fromkeys(path.parent for path in recent):
        sweep(folder)


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


def _last_design(settings: QSettings, folder: Path) -> Path | None:
    """Return the last design, if it is to be opened and no other window shows it."""
    path = file_to_reopen(settings)
    return path if path is not None and ask_to_show(folder, path) is None else None


def _kept_look(settings: QSettings) -> Look:
    """Return the look chosen last time; anything else in the settings is ignored."""
    kept = settings.value("look", "system")
    if kept == "light":
        return "light"
    return "dark" if kept == "dark" else "system"


def _kept_contrast(settings: QSettings) -> Contrast:
    """Return the contrast chosen last time; anything else in the settings is ignored."""
    kept = settings.value("contrast", "system")
    if kept == "high":
        return "high"
    return "plain" if kept == "plain" else "system"
