"""Explanations: every figure has one, and its inputs give the figure by the formula it tells."""

import math

import pytest
from msgspec.structs import replace

from core.craft.stitches import CATALOGUE
from core.craft.tables import SPARE_PART
from core.design.document import Border, Edging, EndFill, Reckoning, Swatch, Yarn
from core.explain.figures import STANDINGS
from core.explain.registry import EXPLAINED, OF_ONE_YARN, all_explanations, explain
from core.pipeline import Pipeline
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.yarn.shopping import yarn_totals


@pytest.fixture(scope="module")
def results():
    """The 12-stitch starter with a fill, a border, prices and a washed swatch."""
    design = starter(FAMILIES[0])
    yarns = tuple(
        Yarn(y.name, y.colour, y.ball_m, y.ball_g, owned, 4.0)
        for y, owned in zip(design.yarns, (0.5, 0, 2), strict=True)
    )
    swatch = Swatch(
        wash_width_mm=200, washed_width_mm=190, wash_length_mm=200, washed_length_mm=188
    )
    edging = Edging(top=EndFill(yarn=1), border=Border(rounds=3, yarn=2))
    return Pipeline().results(replace(design, yarns=yarns, swatch=swatch, edging=edging))


def given(results, key, yarn=0):
    found = explain(key, results, yarn=yarn)
    return found.result.amount, {one.name: one.amount for one in found.given}


# What each figure is in the results themselves.
IN_RESULTS = {
    "chain": lambda r: r.rows.foundation.chains,
    "multiple": lambda r: r.rows.foundation.multiple,
    "stitches": lambda r: r.rows.makes(1),
    "rows": lambda r: r.design.size.rows,
    "stitch": lambda r: CATALOGUE[r.design.gauge.stitch].name(r.design.terms).long,
    "width": lambda r: r.size.width_mm,
    "length": lambda r: r.size.length_mm,
    "wave height": lambda r: r.finished_wave.wave_height_mm,
    "lean": lambda r: r.finished_wave.lean_deg,
    "colours": lambda r: len(set(r.yarn_of_row.tolist())),
    "width step": lambda r: r.finished_wave.repeat_width_mm,
    "length step": lambda r: r.finished_wave.rise_mm,
    "stitch width": lambda r: r.design.gauge.stitch_width_mm,
    "row height": lambda r: r.design.gauge.row_height_mm,
    "repeat width": lambda r: r.wave.repeat_width_mm,
    "rise": lambda r: r.wave.rise_mm,
    "chain length": lambda r: r.size.chain_mm,
    "draw in": lambda r: r.size.draw_in,
    "yarn in rows": lambda r: r.yarn[0].body_m,
    "yarn in foundation": lambda r: r.yarn[0].foundation_m,
    "yarn in fill": lambda r: r.yarn[0].fill_m,
    "yarn in border": lambda r: r.yarn[0].border_m,
    "yarn in tails": lambda r: r.yarn[0].tails_m,
    "yarn to spare": lambda r: r.yarn[0].spare_m,
    "yarn together": lambda r: r.yarn[0].length_m,
    "yarn weight": lambda r: r.yarn[0].mass_g,
    "yarn balls": lambda r: r.yarn[0].balls,
    "all length": lambda r: yarn_totals(r.yarn, r.design.yarns).length_m,
    "all weight": lambda r: yarn_totals(r.yarn, r.design.yarns).mass_g,
    "all balls": lambda r: yarn_totals(r.yarn, r.design.yarns).balls,
    "all to buy": lambda r: yarn_totals(r.yarn, r.design.yarns).to_buy,
    "cost": lambda r: yarn_totals(r.yarn, r.design.yarns).cost,
    "tails": lambda r: r.tails,
    "fill top": lambda r: r.ends.fills["top"].bump_mm,
    "border side": lambda r: r.border.side_total,
    "border top": lambda r: r.border.top.total,
    "border bottom": lambda r: r.border.bottom.total,
    "border round": lambda r: r.border.rounds[0],
    "border last round": lambda r: r.border.rounds[-1],
    "border yarn": lambda r: r.border.length_m,
}


@pytest.mark.parametrize("key", IN_RESULTS)
def test_the_figure_explained_is_the_one_in_the_results(results, key):
    assert explain(key, results).result.amount == IN_RESULTS[key](results)


# The formula that the words tell, from the inputs alone.
FORMULAS = {
    "chain": lambda g: g["Chains that row 1 uses"] + g["Chains for the turn"],
    "stitches": lambda g: (
        g["Start edge makes"]
        + g["One repeat makes"] * g["Repeats between the edges"]
        + g["End edge makes"]
    ),
    "width": lambda g: g["Width off the hook"] * g["Washing multiplies by"],
    "length": lambda g: g["Length off the hook"] * g["Washing multiplies by"],
    "stitch width": lambda g: g["Measured over"] / g["Stitches in it"],
    "row height": lambda g: g["Measured over"] / g["Rows in it"],
    "repeat width": lambda g: g["Its stitches laid flat"] * g["Drawn in to"],
    "rise": lambda g: g["Row height"] * g["Rise over height"],
    "chain length": lambda g: g["Chains that row 1 uses"] * g["Length of one"],
    "draw in": lambda g: 1 - g["Finished width"] / g["Chain laid out"],
    "yarn in foundation": lambda g: (
        g["Chains"] * g["Stitch width"] * g["Yarn to chain, length for length"] / 1000
    ),
    "yarn in tails": lambda g: g["Ends"] * g["A tail"] / 1000,
    "yarn to spare": lambda g: g["Needed"] * g["Share"],
    "yarn together": lambda g: sum(g.values()),
    "yarn weight": lambda g: g["Together"] / g["A ball holds"] * g["It weighs"],
    "yarn balls": lambda g: math.ceil(g["Together"] / g["A ball holds"]),
    "yarn short": lambda g: max(math.ceil(g["Together"] / g["A ball holds"] - g["You own"]), 0),
    "all length": lambda g: sum(g.values()),
    "all weight": lambda g: sum(g.values()),
    "all balls": lambda g: sum(g.values()),
    "all to buy": lambda g: sum(g.values()),
    "cost": lambda g: sum(int(name.split(", ")[-1].split()[0]) * p for name, p in g.items()),
    "tails": lambda g: 2 * (g["Pieces of yarn"] - g["Carried on"]),
    "border round": lambda g: (
        2 * g["Along each side"]
        + g["Along the top"]
        + g["Along the bottom"]
        + 4 * g["In each corner"]
    ),
    "border finished": lambda g: g["Width of the rows"] + g["Wider by"],
}


@pytest.fixture(scope="module")
def own_ways(results):
    """The same with the designer's own tails and spare, and yarns carried up the sides."""
    reckoning = Reckoning(spare=0.25, tail_mm=220.0, carry_rows=4)
    return Pipeline().results(replace(results.design, reckoning=reckoning))


@pytest.mark.parametrize("key", FORMULAS)
def test_the_inputs_give_the_figure_by_the_formula_told(results, own_ways, key):
    for known in (results, own_ways):
        for yarn in range(len(known.yarn)):
            result, inputs = given(known, key, yarn)
            assert FORMULAS[key](inputs) == pytest.approx(result, rel=1e-9)


def test_what_the_designer_chose_is_theirs_and_not_the_tables(own_ways):
    assert own_ways.yarn_ends.carried.any()
    for key in ("yarn in tails", "yarn to spare"):
        assert explain(key, own_ways).standing == "yours"
        assert not explain(key, own_ways).source


def test_yarn_in_rows_speaks_of_the_gauge_that_the_figure_is_for(results):
    """1,250 m a square metre at 13 stitches over 10 cm: windchilde.com, `core.craft.tables`."""
    source = explain("yarn in rows", results).source
    assert "measured worsted strips" in source and "13 stitches over 10 cm" in source
    gauge = replace(results.design.gauge, stitches=26.0, rows=2 * results.design.gauge.rows)
    finer = Pipeline().results(replace(results.design, gauge=gauge))
    one, other = (given(r, "yarn in rows")[1] for r in (results, finer))
    name = "Yarn in a square metre, metres"
    share = 26.0 / results.design.gauge.stitches
    assert other[name] == pytest.approx(share * one[name])
    assert explain("yarn in rows", finer).standing == "published"


def test_the_shares_are_those_of_the_tables(results):
    assert given(results, "yarn to spare")[1]["Share"] == SPARE_PART


@pytest.mark.parametrize("key", EXPLAINED)
def test_every_explanation_has_words_and_a_standing(results, key):
    found = explain(key, results)
    if key == "fill bottom":
        assert found is None  # there is no fill there
        return
    assert found.key == key and found.standing in STANDINGS
    assert found.how.endswith(".") and len(found.how) < 330
    assert found.given
    assert not found.source or found.source.endswith(".")


def test_without_border_price_or_wave_nothing_is_made_up():
    results = Pipeline().results(starter(FAMILIES[0]))
    assert explain("border side", results) is None and explain("cost", results) is None
    assert {"border side", "cost"}.isdisjoint(e.key for e in all_explanations(results))


def test_figures_of_one_yarn_name_it(results):
    for key in OF_ONE_YARN:
        assert "Yarn 2" in explain(key, results, yarn=1).result.name
    assert explain("yarn balls", results, yarn=99).result.amount == results.yarn[-1].balls


def test_a_weighed_swatch_is_yours_and_the_published_figure_says_so(results):
    assert explain("yarn in rows", results).standing == "published"
    swatch = replace(results.design.swatch, yarn_m_per_m2=1500.0)
    weighed = Pipeline().results(replace(results.design, swatch=swatch))
    assert explain("yarn in rows", weighed).standing == "yours"
    assert given(weighed, "yarn in rows")[1]["Yarn in a square metre, metres"] == 1500


def test_an_unknown_figure_is_refused(results):
    with pytest.raises(KeyError):
        explain("weather", results)


@pytest.mark.parametrize("family", FAMILIES, ids=[family.key for family in FAMILIES])
def test_every_family_can_be_explained(family):
    results = Pipeline().results(starter(family))
    assert len(all_explanations(results)) > 25


def test_a_design_that_does_not_fit_is_still_explained(losing_wave):
    assert explain("chain", Pipeline().results(losing_wave)).result.amount > 0
    assert all_explanations(Pipeline().results(losing_wave))
