"""What a test puts on the application, or sets, stays with the test."""

import pytest
from PySide6.QtCore import QSettings, QStandardPaths
from PySide6.QtGui import QColor, QFont, QPalette

from app.theme import Theme

_FIRST = []


@pytest.mark.parametrize("turn", range(2))
def test_the_next_test_finds_the_application_as_this_one_did(qapp, turn):
    found = qapp.styleSheet(), qapp.font().toString(), qapp.palette().window().color().name()
    _FIRST.append(found)
    assert found == _FIRST[0]
    Theme().set_look("dark")
    font = QFont(qapp.font())
    font.setPointSizeF(31.0)
    qapp.setFont(font)
    palette = QPalette(qapp.palette())
    palette.setColor(QPalette.ColorRole.Window, QColor("#123456"))
    qapp.setPalette(palette)
    assert (qapp.styleSheet(), qapp.font().toString()) != found[:2]
    assert qapp.palette().window().color().name() != found[2]


def test_the_settings_of_the_user_at_this_machine_are_out_of_reach(settings_of_nobody):
    assert QSettings("Dipslope", "Dipslope").fileName().startswith(str(settings_of_nobody))
    assert QSettings().fileName().startswith(str(settings_of_nobody))
    place = QStandardPaths.StandardLocation.AppDataLocation
    assert "qttest" in QStandardPaths.writableLocation(place)
