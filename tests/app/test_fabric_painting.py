"""The fabric in its colours: true to the stripes at every scale, kept for another light."""

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtGui import QColor

from app.painting.fabric import FabricPainting, Manner, fabric_image, plain_shade, shades
from core.design.document import Loops, Size, Stripe, Stripes
from core.errors import Stopped
from core.fabric.light import Light
from core.fabric.relief import View
from core.fabric.surface import FINE_PX
from core.palette.sight import GREY
from core.pipeline import Pipeline


@pytest.fixture(scope="module")
def settled(ripple):
    """A settled small ripple, worked in both loops."""
    design = replace(ripple, loops=Loops(), size=Size(3, 12))
    return Pipeline().settled_results(design)


def pixels(image):
    """Return red, green, blue and opacity of every pixel, 0 to 255."""
    flat = np.frombuffer(image.constBits(), np.uint8)
    return flat.reshape(image.height(), image.width(), 4)[..., [2, 1, 0, 3]].astype(float)


def view_of(results, stitch_px, *, margin=0.0):
    """Return a view of the whole blanket and some of what is around it."""
    tops = results.fabric.tops_mm
    low, high = tops.min(axis=0) - margin, tops.max(axis=0) + margin
    scale = stitch_px / results.fabric.size.width_mm
    size = np.ceil((high - low) * scale).astype(int)
    return View(float(low[0]), float(high[1]), scale, int(size[0]), int(size[1]))


def test_every_stitch_is_painted_in_its_stripes_colour(settled):
    view = view_of(settled, 16.0)
    rgb = pixels(fabric_image(settled, view))[..., :3]
    tables = []
    for yarn in settled.design.yarns:
        packed = shades(yarn.colour)
        tables.append(np.stack([(packed >> s) & 255 for s in (16, 8, 0)], axis=1).astype(float))
    for row in range(1, 13):
        below, tops = settled.fabric.row_tops_mm(row - 1), settled.fabric.row_tops_mm(row)
        for parent, child in settled.rows.fabric_links(row)[:, ::-1]:
            place = 0.5 * (below[parent] + tops[child])
            x = int((place[0] - view.left_mm) * view.px_per_mm)
            y = int((view.top_mm - place[1]) * view.px_per_mm)
            away = [np.abs(table - rgb[y, x]).sum(axis=1).min() for table in tables]
            assert int(np.argmin(away)) == settled.yarn_of_row[row - 1]


@pytest.mark.parametrize("elevation", [15.0, 48.0, 70.0])
@pytest.mark.parametrize("stitch_px", [1.0, 2.5])
def test_plain_stripes_are_as_light_as_the_picture_that_follows(ripple, elevation, stitch_px):
    """What is shown while a hand moves mustn't flicker against what is shown when it rests."""
    yarns = tuple(replace(yarn, colour="#7d8a5c") for yarn in ripple.yarns)
    results = Pipeline().settled_results(replace(ripple, yarns=yarns, size=Size(8, 40)))
    lamp = Light(elevation_deg=elevation)
    view = view_of(results, stitch_px, margin=-40.0)
    picture = pixels(fabric_image(results, view, Manner(light=lamp), smooth=2))
    inside = np.average(picture[..., :3], axis=(0, 1), weights=picture[..., 3])
    assert picture[..., 3].min() > 200  # no holes: what lies under the blanket isn't counted
    packed = plain_shade("#7d8a5c", lamp)
    plain = np.array([(packed >> shift) & 255 for shift in (16, 8, 0)], dtype=float)
    assert np.abs(plain - inside).max() < 0.1 * inside.max()


def test_a_yarn_keeps_its_colour_on_the_whole(settled):
    rgb = pixels(fabric_image(settled, view_of(settled, 12.0)))
    rgb = rgb[rgb[..., 3] == 255][:, :3]
    yarns = [QColor(yarn.colour) for yarn in settled.design.yarns]
    plain = np.mean([[c.red(), c.green(), c.blue()] for c in yarns], axis=0)
    # Shade between strands takes some of the light; the hue stays.
    share = rgb.mean(axis=0) / plain
    assert 0.75 < share.min() <= share.max() < 1.0
    assert np.ptp(share) < 0.06


@pytest.mark.parametrize("loops", [Loops(), Loops("back")])
def test_every_scale_shows_the_same_colours_on_the_whole(settled, loops):
    results = Pipeline().settled_results(replace(settled.design, loops=loops))
    scales = (1.2, 1.7, 2.4, FINE_PX - 0.05, FINE_PX + 0.05, 4.0, 6.0, 9.0, 14.0, 25.0, 40.0)
    means = []
    for stitch_px in scales:
        rgb = pixels(
            fabric_image(results, view_of(results, stitch_px), smooth=2, outside="#808080")
        )
        means.append(rgb[..., :3].mean(axis=(0, 1)))
    means = np.array(means) / 255.0
    assert np.ptp(means, axis=0).max() < 0.04
    assert np.abs(np.diff(means, axis=0)).max() < 0.025


def test_around_the_fabric_and_through_its_holes_the_ground_is_seen(settled):
    view = view_of(settled, 10.0, margin=40.0)
    clear = pixels(fabric_image(settled, view))
    assert clear[0, 0, 3] == 0
    filled = pixels(fabric_image(settled, view, outside="#102030"))
    assert filled[0, 0].tolist() == [16, 32, 48, 255]
    assert (filled[..., 3] == 255).all()
    hidden = clear[..., 3] == 255
    assert np.abs(filled[hidden] - clear[hidden]).max() <= 1


def test_greys_are_grey(settled):
    rgb = pixels(fabric_image(settled, view_of(settled, 8.0), Manner(sight=GREY)))
    assert np.ptp(rgb[..., :3], axis=2).max() <= 2


def test_another_light_or_colour_on_the_kept_piece_is_the_picture_made_anew(settled):
    view = view_of(settled, 9.0)
    kept = FabricPainting(settled, view, keep=True)
    kept.image(settled, Manner())
    light = Manner(light=Light(120.0, 30.0))
    design = replace(settled.design, stripes=Stripes((Stripe(1, 1), Stripe(0, 3))))
    other = Pipeline().settled_results(design)
    for results in (settled, other):
        again = pixels(kept.image(results, light))
        anew = pixels(fabric_image(results, view, light))
        assert (again == anew).all()
    assert (pixels(kept.image(settled, Manner())) != pixels(kept.image(settled, light))).any()


def test_a_picture_nobody_waits_for_is_given_up(settled):
    painting = FabricPainting(settled, view_of(settled, 9.0), keep=True)
    with pytest.raises(Stopped):
        painting.image(settled, Manner(), should_stop=lambda: True)
    assert pixels(painting.image(settled, Manner()))[..., 3].max() == 255


def test_without_ridges_back_loops_look_like_both(settled):
    back = Pipeline().settled_results(replace(settled.design, loops=Loops("back")))
    view = view_of(settled, 9.0)
    flat, plain = (pixels(fabric_image(r, view, Manner(ridges=False))) for r in (back, settled))
    ridged = pixels(fabric_image(back, view))
    assert (flat == plain).all()
    assert (ridged != plain).any()


def test_nothing_is_painted_where_there_is_no_fabric(settled):
    away = View(1e5, 1e5, 1.0, 30, 20)
    assert pixels(fabric_image(settled, away))[..., 3].max() == 0
    assert pixels(fabric_image(settled, away, outside="#ffffff")).min() == 255
