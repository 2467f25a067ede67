"""Cautions: where they are called for, what they defer to, and that they name a source.

Where each fact comes from stands in `core/checks/cautions.py`: the AAP's safe-sleep list (2022),
safesleepscotland.org, CPSC's small-parts rule; finger-size holes are from memory.
"""

import pytest
from msgspec.structs import replace

from core.checks import cautions
from core.checks.cautions import (
    ENDS,
    HOLES,
    INFANT,
    STRETCHED,
    USES,
    check_cautions,
    short_caution,
    use_by_size,
    use_of,
)
from core.design.document import Border, Edging, Yarn
from core.design.files import design_text
from core.design.validation import checked
from core.errors import DesignError
from core.fabric.measure import SizeMeasures
from core.fabric.steady import steady_of

IN = 25.4


def measured(wide_mm, long_mm):
    return SizeMeasures(width_mm=wide_mm, length_mm=long_mm, chain_mm=wide_mm)


PRAM, THROW = measured(700, 900), measured(1000, 1500)


def said(design, size, steady=None):
    return [finding.message for finding in check_cautions(design, size, steady)]


def named(design, *names):
    yarns = tuple(Yarn(name=name, colour="#808080", ball_m=100, ball_g=50) for name in names)
    return replace(design, yarns=yarns + design.yarns)


@pytest.mark.parametrize(("size", "infant"), [(PRAM, True), (THROW, False)])
def test_pram_sizes_carry_the_caution_on_sleep(two_row_ripple, size, infant):
    assert (INFANT in said(two_row_ripple, size)) == infant
    assert "local safe-sleep guidance" in INFANT


def test_pram_size_ends_a_twentieth_beyond_the_published_30_by_36_inches(two_row_ripple):
    # 30 x 36 in: crochetcabana.com, sarahmaker.com; the allowances are our own.
    inside, wider = measured(1.04 * 30 * IN, 36 * IN), measured(1.07 * 30 * IN, 36 * IN)
    assert use_of(two_row_ripple, inside) == "pram"
    assert use_of(two_row_ripple, wider) == "lap"
    assert INFANT in said(two_row_ripple, inside) and INFANT not in said(two_row_ripple, wider)


def test_what_the_designer_says_it_is_for_goes_before_its_size(two_row_ripple):
    baby = replace(two_row_ripple, use="baby")
    assert INFANT in said(baby, THROW)
    assert use_of(two_row_ripple, PRAM) == "pram" and use_of(baby, PRAM) == "baby"


def test_a_pram_sized_lap_blanket_keeps_the_note_on_sleep_and_nothing_more(sharp_wave):
    assert said(replace(sharp_wave, use="lap"), PRAM) == [INFANT]


def test_where_the_size_is_not_known_the_cautions_are_said(sharp_wave):
    for use in ("", "baby", "pram"):
        assert {INFANT, HOLES, ENDS} <= set(said(replace(sharp_wave, use=use), None))
        assert "infant" in short_caution(replace(sharp_wave, use=use), None)
    weight = [
        cautions.WEIGHT in said(replace(sharp_wave, use=u), None) for u in ("", "pram", "baby")
    ]
    assert weight == [True, True, False]
    for use in ("lap", "throw", "bed"):  # someone may use it so, if it comes out small
        assert said(replace(sharp_wave, use=use), None) == [INFANT]


# Sizes in inches with what crochetcabana.com, sarahmaker.com and edinyarnfest.com call them.
@pytest.mark.parametrize(
    ("wide", "long", "use"),
    [(30, 36, "pram"), (36, 48, "lap"), (50, 60, "throw"), (50, 65, "throw"), (66, 90, "bed")],
)
def test_published_sizes_have_their_use(wide, long, use):
    assert use_by_size(measured(wide * IN, long * IN)) == use
    assert use_by_size(measured(long * IN, wide * IN)) == use


def test_holes_in_an_infants_blanket_are_a_warning(sharp_wave, two_row_ripple):
    assert HOLES in said(sharp_wave, PRAM) and HOLES not in said(two_row_ripple, PRAM)
    assert HOLES not in said(sharp_wave, THROW)
    levels = {found.message: found.level for found in check_cautions(sharp_wave, PRAM)}
    assert levels[HOLES] == "warning" and levels[INFANT] == "note"


def test_holes_that_open_by_strain_are_cautioned_too(design_of, row_of, two_row_ripple):
    tight = design_of(row_of("I2", "4 D3 4 I3", "4 D3 4 I2", "sc"), stitch="sc", repeats=3)
    assert STRETCHED in said(tight, PRAM, steady_of(tight))
    assert STRETCHED not in said(tight, THROW, steady_of(tight))
    assert STRETCHED not in said(two_row_ripple, PRAM, steady_of(two_row_ripple))


def test_ends_border_and_weight_are_spoken_of_where_they_matter(two_row_ripple):
    bordered = replace(two_row_ripple, edging=Edging(border=Border()))
    assert {ENDS, cautions.WEIGHT, cautions.BORDER} <= set(said(bordered, PRAM))
    assert cautions.BORDER not in said(two_row_ripple, PRAM)
    assert cautions.WEIGHT not in said(replace(bordered, use="baby"), PRAM)
    assert not {ENDS, cautions.WEIGHT, cautions.BORDER} & set(said(bordered, THROW))


@pytest.mark.parametrize(
    ("name", "word"),
    [("Grey lambswool", "felt"), ("ACRYLIC sand", "melt"), ("Cotton (white)", "shrink")],
)
def test_fibres_in_a_yarns_name_bring_their_care_with_the_name(two_row_ripple, name, word):
    (message,) = said(named(two_row_ripple, name), THROW)
    assert word in message and name in message and "Common practice" in message


def test_a_fibres_name_within_another_word_is_none(two_row_ripple):
    assert said(named(two_row_ripple, "Woolacombe bay", "Steel"), THROW) == []


def test_a_fibre_that_many_yarns_are_of_is_said_once(two_row_ripple):
    many = named(two_row_ripple, *(f"Cotton {n}" for n in range(9)))
    (message,) = said(many, THROW)
    assert "Cotton 0, Cotton 1, Cotton 2 + 6" in message


def test_hairy_yarns_are_only_spoken_of_for_infants(two_row_ripple):
    hairy = named(two_row_ripple, "Mohair mist")
    assert not any("breathed in" in message for message in said(hairy, THROW))
    assert any("breathed in" in message for message in said(hairy, PRAM))


def test_every_caution_names_a_source_and_none_promises(sharp_wave):
    every = named(sharp_wave, "Wool", "Acrylic", "Cotton", "Mohair")
    every = replace(every, edging=Edging(border=Border()))
    found = said(every, PRAM) + [STRETCHED]
    assert len(found) >= 8
    for message in found:
        assert any(word in message for word in ("Source", "Common practice")), message
        assert not any(word in message for word in ("safe for", "guarantee", "danger", "!")), (
            message
        )
        assert len(message) < 330


def test_a_drawing_by_itself_carries_one_line(sharp_wave, two_row_ripple):
    assert "local safe-sleep guidance" in short_caution(two_row_ripple, PRAM)
    assert "fingers" in short_caution(sharp_wave, PRAM)
    assert short_caution(sharp_wave, THROW) == ""


def test_the_use_is_kept_in_the_file_only_where_it_was_chosen(two_row_ripple):
    assert '"use"' not in design_text(two_row_ripple)
    for use in USES:
        assert f'"use": "{use}"' in design_text(checked(replace(two_row_ripple, use=use)))
    with pytest.raises(DesignError, match="use"):
        checked(replace(two_row_ripple, use="sail"))
