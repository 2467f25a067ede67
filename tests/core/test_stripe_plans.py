"""Plans: fades, series, dates, totals that close, second colourways; and what they say."""

import math
from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.design.document import Design, Stripe, Stripes, Yarn
from core.design.edits import set_sequence
from core.design.plan import Barred, Plan, Share
from core.design.stripe_edits import set_locked
from core.design.validation import checked
from core.errors import DesignError
from core.stripes.chance import Chance
from core.stripes.closing import closing_totals, round_rows
from core.stripes.colour import difference, lightness
from core.stripes.dates import read_dates, said_date, shared_out, widths_of
from core.stripes.evened import shared_evenly
from core.stripes.fades import depths_of, fade, nearest_order
from core.stripes.key import key_text
from core.stripes.proposals import propose, take, was_changed_by_hand
from core.stripes.sequence import yarn_of_rows
from core.stripes.series import first_of, opposed
from core.stripes.twin import colourways, in_colourway, yarns_used

COLOURS = ("#24455c", "#7d9a6b", "#efe6d2", "#b5573c", "#e0a83a", "#5b6770")
colour_lists = st.lists(
    st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}"), min_size=2, max_size=6
)


@pytest.fixture(scope="module")
def many(two_row_ripple) -> Design:
    """Six yarns, 84 rows."""
    yarns = tuple(
        Yarn(name=f"Yarn {n}", colour=colour, ball_m=100, ball_g=50)
        for n, colour in enumerate(COLOURS)
    )
    size = replace(two_row_ripple.size, rows=84)
    return replace(two_row_ripple, yarns=yarns, size=size)


def all_of(count=6):
    return tuple(Share(n) for n in range(count))


# --- totals that close ---------------------------------------------------------------------


def test_totals_that_end_as_they_began():
    # Published: "4,1,3,1" nine times and 4 more are 85 rows, alottastitches.wordpress.com/2011/
    # 11/29. A sequence of 9 rows less or more, by counting: 76 and 94.
    stripes = Stripes((Stripe(0, 4), Stripe(1, 1), Stripe(2, 3), Stripe(1, 1)))
    found = closing_totals(stripes, 83)
    assert [total.rows for total in found] == [76, 85, 94]
    assert [total.more for total in found] == [-7, 2, 11]
    for total in found:
        yarns = yarn_of_rows(stripes, total.rows)
        assert yarns[:4].tolist() == yarns[-4:].tolist() == [0] * 4
        assert yarns[-5] != 0


sequences = st.lists(
    st.builds(Stripe, st.integers(0, 4), st.integers(1, 6)), min_size=1, max_size=8
).map(tuple)


@given(sequences, st.sampled_from(["repeat", "mirror"]), st.integers(1, 5000))
def test_a_total_that_closes_ends_with_the_whole_first_stripe(sequence, fill, wish):
    stripes = Stripes(sequence, fill)
    found = closing_totals(stripes, wish)
    assert 1 <= len(found) <= 3
    for total in found:
        assert 1 <= total.rows <= 5000
        yarns = yarn_of_rows(stripes, total.rows).tolist()
        assert yarns[-sequence[0].rows :] == yarns[: sequence[0].rows]
        assert total.more == total.rows - wish
    step = round_rows(stripes)
    nearest = min(abs(total.more) for total in found)
    every = range(sequence[0].rows, 5001, step)
    assert nearest == min(abs(rows - wish) for rows in every)


def test_a_sequence_that_stops_closes_once():
    assert [t.rows for t in closing_totals(Stripes((Stripe(0, 7), Stripe(1, 2)), "stop"), 83)] == [
        9
    ]


# --- series --------------------------------------------------------------------------------


def test_fibonacci_and_lucas_numbers_are_those_of_their_closed_forms():
    golden = (1 + math.sqrt(5)) / 2
    fibonacci = [round(golden**n / math.sqrt(5)) for n in range(1, 20)]
    lucas = [2, *(round(golden**n + (1 - golden) ** n) for n in range(1, 17))]
    assert list(first_of("fibonacci", 19)) == fibonacci  # Binet
    assert list(first_of("lucas", 17)) == lucas
    # crochetcabana.com, stripes by the Lucas numbers: 2, 1, 3, 4, 7.
    assert first_of("lucas", 5) == (2, 1, 3, 4, 7)


def test_primes_divide_by_nothing_else_and_none_is_missing():
    found = first_of("primes", 669)
    assert all(all(prime % n for n in range(2, math.isqrt(prime) + 1)) for prime in found)
    assert len(found) == sum(all(n % d for d in range(2, n)) for n in range(2, found[-1] + 1))


def test_a_series_that_outgrows_a_stripe_says_where_to_stop():
    with pytest.raises(DesignError, match=r"Fibonacci number 20 is 6,765.*take 19 stripes at most"):
        first_of("fibonacci", 25)


def test_opposed_widths_are_the_published_ones():
    # interweave.com, stripes by two opposed series: 55, 1, 34, 1, 21, 2, 13, 3, 8, 5, 5, 8 ...
    assert opposed(first_of("fibonacci", 10))[:12] == (55, 1, 34, 1, 21, 2, 13, 3, 8, 5, 5, 8)


def test_with_fewer_colours_than_numbers_the_colours_go_round(many):
    plan = Plan(kind="series", count=8, shares=all_of(3))
    found = propose(many, plan).sequence
    assert [s.rows for s in found] == [1, 1, 2, 3, 5, 8, 13, 21]
    assert [s.yarn for s in found] == [0, 1, 2, 0, 1, 2, 0, 1]


@settings(max_examples=60)
@given(
    st.lists(st.integers(1, 9), min_size=4, max_size=40),
    st.integers(2, 6),
    st.integers(0, 99),
)
def test_shuffled_widths_are_all_there_and_no_colour_touches_itself(many, widths, colours, seed):
    plan = Plan(
        kind="series", series="own", widths=tuple(widths), order="shuffled",
        shares=all_of(colours), seed=seed,
    )  # fmt: skip
    found = propose(many, plan).sequence
    assert sorted(s.rows for s in found) == sorted(widths)
    yarns = [s.yarn for s in found]
    assert all(one != other for one, other in pairwise(yarns))
    rows = [sum(s.rows for s in found if s.yarn == n) for n in range(colours)]
    if len(widths) >= 4 * colours:
        assert max(rows) - min(rows) <= max(widths)  # no more than moving one width could mend
    assert propose(many, plan).sequence == found


@given(st.lists(st.integers(1, 9), min_size=1, max_size=9), st.integers(2, 3), st.integers(0, 9))
def test_sharing_evenly_uses_every_width_once(widths, colours, seed):
    groups = shared_evenly(widths, colours, Chance(seed))
    assert sorted(n for group in groups for n in group) == list(range(len(widths)))


# --- dates ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text", ["2019-05-03", "3 May 2019", "May 3, 2019", "3.5.2019", "3rd May 2019", "3 may, 2019"]
)
def test_a_date_is_read_however_it_is_written(text):
    assert read_dates(text) == ("2019-05-03",)
    assert said_date("2019-05-03") == "3 May 2019"


@given(st.lists(st.dates(), max_size=5))
def test_dates_in_words_come_back(days):
    from datetime import date

    text = "\n".join(said_date(day.isoformat()) for day in days if day.year >= 1000)
    assert read_dates(text) == tuple(d.isoformat() for d in days if d >= date(1000, 1, 1))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("30 February 2019", "isn't a day of the calendar"),
        ("3/5/2019", "write it as 3 May 2019 or 2019-05-03"),
        ("yesterday", '"yesterday" isn\'t read as a date'),
        ("2019-13-01", "isn't a day of the calendar"),
        ("3 Ma 2019", "isn't read as a date"),
        ("3 Juu 2019", "isn't a day of the calendar"),
        ("2019-05-03\n" * 401, "401 dates are more than a plan holds"),
    ],
)
def test_what_is_no_date_is_named_with_the_way_out(text, says):
    with pytest.raises(DesignError) as caught:
        read_dates(text)
    assert says in str(caught.value)


def test_a_date_becomes_widths_by_digits_or_parts():
    digits = widths_of(("2019-05-30",), "digits", 84)
    assert [rows for rows, _ in digits] == [3, 5, 2, 1, 9]  # 30 5 2019 without noughts
    assert [rows for rows, _ in widths_of(("2019-05-30",), "parts", 84)] == [30, 5, 19]
    assert {said for _, said in digits} == {"30 May 2019"}


def test_days_between_dates_share_out_the_rows():
    found = widths_of(("2020-01-01", "2020-01-31", "2020-03-31"), "between", 90)
    assert [rows for rows, _ in found] == [30, 60]  # 30 and 60 days, 2020 being a leap year
    assert found[0][1] == "to 31 January 2020"
    with pytest.raises(DesignError, match="two different dates"):
        widths_of(("2020-01-01", "2020-01-01"), "between", 90)


@given(st.lists(st.integers(1, 5000), min_size=1, max_size=20), st.integers(20, 400))
def test_rows_are_shared_out_whole_and_all_of_them(weights, rows):
    found = shared_out(rows, weights)
    assert sum(found) == rows and min(found) >= 1
    pairs = [(w, n) for w, n in zip(weights, found, strict=True)]
    assert all(n <= m or abs(n - m) <= 1 for w, n in pairs for v, m in pairs if w < v)


def test_date_stripes_come_with_a_key(many):
    # Common practice: a date's digits become widths, and a key goes with the gift.
    dates = read_dates("3 May 2019\n14 July 2021; 2 December 1988\n9 September 1990")
    plan = Plan(kind="series", series="dates", dates=dates, order="shuffled", shares=all_of(4))
    design = take(many, propose(many, plan))
    text = key_text(design)
    assert "3 May 2019: stripes " in text and "2 December 1988" in text
    digits = "3520191472021212198899 1990".replace(" ", "").replace("0", "")
    assert sum(map(int, digits)) == design.stripes.rows
    lines = [line for line in text.splitlines() if line.lstrip()[:1].isdigit() and ". " in line]
    assert len(lines) == len(design.stripes.sequence)
    rows = [sum(s.rows for s in design.stripes.sequence if s.yarn == n) for n in range(4)]
    assert max(rows) - min(rows) <= 2  # hardly more than a row apart


# --- fades ---------------------------------------------------------------------------------


def test_the_second_yarn_comes_in_by_equal_steps():
    assert [s.rows for s in fade((0, 1), (3,), 1)] == [3, 1, 2, 2, 1, 3]
    for depth in range(1, 12):
        stripes = fade((0, 1), (depth,), 2)
        shares = [
            second.rows / (first.rows + second.rows)
            for first, second in zip(stripes[::2], stripes[1::2], strict=True)
        ]
        # Of every pair of stripes the second yarn has (n + 1) / (depth + 1): equal steps.
        assert shares == pytest.approx([(n + 1) / (depth + 1) for n in range(depth)])


@given(st.integers(2, 6), st.integers(1, 8), st.integers(1, 2))
def test_a_fade_has_as_many_rows_as_its_closed_form(yarns, depth, unit):
    stripes = fade(tuple(range(yarns)), (depth,) * (yarns - 1), unit)
    pairs = yarns - 1
    assert sum(s.rows for s in stripes) == unit * (
        pairs * depth * (depth + 1) - (pairs - 1) * depth
    )
    found = [s.yarn for s in stripes]
    assert all(one != other for one, other in pairwise(found))


@settings(max_examples=30)
@given(colour_lists)
def test_the_nearest_order_is_the_shortest_of_all(colours):
    def way(path):
        return sum(difference(colours[a], colours[b]) for a, b in pairwise(path))

    best = min(way(path) for path in permutations(range(len(colours))))
    assert way(nearest_order(colours)) == pytest.approx(best)
    assert sorted(nearest_order(colours)) == list(range(len(colours)))
    assert nearest_order(colours, 1)[0] == 1


def test_many_yarns_are_put_in_order_too():
    greys = [f"#{n:02x}{n:02x}{n:02x}" for n in range(0, 250, 12)]
    mixed = Chance(3).shuffled(greys)
    found = [mixed[at] for at in nearest_order(mixed, mixed.index(greys[0]))]
    assert found == greys


def test_yarns_further_apart_get_a_deeper_in_between():
    greys = ("#000000", "#101010", "#ffffff")
    near, far = depths_of(greys, 4, even=True)
    assert near < 4 < far
    assert depths_of(greys, 4, even=False) == (4, 4)
    assert depths_of(("#101010",) * 3, 4, even=True) == (4, 4)


def test_a_fade_of_one_yarn_says_what_it_needs(many):
    said = propose(many, Plan(kind="fade", shares=all_of(1)))
    assert said.why == "A fade goes between two yarns at least: tick another."


# --- plans as a whole ----------------------------------------------------------------------

plans = st.builds(
    Plan,
    kind=st.sampled_from(["random", "fade", "series"]),
    seed=st.integers(0, 2**32 - 1),
    count=st.integers(1, 40),
    shares=st.lists(
        st.builds(Share, st.integers(0, 5), st.integers(0, 2), st.none() | st.integers(2, 9)),
        max_size=6,
    ).map(tuple),
    barred=st.lists(st.builds(Barred, st.integers(0, 5), st.integers(0, 5)), max_size=3).map(tuple),
    apart=st.integers(0, 3),
    around=st.booleans(),
    shape=st.sampled_from(["free", "mirror", "turned"]),
    block=st.integers(2, 8),
    widths=st.lists(st.integers(1, 9), min_size=1, max_size=6).map(tuple),
    series=st.sampled_from(["fibonacci", "lucas", "primes", "own", "dates"]),
    order=st.sampled_from(["given", "shuffled", "opposed"]),
    dates=st.lists(st.dates().map(lambda day: day.isoformat()), max_size=4).map(tuple),
    dates_as=st.sampled_from(["digits", "parts", "between"]),
    depth=st.integers(1, 8),
    between=st.integers(1, 2),
    nearest=st.booleans(),
)


@settings(max_examples=200)
@given(plans, st.sets(st.integers(0, 3), max_size=2))
def test_any_plan_comes_to_stripes_or_to_a_sentence(many, plan, locked):
    rows = (Stripe(0, 3), Stripe(1, 1), Stripe(2, 4), Stripe(3, 2))
    design = set_locked(set_sequence(many, rows), locked, True)
    found = propose(design, plan)
    assert bool(found.sequence) != bool(found.why)
    if found.why:
        assert found.why[0].isupper() or found.why[0] in '"0123456789'
        assert found.why.endswith(".") and not found.why.endswith("..")
        assert take(design, found) is design
        return
    assert propose(design, plan) == found
    for number in locked:
        assert found.sequence[number] == design.stripes.sequence[number]
    after = checked(take(design, found))
    assert after.stripes.plan == plan and after.size == design.size
    assert not was_changed_by_hand(after)
    fitted = take(design, found, fit_rows=True)
    assert fitted.size.rows == fitted.stripes.rows


def test_a_planned_order_in_a_design_with_18_yarns_and_locked_stripes(many):
    # Numbers of our own; that neighbours differ and shares are even is common practice. Pinned
    # stripes stay, no neighbours are repeated or barred, and the same order comes again.
    yarns = tuple(
        Yarn(name=f"Yarn {n}", colour=f"#{n * 9:02x}6080", ball_m=100, ball_g=50) for n in range(18)
    )
    design = set_sequence(replace(many, yarns=yarns), tuple(Stripe(n % 18, 2) for n in range(44)))
    design = set_locked(design, [0, 21, 43], True)
    plan = Plan(
        seed=12,
        count=44,
        shares=tuple(Share(n, 2, 3) for n in range(18)),
        barred=(Barred(3, 4), Barred(0, 17)),
        widths=(1, 2, 3),
    )
    sequence = propose(design, plan).sequence
    found = [s.yarn for s in sequence]
    assert len(found) == 44 and all(2 <= found.count(n) <= 3 for n in range(18))
    neighbours = {frozenset(pair) for pair in pairwise(found)}
    assert all(len(pair) == 2 for pair in neighbours)
    assert not neighbours & {frozenset({3, 4}), frozenset({0, 17})}
    assert all(sequence[n] == design.stripes.sequence[n] for n in (0, 21, 43))
    assert {s.rows for s in sequence} == {1, 2, 3}
    assert propose(design, plan).sequence == sequence
    assert propose(design, replace(plan, seed=13)).sequence != sequence


def test_a_change_by_hand_after_planning_is_noticed(many):
    from core.design.stripe_edits import exchange, reorder, reversed_order

    plan = Plan(count=12, shares=all_of(), seed=3)
    design = take(many, propose(many, plan))
    assert was_changed_by_hand(design) is False
    assert was_changed_by_hand(many) is None
    assert was_changed_by_hand(exchange(design, 0, 1)) is True
    turned = reorder(design, reversed_order(design.stripes.sequence, range(12)))
    assert was_changed_by_hand(turned) is True


def test_a_locked_stripe_beyond_the_plan_says_what_to_do(many):
    design = set_locked(set_sequence(many, (Stripe(0, 2),) * 9), [8], True)
    said = propose(design, Plan(count=5, shares=all_of()))
    assert said.why == ("Stripe 9 is locked, but the plan has 5 stripes: unlock it, or plan 9.")


def test_a_mirrored_plan_reads_the_same_from_both_ends(many):
    found = propose(many, Plan(count=15, shares=all_of(), shape="mirror", widths=(1, 2, 5)))
    assert found.sequence == found.sequence[::-1]


def test_turned_blocks_begin_one_colour_later_each(many):
    plan = Plan(count=20, shares=all_of(5), shape="turned", block=5)
    found = [s.yarn for s in propose(many, plan).sequence]
    blocks = [found[n : n + 5] for n in range(0, 20, 5)]
    assert all(later == one[1:] + one[:1] for one, later in pairwise(blocks))


# --- the twin ------------------------------------------------------------------------------


def test_a_second_colourway_only_changes_yarns_about(many):
    design = set_sequence(many, tuple(Stripe(n % 5, 1 + n % 3) for n in range(12)))
    ways = colourways(design, 0, 8)
    assert len(ways) == 8 and len({tuple(way.becomes.items()) for way in ways}) == 8
    for way in ways:
        twin = checked(in_colourway(design, way))
        assert [s.rows for s in twin.stripes.sequence] == [s.rows for s in design.stripes.sequence]
        assert yarns_used(twin) == yarns_used(design)
        assert twin.yarns == design.yarns and twin != design
        back = {to: yarn for yarn, to in way.becomes.items()}
        assert in_colourway(twin, replace_way(way, back)) == design


def replace_way(way, becomes):
    return type(way)(way.name, becomes)


def test_a_step_darker_goes_round_in_the_order_of_lightness(many):
    design = set_sequence(many, tuple(Stripe(n, 2) for n in range(6)))
    step = colourways(design, 0, 1)[0]
    assert step.name == "Each yarn a step darker"
    light = [lightness(many.yarns[n].colour) for n in range(6)]
    darkest = min(range(6), key=lambda n: light[n])
    for yarn, to in step.becomes.items():
        between = [n for n in range(6) if light[to] < light[n] < light[yarn]]
        assert yarn == darkest or (light[to] < light[yarn] and not between)


def test_one_yarn_has_no_second_colourway_and_two_have_one(many):
    assert colourways(set_sequence(many, (Stripe(2, 4),)), 0, 6) == ()
    two = colourways(set_sequence(many, (Stripe(2, 4), Stripe(0, 1))), 0, 6)
    assert [dict(way.becomes) for way in two] == [{0: 2, 2: 0}]
