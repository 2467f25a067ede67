"""A design to begin with can be worked, comes near its size, and has the gauge that is meant."""

import pytest

from core.checks.cautions import INFANT, is_for_infant, use_by_size
from core.craft.stitches import WORKED
from core.craft.tables import USUAL_SIZES_MM
from core.design.edits import set_size
from core.errors import DesignError
from core.fabric.beginnings import OWN_SIZE, Beginning, Piece, begin
from core.fabric.measure import SizeMeasures
from core.pipeline import Pipeline
from core.rows.waves import FAMILIES

GENTLE = FAMILIES[0]


def by_name(key):
    return next(family for family in FAMILIES if family.key == key)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_every_family_can_be_begun_in_every_stitch(family):
    for stitch in WORKED:
        results = Pipeline().results(begin(Beginning(family=family, stitch=stitch, size="pram")))
        assert results.rows.misfit is None
        assert results.wave is not None
        assert all(finding.level != "error" for finding in results.findings)


@pytest.mark.parametrize(("name", "width_mm", "length_mm"), USUAL_SIZES_MM)
@pytest.mark.parametrize("key", ["gentle", "fan", "heights"])
def test_no_other_number_of_repeats_or_stripes_comes_nearer(key, name, width_mm, length_mm):
    design = begin(Beginning(family=by_name(key), size=name))
    assert design.wanted is not None
    assert (design.wanted.width_mm, design.wanted.length_mm) == (width_mm, length_mm)

    def off(repeats, rows):
        size = Pipeline().results(set_size(design, repeats=repeats, rows=rows)).size
        return abs(size.width_mm - width_mm), abs(size.length_mm - length_mm)

    repeats, rows = design.size.repeats, design.size.rows
    wide, long = off(repeats, rows)
    # Half a millimetre of room for two choices that come equally near.
    for other in (repeats - 1, repeats + 1):
        assert wide <= off(other, rows)[0] + 0.5
    for other in (rows - 2, rows + 2):
        assert long <= off(repeats, other)[1] + 0.5
    assert rows % 2 == 0  # no stripe is cut short


def test_a_usual_size_is_for_what_the_published_tables_call_it():
    # Uses by size are those of published tables (`core.checks.cautions`): name and size agree.
    for name, width_mm, length_mm in USUAL_SIZES_MM:
        size = SizeMeasures(width_mm=width_mm, length_mm=length_mm, chain_mm=width_mm)
        assert begin(Beginning(family=GENTLE, size=name)).use == use_by_size(size), name


def test_a_size_of_ones_own_is_come_as_near_to_as_whole_waves_can():
    asked = Beginning(family=FAMILIES[0], size=OWN_SIZE, own_mm=(900.0, 1200.0), title="Seat")
    design = begin(asked)
    size = Pipeline().results(design).size
    more = Pipeline().results(set_size(design, repeats=design.size.repeats + 1)).size
    assert design.title == "Seat"
    assert abs(size.width_mm - 900) <= 0.5 * (more.width_mm - size.width_mm) + 1e-6
    assert abs(size.length_mm - 1200) <= size.length_mm / design.size.rows + 1e-6


def test_a_size_of_ones_own_needs_its_sides_and_nothing_else_does():
    for asked in (
        Beginning(family=FAMILIES[0], size=OWN_SIZE),
        Beginning(family=FAMILIES[0], own_mm=(900.0, 1200.0)),
    ):
        with pytest.raises(DesignError, match="needs its width and length"):
            begin(asked)


def test_an_unknown_size_is_refused_with_those_there_are():
    with pytest.raises(DesignError, match=r"no usual size 'king'.*pram, lap, throw"):
        begin(Beginning(family=GENTLE, size="king"))


def test_a_pram_blanket_carries_its_caution():
    design = begin(Beginning(family=by_name("open"), size="pram"))
    results = Pipeline().results(design)
    assert is_for_infant(design, results.size)
    assert INFANT in [finding.message for finding in results.findings]


def test_two_measured_repeats_speak_of_the_chains_by_the_published_multiple():
    """Two 14-stitch repeats of 16.5 cm and a wish of 91 cm: 11 repeats, 90.8 cm, 157 chains.

    The figures are those of `test_sizes`; 14n + 3, knitty.com/ISSUEdf12/ripply.html: 157 for 11.
    """
    piece = Piece(repeats=2, width_mm=165.0, rows=10, length_mm=140.0)
    design = begin(Beginning(family=GENTLE, run=4, size="lap", piece=piece))
    results = Pipeline().results(design)
    assert results.rows.foundation.multiple == 14
    assert results.rows.foundation.chains == 157
    assert results.wave.repeat_width_mm == pytest.approx(82.5, rel=0.002)
    assert results.size.width_mm == pytest.approx(908, abs=8)


@pytest.mark.parametrize("key", ["gentle", "pointed", "slow", "wide fan"])
def test_a_measured_piece_comes_out_as_it_was_measured(key):
    plain = Pipeline().results(begin(Beginning(family=by_name(key))))
    width_mm, length_mm = 3 * 0.93 * plain.wave.repeat_width_mm, 12 * 1.08 * plain.wave.rise_mm
    piece = Piece(repeats=3, width_mm=width_mm, rows=12, length_mm=length_mm)
    wave = Pipeline().results(begin(Beginning(family=by_name(key), piece=piece))).wave
    # Half a percent is within what a ruler shows of a swatch (common practice).
    assert 3 * wave.repeat_width_mm == pytest.approx(width_mm, rel=0.005)
    assert 12 * wave.rise_mm == pytest.approx(length_mm, rel=0.005)


def test_measures_that_no_fabric_has_are_told_with_a_way_out():
    piece = Piece(repeats=1, width_mm=400.0, rows=40, length_mm=60.0)
    with pytest.raises(DesignError, match="count its repeats and rows again"):
        begin(Beginning(family=GENTLE, piece=piece))
