"""The side pages by keyboard and mouse: what is wished for, and what is shown."""

from dataclasses import replace as with_parts
from functools import partial
from typing import get_type_hints

import msgspec
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QGuiApplication,
    QImage,
    QKeySequence,
    QPainter,
    QWheelEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QColorDialog,
    QComboBox,
    QLabel,
    QMainWindow,
    QWidget,
)

from app.session import Session
from app.theme import Theme
from app.views.pages.checks import ALL_WELL, ChecksPage, paint_level
from app.views.pages.fields import NumberField, bounds_of, longest_of
from app.views.pages.swatch import SwatchPage
from app.views.pages.words import WordsPage
from app.views.pages.yarn import YarnPage
from app.views.pages.yarn_table import BALLS, LENGTH, NAME, OWNED, ROWS, SHORT
from core.checks.findings import Finding
from core.craft.tables import YARN_M_PER_M2
from core.design import edits
from core.design.document import Design, Gauge, Loops, Stripe, Swatch, Turning, Yarn
from core.palette.neighbours import MERGE_DIFFERENCE
from core.pipeline import Pipeline
from core.stripes.colour import difference

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


@pytest.fixture
def desk(theme, ripple, qtbot):
    """Put a page on a desk: `desk(SwatchPage)`, or with another design."""

    def make(kind, design=ripple, *rest):
        page = kind(theme, *rest)
        qtbot.addWidget(page)
        page.resize(300, 640)
        return Desk(design, page)

    return make


@pytest.fixture
def swatch(desk):
    return desk(SwatchPage)


@pytest.fixture
def yarn(desk):
    return desk(YarnPage)


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


def all_pages(theme):
    return (
        SwatchPage(theme),
        YarnPage(theme),
        WordsPage(theme, text_of),
        ChecksPage(theme),
    )


def text_of(results):
    design = results.design
    return "\n".join([design.title, *(f"Row {n}: work it" for n in range(1, design.size.rows + 1))])


# --- all of them ---------------------------------------------------------------------------


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
    for page in all_pages(theme):
        qtbot.addWidget(page)
        page.wish.connect(lambda *wish: wishes.append(wish))
        page.show()
        for design in (ripple, other, ripple, edits.set_wave(ripple, broken(ripple))):
            page.show_results(pipeline.results(design))
    assert not wishes


def test_everything_that_takes_the_focus_has_a_name(theme, results, qtbot):
    for page in all_pages(theme):
        qtbot.addWidget(page)
        page.show_results(results)
        page.show()
        assert page.title and page.accessibleName() == page.title
        for child in focusable(page):
            named = child.accessibleName() or (isinstance(child, QAbstractButton) and child.text())
            assert named, (page.title, child)


def focusable(page):
    return [
        child
        for child in page.findChildren(QWidget)
        if child.focusPolicy() & Qt.FocusPolicy.TabFocus
        and child.focusProxy() is None
        and child.isVisibleTo(page)
    ]


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
    page.setFocus()
    places, first = [], page.focusWidget()
    here = first
    while not places or here is not first:
        at = here.mapTo(page._column, QPoint(0, 0))
        places.append((at.y() + here.height(), at.x()))
        QTest.keyClick(here, Key.Key_Tab)
        here = page.focusWidget()
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


def fits(label):
    metrics, room = label.fontMetrics(), label.contentsRect()
    if not label.wordWrap():
        return metrics.horizontalAdvance(label.text()) <= room.width()
    longest = max(metrics.horizontalAdvance(word) for word in label.text().split())
    return longest <= room.width() and label.heightForWidth(label.width()) <= label.height()


@pytest.fixture
def dressed(qapp):
    """Set the application's looks, in a text size: `dressed(2.0)`."""
    before = QFont(qapp.font()), qapp.palette()

    def dress(scale):
        font = QFont(before[0])
        font.setPointSizeF(before[0].pointSizeF() * scale)
        qapp.setFont(font)
        Theme().apply()

    yield dress
    qapp.setStyleSheet("")
    qapp.setFont(before[0])
    qapp.setPalette(before[1])


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
            for field in page.findChildren(NumberField):
                said = []
                field.changed.connect(lambda value, gesture, said=said: said.append(value))
                field.setValue(field.maximum())
                field.setValue(field.minimum())
                low, high = field._within
                assert all(value is None or low <= value <= high for value in said), field


# --- swatch --------------------------------------------------------------------------------


def test_typing_wishes_once_when_it_is_finished(swatch, ripple):
    field = swatch.page.stitches
    typed(field, "15.5", end=None)
    assert not swatch.wishes
    QTest.keyClick(field, Key.Key_Return)
    ((text, edit, gesture),) = swatch.wishes
    assert text == "Change stitches of the swatch" and gesture is None
    assert edit(ripple) == edits.set_gauge(ripple, stitches=15.5)
    QTest.keyClick(field, Key.Key_Return)
    QTest.keyClick(field, Key.Key_Tab)
    assert len(swatch.wishes) == 1


def test_leaving_a_field_finishes_it(swatch, ripple):
    typed(swatch.page.rows, "8", end=Key.Key_Tab)
    assert swatch.design == edits.set_gauge(ripple, rows=8)


def test_escape_puts_back_what_was_there(swatch):
    field = swatch.page.stitches
    typed(field, "20", end=Key.Key_Escape)
    assert field.text() == "13"
    QTest.keyClick(field, Key.Key_Tab)
    assert not swatch.wishes


@pytest.mark.parametrize(
    ("name", "key", "edit"),
    [
        ("stitches", "14", partial(edits.set_gauge, stitches=14)),
        ("rows", "7.25", partial(edits.set_gauge, rows=7.25)),
        ("over", "12.5", partial(edits.set_gauge, over_mm=125)),
        ("hook", "4.25", partial(edits.set_gauge, hook_mm=4.25)),
        ("firmness", "0.8", partial(edits.set_gauge, firmness=0.8)),
        ("from_row", "3", partial(edits.set_loops, from_row=3)),
        ("chains", "2", partial(edits.set_turning, chains=2)),
        ("chains", "0", partial(edits.set_turning, chains=0)),
    ],
)
def test_every_number_makes_its_own_edit(swatch, ripple, name, key, edit):
    typed(getattr(swatch.page, name), key)
    assert swatch.design == edit(ripple) != ripple
    assert not swatch.refused


@pytest.mark.parametrize(
    ("name", "keys", "edit"),
    [
        ("stitch", [Key.Key_Down], partial(edits.set_stitch, stitch="tr")),
        ("stitch", [Key.Key_Up, Key.Key_Up], lambda d: edits.set_stitch(up(d), "sc")),
        ("loops", [Key.Key_Down], partial(edits.set_loops, work_in="front")),
        ("hand", [Key.Key_Down], partial(edits.set_values, hand="left")),
        ("units", [Key.Key_Down], partial(edits.set_values, units="in")),
    ],
)
def test_every_choice_makes_its_own_edit(swatch, ripple, name, keys, edit):
    stepped(getattr(swatch.page, name), *keys)
    assert swatch.design == edit(ripple) != ripple
    assert swatch.session.undo_stack.count() == 1


def up(design):
    return edits.set_stitch(design, "hdc")


def test_ticks_answer_to_the_space_bar_and_to_a_click_on_their_words(swatch, ripple):
    page = swatch.page
    stepped(page.last_both.box, Key.Key_Space)
    assert swatch.design == edits.set_loops(ripple, last_stitch_both=True)
    QTest.mouseClick(page.counts._words, LEFT, Mods.NoModifier, QPoint(3, 3))
    assert swatch.design.turning == Turning(chains=3, counts=False)


def test_steps_undo_as_one_for_as_long_as_the_focus_stays(swatch, ripple):
    field = swatch.page.stitches
    stepped(field, Key.Key_Up, Key.Key_Up, Key.Key_Up, Key.Key_Down)
    assert swatch.design.gauge.stitches == 14
    gestures = [gesture for _, _, gesture in swatch.wishes]
    assert len(gestures) == 4 and gestures[0] is not None and len({*map(id, gestures)}) == 1
    assert swatch.session.undo_stack.count() == 1
    wheel(field, 2)
    assert swatch.design.gauge.stitches == 15 and swatch.session.undo_stack.count() == 1
    swatch.session.undo_stack.undo()
    assert swatch.design is ripple


def test_coming_back_to_a_field_begins_another_step(swatch):
    page = swatch.page
    stepped(page.stitches, Key.Key_Up)
    stepped(page.rows, Key.Key_Up)
    stepped(page.stitches, Key.Key_Up)
    assert swatch.session.undo_stack.count() == 3


def test_typing_between_steps_stands_for_itself(swatch):
    field = swatch.page.stitches
    stepped(field, Key.Key_Up)
    typed(field, "15")
    QTest.keyClick(field, Key.Key_Up)
    assert swatch.design.gauge.stitches == 15.5
    assert swatch.session.undo_stack.count() == 3


def test_stepping_from_typed_text_takes_the_text_first(swatch):
    field = swatch.page.stitches
    typed(field, "15", end=Key.Key_Up)
    assert swatch.design.gauge.stitches == 15.5


def test_a_step_goes_to_the_next_half(desk, ripple):
    swatch = desk(SwatchPage, edits.set_gauge(ripple, stitches=13.3))
    stepped(swatch.page.stitches, Key.Key_Up)
    assert swatch.design.gauge.stitches == 13.5


def test_the_wheel_is_for_the_page_until_a_field_has_the_focus(swatch):
    page = swatch.page
    page.units.setFocus()
    for field in (page.stitches, page.stitch):
        wheel(field, 1)
    assert not swatch.wishes


def test_numbers_out_of_bounds_can_not_be_typed(swatch, ripple):
    typed(swatch.page.hook, "999")
    assert swatch.design.gauge.hook_mm <= 50
    typed(swatch.page.chains, "99")
    assert swatch.design.turning.chains <= 10
    assert not swatch.refused


def test_a_refused_number_gives_way_to_what_is(swatch, ripple):
    typed(swatch.page.rows, "500")  # no stitch has that shape
    assert swatch.refused and swatch.design is ripple
    assert swatch.page.rows.text() == "7.5"


def test_firmness_may_be_left_to_the_default(swatch):
    field = swatch.page.firmness
    assert field.text() == "default (0.5)"
    stepped(field, Key.Key_Up)
    assert swatch.design.gauge.firmness == 0.5
    QTest.keyClick(field, Key.Key_Up)
    assert swatch.design.gauge.firmness == pytest.approx(0.6)
    typed(field, "0.01")
    assert swatch.design.gauge.firmness == 0.02 and field.text() == "0.02"
    typed(field, "0.01")
    assert field.text() == "0.02" and not swatch.refused
    field.selectAll()
    QTest.keyClick(field, Key.Key_Delete)
    QTest.keyClick(field, Key.Key_Return)
    assert swatch.design.gauge.firmness is None and field.text() == "default (0.5)"


def test_stitches_are_called_by_the_design_s_terms(desk, ripple):
    swatch = desk(SwatchPage)
    assert swatch.page.stitch.currentText() == "dc: double crochet"
    swatch.session.change("Change terms", partial(edits.set_values, terms="UK"))
    assert swatch.page.stitch.currentText() == "tr: treble"
    words = [swatch.page.stitch.itemText(n) for n in range(swatch.page.stitch.count())]
    assert words[1] == "dc: double crochet" and swatch.page.stitch.itemData(1) == "sc"


def test_a_field_that_is_being_typed_in_is_left_alone(swatch, ripple):
    page = swatch.page
    typed(page.stitches, "1", end=None)
    swatch.show(edits.set_gauge(ripple, stitches=12, rows=7))
    assert page.stitches.text() == "1" and page.stitches.lineEdit().cursorPosition() == 1
    assert page.rows.text() == "7"
    QTest.keyClicks(page.stitches, "4")
    QTest.keyClick(page.stitches, Key.Key_Return)
    assert swatch.design.gauge.stitches == 14


def test_undo_in_a_field_is_the_design_s_unless_something_is_being_typed(swatch, qtbot, ripple):
    window = QMainWindow()
    qtbot.addWidget(window)
    window.setCentralWidget(swatch.page)
    undo = swatch.session.undo_stack.createUndoAction(window)
    undo.setShortcuts(QKeySequence.StandardKey.Undo)
    window.addAction(undo)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    field = swatch.page.stitches
    stepped(field, Key.Key_Up)
    assert swatch.design.gauge.stitches == 13.5
    typed(field, "20", end=None)
    QTest.keyClick(field, Key.Key_Z, Mods.ControlModifier)
    assert swatch.design.gauge.stitches == 13.5
    QTest.keyClick(field, Key.Key_Escape)
    QTest.keyClick(field, Key.Key_Z, Mods.ControlModifier)
    assert swatch.design is ripple
    assert field.text() == "13"
    window.takeCentralWidget()


def test_inches_are_shown_without_changing_the_swatch(swatch, ripple):
    stepped(swatch.page.units, Key.Key_Down)
    assert swatch.design == edits.set_values(ripple, units="in")
    page = swatch.page
    assert page.over.text() == "3.94 in" and page.hook.text() == "5 mm"
    assert page.stitch_width.text() == "0.30 in" and page.row_height.text() == "0.52 in"
    stepped(page.over, Key.Key_Up)
    assert page.over.text() == "4 in"
    assert swatch.design.gauge.over_mm == pytest.approx(101.6)


def test_what_follows_from_the_swatch_is_what_was_computed(swatch):
    page, results = swatch.page, swatch.results
    wave, size = results.wave, results.size
    assert page.stitch_width.text() == "7.7 mm"  # 100 / 13
    assert page.row_height.text() == "13.3 mm"  # 100 / 7.5
    assert page.repeat_width.text() == f"{wave.repeat_width_mm / 10:.1f} cm"
    assert page.rise.text() == f"{wave.rise_mm:.1f} mm"
    assert page.wave_height.text() == f"{wave.wave_height_mm / 10:.1f} cm"
    assert page.lean.text() == f"{wave.lean_deg:.0f}°"
    assert page.chain.text() == f"{size.chain_mm / 10:.1f} cm"
    assert page.width_figure.text() == f"{size.width_mm / 10:.1f} cm"
    drawn_in = 100 * (size.chain_mm - size.width_mm) / size.chain_mm
    assert page.draw_in.text() == f"{drawn_in:.0f} %" and drawn_in > 5


def broken(ripple):
    return replace(ripple.wave, end=ripple.wave.end[:-1])


def test_a_wave_that_can_not_settle_is_said_to_be_so(swatch):
    page, results = swatch.page, swatch.results
    assert not page._unsettled.isVisible()
    page.show_results(with_parts(results, wave=None))
    assert page.lean.text() == page.rise.text() == page.repeat_width.text() == "–"
    assert page._unsettled.isVisible() and "Checks" in page._unsettled.text()


def test_what_does_not_matter_is_switched_off(desk, ripple):
    page = desk(SwatchPage, edits.set_loops(ripple, work_in="both")).page
    assert not page.from_row.isEnabled() and not page.last_both.isEnabled()
    page = desk(SwatchPage, edits.set_turning(ripple, chains=0)).page
    assert not page.counts.isEnabled()


# --- yarn ----------------------------------------------------------------------------------


def cell(page, row, column):
    return page.table.item(row, column).text()


def test_the_list_says_what_each_yarn_has_to_do(yarn):
    page, uses = yarn.page, yarn.results.yarn
    for row, use in enumerate(uses):
        assert cell(page, row, NAME) == yarn.design.yarns[row].name
        assert cell(page, row, ROWS) == str(use.rows) == "10"
        assert cell(page, row, LENGTH) == f"{use.length_m:.0f}"
        assert cell(page, row, BALLS) == str(use.balls)
    assert cell(page, 0, OWNED) == "0.5" and cell(page, 1, OWNED) == "0"
    assert int(cell(page, 0, SHORT)) <= uses[0].balls
    assert "owned" in page.table.item(0, NAME).data(Qt.ItemDataRole.AccessibleTextRole)


def test_the_lines_of_the_chosen_yarn_and_the_totals_are_those_computed(yarn):
    page, use = yarn.page, yarn.results.yarn[0]
    assert page.in_rows.text() == f"{use.body_m:.1f} m"
    assert page.foundation.text() == f"{use.foundation_m:.1f} m"
    assert page.tails.text() == f"{use.tails_m:.1f} m"
    assert page.spare.text() == f"{use.spare_m:.1f} m"
    assert page.together.text() == f"{use.length_m:.1f} m"
    assert page.all_length.text() == f"{sum(u.length_m for u in yarn.results.yarn):.0f} m"
    assert page.ends.text() == "20"  # ten stripes, two ends each
    assert page.cost.text().endswith(", 1 without price")


def test_the_arrow_keys_choose_a_yarn_and_enter_leads_to_its_name(yarn):
    page = yarn.page
    stepped(page.table, Key.Key_Down)
    assert page.name.text() == "Sand" and page.foundation.text() == "–"
    assert page.price.text() == "not given"
    QTest.keyClick(page.table, Key.Key_Return)
    assert page.name.hasFocus()
    typed(page.name, "Dune")
    ((text, _, _),) = yarn.wishes
    assert text == "Rename yarn"
    assert yarn.design.yarns[1].name == cell(page, 1, NAME) == "Dune"
    assert yarn.design.yarns[0].name == "Sea"


@pytest.mark.parametrize(
    ("name", "keys", "values"),
    [
        ("ball_m", "120.5", {"ball_m": 120.5}),
        ("ball_g", "100", {"ball_g": 100}),
        ("owned", "2.25", {"owned_balls": 2.25}),
        ("price", "3.2", {"price": 3.2}),
        ("price", "0", {"price": None}),
        ("name", "Deep sea", {"name": "Deep sea"}),
    ],
)
def test_every_field_of_a_yarn_makes_its_own_edit(yarn, ripple, name, keys, values):
    typed(getattr(yarn.page, name), keys)
    assert yarn.design == edits.set_yarn(ripple, 0, **values) != ripple
    assert not yarn.refused


def test_a_name_can_not_be_emptied(yarn):
    typed(yarn.page.name, "   ")
    assert yarn.page.name.text() == "Sea" and not yarn.wishes
    typed(yarn.page.name, "Slate", end=Key.Key_Escape)
    assert yarn.page.name.text() == "Sea" and not yarn.wishes


def test_text_for_one_yarn_never_ends_up_on_another(yarn):
    page = yarn.page
    typed(page.name, "Dun", end=None)
    page.table.setCurrentCell(1, NAME)
    assert page.name.text() == "Sand"


def test_an_added_yarn_is_new_in_name_and_colour_and_chosen(yarn, ripple):
    page = yarn.page
    for _ in range(6):
        QTest.keyClick(page.add_button, Key.Key_Space)
    names = [y.name for y in yarn.design.yarns]
    assert names[2:] == ["Yarn 3", "Yarn 4", "Yarn 5", "Yarn 6", "Yarn 7", "Yarn 8"]
    assert page.name.text() == "Yarn 8" and page.table.currentRow() == 7
    colours = [y.colour for y in yarn.design.yarns]
    apart = [difference(a, b) for n, a in enumerate(colours) for b in colours[:n]]
    assert min(apart) > MERGE_DIFFERENCE
    assert yarn.design.stripes == ripple.stripes
    assert yarn.session.undo_stack.count() == 6


def test_no_more_yarns_than_a_design_holds(desk, ripple):
    many = tuple(replace(ripple.yarns[0], name=f"Yarn {n}") for n in range(200))
    yarn = desk(YarnPage, replace(ripple, yarns=many))
    assert not yarn.page.add_button.isEnabled()
    QTest.keyClick(yarn.page.table, Key.Key_Insert)
    assert not yarn.wishes
    yarn.page.add_yarn_for_stripe(0)
    assert yarn.refused and yarn.page._dialog is None


def test_a_removed_yarn_leaves_its_stripes_to_its_neighbour_and_the_step_says_so(yarn, ripple):
    page = yarn.page
    stepped(page.table, Key.Key_Down, Key.Key_Delete)
    assert yarn.texts == ["Remove Sand: its stripes go to Sea"]
    assert yarn.design == edits.remove_yarn(ripple, 1)
    assert page.name.text() == "Sea" and not page.remove_button.isEnabled()
    QTest.keyClick(page.table, Key.Key_Delete)
    assert len(yarn.wishes) == 1


def test_the_first_yarn_leaves_its_stripes_to_the_second(yarn, ripple):
    QTest.mouseClick(yarn.page.remove_button, LEFT)
    assert yarn.texts == ["Remove Sea: its stripes go to Sand"]
    assert {y.name for y in yarn.design.yarns} == {"Sand"}


def test_a_yarn_without_stripes_goes_without_a_word_of_them(yarn):
    QTest.mouseClick(yarn.page.add_button, LEFT)
    QTest.mouseClick(yarn.page.remove_button, LEFT)
    assert yarn.texts[-1] == "Remove Yarn 3"


def test_a_colour_is_seen_while_it_is_chosen_and_undone_as_one(yarn, ripple):
    page = yarn.page
    QTest.keyClick(page.colour, Key.Key_Space)
    dialog = page._dialog
    assert isinstance(dialog, QColorDialog) and dialog.currentColor() == QColor("#2a6f97")
    for colour in ("#804020", "#905030"):
        dialog.setCurrentColor(QColor(colour))
        assert yarn.design.yarns[0].colour == colour
    dialog.accept()
    assert page._dialog is None
    assert yarn.design == edits.set_yarn(ripple, 0, colour="#905030")
    assert page.colour.text() == "#905030"
    assert yarn.session.undo_stack.count() == 1


def test_a_colour_that_was_not_taken_leaves_no_trace(yarn, ripple):
    yarn.page.choose_colour()
    dialog = yarn.page._dialog
    dialog.setCurrentColor(QColor("#804020"))
    dialog.reject()
    assert yarn.design == ripple and yarn.session.undo_stack.count() == 0


def test_a_new_yarn_for_a_stripe_is_one_step_with_its_colour(yarn, ripple):
    yarn.page.add_yarn_for_stripe(1)
    dialog = yarn.page._dialog
    assert yarn.design.stripes.sequence == (Stripe(0, 2), Stripe(2, 2))
    assert dialog is not None and yarn.page.name.text() == "Yarn 3"
    dialog.setCurrentColor(QColor("#804020"))
    dialog.accept()
    assert yarn.design.yarns[2].colour == "#804020"
    assert yarn.session.undo_stack.count() == 1
    yarn.session.undo_stack.undo()
    assert yarn.design is ripple
    assert yarn.page.table.rowCount() == 2


def test_the_source_of_the_figures_is_said_and_can_be_one_s_own_swatch(yarn, ripple):
    page = yarn.page
    assert "published figure" in page.source.text() and page.per_area.text() == "published"
    typed(page.per_area, "900")
    assert yarn.design.swatch == Swatch(yarn_m_per_m2=900)
    assert "your weighed swatch" in page.source.text()
    assert page.in_rows.text() == f"{yarn.results.yarn[0].body_m:.1f} m"
    page.per_area.selectAll()
    QTest.keyClick(page.per_area, Key.Key_Backspace)
    QTest.keyClick(page.per_area, Key.Key_Return)
    assert yarn.design == ripple
    stepped(page.per_area, Key.Key_Up)
    assert yarn.design.swatch.yarn_m_per_m2 == YARN_M_PER_M2


def test_the_sequence_s_end_can_be_chosen(yarn, ripple):
    stepped(yarn.page.fill, Key.Key_Down)
    assert yarn.design == edits.set_fill(ripple, "mirror")


def test_yarn_is_told_in_yards_beside_inches(desk, ripple):
    yarn = desk(YarnPage, replace(ripple, units="in"))
    page = yarn.page
    assert page.ball_m.text() == "114.8 yd"  # 105 m
    assert page.together.text() == f"{yarn.results.yarn[0].length_m / 0.9144:.1f} yd"
    assert page.table.horizontalHeaderItem(LENGTH).text() == "yd"
    typed(page.ball_m, "120")
    assert yarn.design.yarns[0].ball_m == pytest.approx(109.728)


def test_a_slim_list_keeps_names_and_balls_a_wide_one_shows_everything(yarn):
    page, table = yarn.page, yarn.page.table
    shown = [column for column in range(7) if not table.isColumnHidden(column)]
    assert {NAME, BALLS} <= set(shown)
    width = sum(table.columnWidth(column) for column in shown)
    assert width <= table.viewport().width()
    page.resize(600, 640)
    assert not any(table.isColumnHidden(column) for column in range(7))


def test_undo_that_takes_the_chosen_yarn_away_chooses_another(yarn):
    QTest.mouseClick(yarn.page.add_button, LEFT)
    yarn.session.undo_stack.undo()
    assert yarn.page.name.text() == "Sand"


# --- words ---------------------------------------------------------------------------------


@pytest.fixture
def words(desk, ripple):
    return desk(WordsPage, edits.set_size(ripple, rows=200), text_of)


def test_the_words_follow_the_design_and_keep_their_place(words):
    page = words.page
    QApplication.processEvents()
    bar = page.text.verticalScrollBar()
    bar.setValue(60)
    words.session.change("Retitle", partial(edits.set_values, title="Another"))
    assert page.text.toPlainText().startswith("Another\n")
    assert bar.value() == 60 and page.text.isReadOnly()


def test_words_that_nobody_sees_are_not_written(theme, ripple, qtbot):
    written = []
    page = WordsPage(theme, lambda results: written.append(results) or "words")
    qtbot.addWidget(page)
    results = Pipeline().results(ripple)
    page.show_results(results)
    assert page.is_stale and not written
    page.show()
    assert not page.is_stale and written == [results]
    page.hide()
    page.show_results(Pipeline().results(ripple))
    page.show_results(results)
    assert page.is_stale and len(written) == 1
    page.show()
    page.hide()
    page.show()
    assert len(written) == 2


def test_all_the_words_can_be_copied(words):
    QTest.keyClick(words.page.copy_button, Key.Key_Space)
    assert QGuiApplication.clipboard().text() == text_of(words.results)
    assert words.page.copy_button.text() == "Copied"


def test_find_goes_from_place_to_place_and_round(words, qtbot):
    page = words.page
    qtbot.waitUntil(page.isActiveWindow)
    page.text.setFocus()
    QTest.keyClick(page.text, Key.Key_F, Mods.ControlModifier)
    assert page.find_line.hasFocus()
    QTest.keyClicks(page.find_line, "row 19")
    assert page._count.text() == "1 of 11"  # 19 and 190 to 199
    QTest.keyClick(page.find_line, Key.Key_Return)
    assert page._count.text() == "2 of 11"
    assert page.text.textCursor().block().text() == "Row 190: work it"
    for _ in range(2):
        QTest.keyClick(page.find_line, Key.Key_Return, Mods.ShiftModifier)
    assert page._count.text() == "11 of 11"
    QTest.mouseClick(page.next_button, LEFT)
    assert page._count.text() == "1 of 11"
    QTest.keyClicks(page.find_line, "x")
    assert page._count.text() == "not in the words"
    QTest.keyClick(page.find_line, Key.Key_Escape)
    assert page.text.hasFocus() and not page.text.extraSelections()


# --- checks --------------------------------------------------------------------------------


def with_findings(results, *findings):
    return with_parts(results, findings=findings)


def test_findings_stand_errors_first_with_word_and_place(desk, ripple):
    page = desk(ChecksPage, edits.set_wave(ripple, broken(ripple))).page
    texts = [page.list.item(row).text() for row in range(page.list.count())]
    assert texts[0].startswith("To mend · row 2: ")
    assert [text.split(" ·")[0] for text in texts] == sorted(
        (text.split(" ·")[0] for text in texts), key=["To mend", "Caution", "Note"].index
    )


def test_the_summary_counts(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    assert page.summary == "nothing to mend"
    error, caution = Finding("error", "row 2", "Too few."), Finding("warning", "wave", "Holes.")
    note = Finding("note", "yarn 1", "Not used.")
    page.show_results(with_findings(results, error, error, note))
    assert page.summary == "2 to mend, 1 note"
    page.show_results(with_findings(results, error, caution, note, note))
    assert page.summary == "1 to mend, 1 caution, 2 notes"
    page.show_results(with_findings(results))
    assert page.summary == "nothing to mend"


def test_a_design_without_findings_is_told_so(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.show()
    page.show_results(with_findings(results))
    assert page.head.text() == ALL_WELL and not page.list.isVisible()
    page.show_results(with_findings(results, Finding("error", "row 2", "Too few.")))
    assert page.head.text() != ALL_WELL and page.list.isVisible()


def test_a_finding_leads_to_its_place_by_key_and_by_click(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.resize(300, 640)
    page.show()
    places = []
    page.jump.connect(places.append)
    findings = (Finding("error", "row 2", "Too few."), Finding("note", "yarn 1", "Not used."))
    page.show_results(with_findings(results, *findings))
    QTest.keyClick(page.list, Key.Key_Return)
    QTest.keyClick(page.list, Key.Key_Down)
    QTest.keyClick(page.list, Key.Key_Space)
    assert places == ["row 2", "yarn 1"]
    at = page.list.visualItemRect(page.list.item(0)).center()
    QTest.mouseClick(page.list.viewport(), LEFT, Mods.NoModifier, at)
    assert places == ["row 2", "yarn 1", "row 2"]
    assert page.list.item(1).text() == "Note · Sand: Not used."  # a yarn by its name


def test_the_chosen_finding_stays_chosen_while_it_lasts(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    one, two = Finding("error", "row 2", "Too few."), Finding("note", "wave", "Steep.")
    page.show_results(with_findings(results, one, two))
    page.list.setCurrentRow(1)
    page.show_results(with_findings(results, two))
    assert page.list.currentRow() == 0
    page.show_results(with_findings(results, one, two))
    assert page.list.currentRow() == 1


def test_long_findings_wrap_to_the_column(theme, results, qtbot):
    page = ChecksPage(theme)
    qtbot.addWidget(page)
    page.resize(300, 640)
    page.show()
    long = Finding("note", "wave", "A long sentence about the wave. " * 6)
    page.show_results(with_findings(results, long, Finding("note", "wave", "Short.")))
    QApplication.processEvents()
    tall, low = (page.list.visualItemRect(page.list.item(row)).height() for row in (0, 1))
    assert tall > 3 * page.fontMetrics().height() + low - page.fontMetrics().height()
    page.resize(600, 640)
    QApplication.processEvents()
    assert page.list.visualItemRect(page.list.item(0)).height() < tall
    assert page.list.visualItemRect(page.list.item(0)).width() <= page.list.viewport().width()


def test_levels_differ_in_shape_not_only_in_colour(theme):
    pictures = []
    for level in ("error", "warning", "note"):
        image = QImage(24, 24, QImage.Format.Format_Grayscale8)
        image.fill(255)
        with QPainter(image) as painter:
            paint_level(painter, QRectF(2, 2, 20, 20), level, theme.tones)
        pictures.append(bytes(image.constBits()))
    for n, one in enumerate(pictures):
        for other in pictures[:n]:
            apart = sum(abs(a - b) > 60 for a, b in zip(one, other, strict=True))
            assert apart > 40


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_words_and_checks_fit_a_slim_column_too(theme, results, qtbot, dressed, scale):
    dressed(scale)
    for page in (WordsPage(theme, text_of), ChecksPage(theme)):
        qtbot.addWidget(page)
        page.resize(300, 640)
        page.show_results(results)
        page.show()
        if isinstance(page, WordsPage):
            page.open_find()
        QApplication.processEvents()
        for child in page.findChildren(QAbstractButton) + page.findChildren(QLabel):
            if child.isVisible() and child.text():
                assert page.rect().contains(QRect(child.mapTo(page, QPoint(0, 0)), child.size()))
                shown = fits(child) if isinstance(child, QLabel) else True
                assert shown and child.minimumSizeHint().width() <= child.width(), child.text()
