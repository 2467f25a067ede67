"""What is pointed at or selected, in words."""

import numpy as np

from app.views.figures import counted
from core.craft.stitches import CATALOGUE, KEYS
from core.pipeline import Results
from core.rows.build import is_right_side
from core.rows.kin import kin_of
from core.rows.plan import Indices
from core.rows.selection import Selection, Span

_MOST: int = 4  # numbers that are said one by one


def stitch_text(results: Results, row: int, stitch: int) -> str:
    """Return what a stitch is, its parents and children, counted the way each row is worked."""
    rows = results.rows
    if row == 0:
        return f"Foundation chain, {counted(rows.makes(0), 'stitch', 'stitches')}"
    count = rows.makes(row)
    number = _worked(results, row, stitch)
    plan = rows.plan(row)
    kind = CATALOGUE[KEYS[int(plan.kind[number - 1])]].name(results.design.terms)
    kin = kin_of(rows, row, stitch, stitch)
    side = "RS" if is_right_side(row) else "WS"
    yarn = results.design.yarns[int(results.yarn_of_row[row - 1])].name
    below = "the chain" if row == 1 else f"row {row - 1}"
    worked = f", worked into {_numbers(results, row - 1, kin.parents)} of {below}"
    text = f"Row {row} ({side}), stitch {number} of {count}: {kind.long}"
    text += worked if len(kin.parents) else ""
    if len(kin.children):
        text += f"; into it {_numbers(results, row + 1, kin.children)} of row {row + 1}"
    elif row < rows.drawn_rows:
        text += f"; nothing of row {row + 1} goes into it"
    return f"{text} – {yarn}"


def selection_text(results: Results, selection: Selection) -> str:
    """Return what is selected, with its count of stitches."""
    first, last = selection.rows
    stitches = counted(selection.count, "stitch", "stitches")
    match selection.kind:
        case "stitch":
            return stitch_text(results, *selection.head)
        case "range":
            return f"{_row(first)}, {_from_to(results, selection.spans[0])}: {stitches}"
        case "repeat":
            span = selection.spans[0]
            number = int(results.rows.plan(first).section[_worked(results, *span[:2]) - 1]) + 1
            return f"{_row(first)}, repeat {number}, {_from_to(results, span)}: {stitches}"
        case "row":
            return f"{_row(first)} from edge to edge: {stitches}"
        case "rows":
            return f"Rows {first} to {last}: {counted(last - first + 1, 'row')}, {stitches}"
        case _:
            where = _row(first) if first == last else f"Rows {first} to {last}"
            places = len(selection.spans)
            return f"{where}: {stitches}" + (f" in {places} places" if places > 1 else "")


def _row(row: int) -> str:
    if row == 0:
        return "Foundation chain"
    return f"Row {row} ({'RS' if is_right_side(row) else 'WS'})"


def _from_to(results: Results, span: Span) -> str:
    ends = sorted(_worked(results, span.row, stitch) for stitch in span[1:])
    return f"stitches {ends[0]} to {ends[1]}"


def _worked(results: Results, row: int, stitch: int) -> int:
    """Return a stitch's number from 1 the way its row is worked, the chain's as row 1 is."""
    rows = results.rows
    turned = rows.runs_left(max(row, 1))
    return rows.makes(row) - stitch if turned else stitch + 1


def _numbers(results: Results, row: int, stitches: Indices) -> str:
    """Return stitches of a row by the numbers they have where they are pointed at themselves."""
    found = sorted(_worked(results, row, int(stitch)) for stitch in np.asarray(stitches))
    if len(found) > _MOST:
        return f"{found[0]} to {found[-1]}"
    *most, last = (str(n) for n in found)
    return f"{', '.join(most)} and {last}" if most else last
