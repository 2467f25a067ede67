"""A page with a session behind it, and hands on its fields."""

from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import (
    QWheelEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QWidget,
)

from app.session import Session
from core.pipeline import Pipeline

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


class Desk:
    """A page with a session behind it: wishes are carried out as the window does it."""

    def __init__(self, design, page):
        self.page, self.session, self.wishes, self.refused = page, Session(design), [], []
        self._pipeline = Pipeline()
        self.session.design_changed.connect(self.show)
        self.session.refused.connect(self.refused.append)
        page.wish.connect(self.do)
        self.show(design)
        page.show()
        page.activateWindow()

    def show(self, design):
        self.page.show_results(self._pipeline.results(design))

    def do(self, text, edit, gesture):
        self.wishes.append((text, edit, gesture))
        self.session.change(text, edit, gesture)

    @property
    def design(self):
        return self.session.design

    @property
    def results(self):
        return self._pipeline.results(self.design)

    @property
    def texts(self):
        return [text for text, _, _ in self.wishes]


def typed(field, text, *, end=Key.Key_Return):
    """Replace what a field shows by typing, and finish with a key."""
    field.setFocus(Qt.FocusReason.TabFocusReason)
    field.selectAll()
    QTest.keyClicks(field, text)
    if end is not None:
        QTest.keyClick(field, end)


def stepped(field, *keys):
    field.setFocus(Qt.FocusReason.TabFocusReason)
    for key in keys:
        QTest.keyClick(field, key)


def wheel(widget, steps):
    at = QPointF(widget.rect().center())
    event = QWheelEvent(
        at,
        QPointF(widget.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, 120 * steps),
        Qt.MouseButton.NoButton,
        Mods.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


def fits(label):
    metrics, room = label.fontMetrics(), label.contentsRect()
    if not label.wordWrap():
        return metrics.horizontalAdvance(label.text()) <= room.width()
    longest = max(metrics.horizontalAdvance(word) for word in label.text().split())
    return longest <= room.width() and label.heightForWidth(label.width()) <= label.height()


def focusable(page):
    return [
        child
        for child in page.findChildren(QWidget)
        if child.focusPolicy() & Qt.FocusPolicy.TabFocus
        and child.focusProxy() is None
        and child.isVisibleTo(page)
    ]


def broken(ripple):
    return replace(ripple.wave, end=ripple.wave.end[:-1])


def text_of(results):
    design = results.design
    return "\n".join([design.title, *(f"Row {n}: work it" for n in range(1, design.size.rows + 1))])
