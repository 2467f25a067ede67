"""The marks of fields and menus: they are there, drawn in the tones of their look, and used."""

import re
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QSize
from PySide6.QtGui import QColor, QIcon
from PySide6.QtWidgets import QCheckBox, QComboBox, QDialogButtonBox, QDoubleSpinBox
from some import some

from app.assets import FOLDER
from app.control_sheet import control_sheet
from app.theme import DARK, LIGHT, Theme, roomy

LOOKS = pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])


def marks_of(tones):
    return sorted(set(re.findall(r'url\("(.+?)"\)', control_sheet(tones))))


@LOOKS
def test_every_mark_is_one_of_ours_in_the_tones_of_its_look(tones):
    marks = marks_of(tones)
    assert len(marks) == 6
    allowed = {tones.muted, tones.hairline, tones.on_accent}
    for path in marks:
        assert path.startswith(FOLDER.as_posix())
        strokes = set(re.findall(r'stroke="(#\w+)"', Path(path).read_text(encoding="utf-8")))
        assert strokes and strokes <= allowed


@LOOKS
def test_every_mark_is_drawn_at_twice_the_density(qtbot, tones):
    for path in some(marks_of(tones)):
        image = QIcon(path).pixmap(QSize(12, 12), 2.0).toImage()
        assert (image.width(), image.height()) == (24, 24)
        inked = sum(image.pixelColor(x, y).alpha() > 128 for x in range(24) for y in range(24))
        assert inked > 20


@pytest.mark.parametrize("look", ["light", "dark"])
def test_fields_of_a_form_are_equally_high(qtbot, look):
    from app.views.pages.fields import ChoiceField, NumberField

    theme = Theme()
    theme.set_look(look)
    heights = set()
    for field in (ChoiceField("a", [("a", "b")]), NumberField("a", (0, 9))):
        qtbot.addWidget(field)
        field.show()
        heights.add(field.sizeHint().height())
    assert max(heights) - min(heights) <= 1


def test_a_focused_tick_looks_otherwise(qtbot):
    Theme().set_look("light")
    box = QCheckBox()
    qtbot.addWidget(box)
    box.show()
    before = box.grab().toImage()
    box.setFocus()
    box.activateWindow()
    qtbot.waitUntil(box.hasFocus)
    assert box.grab().toImage() != before


def test_what_is_done_stands_last(qtbot):
    Theme().set_look("light")
    button = QDialogButtonBox.StandardButton
    box = QDialogButtonBox(button.Ok | button.Cancel)
    qtbot.addWidget(box)
    box.show()
    assert box.button(button.Ok).x() > box.button(button.Cancel).x()


def test_windows_of_pages_fit_their_screen(qtbot):
    box = QComboBox()
    qtbot.addWidget(box)
    room = box.screen().availableSize()
    size = roomy(box, 10_000, 10_000)
    assert size.width() < room.width() and size.height() < room.height()
    least = roomy(box, 10, 10)
    assert least.width() == round(0.6 * room.width())


def test_a_plain_number_is_as_high_as_the_others(qtbot):
    from app.views.pages.fields import NumberField, bare_line

    Theme().set_look("light")
    plain, ours = QDoubleSpinBox(), NumberField("a", (0, 9))
    bare_line(plain)
    for field in (plain, ours):
        qtbot.addWidget(field)
        field.show()
    assert plain.maximumHeight() == ours.sizeHint().height()


@pytest.mark.parametrize("look", ["light", "dark"])
def test_a_list_opens_beside_its_field_whole_and_shows_where_one_is(qtbot, look):
    """A list over its field hides what was chosen; one to scroll hides what can be."""
    from app.views.pages.fields import ChoiceField

    theme = Theme()
    theme.set_look(look)
    field = ChoiceField("Family", [(str(n), f"Wave {n}") for n in range(12)])
    qtbot.addWidget(field)
    field.show()
    field.showPopup()
    popup = field.view().window()
    qtbot.waitUntil(popup.isVisible)
    place = field.rect().translated(field.mapToGlobal(QPoint()))
    assert not popup.geometry().adjusted(0, 3, 0, -3).intersects(place)
    assert field.view().verticalScrollBar().maximum() == 0
    assert field.view().visualRect(field.model().index(11, 0)).height() >= 20
    picture = field.view().viewport().grab().toImage()
    line = field.view().visualRect(field.view().currentIndex()).center().y()
    tones = {"light": LIGHT, "dark": DARK}[look]
    assert picture.pixelColor(picture.width() // 2, line) == QColor(tones.accent)
