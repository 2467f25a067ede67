"""First-row rescue: what to do when chain or first row don't come out, without ripping."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QScrollArea,
    QSpinBox,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, figure, small
from app.views.figures import length_text
from app.views.pages.fields import bare_line
from core.doctor.counts import read_counts
from core.errors import DesignError
from core.pipeline import Results
from core.rescue.advice import (
    SITUATIONS,
    Advice,
    about_chain,
    about_end,
    about_lost_count,
    about_markers,
)
from core.rescue.chain import MAX_CHAINS, ChainHelp, help_with_chain
from core.rescue.first_row import slips_of_first_row
from core.rescue.markers import check_markers
from core.rescue.sides import if_turned_over, where_tails_lie

_HEADS: Final = ("Repeats", "Chains", "To do", "Stitches", "Width")
_MOST_LEFT: Final = 2000
_MISFIT: Final = "The rows don't fit one another yet: mend them first, the page Checks says where."


class RescueDialog(QDialog):
    """Situations on the left, what was counted and what to do on the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("First-row rescue")
        self._results: Results | None = None
        self._chosen_chain = False  # whether a chain was typed, so that it stays
        self.list = QListWidget(self)
        self.list.setAccessibleName("What happened")
        self.list.setProperty("lines", True)
        self.list.setWordWrap(True)
        self.list.setFixedWidth(248)
        self.list.setSpacing(UNIT // 2)
        for _, words in SITUATIONS:
            self.list.addItem(words)
        self.forms = QStackedWidget(self)
        for form in (
            self._chain_form(),
            self._end_form(),
            self._marker_form(),
            QWidget(self),
            QWidget(self),
        ):
            self.forms.addWidget(form)
        self.head = QLabel(self)
        self.head.setFont(figure(self.font(), large=1.25))
        self.lines = QLabel(self)
        self.source = QLabel(self)
        self.source.setProperty("quiet", True)
        self.source.setFont(small(QApplication.font()))
        for label in (self.head, self.lines, self.source):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(
                Qt.TextInteractionFlag.TextSelectableByMouse
                | Qt.TextInteractionFlag.TextSelectableByKeyboard
            )
        self.fits_name = QLabel("Widths that fit a chain near this one", self)
        self.fits = _FitTable(self)
        self.fits_name.setBuddy(self.fits)
        answer = QWidget(self)
        column = QVBoxLayout(answer)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        for part in (self.head, self.lines, self.fits_name, self.fits, self.source):
            column.addWidget(part)
        column.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(answer)
        answer.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        close = QPushButton("Cl&ose", self)
        close.setAutoDefault(False)
        close.setToolTip("Close (Esc)")
        close.clicked.connect(self.reject)
        right = QVBoxLayout()
        right.setSpacing(2 * UNIT)
        right.addWidget(self.forms)
        right.addWidget(scroll, 1)
        right.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(self.list)
        row.addLayout(right, 1)
        self.resize(832, 560)
        self.list.currentRowChanged.connect(self._choose)
        self.list.setCurrentRow(0)
        self.list.setFocus()

    # fields

    def _chain_form(self) -> QWidget:
        self.chains = _spin("Chains I have", 0, MAX_CHAINS)
        self.chains.setToolTip("Chains counted, without the loop on the hook")
        self.chains.valueChanged.connect(lambda: self._typed_chain())
        return _form(("&Chains I have, without the loop on the hook", self.chains))

    def _end_form(self) -> QWidget:
        self.left_over = _spin("Chains left over", -_MOST_LEFT, _MOST_LEFT)
        self.left_over.setToolTip("Chains after the last stitch; below zero for chains missing")
        self.row_stitches = _spin("Stitches in row 1", 0, MAX_CHAINS)
        self.row_stitches.setToolTip("Stitches in row 1, the turning chain with them if it counts")
        self.is_counted = QCheckBox("I &counted the stitches of row 1", self)
        self.is_counted.setToolTip("With the count, one cause can be told from another")
        self.is_counted.toggled.connect(self.row_stitches.setEnabled)
        self.row_stitches.setEnabled(False)
        for spin in (self.left_over, self.row_stitches):
            spin.valueChanged.connect(lambda: self._answer())
        self.is_counted.toggled.connect(lambda: self._answer())
        return _form(
            ("Chains &left over (below 0: missing)", self.left_over),
            ("", self.is_counted),
            ("&Stitches in row 1", self.row_stitches),
        )

    def _marker_form(self) -> QWidget:
        self.row_number = _spin("Row", 1, 5000)
        self.row_number.setToolTip("The row that doesn't come out")
        self.row_number.valueChanged.connect(lambda: self._answer())
        self.markers = QLineEdit(self)
        self.markers.setMaxLength(600)
        self.markers.setPlaceholderText("3: 38, 6: 75")
        self.markers.setAccessibleName("Stitches counted up to markers")
        self.markers.setToolTip(
            "A marker's number and the stitches up to it; markers after repeats"
        )
        self.markers.textEdited.connect(lambda: self._answer())
        return _form(
            ("&Row", self.row_number),
            ("Stitches up to &markers, one after each repeat", self.markers),
        )

    # what is shown

    def show_results(self, results: Results) -> None:
        """Answer for this design; what was typed stays."""
        self._results = results
        wanted = results.rows.foundation.chains
        if not self._chosen_chain:
            self.chains.blockSignals(True)
            self.chains.setValue(min(wanted, MAX_CHAINS))
            self.chains.blockSignals(False)
        if not self.is_counted.isChecked():
            self.row_stitches.blockSignals(True)
            self.row_stitches.setValue(min(results.rows.makes(1), MAX_CHAINS))
            self.row_stitches.blockSignals(False)
        self.row_number.setMaximum(max(results.design.size.rows, 1))
        self._answer()

    def _typed_chain(self) -> None:
        self._chosen_chain = True
        self._answer()

    def _choose(self, number: int) -> None:
        self.forms.setCurrentIndex(number)
        form = self.forms.currentWidget()
        has_fields = form is not None and form.layout() is not None
        self.forms.setVisible(has_fields)
        if form is not None and has_fields:
            self.forms.setMaximumHeight(form.sizeHint().height())
        self._answer()

    def _answer(self) -> None:
        results = self._results
        if results is None:
            return
        with_table = self.list.currentRow() == 0
        self.fits.setVisible(with_table)
        self.fits_name.setVisible(with_table)
        if results.rows.misfit is not None:
            self._show(Advice(_MISFIT, (), ""))
            return
        situation = SITUATIONS[max(self.list.currentRow(), 0)][0]
        design = results.design
        if situation == "chain":
            wave = results.finished_wave
            found = help_with_chain(design, self.chains.value(), results.size, wave)
            self.fits.show_fits(found, results)
            self._show(about_chain(design, found))
        elif situation == "end":
            counted = self.row_stitches.value() if self.is_counted.isChecked() else None
            left = self.left_over.value()
            self._show(about_end(design, left, counted, slips_of_first_row(design, left, counted)))
        elif situation == "markers":
            self._answer_markers()
        elif situation == "side":
            over = if_turned_over(design, results.rows)
            lines = (*over[1:], *where_tails_lie(design, results.rows))
            self._show(Advice(over[0], lines, "Worked out from the design's rows and stripes."))
        else:
            self._show(about_lost_count(design))

    def _answer_markers(self) -> None:
        assert self._results is not None
        design, row = self._results.design, self.row_number.value()
        try:
            counts = read_counts(self.markers.text(), what="marker")
        except DesignError as error:
            self._show(Advice(f"⚠ {error}.", (), ""))
            return
        self._show(about_markers(design, row, check_markers(design, row, counts)))

    def _show(self, advice: Advice) -> None:
        self.head.setText(advice.head)
        self.lines.setText("\n\n".join(advice.lines))
        self.lines.setVisible(bool(advice.lines))
        self.source.setText(f"How we know: {advice.source}" if advice.source else "")


class _FitTable(QTableWidget):
    """Numbers of repeats that fit the chain, with what each takes."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(0, len(_HEADS), parent)
        self.setHorizontalHeaderLabels(list(_HEADS))
        self.verticalHeader().hide()
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAccessibleName("Widths that fit a chain near this one")
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        header.setMinimumSectionSize(11 * UNIT)
        for column in range(self.columnCount()):
            item = self.horizontalHeaderItem(column)
            if item is not None:
                item.setTextAlignment(_sides(column))

    def show_fits(self, found: ChainHelp, results: Results) -> None:
        """List the fits; the design's own and the nearest are said to be so."""
        self.setRowCount(len(found.fits))
        for row, fit in enumerate(found.fits):
            todo = "nothing"
            if fit.change:
                todo = f"{'add' if fit.change > 0 else 'unpick'} {abs(fit.change)}"
            width = "–"
            if fit.width_mm is not None and fit.width_mm > 0:
                width = length_text(fit.width_mm, results.design.units)
            marks = [
                word
                for word, holds in (("designed", fit.is_design), ("nearest", fit is found.nearest))
                if holds
            ]
            repeats = f"{fit.repeats}" + (f" ({', '.join(marks)})" if marks else "")
            for column, text in enumerate(
                (repeats, f"{fit.chains}", todo, f"{fit.stitches}", width)
            ):
                item = QTableWidgetItem(text)
                item.setTextAlignment(_sides(column))
                self.setItem(row, column, item)
        height = self.horizontalHeader().sizeHint().height() + 2 * UNIT
        self.setFixedHeight(height + sum(self.rowHeight(row) for row in range(len(found.fits))))


def _sides(column: int) -> Qt.AlignmentFlag:
    """Return where a column's words stand: the first left, the others in line at the right."""
    side = Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _spin(name: str, least: int, most: int) -> QSpinBox:
    spin = QSpinBox()
    spin.setRange(least, most)
    spin.setAccessibleName(name)
    bare_line(spin)
    spin.setMinimumWidth(96)
    spin.setMaximumWidth(144)
    return spin


def _form(*rows: tuple[str, QWidget]) -> QWidget:
    widget = QWidget()
    form = QFormLayout(widget)
    form.setContentsMargins(0, 0, 0, 0)
    form.setHorizontalSpacing(UNIT)
    form.setVerticalSpacing(UNIT)
    _fill(form, rows)
    return widget


def _fill(form: QFormLayout, rows: Sequence[tuple[str, QWidget]]) -> None:
    for words, field in rows:
        form.addRow(words, field)
