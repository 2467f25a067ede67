"""Small blankets with names, and a short way to write rows down.

Every fixture is a whole design. Items are written in one line, `3 D2 D2 3 I2 I2`: a number
is so many plain stitches, `I2` two in one, `D2` two together, `K2` skip two, `C` a chain,
`V` (stitch, chain, stitch) in one; `D2x3` is three times `D2`.
"""

import json
import re
from collections.abc import Callable
from typing import Any

import msgspec
import pytest
from written import a_design

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
)
from core.design.files import design_text
from core.shelf.store import Store

Items = tuple[Item, ...]
ItemsOf = Callable[..., Items]
RowOf = Callable[..., Row]
DesignOf = Callable[..., Design]

_WORD = re.compile(r"(?P<sign>[IDKCV]?)(?P<number>\d*)(?:x(?P<times>\d+))?")


def _item(word: str, stitch: str) -> Item:
    match = _WORD.fullmatch(word)
    assert match, f"not an item: {word}"
    number, times = int(match["number"] or 1), int(match["times"] or 1)
    match match["sign"]:
        case "":
            return Item(stitch=stitch, times=number)
        case "I":
            return Item(stitch=stitch, make=number, times=times)
        case "D":
            return Item(stitch=stitch, over=number, times=times)
        case "K":
            return Item(skip=number)
        case "C":
            return Item(chain=number)
        case _:
            return Item(stitch=stitch, make=2, chain=number, times=times)


def _items(text: str, stitch: str = "dc") -> Items:
    return tuple(_item(word, stitch) for word in text.split())


def _row(start: str, repeat: str, end: str, stitch: str = "dc") -> Row:
    return Row(_items(start, stitch), _items(repeat, stitch), _items(end, stitch))


GAUGES = {
    "sc": Gauge(stitch="sc", stitches=14, rows=15.5, hook_mm=5.0),
    "dc": Gauge(stitch="dc", stitches=13, rows=7.5, hook_mm=5.0),
}
YARNS = (
    Yarn(name="Sea", colour="#2a6f97", ball_m=105, ball_g=50),
    Yarn(name="Sand", colour="#e9d8a6", ball_m=105, ball_g=50),
)


def _design(row: Row, *, stitch: str = "dc", repeats: int = 2, rows: int = 8, **kw: Any) -> Design:
    """Return a two-colour design in two-row stripes; any part of it can be given instead."""
    wave = Wave(row.start, row.repeat, row.end, kw.pop("setup", None), kw.pop("cycle", None))
    turning = Turning(chains=1, counts=False) if stitch == "sc" else Turning(chains=3, counts=True)
    values: dict[str, Any] = {
        "title": "A ripple",
        "gauge": GAUGES[stitch],
        "wave": wave,
        "turning": turning,
        "loops": Loops(work_in="back"),
        "size": Size(repeats=repeats, rows=rows),
        "yarns": YARNS,
        "stripes": Stripes((Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2))),
    }
    return Design(**(values | kw))


@pytest.fixture(scope="session")
def items_of() -> ItemsOf:
    """Turn `3 D2 D2 3 I2 I2` into items; the stitch is dc unless another is given."""
    return _items


@pytest.fixture(scope="session")
def row_of() -> RowOf:
    """Turn start, repeat and end in the short notation into a row."""
    return _row


@pytest.fixture(scope="session")
def design_of() -> DesignOf:
    """Make a design of a row: `design_of(row, stitch="sc", repeats=3, rows=10, ...)`."""
    return _design


@pytest.fixture(scope="session")
def sized() -> Callable[..., Design]:
    """Make the same design in another size: `sized(design, repeats=4, rows=20)`."""

    def make(design: Design, *, repeats: int, rows: int) -> Design:
        return msgspec.structs.replace(design, size=Size(repeats=repeats, rows=rows))

    return make


@pytest.fixture(scope="session")
def two_row_ripple() -> Design:
    """The 12-stitch dc ripple with half peaks at both sides, 36 stitches, back loops."""
    return _design(_row("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), title="Two-row ripple")


@pytest.fixture(scope="session")
def sc_ripple() -> Design:
    """The same wave in sc; the chain of 1 doesn't count."""
    row = _row("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2", "sc")
    return _design(row, stitch="sc", title="Low ripple")


@pytest.fixture(scope="session")
def sharp_wave() -> Design:
    """The 11-stitch dc wave: three in one at the peak, two skipped in the dip."""
    return _design(_row("I2", "4 K2 4 I3", "4 K2 4 I2"), title="Sharp wave")


@pytest.fixture(scope="session")
def steep_wave() -> Design:
    """The 16-stitch dc wave: three in one, three together."""
    return _design(_row("I2", "6 D3 6 I3", "6 D3 6 I2"), title="Steep wave")


@pytest.fixture(scope="session")
def plain_cloth() -> Design:
    """Straight rows of dc: nothing gained, nothing lost."""
    return _design(_row("1", "6", "1"), title="Plain cloth")


@pytest.fixture(scope="session")
def lacy_wave() -> Design:
    """The 17-stitch dc wave with a (dc, ch, dc) peak; every row works over the chain."""
    return _design(_row("1 D2 5 V", "7 K2 7 V", "5 D2 1"), title="Lacy wave")


@pytest.fixture(scope="session")
def ridged_ripple() -> Design:
    """The 12-stitch ripple, a dc row and an sc row in turn."""
    tall = _row("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2", "dc")
    low = _row("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2", "sc")
    return _design(tall, cycle=(tall, low), title="Ridged ripple")


@pytest.fixture(scope="session")
def level_start() -> Design:
    """The 12-stitch ripple after a set-up row of plain dc."""
    wave = _row("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2")
    return _design(wave, setup=_row("1", "12", "11"), title="Level start")


@pytest.fixture(scope="session")
def losing_wave() -> Design:
    """An sc wave that loses a stitch in every row, so row 2 comes up one short."""
    row = _row("1", "6 K2 6 I3", "6 K2 6 I2", "sc")
    return _design(row, stitch="sc", title="Losing wave")


@pytest.fixture(scope="module")
def twelve(row_of) -> Design:
    return a_design(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), rows=84)


@pytest.fixture(scope="module")
def every_stitch(row_of) -> Design:
    """A cycle with a row of each stitch, both ways of changing and a chain between."""
    rows = tuple(row_of("I2", "3 D2x2 3 V", "3 D2x2 3 I2", key) for key in WORKED)
    return a_design(rows[3], cycle=rows, rows=20)


@pytest.fixture(scope="session")
def raw(two_row_ripple) -> dict[str, Any]:
    """The values of the two-row ripple, as its file holds them."""
    return json.loads(design_text(two_row_ripple))


@pytest.fixture
def store(tmp_path) -> Store:
    """A shelf's store with nothing in it yet; what is in use is waited for shortly."""
    return Store(tmp_path / "shelf", wait_s=0.05)
