"""Every edit of a design as a function from design to design.

Edits are pure and small; the window strings them to gestures. Whether the outcome is within
bounds is asked once, by whoever applies the edit (`core.design.validation.checked`).
"""

from collections.abc import Callable
from typing import Any

from core.craft.stitches import CATALOGUE, WorkedStitch
from core.design.document import (
    Border,
    Design,
    Edging,
    EndFill,
    EndName,
    Fill,
    Items,
    Progress,
    Reckoning,
    Row,
    Stripe,
    Swatch,
    Turning,
    Wanted,
    Wave,
    Yarn,
)
from core.design.plan import Barred, Plan
from core.records import replace

Edit = Callable[[Design], Design]


def set_values(design: Design, **values: Any) -> Design:
    """Return the design with some of its own values replaced (title, terms, units, hand ...)."""
    return replace(design, **values)


def set_gauge(design: Design, **values: Any) -> Design:
    """Return the design with parts of its gauge replaced."""
    return replace(design, gauge=replace(design.gauge, **values))


def set_swatch(design: Design, **values: Any) -> Design:
    """Return the design with parts of what its swatch told replaced; told nothing, it is gone."""
    swatch = replace(design.swatch or Swatch(), **values)
    return replace(design, swatch=None if swatch == Swatch() else swatch)


def set_wanted(design: Design, **values: Any) -> Design:
    """Return the design with parts of the size wished for replaced; with no wish, it is gone."""
    wanted = replace(design.wanted or Wanted(), **values)
    return replace(design, wanted=None if wanted == Wanted() else wanted)


def set_progress(design: Design, **values: Any) -> Design:
    """Return the design with parts of what the piece on the hook measured replaced."""
    progress = replace(design.progress or Progress(), **values)
    return replace(design, progress=None if progress == Progress() else progress)


def set_reckoning(design: Design, **values: Any) -> Design:
    """Return the design with parts of how yarn and time are reckoned replaced."""
    reckoning = replace(design.reckoning or Reckoning(), **values)
    return replace(design, reckoning=None if reckoning == Reckoning() else reckoning)


def set_turning(design: Design, **values: Any) -> Design:
    """Return the design with the turning chain changed; no chain never counts."""
    turning = {"chains": design.turning.chains, "counts": design.turning.counts, **values}
    turning["counts"] = bool(turning["counts"] and turning["chains"])
    return replace(design, turning=Turning(**turning))


def set_loops(design: Design, **values: Any) -> Design:
    """Return the design with parts of its loops replaced; one loop for all ends a list in turn."""
    if "work_in" in values:
        values = {"in_turn": None, "each_colour": False, **values}
    if values.get("in_turn", design.loops.in_turn) is None:
        values["each_colour"] = False
    return replace(design, loops=replace(design.loops, **values))


def set_size(design: Design, *, repeats: int | None = None, rows: int | None = None) -> Design:
    """Return the design in another size; what isn't given stays."""
    size = design.size
    return replace(
        design,
        size=replace(
            size,
            repeats=size.repeats if repeats is None else repeats,
            rows=size.rows if rows is None else rows,
        ),
    )


def set_wave(design: Design, wave: Wave) -> Design:
    """Return the design with another wave."""
    return replace(design, wave=wave)


def set_stitch(design: Design, stitch: WorkedStitch) -> Design:
    """Return the design worked in another stitch throughout, with its usual turning chain.

    The gauge keeps the stitch width and takes the new stitch's proportion, as a starting
    point until it is measured.
    """
    facts, old = CATALOGUE[stitch], CATALOGUE[design.gauge.stitch]
    taller = facts.height_to_width / old.height_to_width
    gauge = replace(design.gauge, stitch=stitch, rows=design.gauge.rows / taller)
    wave = design.wave
    changed = Wave(
        _in_stitch(wave.start, stitch),
        _in_stitch(wave.repeat, stitch),
        _in_stitch(wave.end, stitch),
        setup=_row_in_stitch(wave.setup, stitch) if wave.setup else None,
        cycle=tuple(_row_in_stitch(row, stitch) for row in wave.cycle) if wave.cycle else None,
    )
    turning = Turning(facts.turning_chains, facts.chain_counts)
    return replace(design, gauge=gauge, wave=changed, turning=turning)


def _row_in_stitch(row: Row, stitch: WorkedStitch) -> Row:
    return Row(
        _in_stitch(row.start, stitch), _in_stitch(row.repeat, stitch), _in_stitch(row.end, stitch)
    )


def _in_stitch(items: Items, stitch: WorkedStitch) -> Items:
    return tuple(replace(item, stitch=stitch) if item.stitch else item for item in items)


# --- yarns -------------------------------------------------------------------------------


def set_yarn(design: Design, number: int, **values: Any) -> Design:
    """Return the design with parts of one yarn replaced."""
    yarn = replace(design.yarns[number], **values)
    return replace(design, yarns=(*design.yarns[:number], yarn, *design.yarns[number + 1 :]))


def add_yarn(design: Design, yarn: Yarn) -> Design:
    """Return the design with one more yarn at the end of its list."""
    return replace(design, yarns=(*design.yarns, yarn))


def remove_yarn(design: Design, number: int) -> Design:
    """Return the design without a yarn; its stripes go to the one before it in the list."""
    if len(design.yarns) == 1:
        return design
    heir = max(number - 1, 0)

    def after(yarn: int) -> int:
        return heir if yarn == number else yarn - (yarn > number)

    plan = design.stripes.plan and _plan_in(design.stripes.plan, number, after)
    worked = with_yarns(replace(design, stripes=replace(design.stripes, plan=None)), after)
    yarns = design.yarns[:number] + design.yarns[number + 1 :]
    return replace(worked, yarns=yarns, stripes=replace(worked.stripes, plan=plan))


def with_yarns(design: Design, after: Callable[[int], int]) -> Design:
    """Return the design with other yarns in its stripes, fills and border; its list stays."""
    sequence = tuple(replace(s, yarn=after(s.yarn)) for s in design.stripes.sequence)
    stripes = replace(design.stripes, sequence=sequence)
    return replace(design, stripes=stripes, edging=_edging_in(design.edging, after))


def _plan_in(plan: Plan, gone: int, after: Callable[[int], int]) -> Plan:
    """Return the plan without one yarn, the others numbered anew."""
    shares = [replace(s, yarn=after(s.yarn)) for s in plan.shares if s.yarn != gone]
    pairs = [p for p in plan.barred if gone not in (p.one, p.other)]
    barred = tuple(Barred(after(p.one), after(p.other)) for p in pairs)
    return replace(plan, shares=tuple(shares), barred=barred)


def _edging_in(edging: Edging | None, after: Callable[[int], int]) -> Edging | None:
    """Return the edging with its yarns numbered anew."""
    if edging is None:
        return None
    parts = {"top": edging.top, "bottom": edging.bottom, "border": edging.border}
    worked = {name: replace(part, yarn=after(part.yarn)) for name, part in parts.items() if part}
    return replace(edging, **worked)


# --- stripes (many at once: `stripe_edits`) -------------------------------------------------


def set_sequence(design: Design, sequence: tuple[Stripe, ...]) -> Design:
    """Return the design with another stripe sequence."""
    return replace(design, stripes=replace(design.stripes, sequence=sequence))


def set_fill(design: Design, fill: Fill) -> Design:
    """Return the design with another way to go on after the sequence."""
    return replace(design, stripes=replace(design.stripes, fill=fill))


def set_stripe(design: Design, number: int, **values: Any) -> Design:
    """Return the design with one stripe's yarn or rows replaced."""
    stripes = list(design.stripes.sequence)
    stripes[number] = replace(stripes[number], **values)
    return set_sequence(design, tuple(stripes))


def move_border(design: Design, number: int, rows: int) -> Design:
    """Return the design with the border after a stripe moved up by `rows` rows.

    The stripe above gives or takes them; both keep one row at least. Past the last stripe
    there is only the sequence's end, so the stripe itself grows or shrinks; so does the other
    one beside a locked stripe, which keeps its rows.
    """
    stripes = design.stripes.sequence
    below, above = stripes[number], stripes[number + 1] if number + 1 < len(stripes) else None
    if below.locked:
        if above is None or above.locked:
            return design
        return set_stripe(design, number + 1, rows=max(above.rows - rows, 1))
    rows = max(rows, 1 - below.rows)
    if above is not None and not above.locked:
        rows = min(rows, above.rows - 1)
        design = set_stripe(design, number + 1, rows=above.rows - rows)
    return set_stripe(design, number, rows=below.rows + rows)


# --- fill rows and border ----------------------------------------------------------------


def set_end_fill(design: Design, end: EndName, **values: Any) -> Design:
    """Return the design with parts of one end's fill replaced; without one before, it gets one."""
    edging = design.edging or Edging()
    fill = (edging.top if end == "top" else edging.bottom) or EndFill()
    return _with_edging(design, edging, **{end: replace(fill, **values)})


def remove_end_fill(design: Design, end: EndName) -> Design:
    """Return the design without fill rows at one end."""
    return _with_edging(design, design.edging or Edging(), **{end: None})


def set_edge_border(design: Design, **values: Any) -> Design:
    """Return the design with parts of its border replaced; without one before, it gets one."""
    edging = design.edging or Edging()
    border = replace(edging.border or Border(), **values)
    return _with_edging(design, edging, border=border)


def remove_edge_border(design: Design) -> Design:
    """Return the design without a border."""
    return _with_edging(design, design.edging or Edging(), border=None)


def _with_edging(design: Design, edging: Edging, **parts: Any) -> Design:
    edging = replace(edging, **parts)
    return replace(design, edging=None if edging == Edging() else edging)
