"""What menus offer for stripes: on the strip, and in the window's bar."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from PySide6.QtGui import QAction, QColor, QIcon, QKeySequence, QPixmap
from PySide6.QtWidgets import QMenu, QWidget

from app.asking import plain_entry
from app.views.stripes.deeds import StripeDeeds
from core.records import Struct

_EVERYWHERE: Final = {
    "Ins": "Ctrl+I",
    "Ctrl+D": "Ctrl+D",
    "+": "Ctrl++",
    "-": "Ctrl+-",
    "Del": "Ctrl+Backspace",
}  # keys on the strip, and those for the same thing from anywhere


class Entry(Struct, frozen=True):
    """One line of a menu: its words, the keys on the strip, what it does, where it belongs."""

    words: str
    keys: str
    do: Callable[[], object]


def entries(deeds: StripeDeeds) -> Iterator[Entry | None]:
    """Return what can be done to the chosen stripes; None sets groups apart.

    The last few have no letter underlined: there aren't enough, and arrow keys go round.
    """
    yield Entry("One row &more", "+", partial(deeds.change_rows, 1))
    yield Entry("One row &less", "-", partial(deeds.change_rows, -1))
    yield Entry("&One row each", "Shift+1", partial(deeds.set_rows, 1))
    yield Entry("&Two rows each", "Shift+2", partial(deeds.set_rows, 2))
    yield Entry("Re&name…", "F2", deeds.name_wished.emit)
    yield Entry("Unloc&k" if deeds.all_locked else "Loc&k", "L", deeds.toggle_lock)
    yield None
    yield Entry("&Add a stripe above", "Ins", deeds.add)
    yield Entry("&Duplicate", "Ctrl+D", deeds.repeat)
    yield Entry("M&irror: add the way back", "M", deeds.mirror)
    yield Entry("&Split in two", "S", deeds.split)
    yield Entry("&Join", "J", deeds.join)
    yield Entry("D&elete", "Del", deeds.remove)
    yield None
    yield Entry("Move &up", "Alt+Up", partial(deeds.nudge, 1))
    yield Entry("Mo&ve down", "Alt+Down", partial(deeds.nudge, -1))
    yield Entry("&Reverse their order", "R", deeds.reverse)
    yield Entry("E&xchange two", "X", deeds.exchange_chosen)
    yield None
    yield Entry("Cut", "Ctrl+X", deeds.cut)
    yield Entry("Copy", "Ctrl+C", deeds.copy)
    yield Entry("Paste a&bove", "Ctrl+V", deeds.paste)
    yield None
    yield Entry("Choose all", "Ctrl+A", deeds.all_of_them)
    yield Entry("Choose all of its yarn", "Y", deeds.all_of_its_yarn)


def _add(menu: QMenu, words: str, do: Callable[[], object]) -> QAction:
    action = QAction(words, menu)
    action.triggered.connect(partial(_do, do))
    menu.addAction(action)
    return action


def fill_bar(menu: QMenu, deeds: StripeDeeds) -> None:
    """Put all of it into the window's menu; some have keys that work everywhere."""
    for entry in entries(deeds):
        if entry is None:
            menu.addSeparator()
            continue
        words = "Loc&k or unlock" if entry.keys == "L" else entry.words
        action = _add(menu, words, entry.do)
        if entry.keys in _EVERYWHERE:
            action.setShortcut(QKeySequence(_EVERYWHERE[entry.keys]))


def _do(do: Callable[[], object], *_: object) -> None:
    do()


def stripe_menu(deeds: StripeDeeds, parent: QWidget) -> QMenu:
    """Return the menu of the strip: yarns, then all else."""
    menu = QMenu(parent)
    menu.addMenu(yarn_menu(deeds, menu))
    for entry in entries(deeds):
        if entry is None:
            menu.addSeparator()
        else:
            _add(menu, f"{entry.words}\t{entry.keys}", entry.do)
    return menu


def yarn_menu(deeds: StripeDeeds, parent: QWidget) -> QMenu:
    """Return a menu of the design's yarns for the chosen stripes."""
    menu = QMenu("&Yarn", parent)
    design, stripe = deeds.design, deeds.stripe
    if design is None or stripe is None:
        return menu
    for number, yarn in enumerate(design.yarns):
        swatch = QPixmap(20, 14)
        swatch.fill(QColor(yarn.colour))
        key = f"&{number + 1}  " if number < 9 else ""
        action = QAction(QIcon(swatch), key + plain_entry(yarn.name), menu)
        if stripe.yarn == number:
            menu.setDefaultAction(action)
        action.triggered.connect(partial(_do, partial(deeds.set_yarn, number)))
        menu.addAction(action)
    menu.addSeparator()
    new = QAction("New yarn…", menu)
    new.triggered.connect(lambda: deeds.yarn_wished.emit(deeds.choice.current))
    menu.addAction(new)
    return menu
