"""The few words on drawings."""

from core.words.short import height_label, short_label


def test_items_are_told_in_working_order(items_of):
    assert short_label(items_of("3 D2x2 K2 V"), "US") == "3, 2tog ×2, skip 2, 2 in 1 with ch 1"
    assert short_label(items_of("K2"), "UK") == "miss 2"


def test_what_goes_on_alternating_is_told_once(items_of):
    dip = items_of("K1 1 K1 1 K1 1 K1 1 K1 1 K1")
    assert short_label(dip, "US") == "(skip 1, 1) ×5, skip 1"
    assert short_label(items_of("K1 1 K1"), "US") == "skip 1, 1, skip 1"


def test_heights_are_told_with_their_names(items_of):
    heights = (*items_of("2", "hdc"), *items_of("2", "dc"))
    assert height_label(heights, "US") == "2 hdc, 2 dc"
    assert height_label(heights, "UK") == "2 htr, 2 tr"
