"""Plain arithmetic of a screen's colours against the colour library, for many colours."""

import random
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from coloraide.cat import CAT16 as LIBRARY_CAT16

from core.palette.lamplight import CAT16
from core.palette.sight import Sight, lab_of, seen
from core.stripes import screen
from core.stripes.colour import contrast, grey_of, ground_of, lightness, mixed

_chance = random.Random(20)
COLOURS = [f"#{_chance.randrange(1 << 24):06x}" for _ in range(600)]
COLOURS += ["#000000", "#ffffff", "#808080", "#ff0000", "#00ff00", "#0000ff", "#ffff00", "#010203"]


def test_lightness_and_lab_are_the_librarys():
    for colour in COLOURS:
        wanted = Color(colour).convert("lab-d65").coords()
        assert lab_of(colour) == pytest.approx(wanted, abs=1e-6)
        assert lightness(colour) == pytest.approx(wanted[0], abs=1e-6)


def test_contrast_is_the_librarys():
    for one, other in pairwise(COLOURS):
        wanted = Color(one).contrast(other, method="wcag21")
        assert contrast(one, other) == pytest.approx(wanted, rel=1e-9)


def test_mixtures_are_the_librarys():
    for number, (one, other) in enumerate(zip(COLOURS, COLOURS[7:], strict=False)):
        share = number % 11 / 10
        wanted = Color(one).mix(other, share, space="oklab", out_space="srgb").fit()
        assert mixed(one, other, share) == wanted.to_string(hex=True)


def test_greys_are_the_librarys():
    for colour in COLOURS:
        level = Color(colour).convert("lab-d65")["lightness"]
        wanted = Color("lab-d65", [level, 0, 0]).convert("srgb").fit().to_string(hex=True)
        assert grey_of(colour) == wanted


@pytest.mark.parametrize("kind", ["protan", "deutan", "tritan"])
def test_eyes_without_cones_see_as_the_library_says(kind):
    method = "brettel" if kind == "tritan" else "machado"
    for colour in COLOURS:
        wanted = Color(colour).filter(kind, 1.0, method=method).convert("srgb").clip()
        assert seen(colour, Sight(kind)) == wanted.to_string(hex=True)


def test_the_cones_of_the_lamp_are_the_librarys():
    for mine, theirs in zip(CAT16, LIBRARY_CAT16.MATRIX, strict=True):
        assert mine == pytest.approx(theirs, rel=1e-9)


def test_there_and_back_again():
    for colour in COLOURS:
        assert screen.hex_of_light(screen.light_of(colour)) == colour


def test_a_tint_is_still_readable():
    for colour in COLOURS[:100]:
        assert contrast(ground_of(colour, "#fbf8f2"), "#22201d") >= 4.5


def test_many_colours_at_once_are_each_alone():
    rgb = np.array([[int(c[i : i + 2], 16) / 255 for i in (1, 3, 5)] for c in COLOURS])
    light = np.array([screen.light_of(colour) for colour in COLOURS])
    assert screen.linear(rgb) == pytest.approx(light, abs=1e-12)
    assert screen.encoded(light) == pytest.approx(rgb, abs=1e-7)
    assert screen.cielab(rgb) == pytest.approx(np.array([screen.lab(c) for c in COLOURS]), abs=1e-9)
    assert screen.rgb_of_oklab(screen.oklab(rgb)) == pytest.approx(rgb, abs=1e-7)
    halves = screen.rgb_of_oklab(0.5 * (screen.oklab(rgb) + screen.oklab(rgb[::-1])))
    pairs = zip(COLOURS, reversed(COLOURS), strict=True)
    wanted = np.array([screen.mixed_light(one, other, 0.5) for one, other in pairs])
    assert screen.linear(halves) == pytest.approx(wanted, abs=1e-9)


def test_the_curve_of_a_screen_stands_in_one_module():
    root = Path(__file__).parents[2]
    found = [
        path.name
        for folder in ("core", "app")
        for path in (root / folder).rglob("*.py")
        if any(figure in path.read_text(encoding="utf-8") for figure in ("0.04045", "12.92"))
    ]
    assert found == ["screen.py"]
