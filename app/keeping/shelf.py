"""The shelf as the window knows it: read and changed off the GUI thread, with undo.

A change shows at once and is written after all that came before it. If it can't be, the shelf is
read again, so what is shown is what is kept.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QObject, Signal

from app.keeping.jobs import Jobs
from core.design import disk
from core.design.spreadsheet import text_of
from core.records import Struct
from core.shelf.backups import Backup
from core.shelf.changes import Change
from core.shelf.entry import Entry
from core.shelf.faults import ShelfError
from core.shelf.lists import Listed
from core.shelf.merging import Difference, differences
from core.shelf.store import Outcome, Store
from core.shelf.table import read_table, shelf_table
from core.shelf.written import read_written, written_text

MOST_STEPS: Final = 200
_MOST_LIST_BYTES: Final = 64 * 2**20


class _Step(Struct, eq=False):
    change: Change
    gesture: object | None


class ShelfKeeper(QObject):
    """Holds what is on the shelf and carries out what is done with it."""

    changed = Signal(object)  # a tuple of Entry
    said = Signal(str)  # what was done
    troubled = Signal(object)  # the ShelfError of something that couldn't be done

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store = Store(folder)
        self._jobs = Jobs(self)
        self._entries: dict[str, Entry] = {}
        self._done: list[_Step] = []
        self._undone: list[_Step] = []
        self._under_way = 0
        self.trouble: ShelfError | None = None

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What is on the shelf."""
        return tuple(self._entries.values())

    @property
    def is_busy(self) -> bool:
        """Whether something is still being read or written."""
        return self._jobs.is_busy

    def entry(self, uid: str | None) -> Entry | None:
        """Return a yarn of the shelf, if it is there."""
        return self._entries.get(uid or "")

    def look(self) -> None:
        """Read the shelf, as another window may have changed it."""
        self._under_way += 1
        self._jobs.do(self.store.read, self._on_outcome, self._on_not_read)

    # changes

    def do(self, change: Change, said: str = "", gesture: object | None = None) -> None:
        """Make a change; steps of one gesture are undone as one."""
        if change.is_empty:
            return
        last = self._done[-1] if self._done else None
        step = _Step(change, gesture)
        is_more = last is not None and gesture is not None and last.gesture is gesture
        if last is not None and is_more and last.change.uids == change.uids:
            step.change = Change(change.text, last.change.before, change.after)
            self._done.pop()
        self._done = [*self._done[-MOST_STEPS + 1 :], step]
        self._undone.clear()
        self._carry_out(change, said or f"{change.text}.", step)

    @property
    def undo_text(self) -> str:
        """What undo would take back; empty if nothing."""
        return self._done[-1].change.text if self._done else ""

    @property
    def redo_text(self) -> str:
        """What redo would do again; empty if nothing."""
        return self._undone[-1].change.text if self._undone else ""

    def undo(self) -> None:
        """Take the last step back."""
        if self._done:
            step = self._done.pop()
            self._undone.append(step)
            back = step.change.taken_back()
            self._carry_out(back, f"Taken back: {step.change.text}.", step, self._done)

    def redo(self) -> None:
        """Do again what was taken back."""
        if self._undone:
            step = self._undone.pop()
            self._done.append(step)
            self._carry_out(step.change, f"Done again: {step.change.text}.", step, self._undone)

    def _carry_out(
        self, change: Change, said: str, step: _Step, back: list[_Step] | None = None
    ) -> None:
        """Make a change; if it can't be made now, its step is put `back` to be tried again."""
        for uid in change.uids:
            after = change.after.get(uid)
            if after is None:
                self._entries.pop(uid, None)
            else:
                self._entries[uid] = after
        self._under_way += 1
        self._jobs.do(
            partial(self.store.apply, change),
            partial(self._on_applied, said),
            partial(self._on_not_applied, step, back),
        )
        self.changed.emit(self.entries)

    def _on_applied(self, said: str, outcome: Outcome) -> None:
        self._on_outcome(outcome)
        self.said.emit(f"{said} {outcome.note}".strip())

    def _on_not_applied(self, step: _Step, back: list[_Step] | None, error: Exception) -> None:
        self._under_way -= 1
        for steps in (self._done, self._undone):
            if step in steps:
                steps.remove(step)
        trouble = _as_trouble(error)
        is_last = not self._under_way  # else something came after it
        if back is not None and is_last and trouble.trouble in ("locked", "read-only", "full"):
            back.append(step)
        if trouble.trouble in ("locked", "read-only", "full", "changed", "refused"):
            self._under_way += 1
            self._jobs.do(self.store.read, partial(self._on_read_after, trouble), self._on_not_read)
        else:
            self._on_trouble(trouble)

    def _on_read_after(self, trouble: ShelfError, outcome: Outcome) -> None:
        self._on_outcome(outcome)
        self.troubled.emit(trouble)

    def _on_outcome(self, outcome: Outcome) -> None:
        self._under_way -= 1
        self.trouble = None
        if not self._under_way:  # what comes later is shown already and not yet read
            self._entries = {entry.uid: entry for entry in outcome.entries}
            self.changed.emit(self.entries)

    def _on_not_read(self, error: Exception) -> None:
        self._under_way -= 1
        self._on_trouble(_as_trouble(error))

    def _on_trouble(self, trouble: ShelfError) -> None:
        self.trouble = trouble
        if not self._under_way:
            self._entries = {}
            self._done.clear()
            self._undone.clear()
        self.changed.emit(self.entries)
        self.troubled.emit(trouble)

    # the file

    def back_up(self) -> None:
        """Back the shelf up."""
        self._ask(self.store.back_up, lambda copy: self.said.emit(f"Backed up as {copy.path.name}"))

    def list_backups(self, then: Callable[[tuple[tuple[Backup, int | None], ...]], object]) -> None:
        """Have the backups listed, each with how many yarns it holds; None for an unsound one."""
        self._ask(partial(_counted, self.store), then)

    def restore(self, backup: Backup) -> None:
        """Put a backup in the shelf's place."""
        said = f"Restored the backup of {backup.time:%Y-%m-%d %H:%M}; what it replaced is kept."
        self._replace(partial(self.store.restore, backup), said)

    def begin_anew(self) -> None:
        """Begin an empty shelf; what is there is kept aside."""
        self._replace(self.store.begin_anew, "An empty shelf is begun; the old file is kept aside.")

    def _replace(self, work: Callable[[], Outcome], said: str) -> None:
        def then(outcome: Outcome) -> None:
            self._done.clear()
            self._undone.clear()
            self._on_outcome(outcome)
            self.said.emit(said)

        def failed(error: Exception) -> None:
            self._under_way -= 1
            self.troubled.emit(_as_trouble(error))

        self._under_way += 1
        self._jobs.do(work, then, failed)

    def write_list(self, path: Path) -> None:
        """Write what is on the shelf to a table, or whole if the name ends in .json."""
        entries = self.entries
        said = f"Wrote {len(entries)} {'yarn' if len(entries) == 1 else 'yarns'} to {path.name}."
        self._ask(partial(_write_list, path, entries), lambda _: self.said.emit(said))

    def compare_list(self, path: Path, then: Callable[[tuple[Difference, ...]], object]) -> None:
        """Read a list from a file and see what it would change."""
        entries = self.entries
        self._ask(lambda: differences(entries, _read_list(path)), then)

    def _ask(self, work: Callable[[], Any], then: Callable[[Any], object]) -> None:
        self._jobs.do(work, then, lambda error: self.troubled.emit(_as_trouble(error)))

    def close(self) -> None:
        """Finish what is under way and stop the thread."""
        self._jobs.close()


def _as_trouble(error: Exception) -> ShelfError:
    if isinstance(error, ShelfError):
        return error
    return ShelfError("refused", f"That didn't work ({error}). Nothing was changed.")


def _counted(store: Store) -> tuple[tuple[Backup, int | None], ...]:
    found: list[tuple[Backup, int | None]] = []
    try:
        for backup in store.backups.all():
            try:
                found.append((backup, store.backups.yarns_in(backup)))
            except ShelfError:
                found.append((backup, None))
    except OSError as error:
        raise ShelfError("away") from error
    return tuple(found)


def _write_list(path: Path, entries: tuple[Entry, ...]) -> None:
    whole = path.suffix.lower() == ".json"
    data = written_text(entries).encode() if whole else shelf_table(entries)
    try:
        disk.write_whole(path, data)
    except OSError as error:
        raise ShelfError(
            "refused", f"{path.name} couldn't be written: {error.strerror}. Choose another place."
        ) from error


def _read_list(path: Path) -> tuple[Listed, ...]:
    try:
        data = disk.read_at_most(path, _MOST_LIST_BYTES + 1)
    except OSError as error:
        raise ShelfError("refused", f"{path.name} can't be read: {error.strerror}.") from error
    if len(data) > _MOST_LIST_BYTES:
        raise ShelfError("refused", f"{path.name} is too big to be a list of yarns.")
    try:
        text = text_of(data)
    except UnicodeDecodeError as error:
        raise ShelfError("refused", f"{path.name} isn't UTF-8 text: save it as that.") from error
    if "\x00" in text:
        raise ShelfError("refused", f"{path.name} isn't a text.")
    return read_written(text) if text.lstrip().startswith(("{", "[")) else read_table(text)
