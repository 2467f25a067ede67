"""The window's menus: every action with its keys."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from app.actions import entries_of
from app.places import places_menu
from app.theme import Contrast, Look
from app.views.stripes.menu import fill_bar
from core.craft.stitches import Terms

if TYPE_CHECKING:  # the window makes its menus
    from app.window import Window

_LOOKS: tuple[tuple[Look, str], ...] = (
    ("system", "Follow the &system"),
    ("light", "&Light"),
    ("dark", "&Dark"),
)
_CONTRASTS: tuple[tuple[Contrast, str], ...] = (
    ("system", "&Contrast as the system wants"),
    ("plain", "&Usual contrast"),
    ("high", "&High contrast"),
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
    _add(help_menu, "F&ind an action…", partial(find_action, window), "Ctrl+Shift+A")
    _add(help_menu, "All &keys…", partial(show_keys, window), "F1")
    help_menu.addSeparator()
    window.first_steps.add_to(help_menu)
    window.helping.add_to(help_menu)
    _add(help_menu, "&About Dipslope…", partial(_about, window))
    return recent


def find_action(window: "Window") -> None:
    """Hang the slip that finds actions under the menu bar."""
    from app.finder_slip import FinderSlip

    bar = window.menuBar()
    FinderSlip(entries_of(bar), window.theme, window).open_under(bar)


def show_keys(window: "Window") -> None:
    """Show all keys."""
    from app.keys_dialog import KeysDialog

    dialog = KeysDialog(entries_of(window.menuBar()), window)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()


def _about(window: "Window") -> None:
    from app.about_dialog import AboutDialog  # loads the licences

    AboutDialog(window).exec()


def _file(window: "Window") -> QMenu:
    documents, standard = window.documents, QKeySequence.StandardKey
    file = window.menuBar().addMenu("&File")
    _add(file, "&New…", window.choosers.new_design, standard.New)
    _add(file, "New from &written rows…", window.choosers.read_rows, "Ctrl+Shift+N")
    _add(file, "&Open…", documents.ask_and_open, standard.Open)
    _add(file, "Open in another w&indow…", documents.ask_and_open_beside, "Ctrl+Shift+O")
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
    _add(file, "Yarn s&helf…", window.shelving.open, "Ctrl+Shift+Y")
    _add(file, "&Export…", window.export, "Ctrl+E")
    _add(file, "Show the folder of e&xports", window.show_exports)
    _add(file, "&Booklet…", window.choosers.open_booklet, "Ctrl+B")
    _add(file, "On &paper…", window.choosers.open_paper, standard.Print)
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
    edit.addSeparator()
    window.variants.add_to(edit)
    linking = window.linking
    _add(edit, "Select the whole r&ow", linking.choose_row, "Ctrl+L")
    _add(edit, "Select the repea&t", linking.choose_repeat, "Ctrl+Shift+L")
    _add(edit, "Select &nothing\tEsc", linking.choose_nothing)
    edit.addSeparator()
    edit.addMenu(_terms(window))


def _terms(window: "Window") -> QMenu:
    """Return the menu of the two systems of terms."""
    menu = QMenu("Ter&ms", window)
    group = QActionGroup(menu)
    terms: Terms
    for terms in ("US", "UK"):  # U&S and U&K: their first letters are the same
        action = _add(menu, f"{terms[0]}&{terms[1]} terms", partial(window.set_terms, terms))
        action.setCheckable(True)
        action.setData(terms)
        group.addAction(action)

    def show() -> None:
        for action in group.actions():
            action.setChecked(action.data() == window.session.design.terms)

    menu.aboutToShow.connect(show)
    return menu


def _on_fabric(window: "Window") -> QMenu:
    """Return the menu of the switches on the fabric's canvas, which keep their keys."""
    menu, switches = QMenu("O&n the fabric", window), window.fabric.switches
    for text, button in (
        ("&Ridges and loops", switches.ridges),
        ("Rows from the &side", switches.side),
        ("From &far away", switches.far),
        ("S&train: holes and puckers", switches.strain),
        ("&Lean and rise", switches.lean),
    ):
        keys = button.shortcut().toString()
        action = menu.addAction(f"{text}\t{keys}" if keys else text)
        action.setCheckable(True)
        action.setChecked(button.isChecked())
        action.toggled.connect(button.setChecked)
        button.toggled.connect(action.setChecked)
    return menu


def _wave(window: "Window") -> None:
    wave = window.menuBar().addMenu("&Wave")
    _add(wave, "&Draw a wave…", window.choosers.draw_wave, "F7")
    _add(wave, "&Compare variants…", window.choosers.compare_variants, "F8")
    _add(wave, "C&urves…", window.choosers.show_curves, "Ctrl+K")


def _stripe(window: "Window") -> None:
    stripe = window.menuBar().addMenu("&Stripe")
    _add(stripe, "&Plan stripes…", window.choosers.plan_stripes, "Ctrl+R")
    _add(stripe, "Make a second colour&way…", window.choosers.second_colourway, "Ctrl+Shift+R")
    _add(stripe, "Plan from the stas&h…", window.choosers.plan_stash)
    window.palettes.add_to(stripe)
    stripe.addSeparator()
    fill_bar(stripe, window.strip.deeds)


def _view(window: "Window") -> None:
    view = window.menuBar().addMenu("&View")
    straight = _add(view, "Chart on a straight &grid", keys="Ctrl+G")
    straight.setCheckable(True)
    straight.toggled.connect(window.show_straight)
    _add(view, "Sho&w all of chart and fabric", window.show_all, "Ctrl+0")
    _add(view, "&Zoom to what is selected", window.linking.zoom_to_selection, "Ctrl+J")
    _add(
        view,
        "&Print what is seen…",
        partial(window.choosers.print_seen, window.chart, window.fabric),
        "Ctrl+Shift+P",
    )
    _add(view, "&Flip chart and fabric", window.flip, "F6")
    measure = _add(view, "&Measure on chart and fabric", keys="Ctrl+M")
    measure.setCheckable(True)
    measure.toggled.connect(window.linking.measure)
    window.fabric.measuring_changed.connect(measure.setChecked)
    view.addMenu(places_menu(window))
    view.addMenu(_on_fabric(window))
    view.addMenu(window.fabric.colours.menu)
    view.addSeparator()
    looks = view.addMenu("&Appearance")
    group = QActionGroup(window)
    for look, words in _LOOKS:
        action = _add(looks, words, partial(window.set_look, look))
        action.setCheckable(True)
        action.setChecked(window.look == look)
        group.addAction(action)
    looks.addSeparator()
    contrasts = QActionGroup(window)
    for contrast, words in _CONTRASTS:
        action = _add(looks, words, partial(window.set_contrast, contrast))
        action.setCheckable(True)
        action.setChecked(window.theme.contrast == contrast)
        contrasts.addAction(action)
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
