"""Whatever can be made can be saved and opened again: the largest design fits the limit."""

import json

import msgspec
import pytest
from msgspec import inspect

from core.craft.stitches import WORKED
from core.design.document import (
    MAX_ROW_STITCHES,
    Design,
    Edging,
    EndFill,
    FillRow,
    Item,
    Row,
    Size,
    Stripe,
    Stripes,
    Wave,
    Yarn,
)
from core.design.edits import set_values
from core.design.files import (
    MAX_BYTES,
    design_bytes,
    design_from_bytes,
    design_text,
    read_design,
    write_design,
)
from core.design.validation import checked

_NUMBER = len("-1.7976931348623157e+308")  # no double takes more
_BYTES_A_SIGN = 4  # of UTF-8; what has to be escaped (", \\, tab, line break) takes two


def most_bytes(kind: inspect.Type) -> int:
    """Return what a value of this type takes at most, written closely.

    Bounds that tie several fields together (a row of 4,000 stitches) are not used, so it is
    more than any design comes to. A type without a bound fails.
    """
    match kind:
        case inspect.Metadata(type=inner):
            return most_bytes(inner)
        case inspect.UnionType(types=types):
            return max(most_bytes(inner) for inner in types)
        case inspect.StructType(fields=fields):
            names = sum(len(field.encode_name) + len('"":,') for field in fields)
            return 2 + names + sum(most_bytes(field.type) for field in fields)
        case inspect.VarTupleType(item_type=item, max_length=int(most)):
            return 2 + most * (most_bytes(item) + 1)
        case inspect.StrType(max_length=int(most)):
            return 2 + _BYTES_A_SIGN * most
        case inspect.StrType(pattern=str(pattern)) if "0-9A-Fa-f" in pattern:
            return len('"#aabbcc"')
        case inspect.LiteralType(values=values):
            return max(len(json.dumps(value)) for value in values)
        case inspect.IntType(ge=int(), le=int(most)):
            return len(str(most))
        case inspect.FloatType(ge=float() | int(), le=float() | int()):
            return _NUMBER
        case inspect.BoolType():
            return len("false")
        case inspect.NoneType():
            return len("null")
    raise AssertionError(f"{kind} has no bound")


def test_no_design_is_larger_than_a_file_may_be():
    head = len('{"format":"dipslope-design","version":1000,}\n')
    assert most_bytes(inspect.type_info(Design)) + head <= MAX_BYTES


def test_what_a_type_takes_is_reckoned_rightly():
    for value in (
        Item(stitch="hdc", times=1000, make=12, chain=20),
        Yarn(name="\u6d77" * 80, colour="#aabbcc", ball_m=0.1 + 0.2, ball_g=1e5, price=1e6 / 3),
        Yarn(name='"' * 80, colour="#aabbcc", ball_m=1, ball_g=1),
        Stripe(yarn=199, rows=5000),
    ):
        raw = json.dumps(msgspec.to_builtins(value), separators=(",", ":"), ensure_ascii=False)
        assert len(raw.encode()) <= most_bytes(inspect.type_info(type(value)))


@pytest.fixture(scope="module")
def largest(two_row_ripple):
    """As many items, rows, stripes, yarns and signs as a design takes."""
    longest = max(WORKED, key=len)
    full = many = (Item(stitch=longest, make=2, chain=1, times=2),) * 200
    row = Row(full, many, full)
    assert row.makes(1) <= MAX_ROW_STITCHES
    yarns = tuple(
        Yarn(name="\u6d77" * 80, colour="#aabbcc", ball_m=100 / 3, ball_g=100 / 7, price=10 / 3)
        for _ in range(200)
    )
    stitches = (longest,) * 1000
    fill = EndFill(yarn=199, n_rows=4, own=(FillRow(stitches, stitches, stitches),) * 4)
    edging = two_row_ripple.edging or Edging()
    return set_values(
        two_row_ripple,
        title="\u6d77" * 200,
        designer="\u6d77" * 200,
        notes='"\n' * 10_000,
        wave=Wave(full, many, full, setup=row, cycle=(row,) * 200),
        size=Size(repeats=1, rows=240),
        yarns=yarns,
        stripes=Stripes((Stripe(yarn=199, rows=5000),) * 2000),
        edging=msgspec.structs.replace(edging, top=fill, bottom=fill),
    )


def test_the_largest_design_is_saved_and_opened_again(largest, tmp_path):
    assert checked(largest) is largest
    path = tmp_path / "largest.dipslope"
    write_design(largest, path)
    assert path.stat().st_size > 4_000_000  # more than could once be opened again
    assert read_design(path) == largest


def test_the_largest_design_is_kept_aside(largest):
    assert design_from_bytes(design_bytes(largest)) == largest


def test_a_usual_design_is_written_for_people(two_row_ripple):
    text = design_text(two_row_ripple)
    assert text.count("\n") > 50
    assert design_from_bytes(design_bytes(two_row_ripple)) == two_row_ripple
    assert b"\n" not in design_bytes(two_row_ripple)
