"""The export sheet's left side: which files, what the chart shows, how large it is."""

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.painting.choices import Choices, Pages
from app.theme import UNIT
from app.views.edition_fields import EditionFields
from app.views.pages.fields import bare_line
from core.booklet.options import PageName
from core.chart.clearance import LEAST_MM
from core.chart.piece import Part, Shown, extent_of
from core.chart.sheet import Apart
from core.design.document import Design, Hand

WIDEST_MM: Final = 5000
_SHOWN: Final[tuple[Shown, ...]] = ("extract", "part", "whole")
_APART: Final[tuple[Apart, ...]] = ("weight", "lines", "none")
_PAGES: Final[tuple[Pages, ...]] = ("own", "A4", "Letter")
_PAPERS: Final[tuple[PageName, ...]] = ("a4", "letter")
_HANDS: Final[tuple[Hand, ...]] = ("right", "left")
_FIRST_FILES: Final = ("chart-svg", "chart-png", "rows-txt")


class ExportFields(QWidget):
    """What can be chosen; says when it changes."""

    changed = Signal()
    least_changed = Signal()

    def __init__(self, design: Design, files: list[tuple[str, str, str]], parent: QWidget) -> None:
        super().__init__(parent)
        self._design = design
        self._sizes: dict[str, QLabel] = {}
        self._files: dict[str, QCheckBox] = {}
        self._groups: dict[str, list[str]] = {}
        for name, about, group in files:
            self._groups.setdefault(group, []).append(name)
            self._files[name] = QCheckBox(about, self)
            self._files[name].setChecked(name in _FIRST_FILES)
            self._sizes[name] = QLabel(self)
            self._sizes[name].setProperty("quiet", "true")
        self._make_chart_fields()
        self._make_size_fields()
        self._lay_out()
        self._wire()
        self._follow()

    # what was chosen

    def wanted(self) -> list[str]:
        """Return the names of the files that are ticked."""
        return [name for name, box in self._files.items() if box.isChecked()]

    def choices(self) -> Choices:
        """Return what was chosen."""
        by_pixels = self._measure.currentIndex() == 1
        return Choices(
            part=Part(
                shown=_SHOWN[self.shown.currentIndex()],
                first_row=self.rows[0].value(),
                last_row=self.rows[1].value(),
                first_repeat=self.repeats[0].value(),
                last_repeat=self.repeats[1].value(),
            ),
            straight=self._lay.currentIndex() == 1,
            coloured=self.coloured.isChecked(),
            grey=self.grey.isChecked(),
            apart=_APART[self._apart.currentIndex()],
            terms="UK" if self._terms.currentText() == "UK" else "US",
            hand=_HANDS[self._hand.currentIndex()],
            both_hands=self.both_hands.isChecked(),
            width_mm=self.width_mm.value(),
            dpi=self._dpi.value(),
            width_px=self.width_px.value() if by_pixels else None,
            edition=self.words.edition,
            pages=_PAGES[self.pages.currentIndex()],
            paper=_PAPERS[self.paper.currentIndex()],
        )

    def tick(self, name: str) -> None:
        """Want a file."""
        self._files[name].setChecked(True)

    @property
    def least_mm(self) -> float:
        """The smallest symbol that is thought readable."""
        return self._least.value()

    def show_sizes(self, sizes: dict[str, str]) -> None:
        """Show how large each kind of file will be; "" where that isn't known."""
        for name, label in self._sizes.items():
            label.setText(sizes.get(name, ""))

    # building

    def _combo(self, words: list[str], name: str, tip: str) -> QComboBox:
        combo = QComboBox(self)
        combo.addItems(words)
        combo.setAccessibleName(name)
        combo.setToolTip(tip)
        combo.setMinimumContentsLength(16)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        return combo

    def _spin(self, low: int, high: int, value: int, name: str) -> QSpinBox:
        spin = QSpinBox(self)
        bare_line(spin)
        spin.setRange(low, high)
        spin.setValue(value)
        spin.setAccessibleName(name)
        spin.setToolTip(name)
        spin.setKeyboardTracking(False)
        spin.setMinimumHeight(3 * UNIT)
        return spin

    def _make_chart_fields(self) -> None:
        design, size = self._design, self._design.size
        self.shown = self._combo(
            ["Standard extract", "Rows and repeats", "Whole blanket"],
            "Chart shows",
            "The standard extract is one repeat between both edges, the set-up row and two "
            "pattern rows, or as many as are worked in turn",
        )
        last = extent_of(design, Part()).rows[1]
        self.rows = (
            self._spin(1, size.rows, 1, "First row"),
            self._spin(1, size.rows, last, "Last row"),
        )
        self.repeats = (
            self._spin(1, size.repeats, 1, "First repeat, counted from where row 1 starts"),
            self._spin(1, size.repeats, min(2, size.repeats), "Last repeat"),
        )
        self._range = QWidget(self)
        grid = QGridLayout(self._range)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(UNIT // 2)
        for line, (word, pair) in enumerate((("Rows", self.rows), ("Repeats", self.repeats))):
            grid.addWidget(QLabel(word, self._range), line, 0)
            grid.addWidget(pair[0], line, 1)
            grid.addWidget(QLabel("to", self._range), line, 2)
            grid.addWidget(pair[1], line, 3)
        grid.setColumnStretch(4, 1)
        self._lay = self._combo(
            ["As the fabric lies", "On a straight grid"],
            "Layout",
            "Symbols lean as the stitches do, or stand on a grid",
        )
        self._apart = self._combo(
            ["Line weight", "Dashed lines", "Nothing"],
            "Rows told apart by",
            "So that rows can be told apart where the chart is printed in grey",
        )
        self._terms = self._combo(["UK", "US"], "Terms", "Terms of key and rows")
        self._terms.setCurrentText(design.terms)
        self.words = EditionFields(self, with_terms=False)
        self.words.show_design(design)
        self._hand = self._combo(
            ["Right-handed", "Left-handed"],
            "Hand",
            "For the left hand the chart is mirrored and rows start at the other side; "
            "numbers and letters stay readable",
        )
        self._hand.setCurrentIndex(_HANDS.index(design.hand))
        self.both_hands = QCheckBox("Other hand &too, in files of its own", self)
        self.coloured = QCheckBox("Stripe &colours behind the symbols", self)
        self.coloured.setChecked(True)
        self.grey = QCheckBox("In &grey", self)
        self.grey.setToolTip("Colours become greys that are as light")

    def _make_size_fields(self) -> None:
        self.width_mm = QDoubleSpinBox(self)
        bare_line(self.width_mm)
        self.width_mm.setRange(40, WIDEST_MM)
        self.width_mm.setDecimals(0)
        self.width_mm.setValue(180)
        self.width_mm.setSuffix(" mm")
        self.width_mm.setKeyboardTracking(False)
        self.width_mm.setAccessibleName("Printed width")
        self.width_mm.setToolTip("How wide the chart is in print")
        self._measure = self._combo(
            ["By mm and dpi", "By pixels"], "Pictures", "How the size of pictures is told"
        )
        self._dpi = self._spin(50, 1200, 300, "Dots per inch")
        self._dpi.setSuffix(" dpi")
        self.width_px = self._spin(100, 20_000, 2000, "Pixels across")
        self.width_px.setSuffix(" px wide")
        self.pages = self._combo(
            ["One page of its own size", "A4 pages", "Letter pages"],
            "PDF on",
            "A chart larger than a page goes over several, which overlap",
        )
        self.paper = self._combo(
            ["A4", "US Letter"],
            "Sheets on",
            "The paper of shopping list, yarn card, stripe ruler and stripe list",
        )
        self.paper.setCurrentIndex(_PAPERS.index("letter" if self._design.units == "in" else "a4"))
        self._least = QDoubleSpinBox(self)
        bare_line(self._least)
        self._least.setRange(0.2, 20)
        self._least.setSingleStep(0.1)
        self._least.setDecimals(1)
        self._least.setValue(LEAST_MM)
        self._least.setSuffix(" mm")
        self._least.setKeyboardTracking(False)
        for field in (self.width_mm, self._least):
            field.setMinimumHeight(3 * UNIT)
        self._least.setAccessibleName("Warn about symbols under")
        self._least.setToolTip("Smallest symbol you want in print; 2 mm is common practice")

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, UNIT, 0)
        form.setVerticalSpacing(UNIT)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for group, names in self._groups.items():
            files = QVBoxLayout()
            files.setSpacing(UNIT // 2)
            for name in names:
                line = QHBoxLayout()
                line.addWidget(self._files[name], 1)
                line.addWidget(self._sizes[name])
                files.addLayout(line)
            form.addRow(group, files)
        form.addRow("Sheets on", self.paper)
        form.addRow("Chart sho&ws", self.shown)
        form.addRow("", self._range)
        form.addRow("&Layout", self._lay)
        form.addRow("", self.coloured)
        form.addRow("", self.grey)
        form.addRow("Rows told &apart by", self._apart)
        form.addRow("Te&rms", self._terms)
        form.addRow("Written patter&n", self.words)
        form.addRow("&Hand", self._hand)
        form.addRow("", self.both_hands)
        form.addRow("&Printed width", self.width_mm)
        pictures = QHBoxLayout()
        pictures.addWidget(self._measure, 1)
        pictures.addWidget(self._dpi)
        pictures.addWidget(self.width_px)
        label = QLabel("P&ictures", self)
        label.setBuddy(self._measure)
        form.addRow(label, pictures)
        form.addRow("P&DF on", self.pages)
        form.addRow("Warn &under", self._least)

    def _wire(self) -> None:
        boxes = (*self._files.values(), self.coloured, self.grey, self.both_hands)
        for box in boxes:
            box.toggled.connect(self._on_change)
        for combo in (
            self.shown,
            self._lay,
            self._apart,
            self._terms,
            self._hand,
            self._measure,
            self.pages,
            self.paper,
        ):
            combo.currentIndexChanged.connect(self._on_change)
        for spin in (*self.rows, *self.repeats, self._dpi, self.width_px):
            spin.valueChanged.connect(self._on_change)
        self.width_mm.valueChanged.connect(self._on_change)
        self.words.changed.connect(self._on_change)
        self._least.valueChanged.connect(self.least_changed)

    def _on_change(self) -> None:
        self._follow()
        self.changed.emit()

    def _follow(self) -> None:
        """Show only the fields that matter now; a range ends no sooner than it begins."""
        for first, last in (self.rows, self.repeats):
            last.setMinimum(first.value())
        self._range.setVisible(self.shown.currentIndex() == 1)
        by_pixels = self._measure.currentIndex() == 1
        self._dpi.setVisible(not by_pixels)
        self.width_px.setVisible(by_pixels)
        self.pages.setEnabled("chart-pdf" in self.wanted())
