"""All keys on one sheet: those of the menus, and those of each view; to read, copy or print."""

from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF
from PySide6.QtGui import QGuiApplication, QPageLayout, QPageSize, QPdfWriter, QTextDocument
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from app.actions import Entry
from app.asking import asked_path, complain
from app.keeping.reasons import why_not_written
from app.theme import UNIT
from app.views.keys_listed import VIEW_KEYS
from core.design.disk import write_whole

_HOW: Final = "Every action, keys or none, is also under Help, Find an action (Ctrl+Shift+A)."
Group = tuple[str, list[tuple[str, str]]]


def groups_of(entries: Sequence[Entry]) -> list[Group]:
    """Return the keys by menu, then by view: keys and what they do."""
    menus: dict[str, list[tuple[str, str]]] = {}
    for entry in entries:
        if entry.keys:
            top, _, inner = entry.place.partition(", ")
            name = f"{inner}: {entry.name}" if inner else entry.name
            menus.setdefault(f"Menu {top}", []).append((entry.keys, name))
    return [*menus.items(), *((view.view, list(view.keys)) for view in VIEW_KEYS)]


def keys_text(groups: Sequence[Group]) -> str:
    """Return the list as plain text."""
    parts = []
    for name, keys in groups:
        wide = max(len(key) for key, _ in keys)
        parts.append("\n".join([name, *(f"  {key.ljust(wide)}  {what}" for key, what in keys)]))
    return "\n\n".join(parts) + "\n"


def keys_html(groups: Sequence[Group]) -> str:
    """Return the list as a document of headed tables."""
    parts = ["<h2>Keys of Dipslope</h2>"]
    for name, keys in groups:
        lines = "".join(
            f"<tr><td width='38%'><b>{escape(key)}</b></td><td>{escape(what)}</td></tr>"
            for key, what in keys
        )
        parts.append(f"<h3>{escape(name)}</h3><table width='100%'>{lines}</table>")
    return "".join(parts)


class KeysDialog(QDialog):
    """Shows all keys."""

    def __init__(self, entries: Sequence[Entry], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("All keys")
        self._groups = groups_of(entries)
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("All keys")
        self.text.setHtml(keys_html(self._groups))
        about = QLabel(_HOW, self)
        about.setWordWrap(True)
        about.setProperty("quiet", True)
        self.copy_button = QPushButton("Copy all", self)
        self.copy_button.setToolTip("Put the list on the clipboard as text")
        self.print_button = QPushButton("Save as PDF…", self)
        self.print_button.setToolTip("Save the list as pages to print")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        role = QDialogButtonBox.ButtonRole.ActionRole
        buttons.addButton(self.copy_button, role)
        buttons.addButton(self.print_button, role)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.text, 1)
        column.addWidget(about)
        column.addWidget(buttons)
        self.resize(72 * UNIT, 80 * UNIT)
        buttons.rejected.connect(self.reject)
        self.copy_button.clicked.connect(self._copy)
        self.print_button.clicked.connect(self._ask_and_save)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(keys_text(self._groups))
        self.copy_button.setText("Copied")

    def _ask_and_save(self) -> None:
        path = asked_path(self, "Save keys as PDF", Path("keys.pdf"), "PDF (*.pdf)", ".pdf")
        if path is not None:
            self.save_pdf(path)

    def save_pdf(self, path: Path) -> None:
        """Write the list as A4 pages, whole or not at all."""
        try:
            write_whole(path, self._pdf())
        except (OSError, ValueError) as error:
            complain(self, "The keys couldn't be saved", why_not_written(error, path))

    def _pdf(self) -> bytes:
        data = QByteArray()
        buffer = QBuffer(data)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        writer = QPdfWriter(buffer)
        writer.setTitle("Keys of Dipslope")
        writer.setPageLayout(
            QPageLayout(
                QPageSize(QPageSize.PageSizeId.A4),
                QPageLayout.Orientation.Portrait,
                QMarginsF(18, 18, 18, 18),
                QPageLayout.Unit.Millimeter,
            )
        )
        document = QTextDocument()
        document.setDefaultFont(self.font())
        document.setHtml(keys_html(self._groups))
        document.print_(writer)
        buffer.close()
        return bytes(data.data())
