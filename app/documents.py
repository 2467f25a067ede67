"""Open, save, recent files, and the question before unsaved work would be lost."""

from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QSettings, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.asking import complain, plain_box
from app.assets import DEMO
from app.session import Session
from core.design.files import SUFFIX, read_design, write_design
from core.errors import DesignError

_RECENT: Final = "recent"
_MOST: Final = 10
_FILTER: Final = f"Dipslope designs (*{SUFFIX})"


class Documents(QObject):
    """Moves designs between files and the session; says what went wrong in one sentence."""

    said = Signal(str)
    recent_changed = Signal()

    def __init__(self, session: Session, window: QWidget, settings: QSettings) -> None:
        super().__init__(window)
        self._session = session
        self._window = window
        self._settings = settings

    @property
    def folder(self) -> str:
        """The folder that file dialogs start in."""
        path = self._session.path
        return str(path.parent if path is not None else Path.home())

    def recent(self) -> list[Path]:
        """Return the files opened or saved last, newest first, as far as they are there."""
        kept = self._settings.value(_RECENT, [])
        names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
        return [Path(str(name)) for name in names if _is_file(Path(str(name)))]

    # reading

    def open_demo(self) -> None:
        """Show the demo design as a new, unnamed one."""
        self._session.open(read_design(DEMO), None)

    def ask_and_open(self) -> None:
        """Let a file be chosen and open it."""
        name, _ = QFileDialog.getOpenFileName(self._window, "Open design", self.folder, _FILTER)
        if name:
            self.open_asking_first(Path(name))

    def open_asking_first(self, path: Path) -> bool:
        """Open a design unless unsaved work is to be kept."""
        return self.may_leave() and self.open(path)

    def open(self, path: Path) -> bool:
        """Open a design; one that can't be read leaves the open one as it is."""
        try:
            design = read_design(path)
        except (DesignError, OSError) as error:
            self._complain("This file can't be opened", _reason(error))
            return False
        self._session.open(design, path)
        self._remember(path)
        self.said.emit(f"Opened {path.name}")
        return True

    # writing

    def finish_typing(self) -> None:
        """Take over a figure or name that is still being typed."""
        field = self._window.focusWidget()
        if field is not None:
            field.clearFocus()

    def save(self) -> bool:
        """Write the design to its file, asking for one if it has none."""
        self.finish_typing()
        path = self._session.path
        return self.save_as() if path is None else self.save_to(path)

    def save_as(self) -> bool:
        """Ask for a file and write the design to it."""
        self.finish_typing()
        start = self._session.path or Path(self.folder) / (self.proposed_name() + SUFFIX)
        name, _ = QFileDialog.getSaveFileName(self._window, "Save design", str(start), _FILTER)
        if not name:
            return False
        path = Path(name)
        if path.suffix != SUFFIX:
            path = path.with_name(path.name + SUFFIX)
            if path.exists() and not self._may_replace(path):
                return False
        return self.save_to(path)

    def _may_replace(self, path: Path) -> bool:
        """Ask about a file that the dialog couldn't ask about, as its name was completed."""
        box = plain_box(self._window, f"{path.name} is there already. Replace it?")
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Yes | button.Cancel)
        box.setDefaultButton(button.Cancel)
        return box.exec() == button.Yes

    def save_to(self, path: Path) -> bool:
        """Write the design to a file; a failure loses neither file nor design."""
        try:
            write_design(self._session.design, path)
        except OSError as error:
            self._complain(
                "This design couldn't be saved",
                f"{_reason(error)}. The old file is untouched; try another folder.",
            )
            return False
        self._session.mark_saved(path)
        self._remember(path)
        self.said.emit(f"Saved {path.name}")
        return True

    def may_leave(self) -> bool:
        """Ask what to do with unsaved changes; return whether to go on."""
        self.finish_typing()
        if self._session.is_saved:
            return True
        title = self._session.design.title or "This design"
        text = f"{title} has unsaved changes."
        box = plain_box(self._window, text, "Save them before going on?")
        box.setIcon(QMessageBox.Icon.Question)
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Save | button.Discard | button.Cancel)
        box.setDefaultButton(button.Save)
        answer = box.exec()
        if answer == button.Save:
            return self.save()
        return answer == button.Discard

    def proposed_name(self) -> str:
        """Return a file name made of the title's letters and figures."""
        words = "".join(c if c.isalnum() else " " for c in self._session.design.title).split()
        return "-".join(words).lower()[:60] or "blanket"

    def _remember(self, path: Path) -> None:
        names = [str(path), *(str(p) for p in self.recent() if p != path)]
        self._settings.setValue(_RECENT, names[:_MOST])
        self.recent_changed.emit()

    def complain_about_start(self, why: str) -> None:
        """Say that the file named at the start could not be opened; the demo is shown."""
        self._complain("This file can't be opened", f"{why}\n\nThe demo is shown instead")

    def _complain(self, what: str, why: str) -> None:
        complain(self._window, what, why)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name too long, a folder that may not be looked into
        return False


def _reason(error: Exception) -> str:
    if isinstance(error, OSError):
        return f"{error.filename or 'The file'}: {error.strerror or error}"
    return str(error)
