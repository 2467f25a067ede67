"""The window's menus: every action with its keys."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from app.theme import Look
from app.views.stripes.menu import fill_bar
from core.rows.waves import FAMILIES

if TYPE_CHECKING:  # the window makes its menus
    from app.window import Window

_LOOKS: tuple[tuple[Look, str], ...] = (
    ("system", "Follow the &system"),
    ("light", "&Light"),
    ("dark", "&Dark"),
)
_Keys = QKeySequence | QKeySequence.StandardKey | str


def make_menus(window: "Window") -> QMenu:
    """Fill the menu bar; return the menu of recent designs, which the window fills."""
    recent = _file(window)
    _edit(window)
    _wave(window)
    _stripe(window)
    _view(window)
    help_menu = window.menuBar().addMenu("&Help")
    window.helping.add_to(help_menu)
    _add(help_menu, "&About Dipslope…", partial(_about, window))
    return recent


def _about(window: "Window") -> None:
    from app.about_dialog import AboutDialog  # loads the licences

    AboutDialog(window).exec()


def _file(window: "Window") -> QMenu:
    documents, standard = window.documents, QKeySequence.StandardKey
    file = window.menuBar().addMenu("&File")
    new = file.addMenu("&New wave")
    for family in FAMILIES:
        keys = standard.New if family is FAMILIES[0] else None
        _add(new, f"{family.name}: {family.about}", partial(window.start_new, family), keys)
    _add(file, "New from &written rows…", window.choosers.read_rows, "Ctrl+Shift+N")
    _add(file, "&Open…", documents.ask_and_open, standard.Open)
    _add(file, "Open in another &window…", documents.ask_and_open_beside, "Ctrl+Shift+O")
    recent = file.addMenu("Open &recent")
    _add(file, "Open the &demo", window.open_demo)
    file.addSeparator()
    _add(file, "&Save", documents.save, standard.Save)
    _add(file, "Save &as…", documents.save_as, standard.SaveAs)
    _add(file, "&Keep this version…", window.keep_version, "Ctrl+Shift+K")
    file.addSeparator()
    _add(file, "Reco&ver unsaved designs…", partial(window.recovery.look, tell_if_none=True))
    reopen = _add(file, "Open the &last design at the start")
    reopen.setCheckable(True)
    reopen.setChecked(documents.reopens)
    reopen.toggled.connect(documents.set_reopens)
    file.addSeparator()
    _add(file, "&Title and notes…", window.edit_details)
    _add(file, "&Export…", window.export, "Ctrl+E")
    _add(file, "&Booklet…", window.choosers.open_booklet, "Ctrl+B")
    file.addSeparator()
    _add(file, "&Quit", window.close, standard.Quit)
    return recent


def _edit(window: "Window") -> None:
    edit, stack = window.menuBar().addMenu("&Edit"), window.session.undo_stack
    undo = stack.createUndoAction(window, "&Undo")
    undo.setShortcuts(QKeySequence.StandardKey.Undo)
    redo = stack.createRedoAction(window, "&Redo")
    redo.setShortcuts(QKeySequence.StandardKey.Redo)
    edit.addAction(undo)
    edit.addAction(redo)
    edit.addSeparator()
    _add(edit, "&Copy the chart", window.copy_chart, "Ctrl+Shift+C")


def _wave(window: "Window") -> None:
    wave = window.menuBar().addMenu("&Wave")
    _add(wave, "&Draw a wave…", window.choosers.draw_wave, "F7")
    _add(wave, "&Compare variants…", window.choosers.compare_variants, "F8")
    _add(wave, "C&urves…", window.choosers.show_curves, "Ctrl+K")


def _stripe(window: "Window") -> None:
    stripe = window.menuBar().addMenu("&Stripe")
    _add(stripe, "&Plan stripes…", window.choosers.plan_stripes, "Ctrl+R")
    _add(stripe, "Make a second colour&way…", window.choosers.second_colourway, "Ctrl+Shift+R")
    _add(stripe, "Plan from the s&tash…", window.choosers.plan_stash)
    window.palettes.add_to(stripe)
    stripe.addSeparator()
    fill_bar(stripe, window.strip.deeds)


def _view(window: "Window") -> None:
    view = window.menuBar().addMenu("&View")
    straight = _add(view, "Chart on a straight &grid", keys="Ctrl+G")
    straight.setCheckable(True)
    straight.toggled.connect(window.show_straight)
    _add(view, "Show &all of chart and fabric", window.show_all, "Ctrl+0")
    _add(view, "&Flip chart and fabric", window.flip, "F6")
    view.addMenu(window.fabric.colours.menu)
    view.addSeparator()
    looks = view.addMenu("&Appearance")
    group = QActionGroup(window)
    for look, words in _LOOKS:
        action = _add(looks, words, partial(window.set_look, look))
        action.setCheckable(True)
        action.setChecked(window.look == look)
        group.addAction(action)
    view.addSeparator()
    for number, title in enumerate(window.pages.titles):
        _add(view, title, partial(window.toggle_page, number), f"Ctrl+{number + 1}")


def _add(
    menu: QMenu,
    text: str,
    do: Callable[[], object] = lambda: None,
    keys: _Keys | None = None,
) -> QAction:
    action = menu.addAction(text)
    if keys is not None:
        action.setShortcut(QKeySequence(keys))
    action.triggered.connect(lambda: do())
    return action
