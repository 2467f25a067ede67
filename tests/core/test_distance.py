"""What the eye blurs: the published limits and plain optics."""

import math

import numpy as np
import pytest

from core.palette.distance import (
    CONTRAST_LEFT,
    SQUINT_RAD,
    blur_at,
    blurred,
    metres_away,
    reduced,
)
from core.stripes.screen import encoded, linear

MINUTE = math.radians(1 / 60)


def light_of(pixels):
    return linear(pixels.astype(float) / 255)


def grating(period_px, colours, size=240):
    """Return linear light that swings between two colours from left to right."""
    wave = 0.5 + 0.5 * np.cos(2 * np.pi * np.arange(size) / period_px)
    one, other = (np.array(c, dtype=float) for c in colours)
    line = one + (other - one) * wave[:, np.newaxis]
    return np.broadcast_to(line, (40, size, 3)).astype(np.float32)


def swing(picture, channel=1):
    """Return the contrast of the middle, away from the edges."""
    line = light_of(picture)[20, 80:160, channel]
    return (line.max() - line.min()) / (line.max() + line.min())


def test_the_sharp_eyes_limit_is_two_minutes_of_arc():
    # Snellen: strokes of one minute (from memory). Seen from 10 m that is 2.909 mm (closed form).
    assert 1e4 * math.tan(MINUTE) == pytest.approx(2.909, abs=1e-3)
    blur = blur_at("garden", 1000)
    period_mm = 2 * 15_000 * MINUTE
    left = swing(blurred(grating(12, ([0] * 3, [1] * 3)), 12 * blur.light_mm / period_mm, 0))
    assert left == pytest.approx(CONTRAST_LEFT, abs=0.01)
    twice = swing(blurred(grating(24, ([0] * 3, [1] * 3)), 12 * blur.light_mm / period_mm, 0))
    assert twice == pytest.approx(CONTRAST_LEFT**0.25, abs=0.01)  # a bell curve's own law


def test_colour_alone_goes_at_eleven_periods_to_a_degree():
    # Mullen 1985 (figure from memory). Red and green of one luminance.
    red, green = [0.5, 0.2, 0.3], [0.5 - 0.3364, 0.3, 0.3]
    blur = blur_at("garden", 1000)
    period_mm = math.radians(1 / 11) * 15_000
    picture = grating(24, (red, green))
    far = blurred(picture, 24 * blur.light_mm / period_mm, 24 * blur.colour_mm / period_mm)
    before, after = (np.ptp(p[20, 80:160, 0]) for p in (picture, light_of(far)))
    assert after / before == pytest.approx(CONTRAST_LEFT, abs=0.025)
    assert blur.colour_mm / blur.light_mm == pytest.approx(30 / 11)


def test_squinting_spreads_a_point_over_a_disc():
    # Geometric optics: 4 mm of pupil, 2 dioptres, 4 m: a disc of 32 mm, whose variance along an
    # axis is a sixteenth of its width squared; the sharp eye's own blur adds to it.
    disc_mm = SQUINT_RAD * 4000
    assert disc_mm == pytest.approx(32)
    sharp, squint = blur_at("room", 1000), blur_at("squint", 1000)
    assert squint.light_mm**2 - sharp.light_mm**2 == pytest.approx(disc_mm**2 / 16)
    rng = np.random.default_rng(3)
    points = rng.uniform(-1, 1, (200_000, 2))
    inside = points[(points**2).sum(axis=1) <= 1] * disc_mm / 2
    assert inside[:, 0].var() == pytest.approx(disc_mm**2 / 16, rel=0.02)


def test_a_thumbnail_is_the_blanket_from_where_it_seems_as_small():
    metres = metres_away("phone", 1120)
    assert 1.12 / metres == pytest.approx(0.025 / 0.3)
    assert metres_away("near", 1120) == 0 and blur_at("near", 1120) is None
    assert metres_away("phone", 1) == pytest.approx(0.3)  # never nearer than the phone itself


def test_blur_keeps_the_light_there_is_and_stays_in_bounds():
    rng = np.random.default_rng(5)
    pixels = rng.integers(0, 256, (60, 70, 3)).astype(np.uint8)
    light = reduced(pixels, 1)
    far = light_of(blurred(light, 2.0, 5.0))
    assert far[15:-15, 15:-15].mean() == pytest.approx(light[15:-15, 15:-15].mean(), rel=0.02)
    flat = np.full((20, 30, 3), (200, 90, 40), np.uint8)
    assert np.abs(blurred(reduced(flat, 1), 3, 8).astype(int) - flat).max() <= 1
    black = np.where(np.arange(40)[:, None, None] < 20, 0, 255) * np.ones((40, 40, 3))
    assert blurred(reduced(black.astype(np.uint8), 1), 1, 6).dtype == np.uint8


@pytest.mark.parametrize("shape", [(7, 11), (1, 1), (12, 9)])
def test_squares_are_averaged_in_linear_light_to_the_last_pixel(shape):
    rng = np.random.default_rng(2)
    pixels = rng.integers(0, 256, (*shape, 3)).astype(np.uint8)
    found = reduced(pixels, 3)
    assert found.shape == (math.ceil(shape[0] / 3), math.ceil(shape[1] / 3), 3)
    assert found[-1, -1] == pytest.approx(
        light_of(pixels[3 * (found.shape[0] - 1) :, 3 * (found.shape[1] - 1) :]).mean(axis=(0, 1)),
        rel=1e-5,
    )
    # Black and white seen as one are a grey of half the light, not of half the number.
    checks = (np.indices((4, 4)).sum(axis=0) % 2 * 255)[..., None] * np.ones(3)
    assert 255 * encoded(reduced(checks.astype(np.uint8), 2)) == pytest.approx(188, abs=0.5)
