"""The first steps as one quiet line: what they are, which are done, how the next one is done."""

from functools import partial
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QToolButton, QWidget

from app.theme import UNIT, Theme, small
from core.records import Struct


class Step(Struct, frozen=True):
    """One of the first steps.

    Attributes:
        key: The program's name for it.
        name: What it is, in two or three words.
        how: How it is done, in a sentence.
    """

    key: str
    name: str
    how: str


STEPS: Final = (
    Step(
        "shape",
        "Shape the wave",
        "Drag a mark on the wave below up, down or sideways; the arrow keys do it too.",
    ),
    Step(
        "stripes",
        "Change a stripe",
        "On the strip of colours, double-click a stripe or drag it; Enter opens its yarns.",
    ),
    Step(
        "size",
        "Set the size",
        "Click the width or the length in the sentence above, or drag the blanket's edge.",
    ),
    Step("export", "Export the chart", "Click Export at the top right and choose a folder."),
)
ALL_DONE: Final = "That was all of it. This line can be closed; Help has it."
_DONE, _OPEN = "✓", "○"


class FirstLine(QWidget):
    """Names the first steps; a step that is clicked shows where it is done."""

    step_wished = Signal(str)  # key of the step
    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._done: frozenset[str] = frozenset()
        self._chosen = ""
        self.setAccessibleName("First steps")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        font = small(self.font())
        self.steps = {step.key: QToolButton(self) for step in STEPS}
        self.how = QLabel(self)
        self.how.setFont(font)
        self.how.setProperty("quiet", True)
        self.how.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.how.setMinimumWidth(24 * UNIT)
        self.how.setWordWrap(True)
        self.setMinimumHeight(3 * UNIT)  # what it needs follows from its width
        self.close_button = QToolButton(self)
        self.close_button.setText("Close")
        self.close_button.setFont(font)
        self.close_button.setAccessibleName("Close the first steps")
        self.close_button.setToolTip("Close this line for good; Help > First steps brings it back")
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 0, 2 * UNIT, 4)
        row.setSpacing(UNIT // 2)
        for step in STEPS:
            button = self.steps[step.key]
            button.setFont(font)
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            button.clicked.connect(partial(self._choose, step.key))
            row.addWidget(button)
        row.addSpacing(UNIT)
        row.addWidget(self.how, 1)
        row.addWidget(self.close_button)
        self.close_button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.close_button.clicked.connect(self.closed)
        theme.changed.connect(self._dress)
        self._dress()
        self.show_done(frozenset())

    def minimumSizeHint(self) -> QSize:
        """Return little width: the sentence is what gives way."""
        return QSize(40 * UNIT, super().minimumSizeHint().height())

    @property
    def next_step(self) -> Step | None:
        """The first step that isn't done."""
        return next((step for step in STEPS if step.key not in self._done), None)

    def show_done(self, done: frozenset[str]) -> None:
        """Tick the steps that are done and say how the next one is."""
        if done - self._done:
            self._chosen = ""
        self._done = done
        for number, step in enumerate(STEPS, 1):
            is_done, button = step.key in done, self.steps[step.key]
            button.setText(f"{_DONE if is_done else _OPEN} {step.name}")
            button.setAccessibleName(f"Step {number}, {'done' if is_done else 'open'}: {step.name}")
            button.setToolTip(f"{step.how} Click to be shown where.")
        self._say()

    def _choose(self, key: str) -> None:
        self._chosen = key
        self._say()
        self.step_wished.emit(key)

    def _say(self) -> None:
        chosen = next((step for step in STEPS if step.key == self._chosen), self.next_step)
        for key, button in self.steps.items():
            _set_property(button, "now", chosen is not None and key == chosen.key)
        text = chosen.how if chosen is not None else ALL_DONE
        self.how.setText(text)
        self.how.setToolTip(text)

    def _dress(self) -> None:
        tones = self._theme.tones
        self.setStyleSheet(
            f"QToolButton {{ border: 1px solid transparent; padding: 1px 6px; "
            f"color: {tones.muted}; }}"
            f'QToolButton[now="true"] {{ color: {tones.accent}; font-weight: 600; }}'
            f"QToolButton:hover {{ color: {tones.accent}; border-color: {tones.hairline}; }}"
            f"QToolButton:focus {{ border: 2px solid {tones.accent}; padding: 0 5px; }}"
        )


def _set_property(widget: QWidget, name: str, value: bool) -> None:
    if widget.property(name) != value:
        widget.setProperty(name, value)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
