"""What a window keeps of its design: journal, versions, pictures, and its hold on the file."""

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

from PySide6.QtCore import QObject, QTimer, Signal

from app.keeping.autosave import Autosave
from app.keeping.jobs import Jobs
from app.keeping.pictures import Pictures
from app.keeping.places import Places, key_of
from app.keeping.presence import Presence
from app.keeping.recovery import Left
from app.session import Session
from core.design import disk
from core.design.document import Design
from core.design.files import read_design
from core.design.journal import Journal
from core.design.kept import Kind, Version
from core.design.versions import VersionStore

_UNSAVED: Final = "unsaved-"
_WAIT_TO_LIST_MS: Final = 50
_LONGEST_SEARCH_S: Final = 2.0


class Keeper(QObject):
    """Keeps the open design of one session."""

    versions_changed = Signal(object)  # a tuple of Version, newest first
    kept = Signal(object)  # the Version, or None if it was there already
    troubled = Signal(object)  # the error of something that couldn't be kept

    def __init__(self, session: Session, root: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.places = Places(root)
        self._jobs = Jobs(self)
        self._writing = Jobs(self)  # of its own, so that nothing keeps the journal waiting
        self.autosave = Autosave(session, self._writing, self.places.journals, self)
        self.autosave.troubled.connect(self.troubled)
        self.pictures = Pictures(self.places.pictures, self)
        self.presence = Presence(root, self)
        self._unsaved_key = _UNSAVED + uuid4().hex
        self._path = session.path
        self._listed: tuple[Version, ...] = ()
        self._list_soon = QTimer(self)
        self._list_soon.setSingleShot(True)
        self._list_soon.setInterval(_WAIT_TO_LIST_MS)
        self._list_soon.timeout.connect(self.list_versions)
        session.opened.connect(self._on_opened)

    def do(self, work: Callable[[], Any], then: Callable[[Any], object]) -> None:
        """Do something slow after what is being kept; its outcome arrives on this thread."""
        self._jobs.do(work, then, self.troubled.emit)

    # versions

    @property
    def store(self) -> VersionStore:
        """The versions of the open design."""
        path = self._session.path
        key = key_of(path) if path is not None else self._unsaved_key
        return VersionStore(self.places.versions(key))

    @property
    def versions(self) -> tuple[Version, ...]:
        """The versions as they were listed last, newest first."""
        return self._listed

    def list_versions(self) -> None:
        """Have the versions read; see `versions_changed`."""
        self._jobs.do(self.store.versions, self._on_listed, self.troubled.emit)

    def keep_version(
        self, kind: Kind, name: str = "", note: str = "", *, design: Design | None = None
    ) -> None:
        """Keep the design as it is shown, or a variant of it; see `kept`."""
        self._keep(design or self._session.design, self._session.path, kind, name, note)

    def set_aside(self) -> None:
        """Keep changes that are given up, where the design has a file to find them by."""
        if self._session.path is not None:
            self._keep(self._session.design, self._session.path, "aside", "Left unsaved")

    def keep_other(self, design: Design, path: Path, name: str) -> None:
        """Keep what a file held before it is replaced."""
        self._keep(design, path, "aside", name)

    def remove_version(self, version: Version) -> None:
        """Remove a version."""
        self._jobs.do(
            partial(self.store.remove, version),
            lambda _: self._list_soon.start(),
            self.troubled.emit,
        )

    def _keep(
        self, design: Design, path: Path | None, kind: Kind, name: str = "", note: str = ""
    ) -> None:
        about = str(path) if path is not None else None
        store = self.store
        self._jobs.do(
            lambda: store.keep(design, kind, name=name, note=note, about=about),
            self._on_kept,
            self.troubled.emit,
        )

    def _on_kept(self, version: Version | None) -> None:
        self._list_soon.start()
        self.kept.emit(version)

    def _on_listed(self, versions: tuple[Version, ...]) -> None:
        self._listed = versions
        self.versions_changed.emit(versions)

    # what happens to the design

    def saved(self, path: Path, came_from: Path | None) -> None:
        """Keep a version of what was just written; a new design brings its versions along."""
        design = self._session.design
        store = VersionStore(self.places.versions(key_of(path)))
        if came_from is None:
            earlier = VersionStore(self.places.versions(self._unsaved_key))
            self._jobs.do(lambda: store.take_over(earlier, str(path)), failed=self.troubled.emit)
            self._unsaved_key = _UNSAVED + uuid4().hex
        self._keep(design, path, "saved")
        self.pictures.keep_for_file(path, design)

    def _on_opened(self) -> None:
        path = self._session.path
        if path != self._path:
            self._path = path
            if path is None:
                self.presence.let_go()
                self._unsaved_key = _UNSAVED + uuid4().hex
            else:
                self._jobs.do(partial(_follow_moved, self.places, path), failed=lambda _: None)
        self._list_soon.start()

    # what a crash left

    def keep_saved_one(self, left: Left) -> None:
        """Decide against unsaved changes; they become a version of their design, if it has a file.

        Raises:
            OSError: The journal can't be removed, or the version not kept; nothing is lost then.
        """
        if left.path is not None:
            store = VersionStore(self.places.versions(key_of(left.path)))
            store.keep(left.design, "aside", name="Not recovered", about=str(left.path))
        Journal(left.journal).clear()
        disk.remove(left.journal.with_suffix(".lock"))

    def close(self) -> None:
        """Finish and stop the threads; what was open is saved or given up by now."""
        self.presence.let_go()
        self._list_soon.stop()
        self.autosave.clear()
        self._writing.close()
        self._jobs.close()
        self.pictures.close()


def _follow_moved(places: Places, path: Path) -> None:
    """Give a file that was moved or renamed the versions it had under its old name."""
    mine = VersionStore(places.versions(key_of(path)))
    if mine.belongs_to() is not None:
        return
    design = read_design(path)
    started = time.monotonic()
    for key in disk.names_in(places.all_versions):
        if time.monotonic() - started > _LONGEST_SEARCH_S:
            return
        other = VersionStore(places.versions(key))
        of = other.belongs_to()
        if of is not None and not disk.size_of(Path(of)):
            there = other.versions()
            if there and other.design(there[0]) == design:
                mine.take_over(other, str(path))
                return
