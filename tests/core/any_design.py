"""Any design that a file may hold: strategies, part by part."""

from hypothesis import strategies as st

from core.craft.stitches import WORKED
from core.design.document import (
    Design,
    Edging,
    Gauge,
    Item,
    Loops,
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
from core.design.signs import plain_line

_letters = st.characters(exclude_categories=["Cs"])
line = st.text(_letters.filter(lambda c: plain_line(c) == c), max_size=30)
lines = st.lists(line, max_size=4).map("\n\t".join)


def numbers(low: float, high: float):
    return st.floats(low, high, allow_nan=False)


stitches = st.sampled_from(WORKED)
times = st.integers(1, 8)
items = (
    st.builds(Item, stitch=stitches, times=times)
    | st.builds(
        Item,
        stitch=stitches,
        times=times,
        make=st.integers(2, 12),
        chain=st.none() | st.integers(1, 3),
    )
    | st.builds(Item, stitch=stitches, times=times, over=st.integers(2, 12))
    | st.builds(Item, skip=st.integers(1, 50))
    | st.builds(Item, chain=st.integers(1, 20))
)
sections = st.lists(items, max_size=3).map(tuple)
stitch_first = st.builds(Item, stitch=stitches)
rows = st.builds(
    lambda one, *rest: Row(rest[0], (one, *rest[1]), rest[2]), stitch_first, *[sections] * 3
)


@st.composite
def waves(draw):
    row = draw(rows)
    cycle = draw(st.none() | st.lists(rows, min_size=1, max_size=3).map(tuple))
    return Wave(row.start, row.repeat, row.end, draw(st.none() | rows), cycle)


@st.composite
def gauges(draw):
    stitches_over, over = draw(numbers(4, 40)), draw(numbers(10, 1000))
    # a swatch may be twice as tall or wide as the usual one
    per_row = (
        draw(numbers(0.5, 2))
        * {"dc": 1.65, "sc": 0.9}[stitch := draw(st.sampled_from(["dc", "sc"]))]
    )
    firmness = draw(st.none() | numbers(0.02, 20))
    return Gauge(
        stitch, stitches_over, stitches_over / per_row, over, draw(numbers(0.4, 50)), firmness
    )


turnings = st.builds(Turning, chains=st.integers(1, 10), counts=st.booleans()) | st.just(
    Turning(0, False)
)
loops = st.builds(
    Loops,
    work_in=st.sampled_from(["both", "back", "front"]),
    from_row=st.integers(1, 5000),
    last_stitch_both=st.booleans(),
) | st.builds(
    Loops,
    from_row=st.integers(1, 5000),
    in_turn=st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=4).map(tuple),
    each_colour=st.booleans(),
)
yarns = st.builds(
    Yarn,
    name=line.filter(bool),
    colour=st.from_regex(r"\A#[0-9A-Fa-f]{6}\Z"),
    ball_m=numbers(0.1, 1e5),
    ball_g=numbers(0.1, 1e5),
    owned_balls=numbers(0, 1e4),
    price=st.none() | numbers(0, 1e6),
    left_g=st.none() | numbers(0, 1e5),
    left_after=st.none() | st.integers(0, 5000),
)

swatches = st.builds(
    Swatch,
    yarn_m_per_m2=st.none() | numbers(50, 50_000),
    repeats=st.integers(1, 1000),
    chain_mm=st.none() | numbers(1, 1e5),
    wash_width_mm=st.none() | numbers(1, 1e5),
    washed_width_mm=st.none() | numbers(1, 1e5),
    washed_length_mm=st.none() | numbers(1, 1e5),
    yarn_off=st.none() | numbers(0, 1),
)

reckonings = st.builds(
    Reckoning,
    spare=numbers(0, 2),
    tail_mm=numbers(30, 1000),
    carry_rows=st.integers(0, 20),
    row_minutes=st.none() | numbers(0.1, 1440),
    week_hours=st.none() | numbers(0.1, 168),
)


@st.composite
def designs(draw):
    basket = tuple(draw(st.lists(yarns, min_size=1, max_size=4)))
    stripe = st.builds(Stripe, yarn=st.integers(0, len(basket) - 1), rows=st.integers(1, 5000))
    return Design(
        title=draw(line),
        designer=draw(line),
        notes=draw(lines),
        terms=draw(st.sampled_from(["US", "UK"])),
        hand=draw(st.sampled_from(["left", "right"])),
        units=draw(st.sampled_from(["cm", "in"])),
        gauge=draw(gauges()),
        wave=draw(waves()),
        turning=draw(turnings),
        loops=draw(loops),
        size=Size(repeats=draw(st.integers(1, 2)), rows=draw(st.integers(1, 60))),
        yarns=basket,
        stripes=Stripes(
            tuple(draw(st.lists(stripe, min_size=1, max_size=5))),
            draw(st.sampled_from(["repeat", "stop", "mirror"])),
        ),
        edging=draw(st.none() | st.just(Edging())),
        swatch=draw(st.none() | swatches),
        wanted=draw(st.none() | st.builds(Wanted, width_mm=st.none() | numbers(10, 1e5))),
        progress=draw(
            st.none()
            | st.builds(Progress, row=st.integers(1, 5000), length_mm=st.none() | numbers(1, 1e5))
        ),
        reckoning=draw(st.none() | reckonings),
    )
