"""What a crash left, shown with pictures: recover it, keep the saved one, or decide later."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QDialogButtonBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain
from app.documents import Documents, start_another
from app.keeping.keeper import Keeper
from app.keeping.recovery import Left, left_behind
from app.session import Session
from app.theme import UNIT
from app.views.moments import moment_text
from core.design.differences import in_one_line

Decision = Literal["recover", "saved", "later"]

_PICTURE: Final = QSize(112, 80)
_MOST: Final = 20
_STEP: Final = "Recover unsaved changes"


class RecoveryDialog(QDialog):
    """Asks about every design with changes that were never saved, in one go."""

    def __init__(self, lefts: Sequence[Left], keeper: Keeper, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Unsaved designs")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.lefts = tuple(lefts[:_MOST])
        self._keeper = keeper
        self._groups: list[QButtonGroup] = []
        self._pictures: dict[str, QLabel] = {}
        one = len(self.lefts) == 1
        head = QLabel(
            f"{'A design was' if one else 'Some designs were'} still unsaved when the program "
            "ended. Nothing is deleted until you decide.",
            self,
        )
        head.setWordWrap(True)
        cards = QWidget(self)
        column = QVBoxLayout(cards)
        column.setContentsMargins(0, 0, UNIT, 0)
        column.setSpacing(2 * UNIT)
        for number, left in enumerate(self.lefts):
            column.addWidget(self._card(number, left, cards))
        column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setAccessibleName("Designs that were left")
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidget(cards)
        cards.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        buttons = QDialogButtonBox(self)
        go_on = QPushButton("&Go on", self)
        go_on.setProperty("primary", True)
        go_on.setDefault(True)
        buttons.addButton(go_on, QDialogButtonBox.ButtonRole.AcceptRole)
        go_on.setToolTip("Do for each design what is chosen")
        later = buttons.addButton("Decide all &later", QDialogButtonBox.ButtonRole.RejectRole)
        later.setToolTip("Change nothing now; they are offered again (Esc)")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        outer.setSpacing(2 * UNIT)
        outer.addWidget(head)
        outer.addWidget(scroll, 1)
        outer.addWidget(buttons)
        self.resize(600, min(132 + 96 * len(self.lefts), 560))
        keeper.pictures.ready.connect(self._show_picture)
        for left in self.lefts:
            keeper.pictures.ask(str(left.journal), lambda left=left: left.design)  # type: ignore[misc]
            self._show_picture(str(left.journal))

    def decision(self, number: int) -> Decision:
        """Return what was chosen for a design."""
        chosen = self._groups[number].checkedId()
        choices: tuple[Decision, ...] = ("recover", "saved", "later")
        return choices[chosen] if chosen >= 0 else "later"

    def decide(self, number: int, decision: Decision) -> None:
        """Choose for a design."""
        self._groups[number].button(("recover", "saved", "later").index(decision)).setChecked(True)

    def _card(self, number: int, left: Left, parent: QWidget) -> QWidget:
        card = QWidget(parent)
        picture = QLabel(card)
        picture.setFixedSize(_PICTURE)
        picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        picture.setAccessibleName(f"Picture of {left.design.title}")
        self._pictures[str(left.journal)] = picture
        title = QLabel(left.design.title or "Without a title", card)
        bold = title.font()
        bold.setBold(True)
        title.setFont(bold)
        about = QLabel(told_of(left), card)
        about.setProperty("quiet", True)
        for label in (title, about):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        choices = QHBoxLayout()
        choices.setSpacing(2 * UNIT)
        group = QButtonGroup(card)
        refuse = "Keep the saved one" if left.path is not None else "Throw it away"
        tips = (
            "Open it as it was; it is saved only when you save it",
            "The file stays as it is; these changes go to its versions"
            if left.path is not None
            else "It was never saved; it will be gone",
            "Leave both as they are for now",
        )
        for place, words in enumerate(("Recover", refuse, "Decide later")):
            button = QRadioButton(words, card)
            button.setToolTip(tips[place])
            button.setAccessibleName(f"{words}: {left.design.title}")
            group.addButton(button, place)
            choices.addWidget(button)
        group.button(0).setChecked(True)
        choices.addStretch(1)
        self._groups.append(group)
        words_column = QVBoxLayout()
        words_column.setSpacing(UNIT // 2)
        words_column.addWidget(title)
        words_column.addWidget(about)
        words_column.addLayout(choices)
        words_column.addStretch(1)
        row = QHBoxLayout(card)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(picture, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words_column, 1)
        return card

    def _show_picture(self, name: str) -> None:
        image, label = self._keeper.pictures.picture(name), self._pictures.get(name)
        if image is not None and label is not None:
            label.setPixmap(
                QPixmap.fromImage(image).scaled(
                    _PICTURE,
                    Qt.AspectRatioMode.KeepAspectRatio,
                    Qt.TransformationMode.SmoothTransformation,
                )
            )


def told_of(left: Left) -> str:
    """Return where a design belongs, when it was changed last, and what is new in it."""
    moment = f"Last changed {moment_text(left.when)}."
    if left.path is None:
        return f"Never saved. {moment}"
    if left.saved is None:
        return f"Its file {left.path.name} is gone or can't be read. {moment}"
    return f"{left.path.name}. {moment} {in_one_line(left.changes)}"


class Recovery(QObject):
    """Looks for what a crash left, asks about it once, and does what was decided."""

    said = Signal(str)
    looked = Signal(int)  # how many designs were found; what starts the program may wait for it

    def __init__(
        self, session: Session, keeper: Keeper, documents: Documents, window: QWidget
    ) -> None:
        super().__init__(window)
        self._session, self._keeper = session, keeper
        self._documents, self._window = documents, window
        self.dialog: RecoveryDialog | None = None

    def look(self, *, only: Path | None = None, tell_if_none: bool = False) -> None:
        """Look for what was left, of one file or of all, and ask about it if there is any."""
        self._keeper.do(
            partial(left_behind, self._keeper.places.journals),
            partial(self._ask, only=only, tell_if_none=tell_if_none),
        )

    def recover_by_name(self, name: str) -> None:
        """Recover one design, named by its journal."""
        self._keeper.do(
            partial(left_behind, self._keeper.places.journals),
            partial(self._recover_named, name),
        )

    def _recover_named(self, name: str, lefts: tuple[Left, ...]) -> None:
        for left in lefts:
            if left.journal.stem == name:
                self._recover(left)
                return

    def _ask(self, lefts: tuple[Left, ...], *, only: Path | None, tell_if_none: bool) -> None:
        if only is not None:
            lefts = tuple(left for left in lefts if left.path == only)
        self.looked.emit(len(lefts))
        if not lefts:
            if tell_if_none:
                self.said.emit("There is nothing to recover: every change was saved or given up.")
            return
        if self.dialog is not None:
            return
        dialog = self.dialog = RecoveryDialog(lefts, self._keeper, self._window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: self._do(dialog))
        dialog.finished.connect(self._forget)
        dialog.open()

    def _forget(self) -> None:
        self.dialog = None

    def _do(self, dialog: RecoveryDialog) -> None:
        chosen = [(left, dialog.decision(n)) for n, left in enumerate(dialog.lefts)]
        for left, decision in chosen:
            if decision == "saved":
                try:
                    self._keeper.keep_saved_one(left)
                except OSError as error:
                    why = f"{error.strerror or error}. They are offered again"
                    complain(self._window, "These changes couldn't be put away", why)
        recover = [left for left, decision in chosen if decision == "recover"]
        if recover and self._documents.may_leave():
            self._recover(recover[0])
            for left in recover[1:]:
                start_another("--recover", left.journal.stem)

    def _recover(self, left: Left) -> None:
        """Show a design with its unsaved changes; they are one step that can be undone."""
        presence = self._keeper.presence
        path = left.path if left.saved is not None else None
        claim = presence.ask(path) if path is not None else None
        if claim is not None and claim.standing != "ours":
            path, claim = None, None
        if path is not None and claim is not None and left.saved is not None:
            presence.keep(claim)
            self._session.open(left.saved, path)
            self._session.change(_STEP, lambda _: left.design)
        else:
            self._session.open(left.design, None, unsaved=True)
        self._keeper.autosave.adopt(left.journal)
        self.said.emit("Recovered. Save it when it is as you want it.")
