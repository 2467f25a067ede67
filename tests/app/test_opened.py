"""Dialogs beside a window: one of a kind, following the design, gone when they are closed."""

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QDialog, QWidget
from shiboken6 import Shiboken

from app.opened import OpenDialogs


class Live(QObject):
    changed = Signal(object)


class Following(QDialog):
    def __init__(self, parent):
        super().__init__(parent)
        self.shown = []

    def show_results(self, results):
        self.shown.append(results)


@pytest.fixture
def window(qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    window.show()
    return window


@pytest.fixture
def live():
    return Live()


@pytest.fixture
def opened(live, window):
    return OpenDialogs(live, window)


def delete_what_waits_to_be():
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def test_a_dialog_follows_until_it_is_closed_and_is_deleted_then(opened, live, window):
    dialog = Following(window)
    opened.follow(dialog)
    live.changed.emit("one")
    assert opened.of(Following) is dialog and dialog.isVisible()
    dialog.reject()
    assert opened.of(Following) is None
    live.changed.emit("two")
    assert dialog.shown == ["one"]
    delete_what_waits_to_be()
    assert not Shiboken.isValid(dialog)


def test_one_that_is_open_comes_forward_instead_of_a_second(opened, window):
    assert opened.forward(Following) is None
    dialog = Following(window)
    opened.follow(dialog)
    assert opened.forward(Following) is dialog
    assert opened.of(QDialog) is dialog


def test_what_is_chosen_in_holds_the_window(opened, window):
    dialog = QDialog(window)
    opened.choose(dialog)
    assert dialog.windowModality() == Qt.WindowModality.WindowModal
    dialog.accept()
    assert opened.of(QDialog) is None


def test_closing_the_window_closes_them_all(opened, live, window):
    dialogs = [Following(window), QDialog(window)]
    opened.follow(dialogs[0])
    opened.choose(dialogs[1])
    opened.close()
    assert opened.of(QDialog) is None
    live.changed.emit("later")
    assert dialogs[0].shown == []
    delete_what_waits_to_be()
    assert not any(map(Shiboken.isValid, dialogs))
