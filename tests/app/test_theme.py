"""The window's tones: every pair used for text passes WCAG 2.2 AA."""

import pytest
from coloraide import Color

from app.theme import DARK, LIGHT

# WCAG 2.2, success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (parts of controls, 3 : 1).
TEXT, PARTS = 4.5, 3.0


def ratio(one, other):
    return Color(one).contrast(other, method="wcag21")


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
@pytest.mark.parametrize("text", ["ink", "muted", "accent", "trouble"])
def test_text_can_be_read_on_every_ground(tones, ground, text):
    assert ratio(getattr(tones, text), getattr(tones, ground)) >= TEXT


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
def test_a_field_stands_out_from_what_it_lies_on(tones, ground):
    assert ratio(tones.edge, getattr(tones, ground)) >= PARTS


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_text_on_the_accent_can_be_read(tones):
    assert ratio(tones.on_accent, tones.accent) >= TEXT


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_trouble_and_accent_can_be_told_from_each_other_in_grey_or_by_their_sign(tones):
    # Trouble never stands alone: the sentence adds a sign, checks add a word.
    assert tones.trouble != tones.accent
    assert ratio(tones.trouble, tones.sheet) >= PARTS
