"""A window or a page with a session behind it, and hands on what they show."""

import time

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.session import Session
from app.theme import Theme
from app.window import Window
from core.pipeline import Pipeline

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT, NO_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
SOON = 30_000  # ms


def window_in(folder, design, theme=None, *, path=None):
    """Return a window with a design, not shown yet; its settings and kept things lie in `folder`.

    `path` is the design's file, if it has one.
    """
    settings = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    session = Session(design)
    if path is not None:
        session.open(design, path)
    return Window(session, theme or Theme(), settings)


def wait_until_settled(window):
    """Wait without pytest-qt's `qtbot`, as a fixture of a whole module must."""
    end = time.monotonic() + SOON / 1000
    while not window.live.is_settled:
        assert time.monotonic() < end, "the fabric doesn't settle"
        QApplication.processEvents()


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


def press(button):
    """Press a button that can be pressed."""
    assert button.isEnabled()
    QTest.mouseClick(button, LEFT)


def mouse(widget, kind, place, button=NO_BUTTON, held=NO_BUTTON, mods=Mods.NoModifier):
    """Send a mouse event for sure; QTest leaves the held button out of its moves."""
    spot = QPointF(place)
    where = spot, QPointF(widget.mapToGlobal(spot))
    QApplication.sendEvent(widget, QMouseEvent(kind, *where, button, held, mods))


def move(widget, place, held=NO_BUTTON, mods=Mods.NoModifier):
    mouse(widget, QEvent.Type.MouseMove, place, held=held, mods=mods)


def drag(view, start, *way, mods=Mods.NoModifier):
    """Press at `start`, move through the points of `way`, release at the last with `mods`."""
    QTest.mousePress(view, LEFT, Mods.NoModifier, start)
    for point in way:
        QTest.mouseMove(view, point)
    QTest.mouseRelease(view, LEFT, mods, way[-1])


def drag_held(widget, start, *way):
    """Come to `start`, press, move with the button held and let go, as a hand does."""
    move(widget, start)
    mouse(widget, QEvent.Type.MouseButtonPress, start, LEFT, LEFT)
    for place in way:
        move(widget, place, LEFT)
    mouse(widget, QEvent.Type.MouseButtonRelease, way[-1], LEFT)


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


def places_by_tab(page):
    """Go round a page by Tab; return each control's bottom and left in its column."""
    page.setFocus()
    places, first = [], page.focusWidget()
    here = first
    while not places or here is not first:
        at = here.mapTo(page._column, QPoint(0, 0))
        places.append((at.y() + here.height(), at.x()))
        QTest.keyClick(here, Key.Key_Tab)
        here = page.focusWidget()
    return places


def broken(ripple):
    return replace(ripple.wave, end=ripple.wave.end[:-1])


def text_of(results):
    design = results.design
    return "\n".join([design.title, *(f"Row {n}: work it" for n in range(1, design.size.rows + 1))])
