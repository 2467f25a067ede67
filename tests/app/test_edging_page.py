"""The page of fill rows and border by keyboard and mouse, and the bands round the picture."""

from functools import partial

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QComboBox
from some import some

from app.depicting import size_lines
from app.exporting import fabric_png
from app.painting.chart import fitted
from app.painting.edging import EdgingOverlay, edging_shapes, paint_edging
from app.painting.end import end_picture, label_px, placed
from app.session import Session
from app.theme import small
from app.views.pages.edging import EdgingPage
from core.design import edits
from core.design.document import FillRow
from core.edging.levels import STEPS
from core.edging.outline import ENDS
from core.palette.sight import GREY, PLAIN
from core.pipeline import Pipeline

Key = Qt.Key


class Desk:
    """A page with the session behind it, as the window has it, everything settled at once."""

    def __init__(self, design, theme, qtbot):
        self.page = EdgingPage(theme)
        qtbot.addWidget(self.page)
        self.page.resize(320, 1300)
        self.session = Session(design)
        self.pipeline = Pipeline()
        self.texts = []
        self.page.wish.connect(self.do)
        self.session.design_changed.connect(lambda design: self.show())
        self.show()
        self.page.show()
        self.page.activateWindow()
        qtbot.waitExposed(self.page)

    def show(self):
        self.results = self.pipeline.settled_results(self.session.design)
        self.page.show_results(self.results)

    def do(self, text, edit, gesture):
        self.texts.append(text)
        self.session.change(text, edit, gesture)

    @property
    def edging(self):
        return self.session.design.edging


@pytest.fixture(scope="module")
def pattern(request):
    """One small ripple for the whole module: settling it takes a moment."""
    return request.getfixturevalue("ripple")


@pytest.fixture
def desk(pattern, theme, qtbot):
    return Desk(pattern, theme, qtbot)


@pytest.fixture
def filled_desk(pattern, theme, qtbot):
    design = edits.set_end_fill(edits.set_end_fill(pattern, "top"), "bottom", yarn=1)
    return Desk(edits.set_edge_border(design, rounds=2), theme, qtbot)


def choose(field, key):
    field.setFocus()
    while field.currentData() != key:
        at = field.currentIndex()
        wanted = field.findData(key)
        QTest.keyClick(field, Key.Key_Down if wanted > at else Key.Key_Up)


# --- choosing ----------------------------------------------------------------------------


@pytest.mark.parametrize("end", ENDS)
def test_fill_rows_come_and_go_by_keyboard(desk, end):
    part = desk.page.ends[end]
    choose(part.n_rows, "1")
    assert getattr(desk.edging, end).n_rows == 1
    assert desk.results.ends.fills[end] is not None
    assert part.bump.text() != "–"
    choose(part.n_rows, "0")
    assert desk.edging is None
    assert part.bump.text() == "–"


def test_each_choice_is_undone_in_one_step(desk):
    choose(desk.page.ends["top"].n_rows, "1")
    desk.session.undo_stack.undo()
    assert desk.edging is None
    assert desk.page.ends["top"].n_rows.currentData() == "0"


def test_yarn_of_a_fill_is_chosen(filled_desk):
    choose(filled_desk.page.ends["top"].yarn, "1")
    assert filled_desk.edging.top.yarn == 1
    part = next(use for use in filled_desk.results.edging if use.part == "top")
    assert part.yarn == 1


def test_border_comes_by_stepping_up_from_none(desk):
    page = desk.page
    page.rounds.setFocus()
    QTest.keyClick(page.rounds, Key.Key_Up)
    assert desk.edging.border.rounds == 1
    assert page.first_round.text().endswith("sts")
    QTest.keyClick(page.rounds, Key.Key_Down)
    assert desk.edging is None
    assert page.first_round.text() == "–"


def test_multiple_and_corner_change_the_totals(filled_desk):
    page = filled_desk.page
    for field, value in ((page.multiple, 7), (page.extra, 2), (page.corner, 5)):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, str(value))
        QTest.keyClick(field, Key.Key_Return)
    border = filled_desk.edging.border
    assert (border.multiple, border.extra, border.corner) == (7, 2, 5)
    plan = filled_desk.results.border
    assert (plan.side_total - 2) % 7 == (plan.top.total - 2) % 7 == 0
    assert page.side_total.text().split()[0] == str(plan.side_total)


def test_figures_are_those_of_the_results(filled_desk):
    page, results = filled_desk.page, filled_desk.results
    fill = results.ends.fills["top"]
    assert page.ends["top"].bump.text() == f"{fill.bump_mm:.1f} mm"
    assert page.all_metres.text() == f"{results.border.length_m:.0f} m"
    assert page.corner_note.text()


# --- the drawing -------------------------------------------------------------------------


@pytest.mark.parametrize(("key", "by"), [(Key.Key_Up, 1), (Key.Key_Down, -1)])
def test_arrows_change_the_chosen_stitch_in_every_repeat(filled_desk, key, by):
    drawing = filled_desk.page.ends["top"].drawing
    drawing.setFocus()
    QTest.keyClick(drawing, Key.Key_Home)
    for _ in range(3):
        QTest.keyClick(drawing, Key.Key_Right)
    row, place = drawing.chosen
    before = filled_desk.results.ends.fills["top"].rows[row].along(4)
    QTest.keyClick(drawing, key)
    after = filled_desk.results.ends.fills["top"].rows[row].along(4)
    assert STEPS.index(after[place]) - STEPS.index(before[place]) == by
    assert sum(a != b for a, b in zip(after, before, strict=True)) in (1, 4)  # corner or repeats
    assert filled_desk.edging.top.own


def test_steps_at_one_stitch_undo_as_one(filled_desk):
    drawing = filled_desk.page.ends["bottom"].drawing
    drawing.setFocus()
    for _ in range(2):
        QTest.keyClick(drawing, Key.Key_Down)
    filled_desk.session.undo_stack.undo()
    assert not filled_desk.edging.bottom.own


def test_a_click_chooses_the_stitch_under_it_and_buttons_change_it(filled_desk):
    part = filled_desk.page.ends["top"]
    drawing = part.drawing
    picture = end_picture(filled_desk.results, "top")
    placing = placed(picture, drawing._room(), drawing._label_px())
    place = 8
    x, y = placing.points(picture.cells_mm[0][place].mean(axis=0)).tolist()
    QTest.mouseClick(drawing, Qt.MouseButton.LeftButton, pos=QPoint(round(x), round(y)))
    row, chosen = drawing.chosen
    assert row == 0
    assert abs(chosen - picture.first - place) <= 1  # a pixel is a third of a stitch here
    assert drawing.hasFocus()
    before = filled_desk.results.ends.fills["top"].rows[0].along(4)[chosen]
    QTest.mouseClick(part.lower, Qt.MouseButton.LeftButton)
    after = filled_desk.results.ends.fills["top"].rows[0].along(4)[chosen]
    assert STEPS.index(after) == STEPS.index(before) - 1


def test_proposing_again_forgets_stitches_chosen_by_hand(filled_desk):
    part = filled_desk.page.ends["top"]
    assert not part.again.isEnabled()
    part.drawing.setFocus()
    QTest.keyClick(part.drawing, Key.Key_Down)
    assert part.again.isEnabled()
    QTest.mouseClick(part.again, Qt.MouseButton.LeftButton)
    assert filled_desk.edging.top.own == ()


def test_the_chosen_stitch_is_told_in_the_designs_terms(filled_desk):
    part = filled_desk.page.ends["top"]
    told = part.drawing.accessibleDescription()
    assert "of 12 in the repeat" in told or "corner" in told
    uk = edits.set_values(filled_desk.session.design, terms="UK")
    part.drawing.show_results(filled_desk.pipeline.settled_results(uk))
    assert part.drawing.chosen_text().split(": ")[1] in ("ss", "dc", "htr", "tr", "dtr", "trtr")


def test_hand_stitches_for_another_row_are_said_to_be_left_out(pattern, theme, qtbot):
    own = FillRow(("sc",), ("sc",), ("sc",))
    desk = Desk(edits.set_end_fill(pattern, "top", own=(own,)), theme, qtbot)
    assert "don't fit" in desk.page.ends["top"].advice.text()
    finding = next(f for f in desk.results.findings if f.where == "edging top")
    assert finding.level == "warning"


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("end", ENDS)
def test_drawing_shows_the_fill_in_its_yarns_colour(filled_desk, theme, look, end):
    theme.set_look(look)
    drawing = filled_desk.page.ends[end].drawing
    image = drawing.grab().toImage()
    yarn = QColor(filled_desk.session.design.yarns[getattr(filled_desk.edging, end).yarn].colour)
    found = sum(
        image.pixelColor(x, y) == yarn for x in range(image.width()) for y in range(image.height())
    )
    assert found > 100


def test_every_control_has_a_name_and_buttons_a_tip(filled_desk):
    page = filled_desk.page
    for field in some(page.findChildren(QComboBox) + page.findChildren(QAbstractSpinBox)):
        assert field.accessibleName()
    for part in page.ends.values():
        assert part.drawing.accessibleName() and part.drawing.toolTip()
        for button in (part.taller, part.lower, part.again):
            assert button.toolTip()


def test_all_fields_are_reached_by_tab(filled_desk):
    page = filled_desk.page
    page.ends["top"].n_rows.setFocus()
    reached = []
    for _ in range(20):
        reached.append(page.focusWidget())
        QTest.keyClick(page.focusWidget(), Key.Key_Tab)
    for part in page.ends.values():
        assert {part.n_rows, part.yarn, part.drawing, part.taller, part.lower} <= set(reached)
    assert {page.rounds, page.stitch, page.yarn, page.corner, page.multiple} <= set(reached)


# --- the blanket's picture ---------------------------------------------------------------


def painted(shapes, *, sight=PLAIN):
    image = QImage(300, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    placing = fitted(shapes.extent_mm, QRectF(5, 5, 290, 290))
    with QPainter(image) as painter:
        paint_edging(painter, shapes, placing, sight=sight)
    return image, placing


def test_border_surrounds_the_blanket_and_leaves_it_to_be_seen(filled_desk):
    shapes = edging_shapes(filled_desk.results)
    image, placing = painted(shapes)
    loop = 0.5 * (shapes.rim.loops_mm[0] + shapes.rim.loops_mm[1])
    colour = QColor(filled_desk.session.design.yarns[0].colour)
    hits = 0
    for x, y in placing.points(loop[::5]):
        near = image.pixelColor(round(x), round(y))
        hits += abs(near.red() - colour.red()) + abs(near.blue() - colour.blue()) < 90
    assert hits > 0.8 * len(loop[::5])
    assert image.pixelColor(150, 150) == QColor("#ffffff")


def test_grey_view_greys_the_edging_too(filled_desk):
    image, _ = painted(edging_shapes(filled_desk.results), sight=GREY)
    colours = {image.pixelColor(x, 150).name() for x in range(300)}
    assert all(QColor(c).saturation() == 0 for c in colours)


def test_overlay_keeps_its_picture_until_something_changes(filled_desk):
    overlay, results = EdgingOverlay(), filled_desk.results
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    placing = fitted(overlay.shapes(results).extent_mm, QRectF(0, 0, 200, 200))
    with QPainter(image) as painter:
        paint = partial(overlay.paint, painter, results, placing, QRectF(0, 0, 200, 200))
        paint()
        kept = overlay._kept[1]
        paint()
        assert overlay._kept[1] is kept
        paint(sight=GREY)
        assert overlay._kept[1] is not kept


def test_exported_picture_grows_by_the_edging(filled_desk, pattern):
    from app.painting.choices import Choices

    choices = Choices(width_px=300)
    edged = QImage.fromData(fabric_png(filled_desk.results, choices))
    bare = QImage.fromData(fabric_png(Pipeline().settled_results(pattern), choices))
    assert edged.width() == bare.width() == 300
    assert edged.height() != bare.height()
    border = QColor(pattern.yarns[0].colour)
    corner = edged.pixelColor(4, 4)
    assert abs(corner.red() - border.red()) + abs(corner.green() - border.green()) < 60


def test_size_in_the_pattern_says_both(filled_desk):
    lines = size_lines(filled_desk.results)
    assert "unwashed" in lines[0]
    assert "with fill rows and border" in lines[1]


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_the_words_beside_an_end_have_room_in_any_type(desk, scale):
    font = small(QApplication.font())
    font.setPointSizeF(scale * font.pointSizeF())
    metrics = QFontMetricsF(font)
    picture = end_picture(desk.results, "top")
    wide = label_px(metrics, "15.7 mm")
    placing = placed(picture, QRectF(0, 0, 300, 120), wide)
    right = placing.points(np.array([picture.bounds_mm()[2], 0.0]))[0]
    assert 300 - right >= metrics.horizontalAdvance("15.7 mm") + 14
