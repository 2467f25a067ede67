"""A chart that is moved shows the pixels of one that is painted anew; nothing stale stays."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPixmap

from app.assets import DEMO
from app.painting.atlas import SymbolAtlas
from app.painting.chart import Placing
from app.painting.scrolled import Scrolled
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from app.views.moving_hand import MovingHand
from core.design import edits
from core.design.files import read_design
from core.palette.sight import Sight
from core.pipeline import Pipeline

MOVES = ((7, 3), (-15, 0), (0, -41), (160, 90), (-90, 200), (33, -170), (1, 1), (-700, 0))


@pytest.fixture(scope="module")
def results():
    return Pipeline().settled_results(read_design(DEMO))


@pytest.fixture
def chart(qtbot, results):
    view = ChartView(Theme())
    qtbot.addWidget(view)
    view.resize(640, 420)
    view.show_results(results)
    return view


def picture(view, ratio=1.0):
    image = QPixmap(view.size() * ratio)
    image.setDevicePixelRatio(ratio)
    view.render(image, QPoint(0, 0))
    return pixels(image.toImage())


def pixels(image):
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    return np.array(image.constBits()).reshape(image.height(), -1).copy()


def anew(view, ratio=1.0):
    view._rows_picture.forget()
    view.update()
    return picture(view, ratio)


@pytest.mark.parametrize("scale", [1.0, 0.3, 2.5])
@pytest.mark.parametrize("ratio", [1.0, 2.0])
def test_a_moved_chart_is_the_chart_painted_anew(chart, scale, ratio):
    chart.zoom(scale)
    picture(chart, ratio)
    for right, down in MOVES:
        chart.pan(right, down)
        moved = picture(chart, ratio)
        off = np.abs(moved.astype(int) - anew(chart, ratio))
        # Where a hairline is cut may change Qt's rounding of it by one level of 255.
        assert off.max() <= 2 and (off > 0).mean() < 1e-3, (right, down)


def test_a_move_draws_only_what_comes_into_view(chart, monkeypatch):
    drawn = []
    paint = ChartView._paint_bands

    def counted(self, painter, placing, piece, colours):
        drawn.append(piece.width() * piece.height())
        paint(self, painter, placing, piece, colours)

    monkeypatch.setattr(ChartView, "_paint_bands", counted)
    picture(chart)
    whole = (chart.width() + 12) * (chart.height() + 12)  # with a margin that is cut off
    assert sum(drawn) == whole
    drawn.clear()
    chart.pan(10, 4)
    picture(chart)
    assert 0 < sum(drawn) < 0.4 * whole  # with what is drawn ahead
    drawn.clear()
    chart.pan(10, 4)
    picture(chart)
    assert drawn == []
    chart.pan(-80, 0)
    picture(chart)
    assert 0 < sum(drawn) < 0.3 * whole
    drawn.clear()
    chart.light(3, 4)  # what lies over the rows isn't part of the picture
    picture(chart)
    assert drawn == []


@pytest.mark.parametrize(
    "change",
    [
        lambda design: edits.set_yarn(design, 0, colour="#00aa55"),
        lambda design: edits.set_size(design, rows=20),
        lambda design: edits.set_stripe(design, 0, rows=7),
        lambda design: edits.set_stripe(design, 0, yarn=2),
    ],
)
def test_nothing_of_the_last_design_stays(chart, results, change):
    before = picture(chart)
    after = Pipeline().settled_results(change(results.design))
    chart.show_results(after)
    shown = picture(chart)
    assert not np.array_equal(shown, before)
    assert np.array_equal(shown, anew(chart))


def test_another_look_and_another_sight_are_painted_anew(chart):
    before = picture(chart)
    chart._theme.set_look("dark")
    dark = picture(chart)
    assert not np.array_equal(dark, before)
    assert np.array_equal(dark, anew(chart))
    chart.set_sight(Sight("grey"))
    grey = picture(chart)
    assert not np.array_equal(grey, dark)
    assert np.array_equal(grey, anew(chart))
    chart.resize(500, 500)
    assert np.array_equal(picture(chart), anew(chart))


def test_a_picture_for_a_fine_screen_has_its_pixels(chart):
    coarse = picture(chart)
    fine = picture(chart, 2.0)
    assert fine.shape[0] == 2 * coarse.shape[0]
    pairs = fine[0::2, 0::2] != fine[1::2, 1::2]
    assert pairs.mean() > 0.01  # neighbours differ: it is no blown-up picture


def test_what_moves_out_on_one_side_makes_room_on_the_other(qapp):
    kept, canvas = Scrolled(), QPixmap(90, 60)
    chance = np.random.default_rng(3)
    places = [(0.0, 0.0)] + [tuple(chance.integers(-70, 70, 2).astype(float)) for _ in range(60)]

    def drawn(x, y):
        def draw(painter, piece):
            for left in range(-200, 300, 17):
                for top in range(-200, 300, 13):
                    tone = QColor((left * 7) % 255, (top * 5) % 255, 90)
                    painter.fillRect(round(x) + left, round(y) + top, 9, 8, tone)

        return draw

    for x, y in places:
        placing = Placing(1.0, x, y)
        with QPainter(canvas) as painter:
            kept.paint(painter, canvas.size(), "#ffffff", "the same", placing, drawn(x, y))
        fresh = QPixmap(canvas.size())
        with QPainter(fresh) as painter:
            Scrolled().paint(painter, canvas.size(), "#ffffff", "the same", placing, drawn(x, y))
        assert np.array_equal(pixels(canvas.toImage()), pixels(fresh.toImage()))


def test_the_page_of_sprites_grows(qapp, monkeypatch):
    monkeypatch.setattr("app.painting.atlas._MOST_PX", 256)
    atlas, pen = SymbolAtlas(), QPen(QColor("black"))
    chance = np.random.default_rng(5)
    symbol = np.full(60, 2)
    way = chance.normal(size=(60, 2)) * 60
    foot = np.full((60, 2), 150.0)
    target = QImage(300, 300, QImage.Format.Format_RGB32)
    seen = []
    for _ in range(2):
        target.fill(QColor("white"))
        with QPainter(target) as painter:
            for one in range(0, 60, 6):
                here = slice(one, one + 6)
                atlas.draw(painter, symbol[here], foot[here], way[here], pen)
        seen.append(pixels(target))
    assert np.array_equal(*seen)
    assert (seen[0] != seen[0][0, 0]).any()


@pytest.fixture
def large(qtbot, results):
    """A chart of a bed's size, shown whole: more symbols than are drawn while a hand moves."""
    view = ChartView(Theme())
    qtbot.addWidget(view)
    view.resize(1300, 900)
    design = edits.set_size(results.design, repeats=11, rows=96)
    view.show_results(Pipeline().results(design))
    view.show_all()
    return view, design


def test_a_moving_hand_sees_a_draft_and_a_resting_one_the_whole_chart(qtbot, large, monkeypatch):
    monkeypatch.setattr(
        "app.views.moving_hand._TOGETHER_MS", 1_000_000
    )  # however slow this machine
    view, design = large
    whole = picture(view)
    for repeats in (10, 11, 10, 11):
        view.show_results(Pipeline().results(edits.set_size(design, repeats=repeats)))
    view.show_all()
    draft = picture(view)
    assert not np.array_equal(draft, whole)  # grounds and numbers only
    qtbot.waitUntil(lambda: not view._hand.is_moving, timeout=5_000)
    assert np.array_equal(picture(view), whole)
    assert np.array_equal(anew(view), whole)


def test_a_single_change_is_drawn_whole_at_once(large, monkeypatch):
    monkeypatch.setattr("app.views.moving_hand._TOGETHER_MS", -1)  # however fast this machine is
    view, design = large
    view.show_results(Pipeline().results(edits.set_size(design, repeats=10)))
    view.show_all()
    assert view._hand.is_moving is False
    assert np.array_equal(picture(view), anew(view))


def test_far_moves_are_laid_out_as_they_come(qtbot, large):
    """Only what is near the view is laid out; a chart zoomed and moved far must not run out."""
    view, _ = large
    view.zoom(5.0)
    for right, down in ((-2500, 0), (0, 1800), (1400, -900), (-300, 2000), (2600, 0)):
        view.pan(right, down)
        moved = picture(view)
        view._laid = None
        assert np.abs(moved.astype(int) - anew(view)).max() <= 2, (right, down)


def test_the_fabric_follows_a_held_hand_a_round_later(qtbot, results, monkeypatch):
    view = FabricView(Theme())
    qtbot.addWidget(view)
    view.resize(500, 400)
    view.show_results(results)
    picture(view)
    before = picture(view)  # from here on it is kept
    monkeypatch.setattr(MovingHand, "holds", property(lambda self: True))
    after = Pipeline().results(edits.set_yarn(results.design, 0, colour="#00aa55"))
    view.show_results(after)
    assert np.array_equal(picture(view), before)
    qtbot.waitUntil(lambda: not np.array_equal(picture(view), before), timeout=5_000)
    view.close_worker()
