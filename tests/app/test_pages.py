"""The side pages together: what is wished for, and what is shown."""

from typing import get_type_hints

import msgspec
import pytest
from desk import broken, fits, focusable, places_by_tab, text_of
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QWidget,
)
from some import some

from app.views.pages.checks import ChecksPage
from app.views.pages.fields import NumberField, bounds_of, longest_of
from app.views.pages.swatch import SwatchPage
from app.views.pages.words import WordsPage
from app.views.pages.yarn import YarnPage
from core.design import edits
from core.design.document import Design, Gauge, Loops, Swatch, Turning, Yarn
from core.pipeline import Pipeline

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def swatch(desk):
    return desk(SwatchPage)


def all_pages(theme):
    return (
        SwatchPage(theme),
        YarnPage(theme),
        WordsPage(theme, text_of),
        ChecksPage(theme),
    )


def test_showing_results_wishes_for_nothing(theme, ripple, qtbot):
    other = replace(
        edits.set_stitch(edits.set_fill(ripple, "mirror"), "sc"),
        units="in",
        terms="UK",
        hand="left",
        yarns=(*ripple.yarns, replace(ripple.yarns[0], name="Slate", price=None)),
        swatch=Swatch(yarn_m_per_m2=900),
    )
    pipeline, wishes = Pipeline(), []
    for page in some(all_pages(theme)):
        qtbot.addWidget(page)
        page.wish.connect(lambda *wish: wishes.append(wish))
        page.show()
        for design in (ripple, other, ripple, edits.set_wave(ripple, broken(ripple))):
            page.show_results(pipeline.results(design))
    assert not wishes


def test_everything_that_takes_the_focus_has_a_name(theme, results, qtbot):
    for page in some(all_pages(theme)):
        qtbot.addWidget(page)
        page.show_results(results)
        page.show()
        assert page.title and page.accessibleName() == page.title
        for child in focusable(page):
            named = child.accessibleName() or (isinstance(child, QAbstractButton) and child.text())
            assert named, (page.title, child)


@pytest.mark.parametrize("kind", [SwatchPage, YarnPage])
def test_every_label_of_a_field_leads_to_it(desk, kind):
    page = desk(kind).page
    fields = page.findChildren(NumberField) + page.findChildren(QComboBox)
    named = [label.buddy() for label in page.findChildren(QLabel) if label.buddy()]
    headed = {page.fill} if kind is YarnPage else set()  # its heading stands above it
    assert set(fields) - set(named) == headed


@pytest.mark.parametrize("kind", [SwatchPage, YarnPage])
def test_tab_goes_down_the_page_as_the_eye_does(desk, kind):
    page = desk(kind).page
    places = places_by_tab(page)
    assert places == sorted(places)
    enabled = [child for child in focusable(page) if child.isEnabled()]
    assert len(places) == len(enabled)


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("kind", [SwatchPage, YarnPage])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_nothing_is_cut_off_in_a_slim_column(desk, dressed, ripple, kind, scale, units):
    dressed(scale)
    long = replace(ripple.yarns[0], name="Old harbour rope", ball_m=1234.5)
    design = replace(ripple, units=units, yarns=(long, *ripple.yarns[1:]))
    page = desk(kind, design).page
    QApplication.processEvents()
    column = page._column
    assert column.width() <= page._scroll.viewport().width()
    for child in column.findChildren(QWidget):
        if not child.isVisible() or child.window() is not page:
            continue
        if child.parent() is column:
            assert column.rect().contains(child.geometry())
        if isinstance(child, QLabel) and child.text():
            assert fits(child), child.text()
        elif isinstance(child, NumberField):
            room = child.lineEdit().contentsRect().width()
            assert child.fontMetrics().horizontalAdvance(child.text()) <= room, child.text()
            assert child.lineEdit().height() >= child.fontMetrics().height()
        elif isinstance(child, QAbstractButton) and child.text():
            assert child.sizeHint().width() <= child.width(), child.text()


@pytest.mark.parametrize(
    ("kind", "field"),
    [
        (Gauge, "stitches"),
        (Gauge, "rows"),
        (Gauge, "over_mm"),
        (Gauge, "hook_mm"),
        (Gauge, "firmness"),
        (Loops, "from_row"),
        (Turning, "chains"),
        (Yarn, "ball_m"),
        (Yarn, "ball_g"),
        (Yarn, "owned_balls"),
        (Yarn, "price"),
        (Swatch, "yarn_m_per_m2"),
    ],
)
def test_fields_know_the_bounds_of_the_document(kind, field):
    hint = get_type_hints(kind, include_extras=True)[field]
    low, high = bounds_of(kind, field)
    step = 1 if isinstance(hint, type) or "int" in str(hint) else 1e-6
    as_given = int if step == 1 else float
    for inside in (low, high):
        msgspec.convert(as_given(inside), hint)
    for outside in (low - step, high + step):
        with pytest.raises(msgspec.ValidationError):
            msgspec.convert(as_given(outside), hint)


def test_the_lengths_of_names_and_lists_are_known_too():
    assert longest_of(Yarn, "name") == 80
    assert longest_of(Design, "yarns") == 200


def test_both_ends_of_every_number_field_are_within_the_document(theme, results, qtbot):
    for units in ("cm", "in"):
        for page in (SwatchPage(theme), YarnPage(theme)):
            qtbot.addWidget(page)
            page.show_results(Pipeline().results(replace(results.design, units=units)))
            for field in some(page.findChildren(NumberField)):
                said = []
                field.changed.connect(lambda value, gesture, said=said: said.append(value))
                field.setValue(field.maximum())
                field.setValue(field.minimum())
                low, high = field._within
                assert all(value is None or low <= value <= high for value in said), field
