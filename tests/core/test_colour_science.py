"""Colour differences, spaces, deficient eyes, lamps: against published figures."""

import csv
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from coloraide.cat import CAT16, Bradford
from hypothesis import given
from hypothesis import strategies as st

from core.palette import spaces
from core.palette.difference import ciede2000
from core.palette.lamplight import (
    DAYLIGHT,
    Lamp,
    adaptation,
    by_lamp,
    cone_gains,
    degree_of_adaptation,
    white_of,
)
from core.palette.sight import DEFICIENT, GREY, PLAIN, Sight, eyes, lab_of, seen
from core.stripes import screen
from core.stripes.colour import contrast, difference, lightness

PAIRS = list(
    csv.DictReader((Path(__file__).parent.parent / "files/ciede2000.csv").read_text().splitlines())
)
colours = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")


def channels(colour):
    return np.array(spaces.rgb_of(colour)) / 255


# --- differences ----------------------------------------------------------------------------


def lab(pair, which):
    return [float(pair[f"{axis}{which}"]) for axis in "Lab"]


def test_all_published_pairs_come_out_at_once():
    # Sharma, Wu and Dalal 2005, table 1: four decimals.
    one, other = ([lab(pair, which) for pair in PAIRS] for which in (1, 2))
    wanted = [float(pair["dE00"]) for pair in PAIRS]
    assert len(wanted) == 34
    assert ciede2000(one, other) == pytest.approx(wanted, abs=5.1e-5)
    assert ciede2000(other, one) == pytest.approx(wanted, abs=5.1e-5)


@given(colours, colours)
def test_it_agrees_with_the_library(one, other):
    found = float(ciede2000(lab_of(one), lab_of(other)))
    assert found == pytest.approx(difference(one, other), abs=1e-6)


def test_contrast_is_the_formula_of_the_guidelines():
    # WCAG 2.2, "contrast ratio": (L1 + 0.05) / (L2 + 0.05), L of linear sRGB by Rec. 709 weights.
    for one, other in (("#2a6f97", "#e9d8a6"), ("#777777", "#ffffff"), ("#c1543c", "#22201d")):
        light = sorted(
            float(screen.linear(channels(c)) @ (0.2126, 0.7152, 0.0722)) for c in (one, other)
        )
        assert contrast(one, other) == pytest.approx(
            (light[1] + 0.05) / (light[0] + 0.05), rel=2e-3
        )


# --- spaces ---------------------------------------------------------------------------------


@given(colours)
def test_oklab_and_its_polar_form_agree_with_the_library(colour):
    assert screen.oklab(channels(colour)) == pytest.approx(
        Color(colour).convert("oklab").coords(), abs=1e-7
    )
    lightness_, chroma, hue = spaces.oklch_of(colour)
    assert spaces.hex_of_oklch(lightness_, chroma, hue) == colour or (
        np.abs(channels(spaces.hex_of_oklch(lightness_, chroma, hue)) - channels(colour)).max()
        <= 1 / 255 + 1e-9
    )


def test_published_oklab_of_primaries():
    # https://bottosson.github.io/posts/oklab/ names (0.450, 1.236, -0.019) for XYZ (1, 0, 0)
    # (from memory), and
    # white as (1, 0, 0); sRGB's own white and a mid grey follow from the second.
    assert screen.oklab([1.0, 1.0, 1.0]) == pytest.approx([1.0, 0.0, 0.0], abs=1e-4)
    xyz_to_rgb = np.array(Color("xyz-d65", [1, 0, 0]).convert("srgb-linear").coords())
    assert screen.oklab(screen.encoded(xyz_to_rgb)) == pytest.approx(
        [0.450, 1.236, -0.019], abs=2e-3
    )


@given(st.floats(0, 1), st.floats(0, 360))
def test_the_greatest_chroma_is_shown_and_a_little_more_is_not(lightness_, hue):
    most = spaces.most_chroma(lightness_, hue)
    assert spaces.shows(spaces.rgb_of_oklch(lightness_, most, hue)) or most == 0
    assert not spaces.shows(spaces.rgb_of_oklch(lightness_, most + 0.01, hue))


def test_what_no_screen_shows_keeps_lightness_and_hue():
    found = spaces.oklch_of(spaces.hex_of_oklch(0.7, 0.33, 150.0))
    assert found[0] == pytest.approx(0.7, abs=0.01)
    assert found[2] == pytest.approx(150.0, abs=1.5)
    assert found[1] < 0.3


# --- eyes -----------------------------------------------------------------------------------

# Machado, Oliveira and Fernandes 2009, the matrices published with it at
# https://www.inf.ufrgs.br/~oliveira/pubs_files/CVD_Simulation/CVD_Simulation.html (from memory).
MACHADO = {
    ("protan", 1.0): [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    ("deutan", 1.0): [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    ("protan", 0.5): [
        [0.458064, 0.679578, -0.137642],
        [0.092785, 0.846313, 0.060902],
        [-0.007494, -0.016807, 1.024301],
    ],
}
# Viénot, Brettel and Mollon 1999, "Digital video colourmaps for checking the legibility of displays
# by dichromats": linear RGB to the cones (from memory).
CONES = np.array(
    [[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.0299566, 0.184309, 1.46709]]
)


@pytest.mark.parametrize(("kind", "severity"), MACHADO)
def test_red_and_green_weak_eyes_see_by_the_published_matrices(kind, severity):
    matrix = np.array(MACHADO[kind, severity])
    for colour in ("#c1543c", "#4f7f52", "#2a6f97", "#e9d8a6", "#7b4b94"):
        wanted = np.clip(screen.encoded(matrix @ screen.linear(channels(colour))), 0, 1)
        found = channels(seen(colour, Sight(kind, severity)))
        assert found == pytest.approx(wanted, abs=0.51 / 255)


def test_blue_blind_eyes_cannot_tell_what_differs_in_the_blue_cones_alone():
    # Brettel, Viénot and Mollon 1997: a dichromat sees all colours of a confusion line alike.
    light = screen.linear(channels("#6f8a8a"))
    away = np.linalg.solve(CONES, [0.0, 0.0, 1.0])
    away /= np.abs(away).max()
    pair = [spaces.hex_of(screen.encoded(light + step * away)) for step in (-0.06, 0.06)]
    assert difference(*pair) > 15
    assert difference(*(seen(colour, Sight("tritan")) for colour in pair)) < 1.5
    assert difference(*(seen(colour, Sight("deutan")) for colour in pair)) > 10


@pytest.mark.parametrize("kind", DEFICIENT)
def test_greys_look_the_same_to_every_eye(kind):
    for grey in ("#000000", "#333333", "#808080", "#c0c0c0", "#ffffff"):
        assert difference(seen(grey, Sight(kind)), grey) < 0.6


@pytest.mark.parametrize("kind", DEFICIENT)
def test_severity_leads_evenly_from_plain_to_missing(kind):
    colour = "#b5573c" if kind != "tritan" else "#e0a83a"
    steps = [difference(colour, seen(colour, Sight(kind, n / 5))) for n in range(6)]
    assert steps[0] == 0
    assert (np.diff(steps) > 0).all()


def test_red_and_green_of_one_lightness_merge_without_green_cones_only():
    red, green = "#b06a50", "#7a8449"
    assert difference(red, green) > 20
    assert difference(*(seen(c, Sight("deutan")) for c in (red, green))) < 10
    assert difference(*(seen(c, Sight("tritan")) for c in (red, green))) > 20


def test_grey_keeps_lightness_and_plain_keeps_all():
    assert seen("#b5573c", PLAIN) == "#b5573c"
    assert seen("#b5573c", Sight("protan", 0.0)) == "#b5573c"
    assert lightness(seen("#b5573c", GREY)) == pytest.approx(lightness("#b5573c"), abs=0.5)


def test_sights_are_named_in_words():
    assert Sight("deutan", 0.6).name == "Green-weak eyes, 60 %"
    assert Sight("dusk").name == "By lamplight, 2700 K"
    assert eyes([Sight("protan"), Sight("deutan")]) == "red-blind and green-blind eyes"
    with pytest.raises(ValueError, match="severity"):
        Sight("protan", 1.5)


# --- lamps ----------------------------------------------------------------------------------


def test_a_glowing_body_of_2856_kelvin_is_illuminant_a():
    # CIE 15: illuminant A is 2856 K, x 0.44758, y 0.40745 (figures from memory).
    assert white_of(2856) == pytest.approx((0.44758, 0.40745), abs=1e-4)


def test_bradford_agrees_with_the_published_matrices():
    # http://www.brucelindbloom.com/index.html?Eqn_ChromAdapt.html: D65 to D50, A to D65
    # (figures from memory).
    d65, d50, a = (0.95047, 1, 1.08883), (0.96422, 1, 0.82521), (1.09850, 1, 0.35585)
    white = {
        name: (w[0] / sum(w), w[1] / sum(w)) for name, w in zip("653", (d65, d50, a), strict=True)
    }
    assert adaptation(white["6"], white["5"], Bradford.MATRIX) == pytest.approx(
        np.array(
            [
                [1.0478112, 0.0228866, -0.0501270],
                [0.0295424, 0.9904844, -0.0170491],
                [-0.0092345, 0.0150436, 0.7521316],
            ]
        ),
        abs=2e-6,
    )
    assert adaptation(white["3"], white["6"], Bradford.MATRIX) == pytest.approx(
        np.array(
            [
                [0.8446965, -0.1179225, 0.3948108],
                [-0.1366303, 1.1041226, 0.1291718],
                [0.0798489, -0.1348999, 3.1924009],
            ]
        ),
        abs=2e-5,
    )


def test_cat16_agrees_with_the_library():
    a = white_of(2700)
    for xyz in ([0.3, 0.2, 0.1], [0.9, 0.95, 0.5]):
        wanted = CAT16().adapt(DAYLIGHT, a, xyz)
        assert adaptation(DAYLIGHT, a) @ xyz == pytest.approx(wanted, rel=1e-9)


def test_the_degree_of_adaptation_is_that_of_the_worked_example():
    # CIECAM02, worked example with 318.31 cd/m² and an average surround: D = 0.994 (from memory).
    assert degree_of_adaptation(318.31, 1.0) == pytest.approx(0.994, abs=1e-3)
    assert degree_of_adaptation(0.5) < degree_of_adaptation(50) < 0.9


def test_a_lamp_of_daylight_only_dims():
    lamp = Lamp(kelvin=6504, shown=0.5)
    xyz = np.array(Color("#4f7f52").convert("xyz-d65").coords())
    assert by_lamp(xyz, lamp) == pytest.approx(0.5 * xyz, rel=0.01)


def test_lamplight_keeps_a_part_of_its_cast():
    # A full adaptation leaves white white, none shows it as orange as the lamp is.
    white = Color("white").convert("xyz-d65").coords()
    x, y = Color("xyz-d65", by_lamp(white).tolist()).xy()
    lamp = white_of(2700)
    assert DAYLIGHT[0] < x < 0.5 * (DAYLIGHT[0] + lamp[0])
    assert DAYLIGHT[1] < y < lamp[1]
    blue = cone_gains(DAYLIGHT, lamp)[2]
    assert blue < 0.4  # a warm lamp has little for the blue cones


def test_blues_and_blacks_come_nearer_by_lamplight():
    navy, black = "#1c2b45", "#262329"
    dusk = Sight("dusk")
    assert difference(seen(navy, dusk), seen(black, dusk)) < 0.95 * difference(navy, black)
