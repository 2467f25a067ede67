"""The line at the window's foot: in line with what stands above it, and never over the rest."""

import numpy as np
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QMainWindow, QPushButton

from app.views.foot import Foot


@pytest.fixture
def window(qtbot, theme):
    window = QMainWindow()
    qtbot.addWidget(window)
    return window


@pytest.fixture
def foot(window):
    foot = Foot(window)
    window.setStatusBar(foot)
    window.resize(500, 200)
    window.show()
    return foot


def inked(foot):
    """Return the columns of the line in which something is drawn."""
    image = foot.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    picture = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1, 4)
    return np.flatnonzero((picture != picture[0, 0]).any(axis=(0, 2)))


def test_a_message_begins_where_all_else_does(foot):
    assert not inked(foot).size
    foot.showMessage("Made wider")
    assert 16 <= inked(foot)[0] <= 19


def test_a_long_message_ends_before_what_stands_on_the_right(foot):
    button = QPushButton("1 to look at", foot)
    foot.addPermanentWidget(button)
    foot.showMessage("Made wider " * 30)
    columns = inked(foot)
    assert not ((columns >= button.x() - 4) & (columns < button.x())).any()
    assert (columns < button.x() - 4).sum() > 200
