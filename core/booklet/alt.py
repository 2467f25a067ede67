"""The pictures of a booklet in words, computed from the design."""

from collections.abc import Sequence
from itertools import groupby

from core.booklet.measures import Measures, length_text, short_length
from core.booklet.nodes import Colour, Picture, Tick
from core.booklet.stripes import stripes_sentence
from core.craft.stitches import CATALOGUE, Terms
from core.design.document import Item
from core.pipeline import Results
from core.rows.build import is_right_side
from core.rows.waves import WaveShape
from core.stripes.loops import is_plain


def fabric_picture(
    results: Results, measures: Measures | None, stripes: Sequence[Tick], colours: Sequence[Colour]
) -> Picture:
    """Return the picture of the whole blanket in words."""
    n_colours = len({stripe.yarn for stripe in stripes})
    waves = f"{measures.across} waves across" if measures and measures.across else "its waves"
    alt = f"The whole blanket from the right side: {waves}, {_counted(len(stripes), 'stripe')} "
    alt += f"in {_counted(n_colours, 'colour')}."
    told = []
    if measures:
        way = "taller than it is wide" if measures.length > measures.width else "wider than tall"
        told.append(
            f"The blanket lies flat and is {way}, {measures.size_text}, drawn in true proportion. "
            "The stripes run across it from side to side; row 1 is at the bottom."
        )
    told.append(_wave_sentence(results, measures))
    told.append(stripes_sentence(tuple(stripes)))
    looks = ", ".join(f"{c.name} is {c.words}" for c in colours)
    told.append(f"Colours: {looks}.")
    if not is_plain(results.design.loops):
        told.append("Loops left unworked show as ridges along the rows.")
    if results.ends.has_fill:
        told.append("Fill rows straighten the ends.")
    if results.border is not None:
        told.append("A border goes all the way round.")
    caption = "The blanket, true to proportion." if measures else "The rows that can be worked."
    return Picture("fabric", caption, alt, tuple(line for line in told if line))


def _wave_sentence(results: Results, measures: Measures | None) -> str:
    if measures is None:
        return "The rows don't fit one another, so only those that can be worked are shown."
    if measures.repeat_width is None or measures.wave_height is None:
        return "The rows have no single wave that repeats."
    units = measures.units
    text = (
        f"Every row rises and falls in {measures.across} waves, each "
        f"{short_length(measures.repeat_width, units, fine=True)} wide from peak to peak and "
        f"{short_length(measures.wave_height, units, fine=True)} high from dip to peak."
    )
    shape = results.shape
    if isinstance(shape, WaveShape):
        if shape.rhythm.swap_after:
            text += " Peaks and dips change places after some rows."
        elif shape.rhythm.slant:
            text += " The crests move sideways from row to row."
        else:
            text += " Peaks stand above peaks and dips above dips, so that the waves form columns."
    return text


def schematic_picture(results: Results, measures: Measures | None) -> Picture:
    """Return the drawing with measurements in words."""
    if measures is None:
        return Picture(
            "schematic", "Outline of the rows that can be worked.", "Outline without measures.", ()
        )
    units = measures.units
    alt = (
        f"Outline of the blanket: {short_length(measures.width, units)} wide, "
        f"{short_length(measures.length, units)} long {measures.state}, stripes across."
    )
    told = [
        f"Width from side edge to side edge: {length_text(measures.width, units)}.",
        f"Length from the first row to the last: {length_text(measures.length, units)}.",
    ]
    told += [f"{name}: {text}." for name, text in detail_facts(measures)]
    if measures.edging:
        told.append(f"Included are {measures.edging}.")
    if measures.is_washed:
        told.append(f"Off the hook, before washing, it is {measures.worked_text}.")
    told.append("The stripes run across the width. Work goes from the bottom upwards.")
    return Picture("schematic", schematic_caption(measures), alt, tuple(told))


def schematic_caption(measures: Measures) -> str:
    """Return what stands under the drawing: the state its measures are in."""
    text = f"Measures {measures.state}"
    if measures.edging:
        text += f", with {measures.edging}"
    if measures.is_washed:
        text += f". Off the hook: {measures.worked_text}"
    return f"{text}."


def detail_facts(measures: Measures) -> tuple[tuple[str, str], ...]:
    """Return the measures of one wave, where there is one."""
    if measures.repeat_width is None or measures.wave_height is None:
        return ()
    units = measures.units
    return (
        ("One repeat, peak to peak", length_text(measures.repeat_width, units, fine=True)),
        ("Wave height, dip to peak", length_text(measures.wave_height, units, fine=True)),
    )


def chart_picture(results: Results, terms: Terms, *, rows: int, repeats: int) -> Picture:
    """Return the chart in words: what it shows, where rows start, and one repeat in order."""
    design, built = results.design, results.rows
    right: list[int] = []
    left: list[int] = []
    for row in range(1, rows + 1):
        (right if built.runs_left(row) else left).append(row)
    span = "row 1" if rows == 1 else f"rows 1 to {rows}"
    alt = f"Chart of {span}: the foundation chain, {_counted(repeats, 'repeat')} and both edges."
    told = [
        f"The chart is seen from the right side. It shows the foundation chain, {span}, "
        f"{_counted(repeats, 'repeat')} and both edges.",
        _sides(right, left),
    ]
    known: list[object] = []
    for row in range(1, rows + 1):
        items = built.plan(row).row
        if row > 2 and items in known:
            continue
        known.append(items)
        side = "right side" if is_right_side(row) else "wrong side"
        steps = "; ".join(_steps((*items.start, *items.repeat * repeats, *items.end), terms))
        told.append(f"Row {row}, {side}, in the order it is worked: {steps}.")
    turning = design.turning
    if turning.chains:
        counts = "stands for the first stitch" if turning.counts else "stands beside the row"
        told.append(f"The turning chain of {turning.chains} {counts}.")
    told.append("Everything the chart shows is said in the written rows.")
    caption = f"Chart of {span}, {_counted(repeats, 'repeat')} with both edges, right side facing."
    return Picture("chart", caption, alt, tuple(told))


def _sides(right: Sequence[int], left: Sequence[int]) -> str:
    parts = [
        f"{'row' if len(rows) == 1 else 'rows'} {_listed(rows)} "
        f"{'starts' if len(rows) == 1 else 'start'} at the {side} edge"
        for rows, side in ((right, "right"), (left, "left"))
        if rows
    ]
    if left and (not right or left[0] < right[0]):
        parts.reverse()
    text = "; ".join(parts)
    return text[:1].upper() + text[1:] + "."


def _listed(rows: Sequence[int]) -> str:
    words = [str(row) for row in rows]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _steps(items: Sequence[Item], terms: Terms) -> list[str]:
    """Return the items in words, one after another."""
    steps = []
    for item, group in groupby(items):
        times = sum(each.times for each in group)
        if item.stitch is None:
            n = times * (item.skip or item.chain or 0)
            steps.append(f"skip {n}" if item.skip else _counted(n, "chain"))
            continue
        name = CATALOGUE[item.stitch].name(terms).long
        if item.over > 1:
            step = f"{item.over} {name} worked together"
        elif item.make > 1:
            between = f", {_counted(item.chain, 'chain')} between" if item.chain else ""
            step = f"{item.make} {name} in one place{between}"
        else:
            steps.append(f"{times} {name}")
            continue
        steps.append(step if times == 1 else f"{step}, {_times(times)}")
    return steps


def stripes_picture(stripes: Sequence[Tick]) -> Picture:
    """Return the picture of the stripes in order, in words."""
    rows = stripes[-1].last if stripes else 0
    widths = sorted({stripe.rows for stripe in stripes})
    alt = f"The {_counted(len(stripes), 'stripe')} in order, {_counted(rows, 'row')} in all."
    told = [stripes_sentence(tuple(stripes))]
    if len(widths) == 1:
        told.append(f"Every stripe is {_counted(widths[0], 'row')} wide.")
    elif widths:
        told.append(f"Stripes are {widths[0]} to {widths[-1]} rows wide.")
    caption = "The stripes in order from the first row, left to right; each as wide as its rows."
    return Picture("stripes", caption, alt, tuple(line for line in told if line))


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _times(number: int) -> str:
    return "twice" if number == 2 else f"{number} times"
