"""Differences in words: nothing to tell exactly when nothing differs, and words for all parts."""

from typing import get_args, get_type_hints

import msgspec
import pytest
from any_design import designs
from hypothesis import given
from msgspec.structs import replace

from core.design import differences as module
from core.design import document, edits
from core.design.differences import differences, in_one_line
from core.design.document import (
    Border,
    Design,
    Edging,
    EndFill,
    FillRow,
    Item,
    Loops,
    NamedSize,
    OwnWords,
    Progress,
    Reckoning,
    Row,
    Size,
    Stripe,
    Stripes,
    Swatch,
    Turning,
    Wanted,
    Wave,
    Yarn,
)
from core.design.plan import Plan
from core.design.told import WORDS

STRUCTS = [
    value
    for value in vars(document).values()
    if isinstance(value, type)
    and issubclass(value, msgspec.Struct)
    and value.__module__ == document.__name__
]
FIELDS = [(kind, field) for kind in STRUCTS for field in kind.__struct_fields__]


@given(designs(), designs())
def test_there_is_something_to_tell_exactly_when_designs_differ(one, other):
    assert bool(differences(one, other)) == (one != other)
    assert bool(differences(one, other, short=True)) == (one != other)
    assert bool(differences(other, one)) == (one != other)


@given(designs())
def test_a_design_differs_in_nothing_from_itself(design):
    again = msgspec.json.decode(msgspec.json.encode(design), type=Design)
    assert differences(design, again) == ()


@pytest.mark.parametrize(("kind", "field"), FIELDS, ids=lambda v: getattr(v, "__name__", v))
def test_every_part_of_the_document_has_words(kind, field):
    assert f"{kind.__name__}.{field}" in WORDS, (
        f"core/design/told.py: give {kind.__name__}.{field} words in WORDS"
    )


def test_no_words_are_left_of_parts_that_are_gone():
    gone = set(WORDS) - {f"{kind.__name__}.{field}" for kind, field in FIELDS}
    assert not gone, "core/design/told.py: take these out of WORDS"


# One changed value for every field that holds one. A new field needs one here too.
FULL_SWATCH = Swatch(
    yarn_m_per_m2=900.0,
    repeats=3,
    repeats_mm=300.0,
    rows=12,
    rows_mm=150.0,
    wave_height_mm=20.0,
    chain_repeats=4,
    chain_mm=500.0,
    wash_width_mm=300.0,
    washed_width_mm=290.0,
    wash_length_mm=310.0,
    washed_length_mm=305.0,
    yarn_off=0.05,
)
FULL_BORDER = Border(rounds=2, stitch="dc", yarn=1, multiple=4, extra=1, corner=5)
OWN = FillRow(("sc",), ("sc", "dc"), ("sc",))


@pytest.fixture
def full(two_row_ripple):
    return replace(
        two_row_ripple,
        edging=Edging(top=EndFill(), bottom=EndFill(), border=Border()),
        swatch=Swatch(),
        wanted=Wanted(width_mm=1000.0),
        progress=Progress(row=10, width_mm=900.0, length_mm=200.0),
        reckoning=Reckoning(row_minutes=9.0, week_hours=3.0),
    )


def changed(value, other):
    """Yield `value` with one field at a time as in `other`, and that field's name."""
    for field in type(value).__struct_fields__:
        now = getattr(other, field)
        assert now != getattr(value, field), f"{type(value).__name__}.{field} is the same in both"
        yield field, replace(value, **{field: now})


def one_at_a_time(full):
    """Yield (class, field, design) for designs that differ from `full` in one field."""
    parts = {
        "gauge": replace(
            full.gauge, stitch="tr", stitches=14.0, rows=8.0, over_mm=110.0, hook_mm=4.5,
            firmness=0.3,
        ),
        "turning": Turning(chains=2, counts=False),
        "loops": Loops(
            work_in="front", from_row=3, last_stitch_both=True, in_turn=("back", "front"),
            each_colour=True,
        ),
        "size": Size(repeats=3, rows=9),
        "swatch": FULL_SWATCH,
        "wanted": Wanted(width_mm=1100.0, length_mm=1500.0),
        "progress": Progress(row=11, width_mm=910.0, length_mm=210.0),
        "reckoning": Reckoning(
            spare=0.2, tail_mm=120.0, carry_rows=2, weave_minutes=3.0, timed_row=5,
            row_minutes=12.0, week_hours=4.0,
        ),
    }  # fmt: skip
    for name, other in parts.items():
        value = getattr(full, name)
        if name == "loops":
            full = replace(full, loops=replace(value, in_turn=("back",)))
            value = full.loops
        for field, part in changed(value, other):
            yield full, type(value), field, replace(full, **{name: part})
    yarn = Yarn(
        name="Shell",
        colour="#ffeedd",
        ball_m=90.0,
        ball_g=40.0,
        owned_balls=3.0,
        price=2.5,
        left_g=20.0,
        left_after=8,
        weight=4,
    )
    for field, part in changed(full.yarns[1], yarn):
        yield full, Yarn, field, replace(full, yarns=(full.yarns[0], part))
    for field, part in changed(full.edging.border, FULL_BORDER):
        yield full, Border, field, replace(full, edging=replace(full.edging, border=part))
    for field, part in changed(full.edging.top, EndFill(yarn=1, n_rows=2, own=(OWN,))):
        yield full, EndFill, field, replace(full, edging=replace(full.edging, top=part))
    for field, value in (
        ("title", "Another"), ("designer", "Somebody"), ("notes", "A note"), ("terms", "UK"),
        ("hand", "left"), ("units", "in"), ("use", "throw"),
        ("skill", "easy"), ("contact", "mail@harbour.example"), ("licence", "Make many."),
        ("sizes", (NamedSize(name="lap", repeats=4, rows=20),)),
        ("own_words", (OwnWords(row=2, text="As row 1.", terms="US", of="ab"),)),
    ):  # fmt: skip
        yield full, Design, field, replace(full, **{field: value})
    for field in ("top", "bottom", "border"):
        yield full, Edging, field, replace(full, edging=replace(full.edging, **{field: None}))
    yield full, Stripes, "fill", edits.set_fill(full, "mirror")
    yield full, Stripes, "plan", replace(full, stripes=replace(full.stripes, plan=Plan()))
    first, *others = full.stripes.sequence
    for field, value in (("locked", True), ("label", "tide line")):
        sequence = (replace(first, **{field: value}), *others)
        yield full, Stripe, field, replace(full, stripes=replace(full.stripes, sequence=sequence))


def test_each_field_is_told_once_and_in_its_own_words(full):
    told = set()
    for before, kind, field, after in one_at_a_time(full):
        lines = differences(before, after)
        assert len(lines) == 1, (kind, field, lines)
        words = WORDS[f"{kind.__name__}.{field}"]
        assert words.lower() in lines[0].lower(), (kind, field, lines)
        assert "→" in lines[0] or any(
            word in lines[0] for word in (" now ", "added", "removed", "left out", "changed")
        )
        told.add((kind, field))
    # What is made of parts is told by them, and rows and items in the trade's own words.
    by_parts = {
        (kind, field)
        for kind, field in FIELDS
        if kind in (Item, Row, Wave, FillRow, Stripe, NamedSize, OwnWords)
        or (kind is Design and field not in ("title", "designer", "notes", "terms", "hand",
                                             "units", "use", "sizes", "own_words"))
        or (kind, field) == (Stripes, "sequence")
    }  # fmt: skip
    assert told | by_parts == set(FIELDS)


ROWS = {
    "runs": ("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2"),
    "turns": ("I2", "3 D3 3 I3", "3 D3 3 I2"),
}


def test_longer_runs_are_one_line(two_row_ripple, row_of):
    row = row_of(*ROWS["runs"])
    after = edits.set_wave(two_row_ripple, Wave(row.start, row.repeat, row.end))
    assert differences(two_row_ripple, after) == ("Runs of the wave 3 → 4",)


def test_other_rows_are_told_as_rows(two_row_ripple, row_of):
    row = row_of(*ROWS["turns"])
    after = edits.set_wave(two_row_ripple, Wave(row.start, row.repeat, row.end))
    assert differences(two_row_ripple, after) == (
        "Repeat of the row: 3 dc, dc2tog 2 times, 3 dc, 2 dc in one 2 times → "
        "3 dc, dc3tog, 3 dc, 3 dc in one",
        "End of the row: 3 dc, dc2tog 2 times, 3 dc, 2 dc in one → 3 dc, dc3tog, 3 dc, 2 dc in one",
    )


def test_stitches_are_told_in_the_designs_own_terms(two_row_ripple, row_of):
    row = row_of(*ROWS["turns"])
    before = edits.set_values(two_row_ripple, terms="UK")
    after = edits.set_wave(before, Wave(row.start, row.repeat, row.end))
    assert "tr3tog" in differences(before, after)[0]
    assert "dc" not in differences(before, after)[0]


def test_lengths_are_told_in_the_designs_own_units(two_row_ripple):
    before = edits.set_values(two_row_ripple, units="in")
    before = edits.set_wanted(before, width_mm=1016.0)
    after = edits.set_wanted(before, width_mm=1270.0)
    assert differences(before, after) == ("Wished width 40 in → 50 in",)


def test_stripes_are_told_by_number_and_yarn(two_row_ripple):
    longer = edits.set_sequence(
        two_row_ripple, (Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2), Stripe(yarn=0, rows=4))
    )
    assert differences(two_row_ripple, longer) == ("Stripe 3 added: Sea, 4 rows",)
    assert differences(longer, two_row_ripple) == ("Stripe 3 removed: Sea, 4 rows",)
    other = edits.set_stripe(longer, 2, yarn=1, rows=3)
    assert differences(longer, other) == ("Stripe 3 now Sand (was Sea)", "Stripe 3, rows 4 → 3")


def test_a_yarn_that_is_only_renamed_leaves_its_stripes_alone(two_row_ripple):
    after = edits.set_yarn(two_row_ripple, 0, name="Deep")
    assert differences(two_row_ripple, after) == ("Yarn Sea, name “Sea” → “Deep”",)
    numbered = edits.set_yarn(two_row_ripple, 0, name="Yarn 4")
    priced = edits.set_yarn(numbered, 0, price=3.5)
    (told,) = differences(numbered, priced)
    assert told.startswith("Yarn 4, price")


def test_rows_worked_in_turn_are_told_by_number(ridged_ripple, row_of):
    wave = ridged_ripple.wave
    changed_row = row_of(*ROWS["runs"])
    after = edits.set_wave(ridged_ripple, replace(wave, cycle=(wave.cycle[0], changed_row)))
    (line,) = differences(ridged_ripple, after)
    assert line.startswith("Row 2 of those worked in turn: ")
    gone = edits.set_wave(ridged_ripple, replace(wave, cycle=None))
    assert differences(ridged_ripple, gone) == ("Rows worked in turn removed: 2",)


def test_a_set_up_row_is_told(level_start):
    gone = edits.set_wave(level_start, replace(level_start.wave, setup=None))
    assert differences(level_start, gone) == ("Set-up row removed: 1 dc * 12 dc * 11 dc",)


def test_a_part_without_words_is_told_by_its_name(two_row_ripple, monkeypatch):
    monkeypatch.delitem(module.WORDS, "Size.rows")
    after = edits.set_size(two_row_ripple, rows=9)
    assert differences(two_row_ripple, after) == ("Size rows 8 → 9",)


def test_figures_that_round_alike_are_told_in_full(two_row_ripple):
    after = edits.set_gauge(two_row_ripple, rows=7.500000001)
    assert differences(two_row_ripple, after) == ("Gauge, rows 7.5 → 7.500000001",)


def test_many_changes_are_summed_up_in_one_line():
    assert in_one_line(()) == "Nothing changed."
    assert in_one_line(("A", "B")) == "A; B."
    assert in_one_line(("A", "B", "C"), 2) == "A; B; and 1 more."


def test_the_list_of_structs_is_the_document(two_row_ripple):
    assert Design in STRUCTS
    assert len(STRUCTS) >= 16
    assert get_args(get_type_hints(Design)["edging"])[0] in STRUCTS
