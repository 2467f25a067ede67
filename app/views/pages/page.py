"""What all pages share: the wish, and a column of named fields and figures."""

from typing import ClassVar, Final

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QFont, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, Theme, figure, small
from core.design.edits import Edit
from core.design.validation import checked
from core.errors import DesignError
from core.pipeline import Results

_WIDTH: Final = 300
_FIELD_SIGNS: Final = 12  # that a field shows at least, beside its label


class Page(QWidget):
    """A page at the side: shows results, wishes for edits."""

    title: ClassVar[str] = ""

    wish = Signal(str, object, object)  # text of the step, the edit, its gesture

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self.setAccessibleName(self.title)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setAutoFillBackground(True)

    def sizeHint(self) -> QSize:
        """Return a slim column."""
        return QSize(_WIDTH, 640)

    def minimumSizeHint(self) -> QSize:
        """Return little: what doesn't fit is scrolled or wrapped."""
        return QSize(200, 120)

    def show_results(self, results: Results) -> None:
        """Show these results; wishes for nothing."""
        self._results = results

    def ask(self, text: str, edit: Edit, gesture: object | None = None) -> None:
        """Wish for an edit; if it can't be, or changes nothing, show again what is."""
        before = self._results
        self.wish.emit(text, edit, gesture)
        if before is not None and self._results is before and not _changes(edit, before):
            self.show_results(before)


def _changes(edit: Edit, results: Results) -> bool:
    try:
        return checked(edit(results.design)) != results.design
    except (DesignError, ValueError):
        return False


class FormPage(Page):
    """A page that is one column of headings, fields and figures, and scrolls."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        scroll = self._scroll = QScrollArea(self)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._column = _Body(scroll)
        self._main = self._form = _form(self._column)
        self._main.setContentsMargins(2 * UNIT, UNIT, 2 * UNIT, 2 * UNIT)
        self._forms = [self._main]
        scroll.setWidget(self._column)
        self._column.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll)
        self._in_order: list[QWidget] = []
        self._labels: list[QLabel] = []

    def heading(self, text: str) -> QLabel:
        """Begin a part of the page."""
        self._form = self._main
        label = QLabel(text, self._column)
        bold = QFont()
        bold.setWeight(QFont.Weight.DemiBold)
        label.setFont(bold)
        label.setContentsMargins(0, UNIT if self._form.rowCount() else 0, 0, 0)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        self._form.addRow(label)
        return label

    def fold(self, text: str) -> "Fold":
        """Begin a part of the page that can be folded away; it is folded at first."""
        body = _Body(self._column)
        self._form = _form(body)
        self._form.setContentsMargins(0, 0, 0, UNIT)
        self._forms.append(self._form)
        fold = Fold(text, body, self._column)
        self._main.addRow(fold.button)
        self._main.addRow(fold.summary)
        self._main.addRow(body)
        self._follow(fold.button)
        return fold

    def note(self, text: str = "") -> "Note":
        """Add a quiet sentence."""
        label = Note(text, self._column)
        self._form.addRow(label)
        return label

    def trouble(self) -> "Trouble":
        """Add a place for a sentence on what is wrong; hidden until there is one."""
        label = Trouble(self._column)
        self._form.addRow(label)
        return label

    def plain(self, widget: QWidget) -> None:
        """Add something as wide as the page that takes no focus."""
        self._form.addRow(widget)

    def field(self, words: str, field: QWidget) -> None:
        """Add a field with its label."""
        label = QLabel(words, self._column)
        label.setBuddy(field)
        self._labels.append(label)
        self._form.addRow(label, field)
        self._follow(field)

    def set_field_shown(self, field: QWidget, *, shown: bool) -> None:
        """Show a field with its label, or put both away."""
        for form in self._forms:
            if form.indexOf(field) >= 0:
                form.setRowVisible(field, shown)

    def whole(self, widget: QWidget, *focusable: QWidget) -> None:
        """Add something as wide as the page; `focusable` are the parts that take the focus."""
        self._form.addRow(widget)
        for part in focusable or (widget,):
            self._follow(part)

    def figure(self, words: str) -> "FigureText":
        """Add a figure with its label."""
        value = FigureText(words, self._column)
        row = QHBoxLayout()
        row.setSpacing(UNIT)
        row.addWidget(value.label, 1)
        row.addWidget(value)
        self._form.addRow(row)
        value.row = row
        return value

    def set_figure_shown(self, value: "FigureText", *, shown: bool) -> None:
        """Show a figure with its label, or put both away."""
        for form in self._forms:
            if value.row is not None and form.indexOf(value.row) >= 0:
                form.setRowVisible(value.row, shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Set labels above their fields where both don't fit beside each other."""
        super().resizeEvent(event)
        label = max((label.sizeHint().width() for label in self._labels), default=0)
        signs = self.fontMetrics().averageCharWidth() * _FIELD_SIGNS + 4 * UNIT
        least = [
            field.minimumSizeHint().width() for field in map(QLabel.buddy, self._labels) if field
        ]
        field = max(signs, *least) if least else signs
        room = self.width() - 4 * UNIT - self._scroll.verticalScrollBar().sizeHint().width()
        fits = label + UNIT + field <= room
        policy = QFormLayout.RowWrapPolicy
        for form in self._forms:
            form.setRowWrapPolicy(policy.DontWrapRows if fits else policy.WrapAllRows)

    def _follow(self, widget: QWidget) -> None:
        """Let the focus come here after the widget added before."""
        if self._in_order:
            QWidget.setTabOrder(self._in_order[-1], widget)
        else:
            self.setFocusProxy(widget)
        self._in_order.append(widget)


def _form(parent: QWidget) -> QFormLayout:
    form = QFormLayout(parent)
    form.setHorizontalSpacing(UNIT)
    form.setVerticalSpacing(UNIT)
    form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.DontWrapRows)
    form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
    form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    return form


class _Body(QWidget):
    """A form's room; it is laid out once more whenever that changes.

    A form otherwise keeps the heights that wrapped lines had in the room before.
    """

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the fields out for this room."""
        super().resizeEvent(event)
        layout = self.layout()
        if layout is not None:
            layout.invalidate()
            layout.setGeometry(self.rect())


class Fold(QObject):
    """A part of a page under a heading that folds it away, with a line that sums it up."""

    def __init__(self, text: str, body: QWidget, parent: QWidget) -> None:
        super().__init__(parent)
        self._text, self._body = text, body
        self._is_chosen = False  # folded or unfolded by hand: it then stays so
        self.button = QToolButton(parent)
        self.button.setText(text)
        self.button.setCheckable(True)
        self.button.setProperty("fold", True)
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        bold = QFont()
        bold.setWeight(QFont.Weight.DemiBold)
        self.button.setFont(bold)
        self.summary = Note("", parent)
        self.button.clicked.connect(self._choose)
        self._show(is_open=False)

    @property
    def is_open(self) -> bool:
        """Whether its fields can be seen."""
        return self.button.isChecked()

    def sum_up(self, summary: str, *, matters: bool) -> None:
        """Say what it holds while it is folded; it opens by itself where that matters."""
        self.summary.setText(summary)
        self._show(is_open=self.is_open if self._is_chosen else matters or self.is_open)

    def open(self) -> None:
        """Unfold it."""
        self._is_chosen = True
        self._show(is_open=True)

    def _choose(self, is_open: bool) -> None:
        self._is_chosen = True
        self._show(is_open=is_open)

    def _show(self, *, is_open: bool) -> None:
        self.button.setChecked(is_open)
        self.button.setArrowType(Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow)
        self.button.setToolTip(f"{'Fold' if is_open else 'Unfold'}: {self._text}")
        self.button.setAccessibleName(
            f"{self._text}, {'unfolded' if is_open else f'folded. {self.summary.text()}'}"
        )
        self._body.setVisible(is_open)
        self.summary.setVisible(not is_open and bool(self.summary.text()))


class Note(QLabel):
    """A quiet sentence in the small size."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setProperty("quiet", True)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(small(QApplication.font()))

    def say(self, text: str) -> None:
        """Say something else, or take no room where there is nothing to say."""
        self.setText(text)
        self.setVisible(bool(text))

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's text size."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            self.setFont(small(QApplication.font()))
        super().changeEvent(event)


class Trouble(Note):
    """A sentence on what is wrong, marked as such."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.setProperty("quiet", False)
        self.setProperty("trouble", True)
        self.hide()

    def say(self, text: str) -> None:
        """Say what is wrong."""
        super().say(f"⚠ {text}" if text else "")


class FigureText(QLabel):
    """A figure that follows from the design, with its name at its left."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.row: QHBoxLayout | None = None
        self.label = QLabel(words, parent)
        self.label.setProperty("quiet", True)
        self.label.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setFont(figure(QApplication.font(), large=1.1))

    def show_text(self, text: str) -> None:
        """Show a figure."""
        self.setText(text)
        self.setAccessibleName(f"{self.label.text()}: {text}")

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's text size."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            self.setFont(figure(QApplication.font(), large=1.1))
        super().changeEvent(event)
