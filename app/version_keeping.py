"""Joins the Versions page with what is kept: fills it and does what it wishes for."""

from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QMessageBox, QWidget

from app.asking import asked_path, complain, plain_box
from app.changes_dialog import ChangesDialog
from app.documents import Documents
from app.keeping.keeper import Keeper
from app.keeping.reasons import why_not_written
from app.session import Session
from app.views.moments import moment_text
from app.views.pages.versions import VersionLine, VersionsPage, version_title
from core.design.differences import differences
from core.design.document import Design
from core.design.files import SUFFIX, write_design
from core.design.kept import Version
from core.design.versions import VersionStore
from core.errors import DesignError

_WAIT_MS: Final = 300  # after a change of the design until it is compared again
_FILTER: Final = f"Dipslope designs (*{SUFFIX})"


class VersionKeeping(QObject):
    """Carries versions between page, session and disk."""

    said = Signal(str)
    aside_wished = Signal(str, object)  # a version to flip to: its name, its Design

    def __init__(
        self,
        session: Session,
        keeper: Keeper,
        documents: Documents,
        page: VersionsPage,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._session, self._keeper = session, keeper
        self._documents, self._page, self._window = documents, page, window
        self._designs: dict[str, Design] = {}
        self._now_name = ""
        self._told = ""
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_WAIT_MS)
        self._soon.timeout.connect(self._compare)
        session.design_changed.connect(self._compare_soon)  # the session outlives the window
        session.opened.connect(self._designs.clear)
        keeper.versions_changed.connect(self._on_listed)
        keeper.kept.connect(self._on_kept)
        keeper.troubled.connect(self.say_trouble)
        keeper.autosave.written.connect(self._on_well)
        keeper.pictures.ready.connect(self._show_picture)
        page.shown.connect(self._on_shown)
        page.keep_wished.connect(partial(self._keep, "kept"))
        page.issue_wished.connect(self._issue)
        page.chosen.connect(lambda _: self._compare())
        page.back_wished.connect(self._put_back)
        page.flip_wished.connect(self._flip_to)
        page.changes_wished.connect(self._show_changes)
        page.remove_wished.connect(self._remove)

    # filling the page

    def _on_shown(self) -> None:
        self._keeper.list_versions()

    def _on_listed(self, versions: tuple[Version, ...]) -> None:
        if not self._page.isVisible():
            return
        known = dict(self._designs)
        self._keeper.do(partial(_lines_of, self._keeper.store, versions, known), self._show_lines)

    def _show_lines(self, found: tuple[tuple[VersionLine, ...], dict[str, Design]]) -> None:
        lines, self._designs = found
        self._page.show_versions(lines)
        for line in lines:
            design = self._designs.get(line.version.file)
            if design is not None:
                self._keeper.pictures.ask(line.version.digest, lambda design=design: design)  # type: ignore[misc]
                self._show_picture(line.version.digest)

    def _show_picture(self, name: str) -> None:
        image = self._keeper.pictures.picture(name)
        if image is None:
            return
        for version in self._keeper.versions:
            if version.digest == name:
                self._page.show_picture(version, image)
                break
        chosen = self._page.version
        if self._soon.isActive():  # the design has moved on and is compared anew in a moment
            return
        if name == self._now_name or (chosen is not None and chosen.digest == name):
            self._show_compared()

    def _compare_soon(self) -> None:
        if self._page.isVisible():
            self._soon.start()

    def _compare(self) -> None:
        if not self._page.isVisible() or self._page.version is None:
            return
        design = self._session.design
        self._now_name = f"now {hash(design)}"
        self._keeper.pictures.ask(self._now_name, lambda: design)
        self._show_compared()

    def _show_compared(self) -> None:
        version = self._page.version
        then = self._designs.get(version.file) if version is not None else None
        if version is None or then is None:
            return
        pictures = self._keeper.pictures
        self._page.show_compared(
            pictures.picture(version.digest),
            pictures.picture(self._now_name),
            differences(then, self._session.design, short=True),
        )

    # wishes

    def _keep(self, kind: str, name: str, note: str) -> None:
        del kind
        self._documents.finish_typing()
        self._keeper.keep_version("kept", name.strip(), note.strip())
        self._page.forget_typed()

    def _issue(self, name: str, note: str) -> None:
        """Save a numbered copy beside the design and keep it as a version."""
        self._documents.finish_typing()
        numbers = [version.number or 0 for version in self._keeper.versions]
        number = 1 + max(numbers, default=0)
        path = self._session.path
        stem = path.stem if path is not None else self._documents.proposed_name()
        start = Path(self._documents.folder) / f"{stem}-v{number}{SUFFIX}"
        target = asked_path(self._window, f"Issue number {number}", start, _FILTER, SUFFIX)
        if target is None:
            return
        if target == path:
            complain(self._window, "A copy needs a name of its own", "Choose another one.")
            return
        try:
            write_design(self._session.design, target)
        except (DesignError, OSError, ValueError) as error:
            what = "The copy couldn't be written"
            complain(self._window, what, why_not_written(error, target))
            return
        self._keeper.keep_version("issued", name.strip(), note.strip())
        self._page.forget_typed()
        self.said.emit(f"Number {number} is issued: {target.name}")

    def _on_kept(self, version: Version | None) -> None:
        if version is not None and version.kind == "kept":
            self.said.emit(f"Kept: {version_title(version)}")

    def _put_back(self, version: Version) -> None:
        design = self._designs.get(version.file)
        if design is not None:
            self._session.change(f"Put back “{version_title(version)}”", lambda _: design)

    def _flip_to(self, version: Version) -> None:
        design = self._designs.get(version.file)
        if design is not None:
            self.aside_wished.emit(version_title(version), design)

    def _show_changes(self, version: Version) -> None:
        then = self._designs.get(version.file)
        if then is None:
            return
        title = version_title(version)
        head = f"From “{title}” ({moment_text(version.when)}) to the design as it is now:"
        lines = differences(then, self._session.design)
        dialog = ChangesDialog("Changes", head, lines, self._window)
        dialog.offer_saving(Path(self._documents.folder) / self._changes_name(version))
        dialog.exec()

    def _changes_name(self, version: Version) -> str:
        path = self._session.path
        stem = path.stem if path is not None else self._documents.proposed_name()
        since = f"-since-{version.number}" if version.number is not None else ""
        return f"{stem}-changes{since}.txt"

    def _remove(self, version: Version) -> None:
        if version.is_by_hand:
            box = plain_box(self._window, f"Remove “{version_title(version)}” for good?")
            button = QMessageBox.StandardButton
            box.setStandardButtons(button.Yes | button.Cancel)
            box.setDefaultButton(button.Cancel)
            if box.exec() != button.Yes:
                return
        self._keeper.remove_version(version)

    def _on_well(self) -> None:
        self._told = ""

    def say_trouble(self, error: object) -> None:
        """Say once that something couldn't be kept, and why."""
        assert isinstance(error, Exception)
        why = why_not_written(error, self._keeper.places.root)
        if why != self._told:  # once, not with every change
            self.said.emit(f"Changes and versions can't be kept aside. {why}")
        self._told = why


def _lines_of(
    store: VersionStore, versions: tuple[Version, ...], known: dict[str, Design]
) -> tuple[tuple[VersionLine, ...], dict[str, Design]]:
    """Return the versions with what each changed, and their designs by file."""
    designs: dict[str, Design] = {}
    for version in versions:
        try:
            designs[version.file] = known.get(version.file) or store.design(version)
        except (DesignError, OSError):
            continue  # removed meanwhile, or by a newer program: not listed
    there = [version for version in versions if version.file in designs]
    lines = []
    for version, before in zip(there, (*there[1:], None), strict=False):
        changes = (
            differences(designs[before.file], designs[version.file], short=True)
            if before is not None
            else None
        )
        lines.append(VersionLine(version, changes))
    return tuple(lines), designs
