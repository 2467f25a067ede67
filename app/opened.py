"""The dialogs that are open beside a window: one of a kind, closed with it, gone when closed."""

from functools import partial
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QDialog, QWidget

from app.computing import LiveResults

_Dialog = TypeVar("_Dialog", bound=QDialog)


class OpenDialogs(QObject):
    """Holds the dialogs of one window for as long as they are open."""

    def __init__(self, live: LiveResults, window: QWidget) -> None:
        super().__init__(window)
        self._live = live
        self._all: list[QDialog] = []

    def choose(self, dialog: QDialog) -> None:
        """Open a dialog that something is chosen in; the window waits until it is closed."""
        self._hold(dialog)
        dialog.open()

    def follow(self, dialog: Any) -> None:
        """Show a dialog that goes with the open design until it is closed."""
        self._hold(dialog)
        self._live.changed.connect(dialog.show_results)
        dialog.finished.connect(partial(self._stop_following, dialog))
        dialog.show()

    def of(self, kind: type[_Dialog]) -> _Dialog | None:
        """Return the dialog of a kind that is open, if there is one."""
        return next((dialog for dialog in self._all if isinstance(dialog, kind)), None)

    def forward(self, kind: type[_Dialog]) -> _Dialog | None:
        """Bring the dialog of a kind to the front and return it, if one is open."""
        dialog = self.of(kind)
        if dialog is not None:
            dialog.show()
            dialog.raise_()
            dialog.activateWindow()
        return dialog

    def close(self) -> None:
        """Close every one of them, and what works in it; call before the window closes."""
        for dialog in list(self._all):
            dialog.done(QDialog.DialogCode.Rejected)

    def _hold(self, dialog: QDialog) -> None:
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._all.append(dialog)
        dialog.finished.connect(partial(self._forget, dialog))

    def _forget(self, dialog: QDialog, result: int = 0) -> None:
        del result
        if dialog in self._all:
            self._all.remove(dialog)

    def _stop_following(self, dialog: Any, result: int = 0) -> None:
        del result
        self._live.changed.disconnect(dialog.show_results)
