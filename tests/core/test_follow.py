"""A maker who has nothing but the words ends every row on the model's count and structure."""

import pytest
from follow import follow

from core.craft.stitches import KEYS
from core.design.document import Design
from core.design.edits import set_size
from core.design.files import read_design
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.words.write import written_rows

ROWS = 13


def lines_of(design: Design, terms: str) -> list[tuple[str, str]]:
    rows = build_rows(design)
    return [(line.label, line.text) for line in written_rows(design, rows, terms=terms)]


def assert_makes_the_model(design: Design, terms: str) -> None:
    rows = build_rows(design)
    maker = follow(lines_of(design, terms), terms)
    assert maker.chains == rows.foundation.chains
    assert len(maker.rows) == len(rows.which)
    for number, row in enumerate(maker.rows, start=1):
        plan = rows.plan(number)
        assert row.made == [KEYS[kind] for kind in plan.kind]
        # In row 1 a place is a chain from the hook, those that are only the turn among them.
        # Chains that are only the turn, those made before row 1 among them.
        off = maker.rows[0].chains - rows.foundation.base_stitches if number == 1 else 0
        model = [(int(child), int(parent) + off) for child, parent in plan.links]
        # Where a counted chain itself stands no words say.
        assert row.links == (model[1:] if design.turning.counts else model)


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_every_family_is_made_as_the_model_has_it(family, terms):
    assert_makes_the_model(set_size(starter(family), repeats=4, rows=ROWS), terms)


@pytest.mark.parametrize("terms", ["US", "UK"])
def test_the_demo_is_made_as_the_model_has_it(terms, demo_path):
    assert_makes_the_model(set_size(read_design(demo_path), rows=ROWS), terms)


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize(
    "name",
    ["two_row_ripple", "sc_ripple", "sharp_wave", "steep_wave", "plain_cloth", "lacy_wave",
     "ridged_ripple", "level_start"],
)  # fmt: skip
def test_named_designs_are_made_as_the_model_has_them(name, terms, request):
    assert_makes_the_model(request.getfixturevalue(name), terms)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("each of next 3 sts", "each of next 4 sts"),
        ("2 dc in each", "3 dc in each"),
        ("dc2tog over next 2", "dc3tog over next 2"),
        ("repeat from", "sing from"),
        ("in all)", "by and by)"),
        ("top of turning ch", "3rd ch of turning ch"),
        ("(36 sts)", "(37 sts)"),
    ],
)
def test_a_wrong_word_makes_the_maker_stumble(two_row_ripple, old, new):
    lines = lines_of(two_row_ripple, "US")
    assert old in lines[2][1]
    lines[2] = (lines[2][0], lines[2][1].replace(old, new, 1))
    with pytest.raises(AssertionError):
        follow(lines, "US")
