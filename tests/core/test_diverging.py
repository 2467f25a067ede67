"""The scale of strain: steps look equal, in colour and in grey, to every eye."""

from itertools import pairwise

import numpy as np
import pytest
from coloraide import Color

from core.stripes.colour import lightness
from core.stripes.diverging import diverging

SCALES = {
    "light": ("#1f68a6", "#fbf8f2", "#a8480f"),
    "dark": ("#8cc8ff", "#211f1c", "#ffb27a"),
}


@pytest.fixture(params=SCALES)
def scale(request):
    return diverging(*SCALES[request.param], 10)


def differences(colours, method):
    return np.array([Color(a).delta_e(b, method=method) for a, b in pairwise(colours)])


def test_it_runs_from_end_to_end_over_the_middle():
    low, middle, high = SCALES["light"]
    scale = diverging(low, middle, high, 10)
    assert len(scale) == 21
    assert (scale[0], scale[10], scale[20]) == (low, middle, high)


def test_steps_differ_alike_by_ciede2000(scale):
    found = differences(scale, "2000")
    for arm in (found[:10], found[10:]):
        assert arm == pytest.approx(arm.mean(), rel=0.08)  # colours have whole 8-bit channels
    assert found[:10].mean() == pytest.approx(found[10:].mean(), rel=0.1)


def test_steps_differ_much_alike_in_oklab_too(scale):
    found = differences(scale, "ok")
    assert found.max() < 1.8 * found.min()


def test_grey_says_how_much_but_not_which_way(scale):
    grey = np.array([lightness(colour) for colour in scale])
    for arm in (np.diff(grey[:11]), np.diff(grey[10:])):
        assert (arm > 0).all() or (arm < 0).all()
        assert np.abs(arm) == pytest.approx(np.abs(arm).mean(), rel=0.35)
    assert grey[:10] == pytest.approx(grey[:10:-1], abs=3)


@pytest.mark.parametrize("sight", ["protan", "deutan", "tritan"])
def test_both_ways_can_be_told_apart_without_one_kind_of_cone(scale, sight):
    for step in range(3, 11):
        one, other = (Color(scale[10 + way * step]).filter(sight) for way in (-1, 1))
        assert one.delta_e(other, method="2000") > 12


def test_uneven_steps_would_be_noticed():
    # The same ends mixed in plain sRGB are what the scale is better than.
    low, middle, _ = SCALES["dark"]
    plain = [Color(middle).mix(low, n / 10, space="srgb").to_string(hex=True) for n in range(11)]
    found = differences(plain, "2000")
    assert found.max() > 1.25 * found.min()
