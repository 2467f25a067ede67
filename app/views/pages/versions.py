"""The page of the versions: keep one, see what each changed, put one back."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QImage, QPixmap
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_tip
from app.theme import UNIT, Theme
from app.views.empty_sheet import EmptySheet
from app.views.flow import Flow
from app.views.moments import moment_text
from app.views.pages.page import Note, Page
from core.design.differences import in_one_line
from core.design.kept import MOST_NAME, MOST_NOTE, Version
from core.records import Struct

NONE_YET: Final = (
    "No version is kept yet. One is kept at every save; keep one yourself before you try "
    "something out."
)
_PICTURE: Final = QSize(56, 40)
_COMPARED: Final = QSize(126, 90)
_VERSION: Final = Qt.ItemDataRole.UserRole
_MOST_SHOWN: Final = 6


class VersionLine(Struct, frozen=True):
    """A version as it is listed.

    Attributes:
        version: The version.
        changes: What it changed from the version before it; None if there is none before.
    """

    version: Version
    changes: tuple[str, ...] | None


class VersionsPage(Page):
    """Lists what was kept of the design and compares one with the design as it is."""

    title = "Versions"

    keep_wished = Signal(str, str)  # name, note
    issue_wished = Signal(str, str)
    chosen = Signal(object)  # the Version that is pointed at
    back_wished = Signal(object)
    flip_wished = Signal(object)
    changes_wished = Signal(object)
    remove_wished = Signal(object)
    shown = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._lines: tuple[VersionLine, ...] = ()
        self.name = QLineEdit(self)
        self.name.setMaxLength(MOST_NAME)
        self.name.setPlaceholderText("Name, such as “before the border”")
        self.name.setAccessibleName("Name of the version to keep")
        self.name.setToolTip("What to call the version that is kept next")
        self.note = QLineEdit(self)
        self.note.setMaxLength(MOST_NOTE)
        self.note.setPlaceholderText("Note")
        self.note.setAccessibleName("Note on the version to keep")
        self.note.setToolTip("What to remember of it")
        self.keep = QPushButton("Keep this version", self)
        self.keep.setToolTip("Keep the design as it is now; it stays until you remove it")
        self.issue = QPushButton("Issue a copy…", self)
        self.issue.setToolTip("Save a copy under the next number, to be published or tested")
        self.list = QListWidget(self)
        self.list.setAccessibleName("Versions, the newest first")
        self.list.setIconSize(_PICTURE)
        self.list.setWordWrap(True)
        self.list.setSpacing(UNIT // 4)
        self.list.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.empty = EmptySheet(theme, "slips", NONE_YET, self)
        self._compared = self._make_compared()
        buttons = Flow(self, gap_px=UNIT)
        buttons.add(self.keep, self.issue)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.name)
        column.addWidget(self.note)
        column.addWidget(buttons)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addWidget(self._compared)
        column.addStretch(0)
        self.setFocusProxy(self.name)
        self.keep.clicked.connect(lambda: self.keep_wished.emit(self.name.text(), self.note.text()))
        self.issue.clicked.connect(
            lambda: self.issue_wished.emit(self.name.text(), self.note.text())
        )
        self.name.returnPressed.connect(self.keep.click)
        self.note.returnPressed.connect(self.keep.click)
        self.list.currentItemChanged.connect(lambda *_: self._choose())
        self.list.itemActivated.connect(lambda _: self.back.setFocus())
        self.show_versions(())

    @property
    def version(self) -> Version | None:
        """The version pointed at."""
        item = self.list.currentItem()
        version: Version | None = item.data(_VERSION) if item is not None else None
        return version

    def show_versions(self, lines: Sequence[VersionLine]) -> None:
        """List versions, newest first; the one pointed at stays so if it is still there."""
        pointed = self.version
        self._lines = tuple(lines)
        self.list.blockSignals(True)
        self.list.clear()
        for line in self._lines:
            item = QListWidgetItem(self._icon(None), _words(line), self.list)
            item.setData(_VERSION, line.version)
            item.setToolTip(plain_tip(_all_words(line)))
            item.setData(Qt.ItemDataRole.AccessibleTextRole, _words(line).replace("\n", ". "))
            if pointed is not None and line.version.file == pointed.file:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        self.empty.setVisible(not self._lines)
        self.list.setVisible(bool(self._lines))
        self._choose()

    def show_picture(self, version: Version, image: QImage) -> None:
        """Show a version's picture in the list."""
        for row in range(self.list.count()):
            item = self.list.item(row)
            if item.data(_VERSION).digest == version.digest:
                item.setIcon(self._icon(image))

    def show_compared(self, then: QImage | None, now: QImage | None, lines: Sequence[str]) -> None:
        """Show the version pointed at beside the design, and what is different since."""
        for label, image in ((self._then, then), (self._now, now)):
            label.setPixmap(_scaled(image, _COMPARED) if image is not None else QPixmap())
        more = len(lines) - _MOST_SHOWN
        text = "\n".join(f"• {line}" for line in lines[:_MOST_SHOWN])
        if more > 0:
            text += f"\nand {more} more: see the list of changes"
        self.since.say(text or "The design is like this version.")
        self.back.setEnabled(bool(lines))
        self.flip.setEnabled(bool(lines))

    def forget_typed(self) -> None:
        """Empty name and note: what they named is kept."""
        self.name.clear()
        self.note.clear()

    def showEvent(self, event: object) -> None:
        """Say that the page can be seen, so that it is filled."""
        super().showEvent(event)  # type: ignore[arg-type]
        self.shown.emit()

    def _make_compared(self) -> QWidget:
        box = QWidget(self)
        self._then, self._now = QLabel(box), QLabel(box)
        self.since = Note("", box)
        self.back = QPushButton("Put back", box)
        self.back.setToolTip("Make the design what this version is; one undo takes it back")
        self.flip = QPushButton("Flip to it", box)
        self.flip.setToolTip("Look at it in place of the design; F5 flips between the two")
        self.changes = QPushButton("Changes…", box)
        self.changes.setToolTip("List what changed since this version, to copy or save")
        self.remove = QPushButton("Remove", box)
        self.remove.setToolTip("Remove this version")
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        for place, (label, words) in enumerate(((self._then, "Then"), (self._now, "Now"))):
            label.setMinimumHeight(_COMPARED.height())
            label.setAlignment(Qt.AlignmentFlag.AlignCenter)
            label.setAccessibleName(f"Picture of the design {words.lower()}")
            head = Note(words, box)
            head.setAlignment(Qt.AlignmentFlag.AlignCenter)
            grid.addWidget(head, 0, place)
            grid.addWidget(label, 1, place)
        grid.addWidget(self.since, 2, 0, 1, 2)
        for place, button in enumerate((self.back, self.flip, self.changes, self.remove)):
            grid.addWidget(button, 3 + place // 2, place % 2)
        for button, signal in (
            (self.back, self.back_wished),
            (self.flip, self.flip_wished),
            (self.changes, self.changes_wished),
            (self.remove, self.remove_wished),
        ):
            button.clicked.connect(lambda _=False, s=signal: self._wish(s))
        return box

    def _wish(self, signal: object) -> None:
        if self.version is not None:
            signal.emit(self.version)  # type: ignore[attr-defined]

    def _choose(self) -> None:
        version = self.version
        self._compared.setVisible(version is not None)
        if version is not None:
            self.chosen.emit(version)

    def _icon(self, image: QImage | None) -> QIcon:
        if image is None:
            blank = QPixmap(_PICTURE)
            blank.fill(Qt.GlobalColor.transparent)
            return QIcon(blank)
        return QIcon(_scaled(image, _PICTURE * 2))


def version_title(version: Version) -> str:
    """Return what a version is called."""
    if version.number is not None:
        return f"Issued as number {version.number}" + (f": {version.name}" if version.name else "")
    if version.kind == "kept":
        return version.name or "Kept"
    return version.name or "Saved"


def _words(line: VersionLine) -> str:
    version = line.version
    parts = [f"{version_title(version)} – {moment_text(version.when)}"]
    if version.note:
        parts.append(version.note)
    parts.append("The first one." if line.changes is None else in_one_line(line.changes, 2))
    return "\n".join(parts)


def _all_words(line: VersionLine) -> str:
    if line.changes is None:
        return "The first version kept"
    return "Changed from the one before:\n" + "\n".join(line.changes[:20] or ("nothing",))


def _scaled(image: QImage, size: QSize) -> QPixmap:
    return QPixmap.fromImage(image).scaled(
        size,
        Qt.AspectRatioMode.KeepAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )
