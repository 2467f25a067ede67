"""Palettes: neighbours that merge, colours of a picture, yarns that come near, names."""

import itertools

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.cluster.vq import kmeans2
from some import some

from core.checks.stripes import check_stripes
from core.design.document import Border, Edging, EndFill, Stripe, Stripes, Yarn
from core.errors import DesignError
from core.palette.cluster import colour_at, colours_of, grouped, settled
from core.palette.harmony import FEWEST, MOST, RULES, palette_from
from core.palette.neighbours import (
    MERGE_DIFFERENCE,
    MERGE_LIGHTNESS,
    SIGHTS,
    apart,
    between,
    least_apart,
    meetings,
    merging,
    separated,
)
from core.palette.sight import GREY, PLAIN, Sight, lab_of, seen
from core.palette.spaces import oklch_of
from core.palette.stash import NEAR, matches, nearest, new_yarns
from core.palette.words import colour_words
from core.stripes.colour import difference
from core.stripes.sequence import worked_stripes

colours = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")


def worked(*yarns, rows=2):
    stripes = Stripes(tuple(Stripe(yarn, rows) for yarn in yarns))
    return worked_stripes(stripes, rows * len(yarns))


# --- neighbours -----------------------------------------------------------------------------


def test_yarns_meet_where_the_upper_stripe_begins():
    found = meetings(worked(0, 1, 0, 0, 2))
    assert [(m.one, m.other, m.rows) for m in found] == [(0, 1, (3, 5)), (0, 2, (9,))]


def test_pairs_that_merge_are_named_with_the_eyes_and_the_nearest_first():
    slate, ash, red, green = "#808080", "#848484", "#b06a50", "#7a8449"
    found = merging((slate, ash, red, green, "#ffffff"), worked(2, 3, 0, 1, 4))
    assert [(m.meeting.one, m.meeting.other) for m in found] == [(0, 1), (0, 3), (2, 3)]
    assert found[0].is_plain and len(found[0].sights) == 5
    assert GREY in found[1].sights and Sight("deutan") not in found[1].sights
    assert Sight("deutan") in found[2].sights and Sight("tritan") not in found[2].sights


def test_a_merge_is_reckoned_as_the_eye_sees_it():
    pair = "#b06a50", "#7a8449"
    (found,) = merging(pair, worked(0, 1))
    for sight, value in zip(SIGHTS, found.apart, strict=True):
        if sight.kind == "grey":
            assert value == pytest.approx(abs(lab_of(pair[0])[0] - lab_of(pair[1])[0]))
        else:
            assert value == pytest.approx(difference(*(seen(c, sight) for c in pair)), abs=0.2)
        assert value == pytest.approx(apart(*pair, sight))


def test_thresholds_decide():
    assert least_apart(GREY) == MERGE_LIGHTNESS and least_apart(PLAIN) == MERGE_DIFFERENCE
    assert merging(("#000000", "#ffffff"), worked(0, 1)) == ()
    assert merging(("#000000", "#000000"), worked(0, 0)) == ()
    assert merging(("#000000",), worked(0)) == ()


def test_a_yarn_that_could_stand_between_keeps_from_both():
    # The cream stands apart from both; the dark one only nearly.
    found = between(("#808080", "#848484", "#6e6e6e", "#efe6d2"), 0, 1)
    assert found.yarn == 3 and found.fails == ()
    assert between(("#808080", "#848484"), 0, 1) is None
    worse = between(("#808080", "#848484", "#7b7b7b"), 0, 1)
    assert worse.yarn == 2 and PLAIN in worse.fails


@settings(max_examples=40, deadline=None)
@given(colours, colours)
def test_a_shifted_colour_stands_apart_keeps_its_hue_and_moves_no_further_than_it_must(one, other):
    found = separated(one, other)
    if found is None:
        return
    assert all(apart(found.colour, other, sight) >= least_apart(sight) for sight in SIGHTS)
    was, now = oklch_of(one), oklch_of(found.colour)
    assert now[1] <= was[1] + 0.012  # whole channels are coarse in the dark
    if now[1] > 0.03:
        assert hue_apart(now, was) < max(4, one_step_of_hue(found.colour))


def hue_apart(one, other):
    return abs((one[2] - other[2] + 180) % 360 - 180)


def one_step_of_hue(code):
    """Return how far the hue goes when a single channel takes a single step: far in the dark."""
    here = oklch_of(code)
    channels = [int(code[at : at + 2], 16) for at in (1, 3, 5)]
    steps = []
    for place, channel in enumerate(channels):
        for other in {max(channel - 1, 0), min(channel + 1, 255)}:
            beside = [*channels[:place], other, *channels[place + 1 :]]
            steps.append(hue_apart(here, oklch_of("#" + "".join(f"{c:02x}" for c in beside))))
    return max(steps)


def test_a_shift_in_the_dark_keeps_its_hue_as_nearly_as_channels_can():
    """Found by hypothesis: there one step of a channel turns the hue by more than 4 degrees."""
    found = separated("#100000", "#00006b")
    assert found is not None
    turned = hue_apart(oklch_of(found.colour), oklch_of("#100000"))
    assert 4 < turned <= one_step_of_hue(found.colour)


def test_of_lighter_and_darker_the_nearer_is_taken():
    assert separated("#a0a0a0", "#989898").lighter > 0
    assert separated("#909090", "#989898").lighter < 0
    step = separated("#a0a0a0", "#989898")
    assert MERGE_LIGHTNESS <= apart(step.colour, "#989898", GREY) < MERGE_DIFFERENCE + 4


def test_a_shift_keeps_away_from_the_other_neighbours():
    grey, beside = "#a0a0a0", "#c4c4c4"
    alone = separated(grey, "#989898")
    found = separated(grey, "#989898", beside=(beside,))
    assert found.keeps
    assert apart(alone.colour, beside, GREY) < MERGE_LIGHTNESS <= apart(found.colour, beside, GREY)


def test_checks_name_merging_pairs_and_send_to_the_colour_page(two_row_ripple):
    greys = tuple(
        Yarn(name=f"G{n}", colour=f"#{0x80 + n:02x}8080", ball_m=100, ball_g=50) for n in range(9)
    )
    stripes = Stripes(tuple(Stripe(n, 1) for n in range(9)))
    design = replace(two_row_ripple, yarns=greys, stripes=stripes)
    found = [f for f in check_stripes(design, 9) if f.where == "colour"]
    assert len(found) == 7
    assert found[-1].message == "2 more pairs of neighbours merge: the Colour page lists them."


def test_checks_name_the_eyes(two_row_ripple):
    # Apart in lightness, alike without red cones: a brown beside a dark green.
    yarns = tuple(
        Yarn(name=name, colour=colour, ball_m=100, ball_g=50)
        for name, colour in (("Kelp", "#3f6b35"), ("Rust", "#a3512d"))
    )
    stripes = Stripes((Stripe(0, 2), Stripe(1, 2)))
    design = replace(two_row_ripple, yarns=yarns, stripes=stripes)
    (merge,) = merging([y.colour for y in yarns], worked(0, 1))
    messages = [f.message for f in check_stripes(design, 4) if f.where == "colour"]
    assert len(messages) == 1
    assert ("equally light" in messages[0]) == (GREY in merge.sights)


# --- pictures -------------------------------------------------------------------------------


def flag(*bands, size=60, noise=0.0, cover=255):
    """Return a picture of level bands."""
    picture = np.zeros((size, size, 4), np.uint8)
    picture[..., 3] = cover
    for band, rgb in zip(np.array_split(np.arange(size), len(bands)), bands, strict=True):
        picture[band, :, :3] = rgb
    jitter = np.random.default_rng(1).normal(0, noise, (size, size, 3)) if noise else 0
    picture[..., :3] = np.clip(picture[..., :3] + jitter, 0, 255)
    return picture


RED, BLUE, CREAM = (200, 60, 50), (40, 80, 160), (230, 220, 180)


def test_bands_are_found_with_their_shares_from_light_to_dark():
    found = colours_of(flag(RED, BLUE, CREAM, noise=5), 3)
    for one, wanted in zip(found, ("#e6dcb4", "#c83c32", "#2850a0"), strict=True):
        assert difference(one.colour, wanted) < 3
        assert one.share == pytest.approx(1 / 3, abs=0.03)


def test_a_spot_lies_where_its_colour_is():
    picture = flag(RED, BLUE, CREAM, noise=5)
    for one in some(colours_of(picture, 3)):
        assert colour_at(picture, one.x, one.y) == one.colour
        assert difference(one.colour, "#{:02x}{:02x}{:02x}".format(*picture[one.y, one.x])) < 12


def test_one_colour_is_one_colour_and_noise_no_second():
    assert len(colours_of(flag(RED), 5)) == 1
    assert len(colours_of(flag(RED, noise=2), 5)) == 1
    assert len(colours_of(flag(RED, size=1), 12)) == 1
    assert colours_of(flag(RED, size=1), 12)[0].colour == "#c83c32"


def test_clear_parts_count_for_nothing():
    picture = flag(RED, BLUE)
    picture[:30, :, 3] = 0
    (found,) = colours_of(picture, 4)
    assert difference(found.colour, "#2850a0") < 1 and found.share == 1
    assert colour_at(picture, 30, 5) is None
    with pytest.raises(DesignError, match="clear all over"):
        colours_of(flag(RED, cover=0), 3)


def test_the_same_picture_gives_the_same_colours():
    picture = flag(RED, BLUE, CREAM, (20, 120, 60), noise=25)
    assert colours_of(picture, 6) == colours_of(picture.copy(), 6)


@pytest.mark.parametrize("seed", range(4))
def test_groups_settle_as_those_of_another_program(seed):
    # scipy.cluster.vq.kmeans2 from the same first centres; weights as repeated points.
    random = np.random.default_rng(seed)
    points = random.normal(size=(80, 3)) + random.integers(0, 3, (80, 1)) * 4
    weights = random.integers(1, 5, 80)
    first = points[:4]
    wanted, _ = kmeans2(np.repeat(points, weights, axis=0), first, minit="matrix", iter=200)
    assert settled(points, weights.astype(float), first) == pytest.approx(wanted, abs=1e-6)


def test_groups_are_as_tight_as_those_of_another_program():
    random = np.random.default_rng(9)
    points = np.concatenate([random.normal(c, 0.3, (50, 3)) for c in (0, 3, 6, 9)])
    centres, sums = grouped(points, np.ones(200), 4)
    theirs, _ = kmeans2(points, 4, minit="++", rng=1, iter=100)

    def spread(c):
        return ((points[:, None] - c) ** 2).sum(-1).min(1).sum()

    assert spread(centres) <= 1.01 * spread(theirs)
    assert sorted(sums.tolist()) == [50, 50, 50, 50]


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 9), st.integers(1, 9), st.integers(3, 12), st.integers(0, 99))
def test_any_picture_gives_colours_whose_shares_make_a_whole(height, width, number, seed):
    random = np.random.default_rng(seed)
    picture = random.integers(0, 256, (height, width, 4)).astype(np.uint8)
    picture[0, 0, 3] = 255
    found = colours_of(picture, number)
    assert 1 <= len(found) <= number
    assert sum(one.share for one in found) == pytest.approx(1)
    assert all(0 <= one.x < width and 0 <= one.y < height for one in found)


# --- stash ----------------------------------------------------------------------------------


def yarn(colour, owned=0.0, name="Y"):
    return Yarn(name=name, colour=colour, ball_m=100, ball_g=50, owned_balls=owned)


def test_owned_yarns_come_before_nearer_ones_that_are_not():
    yarns = (yarn("#808080"), yarn("#8a8a8a", owned=2))
    (found,) = matches(["#818181"], yarns)
    assert found.yarn == 1 and found.owned
    assert found.apart == pytest.approx(difference("#818181", "#8a8a8a"), abs=0.1)
    assert [m.yarn for m in nearest("#818181", yarns)] == [1, 0]


def test_no_yarn_stands_for_two_colours_and_far_ones_for_none():
    found = matches(["#808080", "#828282", "#ff0000"], (yarn("#828282", owned=1),))
    assert [m and m.yarn for m in found] == [None, 0, None]
    assert NEAR > 0
    assert matches([], (yarn("#000000"),)) == ()


def test_new_yarns_are_named_by_what_they_look_like_each_by_its_own():
    made = new_yarns(["#8fa8bf", "#8fa8be"], (yarn("#000000", name="Greyish blue"),))
    assert [y.name for y in made] == ["Greyish blue 2", "Greyish blue 3"]
    assert made[0].ball_m == 100 and made[0].owned_balls == 0


# --- from one colour ------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(colours, st.sampled_from([rule for rule, _, _ in RULES]), st.integers(FEWEST, MOST))
def test_every_rule_gives_so_many_colours_with_the_first_among_them(colour, rule, number):
    found = palette_from(colour, rule, number)
    assert len(found) == number and colour in found


@given(colours, st.integers(FEWEST, MOST))
@settings(max_examples=60, deadline=None)
def test_a_ladder_goes_down_in_lightness_and_stays_in_its_hue(colour, number):
    found = palette_from(colour, "ladder", number)
    lights = [oklch_of(c)[0] for c in found]
    assert all(a > b - 0.01 for a, b in itertools.pairwise(lights))
    hue, chroma = oklch_of(colour)[2], oklch_of(colour)[1]
    for one in found:
        known = oklch_of(one)
        if known[1] > 0.03 and chroma > 0.03:
            assert abs((known[2] - hue + 180) % 360 - 180) < 5


def test_an_accent_lies_across():
    *_, accent = palette_from("#2a6f97", "accent", 4)
    turn = abs(oklch_of(accent)[2] - oklch_of("#2a6f97")[2])
    assert turn == pytest.approx(180, abs=4)
    with pytest.raises(ValueError, match="3 to 8"):
        palette_from("#2a6f97", "accent", 2)


# --- words ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("colour", "words"),
    [
        ("#ff0000", "vivid red"), ("#8c5a35", "brown"), ("#000000", "black"), ("#ffffff", "white"),
        ("#808080", "grey"), ("#f5f5dc", "cream"), ("#808000", "olive"), ("#1f3f6d", "dark blue"),
        ("#b9a2d8", "light purple"), ("#9aa7b5", "bluish grey"), ("#d98ba2", "pink"),
        ("#b4c6d8", "light greyish blue"),
    ],
)  # fmt: skip
def test_colours_in_words(colour, words):
    # From memory: what people call these.
    assert colour_words(colour) == words
    assert colour_words(colour, "US") == words.replace("grey", "gray")


# CSS Color 4, 6.1: the names that are a hue, some with a shade; the value is the standard's.
HUES = """black blue darkblue darkgreen darkred green grey lightblue lightgreen lightgrey
    lightpink olive orange pink purple red turquoise white yellow skyblue steelblue limegreen
    seagreen hotpink mediumpurple royalblue forestgreen saddlebrown"""


@pytest.mark.parametrize("name", HUES.split())
def test_a_colour_is_called_by_the_hue_that_css_calls_it_by(name):
    said = colour_words(Color(name).to_string(hex=True)).split()[-1]
    assert name.endswith(said)


@pytest.mark.parametrize(
    ("dark", "light"), [("darkblue", "lightblue"), ("darkgreen", "lightgreen")]
)
def test_shades_are_said_as_css_says_them(dark, light):
    assert "dark" in colour_words(Color(dark).to_string(hex=True)).split()
    assert "light" in colour_words(Color(light).to_string(hex=True)).split()


@given(colours)
def test_every_colour_has_words(colour):
    words = colour_words(colour)
    assert words and words == words.strip() and "  " not in words and len(words) < 40


# --- edging among the neighbours ------------------------------------------------------------


def test_a_border_meets_the_first_and_last_stripe_and_every_side():
    found = meetings(worked(0, 1, 0), Edging(border=Border(yarn=2)))
    assert [(m.one, m.other, m.edging, m.places) for m in found] == [
        (0, 1, (), 2),
        (0, 2, ("bottom", "top", "sides"), 4),
        (1, 2, ("sides",), 1),
    ]
    assert found[1].rows == (1, 6, 5) and found[2].rows == (3,)


def test_fill_rows_lie_between_stripes_and_border():
    edging = Edging(bottom=EndFill(yarn=3), border=Border(yarn=2))
    found = {(m.one, m.other): m for m in meetings(worked(0, 1), edging)}
    assert found[0, 3].edging == ("bottom",) and found[2, 3].edging == ("border",)
    assert found[0, 2].edging == ("sides",) and found[1, 2].edging == ("top", "sides")


def test_a_border_in_a_neighbours_colour_is_among_those_that_merge():
    near = ("#2a6f97", "#e9d8a6", "#ebdaa9")
    assert not merging(near, worked(0, 1))
    (found,) = merging(near, worked(0, 1), Edging(border=Border(yarn=2)))
    assert (found.meeting.one, found.meeting.other) == (1, 2) and found.is_plain
