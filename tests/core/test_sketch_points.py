"""Control points: the curve passes through them, and few stand for many."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.sketch.points import MOST, curve_through, points_on

places = st.tuples(st.floats(-500, 500), st.floats(-200, 200))


@given(st.lists(places, min_size=3, max_size=20, unique=True))
def test_the_curve_passes_through_every_point(points):
    points = np.array(points)
    curve = curve_through(points)
    gaps = np.hypot(*(curve[:, np.newaxis] - points).transpose(2, 0, 1)).min(axis=0)
    assert gaps.max() < 1e-6
    assert np.isfinite(curve).all()


def test_points_on_a_straight_line_give_that_line():
    points = np.array([(0, 0), (1, 2), (5, 10), (6, 12)], dtype=float)
    curve = curve_through(points)
    assert np.allclose(curve[:, 1], 2 * curve[:, 0])
    assert (np.diff(curve[:, 0]) > 0).all()


def test_evenly_spaced_points_of_a_sine_give_back_the_sine():
    x = np.linspace(0, 80, 17)
    curve = curve_through(np.stack([x, 10 * np.sin(2 * np.pi * x / 80)], axis=1))
    off = curve[:, 1] - 10 * np.sin(2 * np.pi * curve[:, 0] / 80)
    assert np.abs(off[16:-16]).max() < 0.15


@given(st.lists(places, max_size=200), st.floats(0.5, 20))
def test_few_points_stay_within_the_distance_or_are_as_many_as_allowed(points, within):
    curve = np.array(points).reshape(-1, 2)
    few = points_on(curve, within_mm=within)
    assert len(few) <= max(MOST, 2) or len(curve) < 3
    if len(curve) >= 3 and len(few) < MOST:
        for place in curve:
            assert _away(place, few) <= within + 1e-6


def _away(place, line):
    """Return how far a place is from a polyline."""
    a, b = line[:-1], line[1:]
    along = b - a
    size = np.maximum(np.square(along).sum(axis=1), 1e-18)
    part = np.clip(((place - a) * along).sum(axis=1) / size, 0, 1)
    return np.hypot(*(a + part[:, np.newaxis] * along - place).T).min()


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_points_are_left_as_they_are(count):
    points = np.arange(2.0 * count).reshape(-1, 2)
    assert np.array_equal(curve_through(points), points)
    assert np.array_equal(points_on(points, within_mm=1.0), points)
