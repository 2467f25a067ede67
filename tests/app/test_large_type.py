"""At 1366 x 768 nothing is out of reach in type of one and a half times and twice the size.

WCAG 2.2, success criterion 1.4.4 (text up to 200 %); `QT_SCALE_FACTOR` is tried by hand.
"""

from itertools import combinations

import pytest
from desk import wait_until_settled
from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication, QScrollArea
from screens import SCREENS, close, in_scroll_areas, make_window, reachable, settle
from shiboken6 import Shiboken

from app.theme import figure

SCREEN = (1366, 768)


def cut_at_the_side(screen):
    """Return what is broader than its area, where no bar leads to the rest."""
    off = Qt.ScrollBarPolicy.ScrollBarAlwaysOff
    return [
        (type(area.widget()).__name__, area.widget().width(), area.viewport().width())
        for area in screen.findChildren(QScrollArea)
        if area.isVisible()
        and area.widget() is not None
        and area.horizontalScrollBarPolicy() == off
        and area.widget().width() > area.viewport().width()
    ]


@pytest.mark.parametrize("scale", [1.5, 2.0])
def test_every_screen_fits_and_all_of_it_can_be_reached(dressed, tmp_path, scale):
    dressed(scale)
    window = make_window(tmp_path)
    window.resize(*SCREEN)
    window.show()
    wait_until_settled(window)
    wrong = []
    for name, show in SCREENS.items():
        screen = show(window)
        settle(40)
        if screen.width() > SCREEN[0] or screen.height() > SCREEN[1]:
            wrong.append((name, screen.size().toTuple()))
        for stop in reachable(screen):
            if not [area for area in in_scroll_areas(stop) if isinstance(area, QScrollArea)]:
                place = QRect(stop.mapTo(screen, QPoint(0, 0)), stop.size())
                if not screen.rect().adjusted(-2, -2, 2, 2).contains(place):
                    wrong.append((name, stop.accessibleName(), place.getRect()))
        wrong += [(name, *found) for found in cut_at_the_side(screen)]
        if Shiboken.isValid(screen):
            close(window, screen)
    window.session.undo_stack.setClean()
    window.close()
    assert not wrong


def grow_type(scale):
    """Change the size of the system's type while the program runs."""
    font = QApplication.font()
    font.setPointSizeF(scale * font.pointSizeF())
    QApplication.setFont(font)
    QApplication.sendEvent(QApplication.instance(), QEvent(QEvent.Type.ApplicationFontChange))


@pytest.fixture
def window(dressed, tmp_path):
    """A settled window at the small screen's size, in type of the usual size."""
    dressed(1.0)
    window = make_window(tmp_path)
    window.resize(*SCREEN)
    window.show()
    wait_until_settled(window)
    yield window
    window.session.undo_stack.setClean()
    window.close()


def test_a_change_of_the_systems_type_is_followed_at_once(window):
    before = window.sentence.width_figure.height()
    grow_type(1.5)
    for _ in range(1000):
        QApplication.processEvents()
        after = window.sentence.width_figure.height()
        if after > 1.2 * before:
            break
    assert after > 1.2 * before


def test_fields_and_panels_grow_with_type_that_grows_while_they_are_open(window, qtbot):
    window.show_page(0)
    fields = [*window.wave_controls._runs, window.wave_controls._gain, window.wave_controls._family]
    page = window.pages.stack.width()
    grow_type(2.0)
    for field in fields:
        qtbot.waitUntil(lambda one=field: one.height() > one.fontMetrics().height() > 20)
    assert window.pages.stack.width() > page
    qtbot.waitUntil(lambda: window.wave_tools.draw.fontMetrics().height() > 20)


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_in_any_type_the_wave_is_free_and_its_words_apart(window, scale, qtbot):
    window.show_page(0)
    grow_type(scale)
    band, tools = window.wave, window.wave_tools
    on_wave = scale < 1.5  # else the figures stand in one column, and the tools below them
    qtbot.waitUntil(lambda: (tools.parentWidget() is band) == on_wave)
    settle(40)
    band.grab()
    words = []
    metrics = QFontMetrics(figure(band.font(), large=1.0))
    for _, start, wide in band._words_at:
        words.append(QRectF(start.x(), start.y() - metrics.ascent(), wide, metrics.ascent()))
    assert words
    for word, other in combinations(words, 2):
        assert not word.intersects(other)
    assert all(band.rect().contains(word.toAlignedRect()) for word in words)
    placing = band._placing()
    marks = [band._at(mark, placing) for mark in band._marks()]
    if on_wave:
        assert not [at for at in marks if tools.geometry().contains(at.toPoint())]
    assert band.width() > 0.3 * (band.width() + window.wave_controls.width())


def test_the_tools_come_back_to_the_wave_when_there_is_room_again(window, qtbot):
    window.show_page(0)
    grow_type(1.5)
    qtbot.waitUntil(lambda: window.wave_tools.parentWidget() is not window.wave)
    assert window.wave_controls.columns == 1
    grow_type(1 / 1.5)
    qtbot.waitUntil(lambda: window.wave_tools.parentWidget() is window.wave)
    assert window.wave_controls.columns == 2
    assert window.wave_tools.draw.isVisible()
