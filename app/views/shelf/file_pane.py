"""Where the shelf lies, its backups, and lists that go in and out."""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QWidget

from app.asking import plain_tip
from app.theme import UNIT, Theme
from app.views.flow import Flow
from app.views.pages.page import FormPage


class FilePane(FormPage):
    """Says where the file is and passes on what is wished for."""

    title = "Its file"

    folder_wished = Signal()
    back_up_wished = Signal()
    restore_wished = Signal()
    import_wished = Signal()
    export_wished = Signal()
    example_wished = Signal()

    def __init__(self, path: Path, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self.heading("The shelf's file")
        # Marks where a line may break; a path has no spaces to break at.
        self.path = self.note(str(path).replace("/", "/\u200b").replace("\\", "\\\u200b"))
        self.path.setAccessibleName(f"The shelf is kept in {path}")
        self.path.setToolTip(plain_tip(str(path)))
        self.note("It stays on this computer. No design file speaks of it.")
        self.folder = self._button("Open fold&er", "Show the file where it lies")
        self._row(self.folder)
        self.heading("Backups")
        self.note(
            "Before the first change of a day a copy is made and opened once to see that it is "
            "sound. The newest five and one of each of the last fourteen days are kept."
        )
        self.back_up = self._button("Back up &now", "Keep a copy of the shelf as it is")
        self.restore = self._button("&Restore…", "Choose a copy to put in the shelf's place")
        self._row(self.back_up, self.restore)
        self.heading("Lists")
        self.note(
            "A list goes out as a table for spreadsheets (.csv) or whole (.json). One that comes "
            "in is shown first: nothing changes before you say so."
        )
        self.take_in = self._button("&Import…", "Read a list and see what it would change")
        self.write_out = self._button("E&xport…", "Write what is on the shelf to a list")
        self._row(self.take_in, self.write_out)
        self.heading("To look at")
        self.note("A few invented yarns, to see what a shelf is like. One undo takes them off.")
        self.example = self._button("Put an example &there", "Eight yarns with remnants and lots")
        self._row(self.example)
        for button, signal in (
            (self.folder, self.folder_wished),
            (self.back_up, self.back_up_wished),
            (self.restore, self.restore_wished),
            (self.take_in, self.import_wished),
            (self.write_out, self.export_wished),
            (self.example, self.example_wished),
        ):
            button.clicked.connect(lambda _=False, signal=signal: signal.emit())

    def _button(self, words: str, tip: str) -> QPushButton:
        button = QPushButton(words)
        button.setAutoDefault(False)
        button.setToolTip(tip)
        return button

    def _row(self, *buttons: QPushButton) -> None:
        box = Flow(gap_px=UNIT)
        box.add(*buttons)
        self.whole(box, *buttons)
