"""Designs to write patterns of, and the parts of what is written."""

from hypothesis import assume
from hypothesis import strategies as st

from core.craft.stitches import WORKED
from core.design.document import (
    Design,
    Gauge,
    Item,
    Loops,
    Row,
    Size,
    Stripe,
    Stripes,
    Turning,
    Wave,
    Yarn,
    total_makes,
    total_uses,
)
from core.rows.build import build_rows
from core.words.write import write_pattern, written_row, written_rows

NAMED = [
    "two_row_ripple",
    "sc_ripple",
    "sharp_wave",
    "steep_wave",
    "plain_cloth",
    "lacy_wave",
    "ridged_ripple",
    "level_start",
    "twelve",
    "every_stitch",
]


def a_design(row: Row, *, repeats: int = 2, rows: int = 8, **values) -> Design:
    parts = {
        "title": "Ripple of twelve",
        "designer": "A. Designer",
        "gauge": Gauge(stitch="dc", stitches=13, rows=7.5, hook_mm=5.0),
        "wave": Wave(
            row.start, row.repeat, row.end, values.pop("setup", None), values.pop("cycle", None)
        ),
        "turning": Turning(chains=3, counts=True),
        "loops": Loops(),
        "size": Size(repeats=repeats, rows=rows),
        "yarns": (
            Yarn(name="Sea", colour="#2a6f97", ball_m=105, ball_g=50),
            Yarn(name="Sand", colour="#e9d8a6", ball_m=105, ball_g=50),
        ),
        "stripes": Stripes((Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2))),
    }
    return Design(**(parts | values))


def text_of(design: Design, row: int, terms: str = "US", **size: int) -> str:
    return written_row(design, build_rows(design, **size), row, terms=terms).text


def lines_of(design: Design, **options) -> list[str]:
    lines = written_rows(design, build_rows(design), **options)
    return [f"{line.label}: {line.text}" for line in lines]


def pattern_text(*args, **kwargs) -> str:
    return write_pattern(*args, **kwargs).plain


def section(text: str, heading: str) -> list[str]:
    block = next(part for part in text.split("\n\n") if part.startswith(f"{heading}\n"))
    return block.strip().splitlines()[1:]


@st.composite
def any_items(draw, at_most: int) -> tuple[Item, ...]:
    stitch = draw(st.sampled_from(WORKED))
    few, chains = st.integers(1, 3), st.integers(1, 2)
    kinds = st.one_of(
        st.builds(Item, stitch=st.just(stitch), times=st.integers(1, 4)),
        st.builds(Item, stitch=st.just(stitch), make=st.integers(2, 5), times=few),
        st.builds(Item, stitch=st.just(stitch), over=st.integers(2, 4), times=few),
        st.builds(
            Item, stitch=st.just(stitch), make=st.integers(2, 5), chain=chains, times=st.just(1)
        ),
        st.builds(Item, skip=few),
        st.builds(Item, chain=chains),
    )
    return tuple(draw(st.lists(kinds, max_size=at_most)))


def closing(items: tuple[Item, ...], stitch: str) -> tuple[Item, ...]:
    """Return what makes the items leave as many stitches as they use."""
    gain = total_makes(items) - total_uses(items)
    if gain > 0:
        return (Item(skip=gain),)
    if gain < 0:
        return (Item(chain=-gain),) if gain < -4 else (Item(stitch=stitch, make=1 - gain),)
    return ()


@st.composite
def balanced_rows(draw) -> Row:
    """Rows that leave as many stitches as they use, in edges and repeat alike."""
    repeat = draw(any_items(4))
    if not any(item.stitch for item in repeat):
        repeat = (*repeat, Item(stitch="dc", times=draw(st.integers(1, 3))))
    repeat = (*repeat, *closing(repeat, "dc"))
    start, end = draw(any_items(3)), draw(any_items(3))
    return Row(start, repeat, (*end, *closing(start + end, "dc")))


def _widened(row: Row, repeats: int, width: int) -> Row:
    missing = width - row.uses(repeats)
    return Row(row.start, row.repeat, (*row.end, *plain(missing)))


def plain(n: int) -> tuple[Item, ...]:
    return (Item(stitch="dc", times=n),) if n else ()


def _begins_with_a_chain(row: Row) -> bool:
    items = row.start + row.repeat
    first = next(number for number, item in enumerate(items) if item.stitch)
    return any(item.chain for item in items[:first])


@st.composite
def any_designs(draw) -> Design:
    """Designs whose rows fit: cycles, set-up rows, every edge, every turning chain."""
    chains = draw(st.integers(0, 5))
    turning = Turning(chains=chains, counts=bool(chains) and draw(st.booleans()))
    repeats = draw(st.integers(1, 5))
    kinds = draw(st.lists(balanced_rows(), min_size=1, max_size=3))
    # A counted chain is the first stitch; no chain space can come before it.
    assume(not (turning.counts and any(map(_begins_with_a_chain, kinds))))
    width = max(row.uses(repeats) for row in kinds)
    kinds = [_widened(row, repeats, width) for row in kinds]
    setup = kinds[0] if len(kinds) > 1 and draw(st.booleans()) else None
    loops = st.builds(
        Loops,
        work_in=st.sampled_from(["both", "back", "front"]),
        from_row=st.integers(1, 8),
        last_stitch_both=st.booleans(),
        in_turn=st.none()
        | st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=3).map(tuple),
    )
    return a_design(
        kinds[-1],
        repeats=repeats,
        rows=draw(st.integers(1, 12)),
        turning=turning,
        setup=setup,
        cycle=tuple(kinds),
        loops=draw(loops),
    )
