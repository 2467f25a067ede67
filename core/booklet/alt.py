"""The pictures of a booklet in words, computed from the design."""

from collections.abc import Sequence
from itertools import groupby

from core.booklet.measures import Measures
from core.booklet.nodes import Colour, Picture, Tick
from core.booklet.stripes import stripes_sentence
from core.design.document import Item
from core.pipeline import Results
from core.rows.build import is_right_side
from core.rows.waves import WaveShape
from core.stripes.loops import is_plain
from core.words.loops import loops_sentence
from core.words.vocabulary import Vocabulary, sentence


def fabric_picture(
    results: Results,
    measures: Measures | None,
    stripes: Sequence[Tick],
    colours: Sequence[Colour],
    words: Vocabulary,
) -> Picture:
    """Return the picture of the whole blanket in words."""
    across = measures.across if measures else None
    counts = {
        "stripes": words.say("counted stripes", n=len(stripes)),
        "colours": words.say("counted colours", n=len({stripe.yarn for stripe in stripes})),
    }
    alt = words.say("fabric alt, waves", waves=across, **counts) if across else ""
    told = []
    if measures:
        key = "fabric lies tall" if measures.length > measures.width else "fabric lies wide"
        told.append(words.say(key, size=measures.size_text))
    told.append(_wave_told(results, measures, words))
    told.append(stripes_sentence(tuple(stripes), words))
    looks = [words.say("colour is", name=c.name, words=c.words) for c in colours]
    told.append(words.say("fabric colours", colours=words.joined(looks)))
    if not is_plain(results.design.loops):
        told.append(words.say("fabric ridges"))
    if results.ends.has_fill:
        told.append(words.say("fabric fill"))
    if results.border is not None:
        told.append(words.say("fabric border"))
    caption = words.say("fabric caption" if measures else "fabric caption, misfit")
    alt = alt or words.say("fabric alt", **counts)
    return Picture("fabric", caption, alt, tuple(line for line in told if line))


def _wave_told(results: Results, measures: Measures | None, words: Vocabulary) -> str:
    if measures is None:
        return words.say("fabric misfit")
    if measures.repeat_width is None or measures.wave_height is None or not measures.across:
        return words.say("fabric no wave")
    text = words.say(
        "fabric waves",
        n=measures.across,
        width=measures.short(measures.repeat_width, fine=True),
        height=measures.short(measures.wave_height, fine=True),
    )
    shape = results.shape
    if not isinstance(shape, WaveShape):
        return text
    key = "swaps" if shape.rhythm.swap_after else "slants" if shape.rhythm.slant else "columns"
    return f"{text} {words.say(f'fabric {key}')}"


def schematic_picture(measures: Measures | None, words: Vocabulary) -> Picture:
    """Return the drawing with measurements in words."""
    if measures is None:
        caption, alt = words.say("schematic caption, misfit"), words.say("schematic alt, misfit")
        return Picture("schematic", caption, alt, ())
    alt = words.say(
        "schematic alt",
        width=measures.short(measures.width),
        length=measures.short(measures.length),
        state=measures.state,
    )
    told = [
        words.say("schematic width", length=measures.both(measures.width)),
        words.say("schematic length", length=measures.both(measures.length)),
    ]
    told += [
        words.say("schematic detail", name=name, length=text)
        for name, text in detail_facts(measures)
    ]
    if measures.edging:
        told.append(words.say("schematic included", edging=_edging(measures)))
    if measures.is_washed:
        told.append(words.say("schematic off the hook", **_worked(measures)))
    told.append(words.say("schematic way"))
    return Picture("schematic", schematic_caption(measures), alt, tuple(told))


def schematic_caption(measures: Measures) -> str:
    """Return what stands under the drawing: the state its measures are in."""
    words = measures.words
    text = words.say("schematic caption", state=measures.state)
    if measures.edging:
        text = words.say("schematic caption, edged", state=measures.state, edging=_edging(measures))
    if measures.is_washed:
        return words.say("schematic caption and off the hook", caption=text, **_worked(measures))
    return text


def _edging(measures: Measures) -> str:
    return measures.words.say(f"edging {measures.edging}")


def _worked(measures: Measures) -> dict[str, str]:
    return {
        "width": measures.short(measures.worked_width),
        "length": measures.short(measures.worked_length),
    }


def detail_facts(measures: Measures) -> tuple[tuple[str, str], ...]:
    """Return the measures of one wave, where there is one."""
    if measures.repeat_width is None or measures.wave_height is None:
        return ()
    say = measures.words.say
    return (
        (say("detail repeat"), measures.both(measures.repeat_width, fine=True)),
        (say("detail height"), measures.both(measures.wave_height, fine=True)),
    )


def chart_picture(results: Results, words: Vocabulary, *, rows: int, repeats: int) -> Picture:
    """Return the chart in words: what it shows, where rows start, and one repeat in order."""
    design, built = results.design, results.rows
    shown = {
        "rows": words.say("rows span", n=rows, first=1, last=rows),
        "repeats": words.say("counted repeats", n=repeats),
    }
    told = [words.say("chart told", **shown), _sides(results, rows, words)]
    known: list[object] = []
    for row in range(1, rows + 1):
        items = built.plan(row).row
        if row > 2 and items in known:
            continue
        known.append(items)
        steps = _steps((*items.start, *items.repeat * repeats, *items.end), words)
        told.append(
            words.say(
                "chart row",
                row=row,
                side=words.say(f"chart side {'right' if is_right_side(row) else 'wrong'}"),
                steps=words.phrases["told steps"].join(steps),
            )
        )
    turning = design.turning
    if turning.chains:
        key = "chart turning, counting" if turning.counts else "chart turning"
        told.append(words.say(key, n=turning.chains))
    told.append(loops_sentence(design.loops, words.terms, words.language, spelled=True))
    told.append(words.say("chart said"))
    caption = sentence(words.say("chart caption", **shown))
    told = [line for line in told if line]
    return Picture("chart", caption, words.say("chart alt", **shown), tuple(told))


def _sides(results: Results, rows: int, words: Vocabulary) -> str:
    """Return at which edge each row starts, row 1's first."""
    found: dict[str, list[str]] = {}
    for row in range(1, rows + 1):
        side = "right" if results.rows.runs_left(row) else "left"
        found.setdefault(side, []).append(str(row))
    parts = [
        words.say(
            f"chart starts {side}",
            n=len(mine),
            rows=words.say("rows listed", n=len(mine), rows=_listed(mine, words)),
        )
        for side, mine in found.items()
    ]
    return f"{sentence(words.phrases['told steps'].join(parts))}."


def _listed(numbers: Sequence[str], words: Vocabulary) -> str:
    if len(numbers) == 1:
        return numbers[0]
    return words.say("and", first=words.joined(list(numbers[:-1])), second=numbers[-1])


def _steps(items: Sequence[Item], words: Vocabulary) -> list[str]:
    """Return the items in words, one after another."""
    steps = []
    for item, group in groupby(items):
        times = sum(each.times for each in group)
        if item.stitch is None:
            n = times * (item.skip or item.chain or 0)
            steps.append(words.say("told skip" if item.skip else "told chain", n=n))
            continue
        if item.over > 1:
            stitch = _stitch(item.stitch, item.over, words)
            step = words.say("told together", n=item.over, stitch=stitch)
        elif item.make > 1:
            stitch = _stitch(item.stitch, item.make, words)
            step = words.say("told in one", n=item.make, stitch=stitch)
            if item.chain:
                step = words.say("told in one, chains", made=item.make, stitch=stitch, n=item.chain)
        else:
            stitch = _stitch(item.stitch, times, words)
            steps.append(words.say("so many", n=times, stitch=stitch))
            continue
        if times > 1:
            step = words.say("told times", step=step, times=words.times(times))
        steps.append(step)
    return steps


def _stitch(key: str, n: int, words: Vocabulary) -> str:
    """Return a stitch's long name for so many of it."""
    name = words.names[key]
    return name.plural if words.number_of(n) else name.long


def stripes_picture(stripes: Sequence[Tick], words: Vocabulary) -> Picture:
    """Return the picture of the stripes in order, in words."""
    widths = sorted({stripe.rows for stripe in stripes})
    alt = words.say(
        "stripes alt",
        stripes=words.say("counted stripes", n=len(stripes)),
        rows=words.say("counted rows", n=stripes[-1].last if stripes else 0),
    )
    told = [stripes_sentence(tuple(stripes), words)]
    if len(widths) == 1:
        told.append(words.say("stripes even", n=widths[0]))
    elif widths:
        told.append(words.say("stripes between", least=widths[0], most=widths[-1]))
    told = [line for line in told if line]
    return Picture("stripes", words.say("stripes caption"), alt, tuple(told))
