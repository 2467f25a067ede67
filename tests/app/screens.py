"""Every screen there is, by name: the window with each page open, and every dialog and slip.

Tests of what holds on all screens walk over `SCREENS`; `test_every_dialog_is_a_screen` sees to it
that a new dialog is put here.
"""

from functools import partial
from pathlib import Path

from desk import window_in
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QDialog, QFrame, QWidget

from app.assets import DEMO
from app.side_pages import TITLES
from app.theme import Theme
from core.design.edits import set_values
from core.design.files import read_design


def make_window(folder, look="light", design=None):
    """Return a window with the demo, not shown yet; its files lie in `folder`."""
    theme = Theme()
    theme.set_look(look)
    return window_in(folder, design or read_design(DEMO), theme)


def _newest(window, kind=QDialog):
    shown = [one for one in window.findChildren(kind) if one.isWindow() and one.isVisible()]
    return shown[-1]


def _through(do, window):
    do(window)
    return _newest(window)


def _shown(dialog):
    dialog.open()
    return dialog


def _page(name, window):
    window.show_page(list(TITLES).index(name))
    return window


def _export(window):
    from app.export_dialog import ExportDialog

    folder = Path(window.documents.folder)
    return _shown(ExportDialog(window.live.results, folder, "demo", window))


def _details(window):
    from app.details_dialog import DetailsDialog

    return _shown(DetailsDialog(window.session.design, window, window.live.results.size, ""))


def _about(window):
    from app.about_dialog import AboutDialog

    return _shown(AboutDialog(window))


def _changes(window):
    from app.changes_dialog import ChangesDialog

    return _shown(ChangesDialog("Changes", "What changed", ["A row more"], window))


def _beside(window):
    from app.beside_dialog import BesideDialog

    design = window.session.design
    kept = set_values(design, title="Kept")
    return _shown(BesideDialog(design, "Kept", kept, window.theme, window))


def _sizes(window):
    from app.views.sizes_dialog import SizesDialog

    return _shown(SizesDialog(window.live.results, window))  # for several sizes


def _finder(window):
    from app.menus import find_action

    find_action(window)
    return _newest(window, QFrame)


def _keys(window):
    from app.menus import show_keys

    show_keys(window)
    return _newest(window)


def _seen(window):
    window.choosers.print_seen(window.chart, window.fabric)
    return _newest(window)


def _loops(window):
    from app.views.loop_editor import LoopEditor

    window.sentence.loops_figure.click()
    return _newest(window, LoopEditor)


def _differences(window):
    from app.shelf_lists import DifferencesDialog

    return _shown(DifferencesDialog("Differences", "What differs", [], set(), window.theme, window))


def _backups(window):
    from app.shelf_lists import BackupsDialog

    return _shown(BackupsDialog([], "", window))


def _recovery(window):
    from app.recovery_dialog import RecoveryDialog

    return _shown(RecoveryDialog([], window.keeper, window))


def _know_here(window):
    from app.views.knowing import KnowPopover

    window.helping.know(window.sentence.width_figure)
    return _newest(window, KnowPopover)


SCREENS = {
    "window": lambda window: window,
    **{f"page {name}": partial(_page, name) for name in TITLES},
    "new": partial(_through, lambda w: w.choosers.new_design()),
    "draw": partial(_through, lambda w: w.choosers.draw_wave()),
    "compare": partial(_through, lambda w: w.choosers.compare_variants()),
    "read": partial(_through, lambda w: w.choosers.read_rows()),
    "plan": partial(_through, lambda w: w.choosers.plan_stripes()),
    "twin": partial(_through, lambda w: w.choosers.second_colourway()),
    "stash": partial(_through, lambda w: w.choosers.plan_stash()),
    "curves": partial(_through, lambda w: w.choosers.show_curves()),
    "booklet": partial(_through, lambda w: w.choosers.open_booklet()),
    "paper": partial(_through, lambda w: w.choosers.open_paper()),
    "picture": partial(_through, lambda w: w.palettes.from_picture()),
    "harmony": partial(_through, lambda w: w.palettes.from_colour()),
    "shelf": partial(_through, lambda w: w.shelving.open()),
    "rescue": partial(_through, lambda w: w.helping.rescue()),
    "doctor": partial(_through, lambda w: w.helping.doctor()),
    "know": partial(_through, lambda w: w.helping.know_all()),
    "know here": _know_here,
    "export": _export,
    "details": _details,
    "about": _about,
    "changes": _changes,
    "beside": _beside,
    "sizes": _sizes,
    "finder": _finder,
    "keys": _keys,
    "seen": _seen,
    "differences": _differences,
    "backups": _backups,
    "recovery": _recovery,
}


def settle(ms=0):
    """Let waiting work of the window's thread be done."""
    from PySide6.QtTest import QTest

    QApplication.processEvents()
    if ms:
        QTest.qWait(ms)


def close(window, screen):
    """Close a screen, if it is one of its own."""
    if screen is not window:
        if isinstance(screen, QDialog):
            screen.reject()
        else:
            screen.close()
    settle()


def reachable(screen):
    """Return the widgets that Tab stops at, in the order of the chain."""
    found, one = [], screen
    while True:
        one = one.nextInFocusChain()
        if one is screen:
            return found
        if stops_at(one, screen):
            found.append(one)


def stops_at(widget, screen):
    """Whether Tab stops at a widget of this window."""
    return (
        widget.window() is screen.window()
        and bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        and widget.focusProxy() is None
        and widget.isEnabled()
        and widget.isVisible()
    )


def inner(widget):
    """Whether a widget is a part that Qt makes inside another one."""
    return widget.objectName().startswith("qt_")


def in_scroll_areas(widget):
    """Return the scroll areas that a widget lies in."""
    areas, up = [], widget.parentWidget()
    while up is not None and not up.isWindow():
        if isinstance(up, QAbstractScrollArea):
            areas.append(up)
        up = up.parentWidget()
    return areas


__all__ = [
    "SCREENS",
    "QWidget",
    "close",
    "in_scroll_areas",
    "inner",
    "make_window",
    "reachable",
    "settle",
    "stops_at",
]
