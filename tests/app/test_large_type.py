"""At 1366 x 768 nothing is out of reach in type of one and a half times and twice the size.

WCAG 2.2, success criterion 1.4.4 (text up to 200 %); `QT_SCALE_FACTOR` is tried by hand.
"""

import pytest
from desk import wait_until_settled
from PySide6.QtCore import QEvent, QPoint, QRect
from PySide6.QtWidgets import QApplication, QScrollArea
from screens import SCREENS, close, in_scroll_areas, make_window, reachable, settle
from shiboken6 import Shiboken

SCREEN = (1366, 768)


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
        if Shiboken.isValid(screen):
            close(window, screen)
    window.session.undo_stack.setClean()
    window.close()
    assert not wrong


def test_a_change_of_the_systems_type_is_followed_at_once(dressed, tmp_path):
    dressed(1.0)
    window = make_window(tmp_path)
    window.resize(*SCREEN)
    window.show()
    wait_until_settled(window)
    before = window.sentence.width_figure.height()
    font = QApplication.font()
    font.setPointSizeF(1.5 * font.pointSizeF())
    QApplication.setFont(font)
    QApplication.sendEvent(QApplication.instance(), QEvent(QEvent.Type.ApplicationFontChange))
    for _ in range(1000):
        QApplication.processEvents()
        after = window.sentence.width_figure.height()
        if after > 1.2 * before:
            break
    window.session.undo_stack.setClean()
    window.close()
    assert after > 1.2 * before
