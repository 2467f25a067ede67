"""Every action of the window: its name, its keys, its place in the menus."""

from collections.abc import Iterator

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from core.records import Struct


class Entry(Struct, frozen=True):
    """One action.

    Attributes:
        name: What the menu calls it, without marks for keys.
        place: The menus it stands in: "File", "View, Appearance".
        keys: Its keys as people read them; empty if it has none.
        action: The action itself.
    """

    name: str
    place: str
    keys: str
    action: QAction


def entries_of(bar: QMenuBar) -> list[Entry]:
    """Return the actions of all menus, in the order of the menus."""
    found: list[Entry] = []
    for action in bar.actions():
        menu = action.menu()
        if isinstance(menu, QMenu):
            found += _entries(menu, [plain(action.text())])
    return found


def _entries(menu: QMenu, path: list[str]) -> Iterator[Entry]:
    menu.aboutToShow.emit()  # menus that are filled as they open
    for action in menu.actions():
        inner = action.menu()
        if action.isSeparator() or not action.text():
            continue
        if isinstance(inner, QMenu):
            yield from _entries(inner, [*path, plain(action.text())])
            continue
        yield Entry(plain(action.text()), ", ".join(path), keys_of(action), action)


def plain(text: str) -> str:
    """Return a menu's text without the mark of its letter and without what stands after a tab."""
    return text.split("\t")[0].replace("&&", "\0").replace("&", "").replace("\0", "&").strip()


def keys_of(action: QAction) -> str:
    """Return an action's keys, or those that its text tells."""
    own = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)  # the usual one
    return own or (action.text().split("\t", 1)[1] if "\t" in action.text() else "")
