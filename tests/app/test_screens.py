"""Every dialog there is can be looked at: it is among the screens of the tests and of the pictures.

`screens.py` beside this file is what tests walk over; `packaging/screens.py` takes the pictures.
"""

import importlib
import importlib.util
import pkgutil
from pathlib import Path

import pytest
from desk import SOON
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox
from screens import SCREENS, close, settle

import app
from app.side_pages import TITLES

PACKAGING = Path(__file__).parents[2] / "packaging" / "screens.py"


def every_dialog():
    """Return the names of all dialogs of the program; those that others are made from left out."""
    for module in pkgutil.walk_packages(app.__path__, "app."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    found, waiting = set(), [QDialog]
    while waiting:
        kind = waiting.pop()
        below = [one for one in kind.__subclasses__() if one.__module__.startswith("app.")]
        waiting += below
        if not below and kind.__module__.startswith("app."):
            found.add(kind.__name__)
    return found


@pytest.fixture
def window(open_window):
    return open_window()


def dialogs_shown():
    tops = QApplication.topLevelWidgets()
    return [top for top in tops if isinstance(top, QDialog) and top.isVisible()]


def test_every_dialog_is_a_screen(window):
    dialogs = every_dialog()
    assert len(dialogs) > 20
    shown = set()
    for show in SCREENS.values():
        screen = show(window)
        shown.add(type(screen).__name__)
        close(window, screen)
    assert dialogs - shown == set(), "tests/app/screens.py: show these too"


@pytest.fixture
def pictured(monkeypatch, window, qtbot):
    """Return the script that takes pictures; its waits end when the fabric has settled."""
    spec = importlib.util.spec_from_file_location("script_screens", PACKAGING)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)

    def at_rest():
        worker = window.variants._worker
        return window.live.is_settled and (worker is None or not worker.is_busy)

    monkeypatch.setattr(module, "_wait", lambda ms: qtbot.waitUntil(at_rest, timeout=SOON))
    return module


def test_every_dialog_and_page_has_a_picture(window, pictured, qtbot, monkeypatch, tmp_path):
    """As packaging/screens.py says of itself."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    shown, design = set(), window.session.design

    def noted(dialog):
        shown.add(type(dialog).__name__)
        return QMessageBox.StandardButton.Cancel

    def seen_and_left(dialog):
        noted(dialog)
        dialog.reject()  # which ends what works for it
        return 0

    monkeypatch.setattr(QDialog, "exec", seen_and_left)
    monkeypatch.setattr(QMessageBox, "exec", noted)
    for show in pictured.SCREENS.values():
        window.session.undo_stack.setClean()
        window.session.open(design, None)
        show(window)
        settle()
        while popup := QApplication.activePopupWidget():
            popup.close()
        for dialog in dialogs_shown():
            noted(dialog)
            dialog.reject()
        settle()
    assert every_dialog() - shown == set(), "packaging/screens.py: show these too"
    assert "QMessageBox" in shown
    assert list(pictured.PAGES) == list(TITLES)
