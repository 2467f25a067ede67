"""The ring round what keys act on can be seen in every look (WCAG 2.2, 2.4.7, 2.4.13, 1.4.11)."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, Qt, QTimer
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListWidget,
    QMessageBox,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QSlider,
    QSpinBox,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.theme import Theme

LOOKS = [("light", "plain"), ("dark", "plain"), ("light", "high"), ("dark", "high")]
KINDS = [
    QPushButton, QToolButton, QCheckBox, QRadioButton, QComboBox, QSpinBox, QSlider, QLineEdit,
    QListWidget,
]  # fmt: skip


def luminance(picture):
    """Relative luminance as WCAG 2.2 defines it, shape (height, width)."""
    picture = picture.convertToFormat(QImage.Format.Format_RGB32)
    high, wide = picture.height(), picture.width()
    flat = np.frombuffer(picture.constBits(), np.uint8).reshape(high, -1)[:, : 4 * wide]
    share = flat.reshape(high, wide, 4)[:, :, :3] / 255.0
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return linear @ (0.0722, 0.7152, 0.2126)


def changed(panel, widget):
    """Return how many pixels differ 3 : 1 between with and without the focus, and how many must."""
    place = QRect(widget.mapTo(panel, QPoint(0, 0)), widget.size()).adjusted(-4, -4, 4, 4)
    before = luminance(panel.grab(place).toImage())
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    QApplication.processEvents()
    after = luminance(panel.grab(place).toImage())
    ratio = (np.maximum(before, after) + 0.05) / (np.minimum(before, after) + 0.05)
    return int((ratio >= 3).sum()), 2 * 2 * (widget.width() + widget.height())


@pytest.fixture
def panel(qapp, qtbot):
    panel = QWidget()
    qtbot.addWidget(panel)
    column = QVBoxLayout(panel)
    panel.first = QPushButton("First", panel)
    column.addWidget(panel.first)
    panel.parts = [kind(panel) for kind in KINDS]
    for part in panel.parts:
        column.addWidget(part)
        if hasattr(part, "setText"):
            part.setText("Words")
    panel.parts[-1].setFixedHeight(60)
    return panel


@pytest.mark.parametrize(("look", "contrast"), LOOKS)
@pytest.mark.parametrize("number", range(len(KINDS)), ids=[kind.__name__ for kind in KINDS])
def test_the_ring_is_two_pixels_all_round_and_three_to_one(panel, qtbot, look, contrast, number):
    theme = Theme()
    theme.set_look(look)
    theme.set_contrast(contrast)
    panel.show()
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    panel.first.setFocus(Qt.FocusReason.TabFocusReason)
    seen, wanted = changed(panel, panel.parts[number])
    assert seen >= 0.8 * wanted  # its corners are round


def test_the_ring_goes_with_the_control_and_away_with_it(panel, qtbot):
    Theme().apply()
    panel.show()
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    button = panel.parts[0]
    button.setFocus(Qt.FocusReason.TabFocusReason)
    ring = next(one for one in panel.children() if type(one).__name__ == "_Ring")
    assert ring.geometry().contains(button.geometry())
    panel.resize(panel.width() + 90, panel.height())
    QApplication.processEvents()
    assert ring.geometry().contains(button.geometry())
    button.hide()
    assert not ring.isVisible() or not ring.geometry().contains(button.geometry())


def test_the_ring_keeps_no_window_alive(panel, qtbot):
    # A message box that lived on was taken down while the focus changed, which crashed.
    Theme().apply()
    panel.show()
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    panel.first.setFocus(Qt.FocusReason.TabFocusReason)
    gone = []
    for _ in range(5):
        box = QMessageBox(panel)
        box.setText("Is it there?")
        box.addButton(QMessageBox.StandardButton.Cancel)
        box.destroyed.connect(lambda: gone.append(1))
        QTimer.singleShot(0, lambda: QApplication.activeModalWidget().buttons()[0].click())
        box.exec()
        box = None
        QApplication.processEvents()
    assert len(gone) == 5


def test_the_ring_stays_inside_what_is_scrolled(qapp, qtbot):
    Theme().apply()
    area, inside = QScrollArea(), QWidget()
    qtbot.addWidget(area)
    column = QVBoxLayout(inside)
    buttons = [QPushButton(str(n)) for n in range(30)]
    for button in buttons:
        column.addWidget(button)
    area.setWidget(inside)
    area.resize(200, 150)
    area.show()
    area.activateWindow()
    qtbot.waitUntil(area.isActiveWindow)
    buttons[0].setFocus(Qt.FocusReason.TabFocusReason)
    ring = next(one for one in area.children() if type(one).__name__ == "_Ring")
    assert ring.isVisible()
    area.verticalScrollBar().setValue(area.verticalScrollBar().maximum())
    QApplication.processEvents()
    assert not ring.isVisible()
