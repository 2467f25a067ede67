"""Text shown as text: a title, a name or a file name is never taken for markup.

Qt guesses by itself whether a label, a tooltip or a box holds markup, which could then load a
file. What comes from a design, a file name or a pasted text goes through here.
"""

from collections.abc import Sequence
from pathlib import Path

from PySide6 import QtGui
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget


def plain_tip(text: str) -> str:
    """Return a text as a tooltip that shows just it."""
    return QtGui.Qt.convertFromPlainText(text) if QtGui.Qt.mightBeRichText(text) else text


def plain_title(text: str) -> str:
    """Return a text as part of a window's title: [*] there stands for unsaved changes."""
    return text.replace("[*]", "[*][*]")


def plain_entry(text: str) -> str:
    """Return a text as a menu's entry or a button's: & there marks a key, a tab the keys."""
    return text.replace("&", "&&").replace("\t", " ")


def plain_box(parent: QWidget, text: str, more: str = "") -> QMessageBox:
    """Return a message box with a sentence and, below it, what more there is to say."""
    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(f"{text}\n\n{more}" if more else text)  # the format isn't that of more text
    box.setIcon(QMessageBox.Icon.NoIcon)  # the sentence says it; the system's sign isn't ours
    return box


def complain(parent: QWidget, what: str, why: str) -> None:
    """Say what went wrong, and why."""
    box = plain_box(parent, f"⚠ {what}.", why)
    box.exec()


def offer(parent: QWidget, text: str, more: str, choices: Sequence[str]) -> int | None:
    """Offer choices beside Cancel; return the number of the chosen one, or None."""
    box = plain_box(parent, text, more)
    role = QMessageBox.ButtonRole
    buttons = [box.addButton(words, role.AcceptRole) for words in choices]
    cancel = box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(cancel)
    box.setEscapeButton(cancel)
    box.exec()
    clicked = box.clickedButton()
    return next((n for n, button in enumerate(buttons) if button is clicked), None)


def may_replace(parent: QWidget, path: Path) -> bool:
    """Ask about a file that its dialog couldn't ask about, as its name was completed."""
    if not _is_there(path):
        return True
    box = plain_box(parent, f"{path.name} is there already. Replace it?")
    button = QMessageBox.StandardButton
    box.setStandardButtons(button.Yes | button.Cancel)
    box.setDefaultButton(button.Cancel)
    return box.exec() == button.Yes


def asked_path(parent: QWidget, title: str, start: Path, kinds: str, suffix: str) -> Path | None:
    """Ask for a file to write; None if the user gives up.

    A name without the suffix gets it, and is asked about if there is such a file.
    """
    name, _ = QFileDialog.getSaveFileName(parent, title, str(start), kinds)
    if not name:
        return None
    path = Path(name)
    if path.suffix.lower() == suffix:
        return path
    path = path.with_name(path.name + suffix)
    return path if may_replace(parent, path) else None


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        return False
