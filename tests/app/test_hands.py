"""Hands on chart, fabric, stripes and words: one selection, the same keys and gestures in both."""

import re

import numpy as np
import pytest
from desk import LEFT, Key, Mods, move, wait_until_settled, window_in
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QPointingDevice, QTextCursor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.views.stitch_canvas import StitchCanvas
from core.fabric.distance import distance
from core.fabric.find import finder_of


@pytest.fixture(scope="module")
def one_window(qapp, ripple, tmp_path_factory):
    """One window for all tests here: opening one takes longer than any of them."""
    window = window_in(tmp_path_factory.mktemp("hands"), ripple)
    window.resize(1500, 860)
    window.show()
    window.show_page(window.pages.index(window.words))
    wait_until_settled(window)
    yield window
    window.session.undo_stack.setClean()
    window.close()


@pytest.fixture
def window(one_window, qapp):
    window = one_window
    window.linking.measure(False)
    window.linking.selecting.clear()
    window.linking.selecting.point(-1, -1)
    window.show_all()
    window.activateWindow()
    qapp.processEvents()
    yield window
    window.session.undo_stack.setIndex(0)
    qapp.processEvents()


views = pytest.mark.parametrize("name", ["chart", "fabric"])


def at(view, row, stitch):
    """The middle of a stitch's post, in pixels of the view."""
    fabric = view.shown()[1]
    x, y = fabric.row_tops_mm(row)[stitch]
    y -= 0.5 * float(np.median(fabric.size.heights_mm))
    return QPointF(*view.placing.points(np.array([x, y])).tolist()).toPoint()


def chosen(window):
    return window.linking.selecting.chosen


def underlined(window, *, bold):
    """The words that are marked: as selected if `bold`, else as pointed at."""
    text = window.words.text.toPlainText()
    places = window.words.links._selected if bold else window.words.links._lit
    return [text[start:end] for start, end in places]


@views
def test_a_pointer_on_a_stitch_lights_it_everywhere(window, name):
    view = getattr(window, name)
    move(view, at(view, 3, 10))
    for shown in (window.chart, window.fabric):
        (ring, selected), *_ = shown._marks_lit.rings
        assert not selected
        x, y = shown.placing.points(shown.shown()[1].row_tops_mm(3)[10]).tolist()
        assert (ring.x(), ring.y()) == pytest.approx((x, y), abs=0.6)
        assert len(shown._marks_lit.parents) >= 1 and len(shown._marks_lit.children) >= 1
    assert window.strip._lit == ((3, 3, False),)
    assert window.wave._lit is not None
    said = window.statusBar().currentMessage()
    # Row 3 is worked from right to left: the eleventh from the left is number 50 of 60.
    assert re.match(r"Row 3 \(RS\), stitch 50 of 60: .*worked into .* of row 2; into it", said)
    phrase, repeats = underlined(window, bold=False)
    assert "dc" in phrase and repeats.startswith("Rows 3 to 20")
    QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert window.strip._lit == () and window.wave._lit is None
    assert not window.words.links._lit


@views
def test_a_click_selects_and_escape_lets_go(window, name):
    view = getattr(window, name)
    QTest.mouseClick(view, LEFT, pos=at(view, 5, 12))
    assert chosen(window).spans == ((5, 12, 12),)
    move(view, at(view, 8, 3))
    QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert window.statusBar().currentMessage().startswith("Selected: Row 5")
    assert "Selected: Row 5" in view.accessibleDescription()
    view.setFocus()
    QTest.keyClick(view, Key.Key_Escape)
    assert chosen(window) is None
    assert "Selected" not in view.accessibleDescription()


@views
def test_arrows_walk_along_the_row_and_to_kin(window, name):
    view, rows = getattr(window, name), window.live.results.rows
    QTest.mouseClick(view, LEFT, pos=at(view, 4, 20))
    view.setFocus()
    QTest.keyClick(view, Key.Key_Right)
    assert chosen(window).head == (4, 21)
    QTest.keyClick(view, Key.Key_Up)
    row, stitch = chosen(window).head
    links = rows.fabric_links(5)
    assert row == 5 and [stitch, 21] in links.tolist()
    QTest.keyClick(view, Key.Key_Down)
    assert [stitch, chosen(window).head[1]] in links.tolist()
    QTest.keyClick(view, Key.Key_Home)
    assert chosen(window).head == (4, 0)
    QTest.keyClick(view, Key.Key_End)
    assert chosen(window).head == (4, rows.makes(4) - 1)
    assert view.rect().contains(at(view, *chosen(window).head))


@views
def test_shift_selects_a_range_and_counts_it(window, name):
    view = getattr(window, name)
    before = window.session.design
    QTest.mouseClick(view, LEFT, pos=at(view, 4, 20))
    view.setFocus()
    for _ in range(4):
        QTest.keyClick(view, Key.Key_Right, Mods.ShiftModifier)
    assert chosen(window).count == 5
    assert "5 stitches" in window.statusBar().currentMessage()
    QTest.mouseClick(view, LEFT, Mods.ShiftModifier, at(view, 4, 8))
    assert chosen(window).spans == ((4, 8, 20),)
    QTest.keyClick(view, Key.Key_Up, Mods.ShiftModifier)
    assert chosen(window).kind == "rows" and chosen(window).rows == (4, 5)
    assert "2 rows, 120 stitches" in window.statusBar().currentMessage()
    assert window.session.design is before  # the fabric's own Shift and arrows wait


@views
def test_a_double_click_selects_the_repeat(window, name):
    view = getattr(window, name)
    QTest.mouseClick(view, LEFT, pos=at(view, 4, 20))
    QTest.mouseDClick(view, LEFT, pos=at(view, 4, 20))
    assert chosen(window).kind == "repeat" and chosen(window).count == 12
    assert "repeat" in window.statusBar().currentMessage()


def test_a_click_on_a_rows_number_selects_the_row(window):
    chart = window.chart
    chart.grab()
    row, box = next((shown.row, shown.box) for shown in chart.numbers.shown if shown.row > 3)
    QTest.mouseClick(chart, LEFT, pos=box.center().toPoint())
    assert chosen(window).kind == "row" and chosen(window).rows == (row, row)
    assert chosen(window).count == 60


@views
def test_without_a_selection_arrows_pan_and_enter_begins_one(window, name):
    view = getattr(window, name)
    view.setFocus()
    before = view.placing
    QTest.keyClick(view, Key.Key_Right)
    assert view.placing.x < before.x and chosen(window) is None
    QTest.keyClick(view, Key.Key_0)
    QTest.keyClick(view, Key.Key_Return)
    assert chosen(window) is not None and chosen(window).is_one


@views
def test_z_zooms_to_what_is_selected_and_0_fits(window, name):
    view = getattr(window, name)
    QTest.mouseClick(view, LEFT, pos=at(view, 6, 30))
    view.setFocus()
    QTest.keyClick(view, Key.Key_Z)
    spot = at(view, 6, 30)
    assert (spot - view.rect().center()).manhattanLength() < 60
    large = view.placing.scale
    QTest.keyClick(view, Key.Key_0)
    assert view.placing.scale < large


@views
def test_a_pinch_and_the_space_bar(window, name):
    view = getattr(window, name)
    spot = QPointF(at(view, 6, 30))
    under = view.to_mm(spot)
    gesture = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        QPointingDevice.primaryPointingDevice(),
        2,
        spot,
        spot,
        QPointF(view.mapToGlobal(spot)),
        0.5,
        QPointF(),
    )
    QApplication.sendEvent(view, gesture)
    assert view.to_mm(spot) == pytest.approx(under, abs=0.01)
    view.setFocus()
    window.linking.measure(True)
    before = view.placing
    QTest.keyPress(view, Key.Key_Space)
    QTest.mousePress(view, LEFT, pos=spot.toPoint())
    move(view, spot.toPoint() + QPoint(40, 10), LEFT)
    QTest.mouseRelease(view, LEFT, pos=spot.toPoint() + QPoint(40, 10))
    QTest.keyRelease(view, Key.Key_Space)
    assert view.placing.x - before.x == pytest.approx(40)
    assert view.ruler is None and chosen(window) is None


@views
def test_measuring_says_the_distance_in_units_stitches_and_rows(window, name):
    view, results = getattr(window, name), window.live.results
    view.setFocus()
    QTest.keyClick(view, Key.Key_M)
    assert window.chart.is_measuring and window.fabric.is_measuring
    one, two = at(view, 2, 5), at(view, 8, 29)
    QTest.mouseClick(view, LEFT, pos=one)
    move(view, two)
    QTest.mouseClick(view, LEFT, pos=two)
    found = view.ruler.distance
    assert (found.stitches, found.rows) == (24, 6)
    tops = results.fabric.row_tops_mm
    far = float(np.hypot(*(tops(8)[29] - tops(2)[5])))
    assert found.length_mm == pytest.approx(far, rel=0.05)
    assert re.fullmatch(r"[\d.]+ cm, 24 stitches by 6 rows", window.statusBar().currentMessage())
    assert chosen(window) is None
    QTest.mousePress(view, LEFT, pos=one)  # by one drag
    move(view, two, LEFT)
    QTest.mouseRelease(view, LEFT, pos=two)
    assert view.ruler.is_set and view.ruler.distance.rows == 6
    QTest.keyClick(view, Key.Key_Escape)
    QTest.keyClick(view, Key.Key_Escape)
    assert not window.chart.is_measuring


def test_a_whole_row_measures_as_wide_as_the_blanket(window):
    """From edge to edge the ruler agrees with the finished width, but for half stitches."""
    results = window.live.results
    fabric = results.fabric
    n = results.rows.makes(10)
    ends = fabric.row_tops_mm(10)[[0, -1]].tolist()
    found = distance(fabric, *map(tuple, ends), ((10, 0), (10, n - 1)))
    assert found.stitches == n - 1 and found.rows == 0
    assert found.across_mm == pytest.approx(results.size.width_mm, rel=0.04)


def test_a_pointer_on_a_stripe_lights_its_rows(window):
    strip = window.strip
    worked = strip._worked[2]
    move(strip, strip._rect(worked).center().toPoint())
    pointed = window.linking.selecting.pointed
    assert pointed.rows == (worked.first, worked.last)
    assert len(window.chart._marks_lit.outlines) == 1 == len(window.fabric._marks_lit.outlines)
    QApplication.sendEvent(strip, QEvent(QEvent.Type.Leave))
    assert window.linking.selecting.pointed is None


def spot_of(page, phrase, after):
    """A point on a phrase in the words, in the viewport's pixels."""
    text = page.text
    whole = text.toPlainText()
    place = whole.index(phrase, whole.index(after))
    cursor = QTextCursor(text.document())
    cursor.setPosition(place)
    text.setTextCursor(cursor)
    text.ensureCursorVisible()
    QApplication.processEvents()
    cursor.setPosition(place + 2)
    return text.cursorRect(cursor).center()


def test_a_pointer_on_a_phrase_lights_its_stitches(window):
    page, rows = window.words, window.live.results.rows
    spot = spot_of(page, "[dc2tog", "Row 2 (WS)")
    move(page.text.viewport(), spot)
    pointed = window.linking.selecting.pointed
    assert pointed.kind == "words" and pointed.rows == (2, 2)
    links = rows.fabric_links(2)
    decreases = {s for s in range(rows.makes(2)) if (links[:, 0] == s).sum() == 2}
    held = {s for span in pointed.spans for s in range(span.first, span.last + 1)}
    assert held and held <= decreases
    assert len(window.chart._marks_lit.outlines) == len(pointed.spans)
    assert "8 stitches" in window.statusBar().currentMessage() or len(held) != 8
    QTest.mouseClick(page.text.viewport(), LEFT, pos=spot)
    assert chosen(window).spans == pointed.spans
    (marked,) = underlined(window, bold=True)  # these words and no others
    assert marked.startswith("[dc2tog")
    view = window.chart
    tops = [view.shown()[1].row_tops_mm(2)[span.first] for span in pointed.spans]
    assert any(view.rect().contains(QPointF(*view.placing.points(t)).toPoint()) for t in tops)


def test_keys_alone_go_from_words_to_stitches(window):
    page = window.words
    spot_of(page, "[dc2tog", "Row 2 (WS)")
    page.text.setFocus()
    QTest.keyClick(page.text, Key.Key_Right)
    assert window.linking.selecting.pointed.kind == "words"
    QTest.keyClick(page.text, Key.Key_Return)
    assert chosen(window).kind == "words" and chosen(window).rows == (2, 2)
    QTest.keyClick(page.text, Key.Key_Escape)
    assert chosen(window) is None


def test_words_scroll_to_what_is_selected_but_not_to_what_is_pointed_at(window):
    bar = window.words.text.verticalScrollBar()
    bar.setValue(bar.maximum())
    view = window.chart
    move(view, at(view, 2, 20))
    assert bar.value() == bar.maximum()
    QTest.mouseClick(view, LEFT, pos=at(view, 2, 20))
    assert bar.value() < bar.maximum()
    start = window.words.links._selected[0][0]
    cursor = QTextCursor(window.words.text.document())
    cursor.setPosition(start)
    viewport = window.words.text.viewport().rect()
    assert viewport.contains(window.words.text.cursorRect(cursor).center())


def test_a_selection_is_cut_down_when_rows_go(window):
    window.linking.selecting.choose_row(18)
    size = replace(window.session.design.size, rows=10)
    window.session.change("Change length", lambda d: replace(d, size=size))
    assert chosen(window) is None
    window.session.undo_stack.undo()


@pytest.mark.parametrize("figure", ["width_figure", "length_figure", "height_figure", "lean"])
def test_a_figure_that_is_pointed_at_is_drawn_on_the_fabric(window, figure):
    plain = window.fabric.grab().toImage()
    button = getattr(window.sentence, figure)
    button.pointed.emit(True)
    assert window.fabric.grab().toImage() != plain
    button.pointed.emit(False)
    assert window.fabric.grab().toImage() == plain


def test_the_foundation_and_a_row_are_lit_by_their_figures(window):
    window.sentence.chain.pointed.emit(True)
    assert window.linking.selecting.pointed.rows == (0, 0)
    window.sentence.stitches.pointed.emit(True)
    assert window.linking.selecting.pointed.kind == "row"
    window.sentence.stitches.pointed.emit(False)
    assert window.linking.selecting.pointed is None


@views
def test_pointing_never_paints_the_view_anew(qtbot, window, name, monkeypatch):
    view = getattr(window, name)
    view.grab()
    qtbot.waitUntil(lambda: not window.fabric._picture._worker.is_busy, timeout=20_000)
    view.grab()
    painted = []
    monkeypatch.setattr(StitchCanvas, "_paint_kept", lambda self, painter: painted.append(self))
    for stitch in range(5, 25):
        move(view, at(view, 6, stitch))
        QApplication.processEvents()
    assert view not in painted  # the other view's picture may come late


def test_the_nearest_stitch_is_that_of_a_plain_search(window):
    """Against looking at every stitch of the blanket."""
    fabric = window.live.results.fabric
    finder = finder_of(fabric)
    middles = fabric.tops_mm - (0.0, 0.5 * float(np.median(fabric.size.heights_mm)))
    chance = np.random.default_rng(3)
    left, bottom, right, top = fabric.bounds_mm()
    met = 0
    for x, y in chance.uniform((left, bottom), (right, top), (200, 2)):
        row, stitch = finder.at((x, y))
        away = np.hypot(*(middles - (x, y)).T)
        if row >= 0:
            met += 1
            assert away[fabric.starts[row] + stitch] == pytest.approx(away.min())
    assert met > 150  # the others lie beside the wavy ends
