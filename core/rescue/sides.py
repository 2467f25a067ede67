"""A piece that ended on the wrong side: what the other side out would change."""

from typing import Final

from core.design.document import Design
from core.rows.build import Rows, is_right_side
from core.rows.shape import units_of
from core.stripes.loops import design_loops, ridge_of_row
from core.stripes.sequence import yarn_of_rows
from core.yarn.tails import tails_of

_MOST: Final = 4


def edge_of_start(design: Design, row: int) -> str:
    """Return the edge that row number `row` starts at, seen from the right side."""
    return "right" if (row % 2 == 1) == (design.hand == "right") else "left"


def other(edge: str) -> str:
    """Return the other edge."""
    return "left" if edge == "right" else "right"


def if_turned_over(design: Design, rows: Rows) -> tuple[str, ...]:
    """Return what changes if row 1 is taken as a wrong-side row, so that all sides swap."""
    lines = [
        "Nothing has to be ripped: turn the piece over and call row 1 a wrong-side row. Right-side "
        "rows are then rows 2, 4, 6 and so on.",
        _tail_line(design),
        _ridge_line(design, rows),
        _wave_line(design),
        _end_line(design),
    ]
    return tuple(line for line in lines if line)


def where_tails_lie(design: Design, rows: Rows) -> tuple[str, ...]:
    """Return where the yarn ends of the first stripes lie, and why some lie apart.

    Neighbouring stripes of one yarn are one: there is no end between them (`core.yarn.tails`).
    """
    tails = tails_of(design, yarn_of_rows(design.stripes, rows.drawn_rows))
    edges = {(end.row, end.is_start): "left" if end.at_left else "right" for end in tails.ends()}
    lines = []
    for yarn, first, last in list(
        zip(tails.yarn.tolist(), tails.first.tolist(), tails.last.tolist(), strict=True)
    )[:_MOST]:
        number = f"rows {first} to {last}" if last > first else f"row {first}"
        where = _ends(edges.get((first - 1, True)), edges.get((last, False)), is_knot=first == 1)
        lines.append(f"{design.yarns[yarn].name}, {number}: {where}.")
    odd = int(((tails.last - tails.first) % 2 == 0).sum())
    if odd:
        noun = "stripe has" if odd == 1 else "stripes have"
        lines.append(
            f"{odd} {noun} an odd number of rows, and the yarn then ends at the other edge. One "
            "row more or fewer there brings it back; or cut it, and join the next yarn where it is."
        )
    return tuple(lines)


def _ends(begins: str | None, ends: str | None, *, is_knot: bool) -> str:
    """Return where a stripe's two ends lie; None is no end, the yarn being carried."""
    if begins is not None and begins == ends and not is_knot:
        return f"both ends at the {begins} edge"
    start = "begins with the yarn carried up" if begins is None else f"begins at the {begins} edge"
    if is_knot:
        start = f"begins with the chain's knot at the {begins} edge"
    stop = "its yarn is carried on" if ends is None else f"ends at the {ends} edge"
    return f"{start} and {stop}"


def _tail_line(design: Design) -> str:
    edge = other(edge_of_start(design, 1))
    return (
        f"The foundation's tail lies at the {edge} edge as designed, at the {other(edge)} edge "
        "turned over."
    )


def _ridge_line(design: Design, rows: Rows) -> str:
    loops = design_loops(design, rows.drawn_rows)[: rows.drawn_rows]
    faces = [ridge_of_row(loop, row).faces_out for row, loop in enumerate(loops, start=1)]
    out = [row for row, faces_out in enumerate(faces, start=1) if faces_out]
    back = [row for row, faces_out in enumerate(faces, start=1) if faces_out is False]
    if not out and not back:
        return "There are no ridges, so both sides look nearly alike."
    first = f"from row {out[0]}" if out else "on no row"
    then = f"from row {back[0]}" if back else "on no row"
    return (
        f"Ridges: the right side shows {len(out)} of them as designed, {first} on, and "
        f"{len(back)} turned over, {then} on."
    )


def _wave_line(design: Design) -> str:
    rows = (design.wave.first, *design.wave.rows_in_turn)
    if any(row != rows[-1] for row in rows):
        return (
            "Rows differ here, so keep them in their order. What stood on right-side rows then "
            "stands on wrong-side ones, and left and right change places."
        )
    units = units_of((*rows[0].start, *rows[0].repeat, *rows[0].end))
    if units == units[::-1]:
        return "Peaks and dips stay where they are: the row is the same from both ends."
    return "The row isn't the same from both ends, so left and right change places."


def _end_line(design: Design) -> str:
    last = design.size.rows
    side = "right" if is_right_side(last) else "wrong"
    edge = other(edge_of_start(design, last))
    others = f"{last - 1} or {last + 1}" if last > 1 else "2"
    return (
        f"Row {last}, the last, is a {side}-side row and ends at the {edge} edge. To end on the "
        f"other side, work {others} rows."
    )
