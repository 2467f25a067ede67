"""Greys as light as the colours they stand for, against the colour library."""

import numpy as np
import pytest
from coloraide import Color

from core.stripes.grey import grey_pixels


@pytest.mark.parametrize(
    "colour", ["#000000", "#ffffff", "#2a6f97", "#e9d8a6", "#c46f4e", "#00ff00"]
)
def test_a_grey_has_the_luminance_of_its_colour(colour):
    rgb = np.array([[int(colour[n : n + 2], 16) for n in (1, 3, 5)]], dtype=np.uint8)
    (grey,) = grey_pixels(rgb).tolist()
    there = Color(f"rgb({grey} {grey} {grey})")
    assert there.luminance() == pytest.approx(Color(colour).luminance(), abs=0.006)


def test_greys_keep_the_pictures_shape():
    assert grey_pixels(np.zeros((3, 5, 3), dtype=np.uint8)).shape == (3, 5)
