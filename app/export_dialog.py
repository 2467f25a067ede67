"""The export sheet: which files, how large, where to."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon, QImage, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain, plain_box
from app.exporting import EXPORTS, Choices, chart_png, write_exports
from app.theme import UNIT
from core.errors import DesignError
from core.pipeline import Results


class ExportDialog(QDialog):
    """Asks what to export and shows the chart as it will come out."""

    def __init__(self, results: Results, folder: Path, stem: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Export")
        self._results = results
        self._stem = stem
        self.written: list[Path] = []
        size = results.design.size
        self._wanted = {export.name: QCheckBox(export.about, self) for export in EXPORTS}
        for name, box in self._wanted.items():
            box.setChecked(name in ("chart-svg", "chart-png", "rows-txt"))
        self._extent = QComboBox(self)
        self._extent.addItems(["A few repeats with both edges", "The whole blanket"])
        self._repeats = self._spin(1, size.repeats, min(2, size.repeats))
        self._rows = self._spin(1, size.rows, min(6, size.rows))
        self._lay = QComboBox(self)
        self._lay.addItems(["as the fabric lies", "on a straight grid"])
        self._coloured = QCheckBox("Stripe colours behind the symbols", self)
        self._coloured.setChecked(True)
        self._terms = QComboBox(self)
        self._terms.addItems(["UK", "US"])
        self._terms.setCurrentText(results.design.terms)
        self._width = QDoubleSpinBox(self)
        self._width.setRange(20, 2000)
        self._width.setValue(180)
        self._width.setSuffix(" mm")
        self._dpi = self._spin(50, 1200, 300)
        self._dpi.setSuffix(" dpi")
        self._folder = QLineEdit(str(folder), self)
        self._preview = QLabel(self)
        self._preview.setMinimumSize(380, 320)
        self._preview.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._preview.setAccessibleName("Preview of the chart")
        self._lay_out()
        for combo in (self._extent, self._lay, self._terms):
            combo.currentIndexChanged.connect(self._refresh)
        for spin in (self._repeats, self._rows):
            spin.valueChanged.connect(self._refresh)
        self._coloured.toggled.connect(self._refresh)
        self._refresh()

    def _spin(self, low: int, high: int, value: int) -> QSpinBox:
        spin = QSpinBox(self)
        spin.setRange(low, high)
        spin.setValue(value)
        return spin

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        files = QVBoxLayout()
        for box in self._wanted.values():
            files.addWidget(box)
        form.addRow("Files", files)
        form.addRow("Chart &shows", self._extent)
        form.addRow("&Repeats", self._repeats)
        form.addRow("Ro&ws", self._rows)
        form.addRow("&Layout", self._lay)
        form.addRow("", self._coloured)
        form.addRow("&Terms", self._terms)
        form.addRow("&Printed width", self._width)
        form.addRow("&Fineness", self._dpi)
        folder = QHBoxLayout()
        folder.addWidget(self._folder, 1)
        choose = QPushButton("&Choose…", self)
        choose.clicked.connect(self._choose_folder)
        folder.addWidget(choose)
        label = QLabel("F&older", self)
        label.setBuddy(self._folder)
        form.addRow(label, folder)
        buttons = QDialogButtonBox(self)
        save = buttons.addButton("&Export", QDialogButtonBox.ButtonRole.AcceptRole)
        save.setProperty("primary", True)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel).setIcon(QIcon())
        save.style().unpolish(save)
        save.style().polish(save)
        buttons.accepted.connect(self._export)
        buttons.rejected.connect(self.reject)
        row = QHBoxLayout()
        row.addLayout(form, 0)
        row.addSpacing(2 * UNIT)
        row.addWidget(self._preview, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.addLayout(row)
        column.addWidget(buttons)
        self._folder.setAccessibleName("Folder")

    def choices(self) -> Choices:
        """Return what was chosen."""
        whole = self._extent.currentIndex() == 1
        return Choices(
            repeats=None if whole else self._repeats.value(),
            rows=None if whole else self._rows.value(),
            straight=self._lay.currentIndex() == 1,
            coloured=self._coloured.isChecked(),
            terms="UK" if self._terms.currentText() == "UK" else "US",
            width_mm=self._width.value(),
            dpi=self._dpi.value(),
        )

    def _refresh(self) -> None:
        """Show the chart as it will come out, small."""
        part = self._extent.currentIndex() == 0
        self._repeats.setEnabled(part)
        self._rows.setEnabled(part)
        choices = self.choices()
        small = Choices(
            repeats=choices.repeats,
            rows=choices.rows,
            straight=choices.straight,
            coloured=choices.coloured,
            terms=choices.terms,
            width_px=760,
        )
        image = QImage.fromData(chart_png(self._results, small))
        image.setDevicePixelRatio(1.0)
        pixmap = QPixmap.fromImage(image).scaled(
            self._preview.size(),
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        self._preview.setPixmap(pixmap)

    def _choose_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(self, "Export to", self._folder.text())
        if name:
            self._folder.setText(name)

    def _may_replace(self, folder: Path, names: list[str]) -> bool:
        """Ask before files that are there already are written anew."""
        choices = self.choices()
        paths = [e.path(self._results, folder, self._stem, choices) for e in EXPORTS
                 if e.name in names]  # fmt: skip
        there = [path.name for path in paths if path.exists()]
        if not there:
            return True
        verb = "is" if len(there) == 1 else "are"
        box = plain_box(self, f"{', '.join(there)} {verb} there already. Replace?")
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Yes | button.Cancel)
        box.setDefaultButton(button.Cancel)
        return box.exec() == button.Yes

    def _export(self) -> None:
        names = [name for name, box in self._wanted.items() if box.isChecked()]
        if not names:
            complain(self, "Nothing was chosen", "Tick at least one file to export")
            return
        folder = Path(self._folder.text()).expanduser()
        if not self._may_replace(folder, names):
            return
        try:
            self.written = write_exports(
                self._results, folder, self._stem, only=names, choices=self.choices()
            )
        except (DesignError, OSError, RuntimeError, MemoryError) as error:
            complain(self, "The export failed", str(error))
            return
        self.accept()
