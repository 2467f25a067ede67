"""What is fetched for the shelf or carried from it: a design's yarns, lists, backups.

Each shows first what it would do.
"""

from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.asking import may_replace, offer
from app.folders import show_folder
from app.keeping.shelf import ShelfKeeper
from app.shelf_lists import BackupsDialog, DifferencesDialog
from app.theme import Theme
from app.views.figures import counted
from core.design.document import Design
from core.shelf.against import kept
from core.shelf.faults import ShelfError
from core.shelf.merging import Difference, merged

_LISTS: Final = "Lists of yarns (*.csv *.json);;All files (*)"


class Errands(QObject):
    """Runs errands for one window of the shelf."""

    said = Signal(str)
    put_there = Signal(str)  # a yarn, by its uid

    def __init__(self, keeper: ShelfKeeper, folder: Path, theme: Theme, window: QWidget) -> None:
        super().__init__(window)
        self._keeper, self._folder = keeper, folder
        self._theme, self._window = theme, window
        self.is_closed = False

    def keep_design(self, design: Design) -> None:
        """Show what would come from a design, and put what is ticked there."""
        entries = self._keeper.entries
        try:
            found = kept(design, entries)
        except ShelfError as error:
            self.said.emit(f"⚠ {error}")
            return
        lead = (
            f"The yarns of {design.title or 'this design'} beside the shelf. What is ticked is put "
            "there; tick a yarn that is there already to count it as the design does."
        )
        ticked = [one.kind == "new" and one.after.grams > 0 for one in found]
        text = f"Keep yarns of {design.title or 'a design'}"
        self._show_differences("Keep these on the shelf", lead, found, ticked, text)

    def _show_differences(
        self,
        title: str,
        lead: str,
        found: tuple[Difference, ...],
        ticked: list[bool],
        text: str,
    ) -> None:
        dialog = DifferencesDialog(title, lead, found, ticked, self._theme, self._window)

        def take() -> None:
            chosen = dialog.chosen
            new = sum(one.kind == "new" for one in chosen)
            said = f"{counted(new, 'yarn')} put there, {len(chosen) - new} changed."
            try:
                change = merged(text, chosen)
            except ShelfError as error:
                self.said.emit(f"⚠ {error}")
                return
            if change.after:
                self.put_there.emit(next(iter(change.after)))
            self._keeper.do(change, said)

        dialog.accepted.connect(take)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def import_list(self, path: Path) -> None:
        """Read a list and show what it would change."""

        def show(found: tuple[Difference, ...]) -> None:
            if self.is_closed:
                return
            if not found:
                self.said.emit(f"{path.name} has no yarn in it.")
                return
            lead = (
                f"{path.name} beside the shelf. A yarn is known again by its id, else by name, "
                "colour and dye lot."
            )
            ticked = [one.can_be_taken for one in found]
            self._show_differences("Import a list", lead, found, ticked, f"Import {path.name}")

        self._folder = path.parent
        self._keeper.compare_list(path, show)

    def ask_import(self) -> None:
        """Let a list be chosen and read it."""
        start = str(self._folder)
        name, _ = QFileDialog.getOpenFileName(self._window, "Import a list", start, _LISTS)
        if name:
            self.import_list(Path(name))

    def ask_export(self) -> None:
        """Let a place be chosen and write the shelf there."""
        start = str(self._folder / "shelf.csv")
        kinds = "Table for spreadsheets (*.csv);;Whole shelf (*.json)"
        name, kind = QFileDialog.getSaveFileName(self._window, "Export the shelf", start, kinds)
        if name:
            path = Path(name)
            if not path.suffix:
                path = path.with_suffix(".json" if "json" in kind else ".csv")
                if not may_replace(self._window, path):
                    return
            self._folder = path.parent
            self._keeper.write_list(path)

    def restore(self) -> None:
        """Let a backup be chosen and put it in the shelf's place."""

        def show(backups: tuple[Any, ...]) -> None:
            if self.is_closed:
                return
            dialog = BackupsDialog(backups, str(self._keeper.trouble or ""), self._window)

            def go() -> None:
                if dialog.chosen is not None:
                    self._keeper.restore(dialog.chosen)

            dialog.accepted.connect(go)
            dialog.finished.connect(dialog.deleteLater)
            dialog.open()

        self._keeper.list_backups(show)

    def begin_anew(self) -> None:
        """Begin an empty shelf, if that is really wanted."""
        more = "The old file is kept aside in the folder beside it; backups stay."
        if offer(self._window, "Begin an empty shelf?", more, ["Begin an empty shelf"]) == 0:
            self._keeper.begin_anew()

    def open_folder(self) -> None:
        """Show where the shelf lies."""
        folder = self._keeper.store.folder
        if not folder.is_dir():
            self.said.emit("There is no folder yet: it is made with the first yarn on the shelf.")
            return
        why_not = show_folder(folder)
        if why_not:
            self.said.emit(why_not)
