"""Palettes from pictures and colours: opens their dialogs and passes on what they wish for."""

from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QMenu, QWidget

from app.documents import Documents
from app.opened import OpenDialogs
from app.session import Session
from app.theme import Theme


class Palettes(QObject):
    """Opens at most one dialog at a time: the window waits for it."""

    wish = Signal(str, object, object)

    def __init__(
        self,
        session: Session,
        theme: Theme,
        documents: Documents,
        opened: OpenDialogs,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._session, self._theme = session, theme
        self._documents, self._opened, self._window = documents, opened, window

    def add_to(self, menu: QMenu) -> None:
        """Add the ways to a palette to a menu."""
        menu.addSeparator()
        menu.addAction("Palette &from a picture…").triggered.connect(lambda: self.from_picture())
        menu.addAction("Palette from a &colour…").triggered.connect(lambda: self.from_colour())

    def from_picture(self, path: Path | None = None) -> None:
        """Take a palette from a picture, this one if it is given."""
        from app.picture_dialog import PictureDialog

        dialog = self._opened.of(PictureDialog)
        if dialog is None:
            folder = self._documents.folder
            dialog = PictureDialog(self._session.design, self._theme, folder, self._window)
            self._open(dialog)
        if path is not None:
            dialog.open_picture(path)

    def from_colour(self, colour: str = "") -> None:
        """Grow a palette from a colour, or from the first yarn's."""
        from app.harmony_dialog import HarmonyDialog

        design = self._session.design
        colour = colour or design.yarns[0].colour
        self._open(HarmonyDialog(design, colour, self._theme, self._window))

    def _open(self, dialog: Any) -> None:
        self._documents.finish_typing()
        dialog.wish.connect(self.wish)
        self._opened.choose(dialog)
