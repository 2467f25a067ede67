"""The shelf beside the window: opens it, and lends what is on it to the plan from the stash."""

from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.computing import LiveResults
from app.documents import Documents
from app.opened import OpenDialogs
from app.theme import Theme

if TYPE_CHECKING:  # they are loaded when the shelf is opened first
    from app.keeping.shelf import ShelfKeeper
    from app.stash_dialog import StashDialog

_NO_LIBRARY: Final = "There can be no shelf: this Python was built without its sqlite3 module."


class Shelving(QObject):
    """Holds the shelf of one window; its file is neither read nor made before it is asked for."""

    wish = Signal(str, object, object)
    said = Signal(str)

    def __init__(
        self,
        folder: Path,
        live: LiveResults,
        documents: Documents,
        theme: Theme,
        opened: OpenDialogs,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._folder, self._live, self._documents = folder, live, documents
        self._theme, self._opened, self._window = theme, opened, window
        self._keeper: ShelfKeeper | None = None

    @property
    def keeper(self) -> "ShelfKeeper":
        """What is on the shelf."""
        if self._keeper is None:
            from app.keeping.shelf import ShelfKeeper

            self._keeper = ShelfKeeper(self._folder, self)
        return self._keeper

    def open(self) -> None:
        """Open the shelf, or bring it to the front."""
        self._documents.finish_typing()
        results = self._live.results
        if results is None:
            return
        if not self._can_be_kept():
            self.said.emit(_NO_LIBRARY)
            return
        from app.shelf_dialog import ShelfDialog

        if self._opened.forward(ShelfDialog) is None:
            folder = Path(self._documents.folder)
            dialog = ShelfDialog(self.keeper, results, folder, self._theme, self._window)
            dialog.wish.connect(self.wish)
            self._opened.follow(dialog)

    def lend_to(self, stash: "StashDialog") -> None:
        """Let the plan from the stash count what is on the shelf, when it is asked to."""
        if not self._can_be_kept():
            stash.shelf_wished.connect(lambda: stash.said.setText(_NO_LIBRARY))
            return
        keeper, is_closed, asked = self.keeper, False, False

        def lend() -> None:
            nonlocal asked
            asked = False
            keeper.changed.disconnect(lend)
            stash.own(keeper.entries)

        def leave() -> None:
            nonlocal is_closed
            if is_closed:
                return
            is_closed = True
            keeper.troubled.disconnect(tell)
            if asked:
                keeper.changed.disconnect(lend)

        def tell(trouble: object) -> None:
            stash.said.setText(f"⚠ {trouble}")

        def ask() -> None:
            nonlocal asked
            if not asked:
                asked = True
                keeper.changed.connect(lend)
            keeper.look()

        stash.shelf_wished.connect(ask)
        keeper.troubled.connect(tell)
        stash.finished.connect(lambda _: leave())

    def close(self) -> None:
        """Finish what is under way; call when the shelf's window is closed."""
        if self._keeper is not None:
            self._keeper.close()

    def _can_be_kept(self) -> bool:
        return find_spec("_sqlite3") is not None
