"""Open, save, recent files, and the questions before anything could be lost."""

import re
import sys
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QProcess, QSettings, Qt, QUrl, Signal
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QPlainTextEdit,
    QWidget,
)
from shiboken6 import Shiboken

from app.asking import asked_path, complain, offer, plain_box
from app.assets import DEMO
from app.folders import first_folder
from app.keeping.keeper import Keeper
from app.keeping.presence import Claim
from app.keeping.reasons import why_not_read, why_not_written
from app.session import Session
from core.design import disk
from core.design.differences import differences
from core.design.document import Design
from core.design.files import MAX_BYTES, SUFFIX, read_design, write_design
from core.errors import DesignError

_RECENT: Final = "recent"
_REOPEN: Final = "start/reopen"
_MOST: Final = 10  # recent files that are shown
_MOST_KEPT: Final = 30
_MOST_BESIDE: Final = 7  # windows that one drop opens beside this one
_FILTER: Final = f"Dipslope designs (*{SUFFIX})"
_LONGEST_NAME: Final = 120  # bytes; what exports add to it has to find room too
_RESERVED: Final = re.compile("con|prn|aux|nul|(com|lpt)[0-9¹²³]")  # no files on some systems
_TYPED_IN: Final = (QLineEdit, QAbstractSpinBox, QPlainTextEdit)
_STAYS: Final = "Nothing is lost: the design stays open here."


class Documents(QObject):
    """Moves designs between files and the session; says what went wrong in one sentence."""

    said = Signal(str)
    recent_changed = Signal()

    def __init__(
        self, session: Session, window: QWidget, settings: QSettings, keeper: Keeper
    ) -> None:
        super().__init__(window)
        self._session = session
        self._window = window
        self._settings = settings
        self._keeper = keeper
        self._mark: tuple[Path, disk.FileMark] | None = None
        self._written_to: Path | None = None  # where exports of the open design went
        self._written_of: Path | None = None  # the design's file then
        session.opened.connect(self._on_opened)
        self._on_opened()

    @property
    def folder(self) -> str:
        """The folder that file dialogs start in."""
        return str(first_folder(self._session.path, self.recent()))

    @property
    def out_folder(self) -> Path:
        """The folder that exports start in: where the last of this design went, else its own."""
        return self._written_to or Path(self.folder)

    def note_written(self, folder: Path) -> None:
        """Hear where an export of the open design was written."""
        self._written_to, self._written_of = folder, self._session.path

    def recent(self) -> list[Path]:
        """Return the files opened or saved last, newest first, as far as they are there."""
        there = (path for path in recent_files(self._settings) if _is_file(path))
        return list(islice(there, _MOST))

    @property
    def reopens(self) -> bool:
        """Whether the last design is opened at the start."""
        return self._settings.value(_REOPEN, False) in (True, "true")

    def set_reopens(self, reopens: bool) -> None:
        """Choose whether the last design is opened at the start."""
        self._settings.setValue(_REOPEN, reopens)

    # reading

    def open_demo(self) -> None:
        """Show the demo design as a new, unnamed one."""
        self._session.open(read_design(DEMO), None)

    def ask_and_open(self) -> None:
        """Let a file be chosen and open it."""
        path = self._ask_which()
        if path is not None:
            self.open_asking_first(path)

    def ask_and_open_beside(self) -> None:
        """Let a file be chosen and open it in a window of its own."""
        path = self._ask_which()
        if path is not None:
            self.open_beside(path)

    def open_beside(self, path: Path) -> None:
        """Open a design in a window of its own."""
        if start_another(str(path.absolute())):
            self.said.emit(f"{path.name} opens in a window of its own")
        else:
            self._complain("Another window couldn't be started", "Open the design in this one")

    def open_dropped(self, paths: Sequence[Path]) -> None:
        """Open the first design here and each of the others in a window of its own."""
        if paths and self.open_asking_first(paths[0]):
            for path in paths[1 : 1 + _MOST_BESIDE]:
                self.open_beside(path)
            if len(paths) > 1 + _MOST_BESIDE:
                self.said.emit(
                    f"{1 + _MOST_BESIDE} of {len(paths):,} designs were opened; open others when "
                    "some are closed"
                )

    def _ask_which(self) -> Path | None:
        name, _ = QFileDialog.getOpenFileName(self._window, "Open design", self.folder, _FILTER)
        return Path(name) if name else None

    def open_asking_first(self, path: Path) -> bool:
        """Open a design unless unsaved work is to be kept."""
        return self.may_leave() and self.open(path)

    def open(self, path: Path) -> bool:
        """Open a design; one that can't be read leaves the open one as it is."""
        claim = self._keeper.presence.ask(path)
        if claim.standing != "ours":
            return self._open_elsewhere(path, claim)
        return self._open_claimed(path, claim)

    def claim_at_start(self) -> None:
        """Have the file that the window started with, or say who has it."""
        path = self._session.path
        if path is None:
            return
        claim = self._keeper.presence.ask(path)
        if claim.standing == "ours":
            self._keeper.presence.keep(claim)
            self._remember(path)
            return
        if not self._open_elsewhere(path, claim):
            self.open_demo()

    def _open_claimed(self, path: Path, claim: Claim) -> bool:
        design = self._read(path)
        if design is None:
            self._keeper.presence.drop(claim)
            return False
        self._keeper.presence.keep(claim)
        self._session.open(design, path)
        self._remember(path)
        self.said.emit(f"Opened {path.name}")
        return True

    def _open_elsewhere(self, path: Path, claim: Claim) -> bool:
        if claim.standing == "raised":
            self.said.emit(claim.sentence(path))
            return False
        choices = ["Open a &copy"] + (["Open it &anyway"] if claim.standing == "elsewhere" else [])
        more = "Two people who save the same file replace each other's work."
        chosen = offer(self._window, claim.sentence(path), more, choices)
        if chosen == 1:
            return self._open_claimed(path, self._keeper.presence.ask(path, anyway=True))
        design = self._read(path) if chosen == 0 else None
        if design is None:
            return False
        self._session.open(design, None, unsaved=True)
        self.said.emit(f"A copy of {path.name}; save it under a name of its own")
        return True

    def _read(self, path: Path) -> Design | None:
        try:
            return read_design(path)
        except (DesignError, OSError, ValueError) as error:
            self._complain("This file can't be opened", why_not_read(error, path))
            return None

    # writing

    def finish_typing(self) -> None:
        """Take over a figure or name that is still being typed; the focus is where it was after."""
        field = self._window.focusWidget()
        if not isinstance(field, _TYPED_IN):
            return
        holder = field.parentWidget()
        field.clearFocus()
        back = field if Shiboken.isValid(field) and field.isVisible() else holder
        if self._window.focusWidget() is None and back is not None:
            back.setFocus(
                Qt.FocusReason.OtherFocusReason
            )  # a cell's field is gone; its table isn't

    def save(self) -> bool:
        """Write the design to its file, asking for one if it has none."""
        self.finish_typing()
        path = self._session.path
        return self.save_as() if path is None else self.save_to(path)

    def save_as(self) -> bool:
        """Ask for a file and write the design to it."""
        self.finish_typing()
        start = self._session.path or Path(self.folder) / (self.proposed_name() + SUFFIX)
        path = asked_path(self._window, "Save design", start, _FILTER, SUFFIX)
        return path is not None and self.save_to(path)

    def save_to(self, path: Path) -> bool:
        """Write the design to a file; a failure loses neither file nor design."""
        if disk.is_write_protected(path):
            return self._offer_another(f"{path.name} is set to be only read. {_STAYS}")
        claim = self._keeper.presence.ask(path)
        if claim.standing != "ours":
            return self._offer_another(f"{claim.sentence(path)} {_STAYS}")
        came_from = self._session.path
        was_there = self._mark is None or self._mark[0] != path or _is_file(path)
        try:
            if not self._may_overwrite(path):
                self._keeper.presence.drop(claim)
                return False
            write_design(self._session.design, path)
        except (DesignError, OSError, ValueError) as error:
            self._keeper.presence.drop(claim)
            return self._offer_another(
                f"{why_not_written(error, path)} {_STAYS} The file on disk is as it was."
            )
        self._keeper.presence.keep(claim)
        self._session.mark_saved(path)
        self._keeper.saved(path, came_from)
        self._remember(path)
        self.said.emit(
            f"Saved {path.name}"
            if was_there
            else f"{path.name} was no longer there; it has been written again"
        )
        return True

    def _offer_another(self, why: str) -> bool:
        """Say why the design wasn't saved and offer to save it elsewhere."""
        what = "This design couldn't be saved."
        return offer(self._window, what, why, ["Save &as…"]) == 0 and self.save_as()

    def _may_overwrite(self, path: Path) -> bool:
        """Ask about a file that somebody else has changed meanwhile."""
        if self._mark is None or self._mark[0] != path:
            return True
        if not disk.is_changed(path, self._mark[1], MAX_BYTES + 1):
            return True
        try:
            theirs: Design | None = read_design(path)
        except (DesignError, ValueError):
            theirs = None
        if theirs == self._session.design:
            return True
        choices = ["&Replace it", "Save &as…"] + ["See &differences…"] * (theirs is not None)
        text = f"{path.name} was changed by somebody else since it was opened here."
        while True:
            kept = "What it holds now is kept as a version if you replace it." if theirs else ""
            chosen = offer(self._window, text, kept, choices)
            if chosen == 2 and theirs is not None:
                from app.changes_dialog import ChangesDialog

                head = f"From {path.name} as it is on disk now to the design in this window:"
                lines = differences(theirs, self._session.design)
                ChangesDialog("Differences", head, lines, self._window).exec()
                continue
            if chosen == 1:
                self.save_as()
                return False
            if chosen == 0 and theirs is not None:
                self._keeper.keep_other(theirs, path, "Replaced: changed by somebody else")
            return chosen == 0

    def may_leave(self) -> bool:
        """Ask what to do with unsaved changes; return whether to go on."""
        self.finish_typing()
        if self._session.is_saved:
            return True
        title = self._session.design.title or "This design"
        text = f"{title} has unsaved changes."
        box = plain_box(self._window, text, "Save them before going on?")
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Save | button.Discard | button.Cancel)
        box.setDefaultButton(button.Save)
        answer = box.exec()
        if answer == button.Save:
            return self.save()
        if answer == button.Discard:
            self._keeper.set_aside()
        return answer == button.Discard

    @property
    def stem(self) -> str:
        """What files made from the design are called: as its own file, or after its title."""
        path = self._session.path
        return path.stem if path is not None else self.proposed_name()

    def proposed_name(self) -> str:
        """Return a file name made of the title's letters and figures."""
        words = "".join(c if c.isalnum() else " " for c in self._session.design.title).split()
        name = "-".join(words).lower().encode()[:_LONGEST_NAME].decode(errors="ignore").strip("-")
        if not name or _RESERVED.fullmatch(name):
            return f"{name}-blanket".lstrip("-")
        return name

    def _on_opened(self) -> None:
        """Note what the file is like, to see later whether somebody else changed it."""
        path = self._session.path
        try:
            mark = disk.mark_of(path, MAX_BYTES + 1) if path is not None else None
        except (OSError, ValueError):
            mark = None
        self._mark = (path, mark) if path is not None and mark is not None else None
        if path != self._written_of:
            self._written_to = None

    def _remember(self, path: Path) -> None:
        # Those that aren't there now may be again: on a drive that is plugged in later.
        names = [str(path), *(str(p) for p in recent_files(self._settings) if p != path)]
        self._settings.setValue(_RECENT, names[:_MOST_KEPT])
        self._keeper.pictures.keep_for_file(path, self._session.design)
        self.recent_changed.emit()

    def complain_about_start(self, why: str) -> None:
        """Say that the file named at the start could not be opened; the demo is shown."""
        self._complain("This file can't be opened", f"{why}\n\nThe demo is shown instead")

    def _complain(self, what: str, why: str) -> None:
        complain(self._window, what, why)


def designs_in(urls: Sequence[QUrl]) -> list[Path]:
    """Return the designs among what is dragged in."""
    paths = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
    return [path for path in paths if path.suffix.lower() == SUFFIX]


def recent_files(settings: QSettings) -> list[Path]:
    """Return the files opened or saved last, whether or not they are there."""
    kept = settings.value(_RECENT, [])
    names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
    return [Path(str(name)) for name in names[:_MOST_KEPT] if name]


def file_to_reopen(settings: QSettings) -> Path | None:
    """Return the design to open at the start, if that was chosen and it is there."""
    recent = recent_files(settings)
    if settings.value(_REOPEN, False) not in (True, "true") or not recent:
        return None
    return recent[0] if _is_file(recent[0]) else None


def start_another(*arguments: str) -> bool:
    """Start the program once more, in a process of its own."""
    is_bundle = getattr(sys, "frozen", False)
    words = [*([] if is_bundle else ["-m", "app"]), *arguments]
    here = str(Path(__file__).resolve().parent.parent) if not is_bundle else ""
    started = QProcess.startDetached(sys.executable, words, here)
    return bool(started[0] if isinstance(started, tuple) else started)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        return False
