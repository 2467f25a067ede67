"""Ways to the parts of the window by keys and by name: "Go to" in the menu, next and last part."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu, QWidget

if TYPE_CHECKING:  # the window has the parts
    from app.window import Window

_NEXT: Final = "F3"
_LAST: Final = "Shift+F3"


def places_menu(window: "Window") -> QMenu:
    """Return the menu that leads to every part of the window."""
    menu, lead = QMenu("G&o to", window), window.first_steps.show_place
    named: tuple[tuple[str, Callable[[], object]], ...] = (
        ("&Shape the wave", partial(lead, "shape")),
        ("&Change a stripe", partial(lead, "stripes")),
        ("Set the si&ze", partial(lead, "size")),
        ("The char&t", partial(_focus, window.chart)),
        ("The &fabric", partial(_focus, window.fabric)),
        ("The fields of the &wave", partial(_focus, window.wave_controls)),
        ("The &page at the side", partial(_open_page, window)),
    )
    for text, go in named:
        action = menu.addAction(text)
        action.triggered.connect(lambda _=False, go=go: go())
    menu.addSeparator()
    for text, keys, by in (("&Next part", _NEXT, 1), ("&Last part", _LAST, -1)):
        action = menu.addAction(text)
        action.setShortcut(keys)
        action.triggered.connect(partial(_step, window, by))
    return menu


def parts_of(window: "Window") -> list[QWidget]:
    """Return the parts that can be gone to now, from the top left to the bottom right."""
    every = (
        window.sentence,
        window.chart,
        window.strip,
        window.fabric,
        window.wave,
        window.wave_controls,
        window.pages.stack,
    )
    return [part for part in every if part.isVisible()]


def _step(window: "Window", by: int, checked: bool = False) -> None:
    """Go to the next part, or with -1 to the one before."""
    del checked
    parts, now = parts_of(window), QApplication.focusWidget()
    at = next((n for n, p in enumerate(parts) if now is not None and _holds(p, now)), None)
    if at is None:
        at = -1 if by > 0 else 0
    _focus(parts[(at + by) % len(parts)])


def _open_page(window: "Window") -> None:
    if not window.pages.stack.isVisible():
        window.show_page(max(window.pages.stack.currentIndex(), 0))
    _focus(window.pages.stack)


def _holds(part: QWidget, widget: QWidget) -> bool:
    return part is widget or part.isAncestorOf(widget)


def _focus(part: QWidget) -> None:
    """Give the keys to a part, or to the first of its controls that takes them."""
    reason = Qt.FocusReason.TabFocusReason  # which shows where the keys are
    widget: QWidget | None = part
    if part.focusPolicy() == Qt.FocusPolicy.NoFocus:
        widget = next((w for w in _in_tab_order(part) if _takes_keys(w)), None)
    if widget is not None:
        widget.setFocus(reason)


def _in_tab_order(part: QWidget) -> list[QWidget]:
    """Return a part's controls as Tab goes through them."""
    found: list[QWidget] = []
    widget: QWidget | None = part.nextInFocusChain()
    while widget is not None and widget is not part:
        if part.isAncestorOf(widget):
            found.append(widget)
        widget = widget.nextInFocusChain()
    return found


def _takes_keys(widget: QWidget) -> bool:
    policy = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
    return bool(policy) and widget.isVisible() and widget.isEnabled()
