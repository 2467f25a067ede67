"""What the program writes, it reads back as the same rows; own words are kept and compared."""

# ruff: noqa: E501 - wordings stand as they are typed

import by_hand
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.checks.own_words import check_own_words
from core.craft.stitches import KEYS
from core.design.document import Design, Loops, OwnWords, Turning
from core.design.edits import set_loops, set_size, set_values, set_wave
from core.design.files import read_design
from core.design.validation import design_from_raw, raw_from_design
from core.pipeline import Pipeline
from core.reading.names import meaning
from core.reading.own import read_own, set_own_words, take_own, with_own_words
from core.reading.reading import read_text
from core.reading.shaping import row_units
from core.reading.taking import take_reading
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES, edge_kinds, shape_of, wave_of, with_edges
from core.stripes.loops import loop_of_row
from core.stripes.sequence import yarn_of_rows
from core.techedit.edit import tech_edit
from core.words.write import write_pattern, written_rows

TERMS = ["US", "UK"]


def text_of(design: Design, terms: str, *, stripes: bool = False) -> str:
    rows = build_rows(design)
    if stripes:
        yarns = yarn_of_rows(design.stripes, len(rows.which))
        return write_pattern(design, rows, terms=terms, yarn_of_row=yarns).plain
    lines = written_rows(design, rows, terms=terms)
    return "\n".join(f"{line.label}: {line.text}" for line in lines)


def units_of_rows(design: Design):
    rows = build_rows(design)
    repeats = design.size.repeats
    return [row_units(rows.plan(n).row, repeats) for n in range(1, len(rows.which) + 1)]


def shapes():
    """Every family with every edge that it can have."""
    for family in FAMILIES:
        design = starter(family)
        yield f"{family.key}", design
        shape = shape_of(design.wave)
        for left in edge_kinds(shape) if not family.is_of_heights else ():
            for right in edge_kinds(shape):
                wave = wave_of(with_edges(shape, left, right))
                yield f"{family.key} {left} {right}", set_wave(design, wave)


SHAPES = dict(shapes())


@pytest.mark.parametrize("terms", TERMS)
@pytest.mark.parametrize("name", SHAPES)
def test_every_family_with_every_edge_reads_back_as_its_own_rows(name, terms):
    design = SHAPES[name]
    reading = read_text(text_of(design, terms), terms=terms)
    assert reading.is_sound
    assert [reading.row(n).flat.units for n in range(1, design.size.rows + 1)] == units_of_rows(
        design
    )
    taken = take_reading(reading, set_values(design, loops=Loops()))
    assert taken.design is not None, taken.why_not
    assert units_of_rows(taken.design) == units_of_rows(design)
    assert taken.design.turning == design.turning
    assert taken.design.size == design.size
    loops = [loop_of_row(taken.design, n) for n in range(2, 20)]
    assert loops == [loop_of_row(design, n) for n in range(2, 20)]


@pytest.mark.parametrize("name", [family.key for family in FAMILIES])
def test_a_wave_that_is_read_back_can_still_be_pulled_by_its_handles(name):
    design = SHAPES[name]
    taken = take_reading(read_text(text_of(design, "US")), design)
    assert shape_of(taken.design.wave) == shape_of(design.wave)


@pytest.mark.parametrize("terms", TERMS)
def test_the_whole_demo_reads_back_with_its_stripes(terms, demo_path):
    design = read_design(demo_path)
    reading = read_text(text_of(design, terms, stripes=True))
    assert reading.guess.sureness == "stated"
    assert reading.terms == terms
    assert reading.is_sound
    assert reading.chains == 147
    taken = take_reading(reading, design, keep_stripes=False)
    assert taken.design.wave == design.wave
    assert taken.design.loops == design.loops
    rows = design.size.rows
    read = yarn_of_rows(taken.design.stripes, rows).tolist()
    assert read == yarn_of_rows(design.stripes, rows).tolist()


@st.composite
def any_designs(draw):
    """Closing rows of any items, with any turning chain and loops."""
    row = draw(by_hand.closing_rows())
    chains = draw(st.integers(0, 5))
    turning = Turning(chains=chains, counts=bool(chains) and draw(st.booleans()))
    items = row.start + row.repeat
    first = next(n for n, item in enumerate(items) if item.stitch)
    # A counted chain is the first stitch; no chain space can come before it.
    assume(not (turning.counts and any(item.chain for item in items[:first])))
    loops = draw(
        st.builds(
            Loops,
            work_in=st.sampled_from(["both", "back", "front"]),
            from_row=st.integers(2, 5),
            last_stitch_both=st.booleans(),
        )
    )
    return row, turning, loops, draw(st.integers(1, 4)), draw(st.integers(2, 6))


def _spots(rows, below):
    """Where each stitch of a row stands as the next one meets it; a space's chains as its first."""
    kinds = [KEYS[kind] for kind in rows.plan(below).kind][::-1]
    spots = []
    for number, kind in enumerate(kinds):
        goes_on = kind == "ch" and number and kinds[number - 1] == "ch"
        spots.append(spots[-1] if goes_on else number)
    return spots


@given(any_designs(), st.sampled_from(TERMS))
def test_any_rows_that_close_read_back_stitch_by_stitch(design_of, parts, terms):
    row, turning, loops, repeats, n_rows = parts
    design = design_of(row, repeats=repeats, rows=n_rows, turning=turning, loops=loops)
    rows = build_rows(design)
    assume(rows.misfit is None and rows.makes(1) > 0)
    reading = read_text(text_of(design, terms), terms=terms)
    assert [t.message for t in reading.troubles if t.level == "error"] == []
    assert len(reading.order) == n_rows
    for number in range(1, n_rows + 1):
        read, plan = reading.row(number), rows.plan(number)
        made = [event for event in read.worked.events if event.kind != "skip"]
        names = ["ch" if event.kind == "ch" else meaning(event.name, terms) for event in made]
        assert names == [KEYS[kind] for kind in plan.kind]
        links = [(n, foot) for n, event in enumerate(made) for foot in event.feet]
        model = [(int(child), int(parent)) for child, parent in plan.links]
        if number > 1:  # anywhere in a space of several chains is the same place
            spot = _spots(rows, number - 1)
            links = [(n, spot[foot]) for n, foot in links]
            model = [(n, spot[foot]) for n, foot in model]
        skip = int(turning.counts)  # where the chain itself stands the text doesn't say
        assert links[skip:] == model[skip:]
        assert (read.loop or "both") == loop_of_row(design, number)


# --- own words ---------------------------------------------------------------------------------

OWN = (
    "Ch 3 (counts as dc), turn. In back loops only: dc in same st, *dc in next 3 sts, dc2tog twice, "
    "dc in next 3 sts, 2 dc in each of next 2 sts; rep from * to last 11 sts, dc in next 3 sts, "
    "dc2tog twice, dc in next 3 sts, 2 dc in top of turning ch. (36 sts)"
)


@pytest.fixture
def ripple(two_row_ripple):
    return two_row_ripple


def line_of(design, row):
    return next(line for line in read_own(design, build_rows(design)) if line.line.row == row)


def test_own_words_that_say_the_same_are_kept_without_a_word(ripple):
    design = set_own_words(ripple, 2, OWN)
    line = line_of(design, 2)
    assert (line.text, line.differs, line.is_stale) == (OWN, False, False)
    assert (line.uses, line.available, line.makes) == (36, 36, 36)
    assert check_own_words(design, build_rows(design)) == []


def test_own_words_stand_in_the_pattern(ripple):
    design = set_own_words(ripple, 2, OWN)
    rows = build_rows(design)
    pattern = with_own_words(write_pattern(design, rows), read_own(design, rows))
    assert OWN in pattern.plain
    other = with_own_words(write_pattern(design, rows, terms="UK"), read_own(design, rows))
    assert OWN not in other.plain  # US words have no place in a text in UK terms


def test_own_words_that_say_other_rows_are_a_finding(ripple):
    wider = OWN.replace("dc2tog twice, dc in next 3 sts, 2 dc in each of next 2 sts",
                        "dc2tog, dc in next 5 sts, 2 dc in next st, dc in next st")  # fmt: skip
    design = set_own_words(ripple, 2, wider)
    (finding,) = check_own_words(design, build_rows(design))
    assert finding.level == "error"
    assert finding.where == "words 2"
    assert "Words and chart differ in row 2" in finding.message
    assert finding in tech_edit(Pipeline().results(design))


def test_own_words_that_do_not_come_out_name_the_word(ripple):
    design = set_own_words(ripple, 2, OWN.replace("dc in next 3 sts", "dc in next 4 sts", 1))
    line = line_of(design, 2)
    assert line.broken is not None
    marked = line.text[line.broken.start : line.broken.end]
    assert marked == "2 dc in each of next 2 sts"
    (finding,) = check_own_words(design, build_rows(design))
    assert finding.level == "error"
    assert "the repeat takes 13 stitches" in finding.message


def test_own_rows_can_be_taken_into_the_design(ripple):
    own = OWN.replace("dc2tog twice, dc in next 3 sts, 2 dc in each of next 2 sts",
                      "dc2tog, dc in next 5 sts, 2 dc in next st, dc in next st")  # fmt: skip
    taken = take_own(set_own_words(ripple, 2, own))
    assert taken.design is not None, taken.why_not
    assert build_rows(taken.design).misfit is None
    assert not line_of(taken.design, 2).differs
    assert check_own_words(taken.design, build_rows(taken.design)) == []
    assert units_of_rows(taken.design)[0] == units_of_rows(ripple)[0]  # row 1 keeps its words
    assert taken.design.size == ripple.size
    assert taken.design.yarns == ripple.yarns


def test_words_for_another_wave_are_kept_and_marked(ripple, steep_wave):
    design = set_wave(set_own_words(ripple, 2, OWN), steep_wave.wave)
    line = line_of(design, 2)
    assert line.is_stale
    assert line.text == OWN
    assert line.line.text != OWN
    (finding,) = check_own_words(design, build_rows(design))
    assert "written for another wave" in finding.message
    rows = build_rows(design)
    assert OWN not in with_own_words(write_pattern(design, rows), read_own(design, rows)).plain
    back = set_wave(design, ripple.wave)
    assert not line_of(back, 2).is_stale


def test_words_up_to_the_last_stitches_hold_at_any_width(ripple):
    own = OWN.replace(" (36 sts)", "")
    wider = set_size(set_own_words(ripple, 2, own), repeats=5)
    assert not line_of(wider, 2).differs


def test_words_in_the_other_terms_are_read_in_theirs(ripple):
    design = set_values(set_own_words(ripple, 2, OWN), terms="UK")
    line = line_of(design, 2)
    assert (line.own.terms, line.differs) == ("US", False)


def test_own_words_of_a_row_that_changes_its_loop_differ(ripple):
    design = set_loops(set_own_words(ripple, 2, OWN), work_in="front")
    assert line_of(design, 2).differs


def test_dropped_own_words_are_gone(ripple):
    assert set_own_words(set_own_words(ripple, 2, OWN), 2, " ") == ripple


def test_own_words_of_the_foundation_are_compared_with_the_chain(ripple):
    assert not line_of(set_own_words(ripple, 0, "With Sea, chain 39."), 0).differs
    assert line_of(set_own_words(ripple, 0, "With Sea, chain 40."), 0).differs


def test_own_words_are_written_and_read_with_the_file(ripple):
    design = set_own_words(ripple, 2, OWN)
    assert design_from_raw(raw_from_design(design)) == design
    assert "own_words" not in raw_from_design(ripple)
    assert isinstance(design.own_words[0], OwnWords)
