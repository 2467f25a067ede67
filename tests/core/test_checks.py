"""Findings: the place, the number and the way out."""

from msgspec.structs import replace

from core.checks.fit import check_fit
from core.checks.stripes import check_stripes
from core.design.document import Size, Stripe, Stripes, Yarn
from core.pipeline import Pipeline
from core.rows.build import build_rows


def fit(design):
    return check_fit(design, build_rows(design))


def test_a_workable_design_has_nothing_to_mend(two_row_ripple):
    assert fit(two_row_ripple) == []


def test_a_repeat_with_two_stitches_too_many_is_named_with_its_surplus(design_of, row_of):
    row = row_of("I2", "3 D2 4 I2x2", "3 D2x2 3 I2")
    findings = fit(design_of(row, repeats=3))
    assert findings[0].where == "row 2"
    assert "left over" in findings[0].message or "too few" in findings[0].message
    assert any("Each repeat gains 1 stitch a row" in f.message for f in findings)


def test_edges_that_lose_a_stitch_are_named(losing_wave):
    findings = fit(losing_wave)
    assert any("The two edges together lose 1 stitch a row" in f.message for f in findings)


def test_a_shortage_says_how_many_and_where_they_run_out(design_of, row_of):
    findings = fit(design_of(row_of("I2", "3 D2x2 3 I2", "3 D2x2 3 I2"), repeats=2))
    message = findings[0].message
    assert "Row 2 needs 34 stitches, but row 1 has 32" in message
    assert "2 stitches too few" in message
    assert "item 3 of the end edge" in message


def test_a_cut_last_stripe_says_which_length_would_close(two_row_ripple):
    found = check_stripes(replace(two_row_ripple, size=Size(2, 7)), 7)
    assert any("8 rows would complete it" in f.message for f in found)
    assert not any("short" in f.message for f in check_stripes(two_row_ripple, 8))


def test_neighbours_that_merge_are_named(two_row_ripple):
    yarns = (
        Yarn(name="One", colour="#808080", ball_m=100, ball_g=50),
        Yarn(name="Two", colour="#848484", ball_m=100, ball_g=50),
        Yarn(name="Three", colour="#c05555", ball_m=100, ball_g=50),
    )
    stripes = Stripes((Stripe(0, 2), Stripe(1, 2), Stripe(0, 2), Stripe(2, 2)))
    found = [
        f.message for f in check_stripes(replace(two_row_ripple, yarns=yarns, stripes=stripes), 8)
    ]
    assert any("One and Two lie side by side and nearly match" in m for m in found)
    assert any("One and Three" in m and "equally light" in m for m in found)


def test_an_unused_yarn_is_named(two_row_ripple):
    yarns = (*two_row_ripple.yarns, Yarn(name="Left out", colour="#00ff00", ball_m=1, ball_g=1))
    found = check_stripes(replace(two_row_ripple, yarns=yarns), 8)
    assert [f.where for f in found if "Left out" in f.message] == ["yarn 2"]


def test_errors_come_first(losing_wave):
    levels = [f.level for f in Pipeline().results(losing_wave).findings]
    assert levels == sorted(levels, key=["error", "warning", "note"].index)
