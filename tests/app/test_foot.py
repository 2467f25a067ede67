"""The line at the window's foot: in line with what stands above it, and never over the rest."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QDesktopServices, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMainWindow, QPushButton

from app.folders import show_folder
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


def test_what_is_offered_beside_a_message_goes_with_it(foot, qtbot):
    done = []
    foot.offer("Exported 2 files", "Show the folder", lambda: done.append(1))
    assert foot.deed.isVisible() and foot.currentMessage() == "Exported 2 files"
    QTest.mouseClick(foot.deed, Qt.MouseButton.LeftButton)
    assert done == [1] and not foot.deed.isVisible()
    foot.offer("Exported 2 files", "Show the folder", lambda: done.append(2))
    foot.showMessage("Made wider")
    assert done == [1] and not foot.deed.isVisible()


def test_a_folder_is_shown_or_it_is_said_why_not(tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: not asked.append(url))
    odd = tmp_path / "a #1 & b%20"
    odd.mkdir()
    assert show_folder(odd) == ""
    assert [url.toLocalFile() for url in asked] == [str(odd)]
    assert "no folder" in show_folder(odd / "gone") and len(asked) == 1
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: False)
    assert str(odd) in show_folder(odd)
