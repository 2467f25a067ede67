"""The open design and its history: the only writer.

Undo is a stack of designs. A step holds the whole design before and after it; as designs are
immutable that is two references, and undoing gives back the very same object (an equal one, far
back in the history of a giant: `core.design.history`).
"""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from core.design.document import Design
from core.design.edits import Edit
from core.design.history import Step, Steps
from core.design.steps import step_text
from core.design.validation import checked
from core.errors import DesignError


class ReplaceDesign(QUndoCommand):
    """One undoable step, kept as the whole design before and after it."""

    def __init__(
        self,
        text: str,
        show: Callable[[Design], None],
        before: Step,
        after: Step,
        gesture: object | None,
    ) -> None:
        super().__init__(step_text(text, before.design, after.design))
        self._deed = text
        self._show = show
        self._before = before
        self._after = after
        self._gesture = gesture

    def redo(self) -> None:
        """Show the design after the step."""
        self._show(self._after.design)

    def undo(self) -> None:
        """Show the design before it."""
        self._show(self._before.design)

    def id(self) -> int:
        """Return one number for all steps: any two may merge, `mergeWith` decides."""
        return 1

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Join steps of one gesture, and forget a gesture that came back to its start."""
        if not isinstance(other, ReplaceDesign) or self._gesture is None:
            return False
        if other._gesture is not self._gesture:
            return False
        self._after = other._after
        self.setText(step_text(self._deed, self._before.design, self._after.design))
        self.setObsolete(self._after.design == self._before.design)
        return True


class Session(QObject):
    """Holds the open design and tells everybody when it changes."""

    design_changed = Signal(object)  # the new Design
    refused = Signal(str)  # a sentence: why an edit was not made
    opened = Signal()  # another design, or the same one under another name
    replaced = Signal()  # another design: nothing that was seen of the last one holds

    def __init__(self, design: Design, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._design = design
        self._path: Path | None = None
        self._steps = Steps()
        self._step = self._steps.step(design, None)
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(2000)

    @property
    def design(self) -> Design:
        """The open design."""
        return self._design

    @property
    def path(self) -> Path | None:
        """The file it was read from or written to last."""
        return self._path

    @property
    def is_saved(self) -> bool:
        """Whether the file holds what is shown."""
        return self.undo_stack.isClean()

    def change(self, text: str, edit: Edit, gesture: object | None = None) -> bool:
        """Apply an edit as one undoable step called `text`.

        Pass the same `gesture` for all steps of one drag to join them. An edit that would
        leave the bounds is refused and changes nothing.
        """
        try:
            after = checked(edit(self._design))
        except (DesignError, ValueError) as error:
            self.refused.emit(f"{text} isn't possible: {error}.")
            return False
        if after != self._design:
            before, step = self._now(), self._steps.step(after, self._design)
            self.undo_stack.push(ReplaceDesign(text, self._show, before, step, gesture))
            self._step = step
        return True

    def open(self, design: Design, path: Path | None, *, unsaved: bool = False) -> None:
        """Put another design in place of this one; its history starts anew.

        With `unsaved`, no file holds it yet and it is not to be left unasked.
        """
        self.undo_stack.clear()
        self._step = self._steps.step(design, None)
        if unsaved:
            self.undo_stack.resetClean()
        self._path = path
        self._show(design)
        self.replaced.emit()
        self.opened.emit()

    def mark_saved(self, path: Path) -> None:
        """Note that `path` now holds the design as shown."""
        self._path = path
        self.undo_stack.setClean()
        self.opened.emit()

    def _now(self) -> Step:
        """Return what is shown as a step of the history, the same one that made it if it can be."""
        if self._step.is_packed or self._step.design is not self._design:
            self._step = self._steps.step(self._design, self._step.design)
        return self._step

    def _show(self, design: Design) -> None:
        self._design = design
        self.design_changed.emit(design)
