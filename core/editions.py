"""The pattern of a design as it is published: its language, its form, its sizes."""

from typing import Literal

from core.checks.cautions import cautions_of
from core.craft.stitches import Terms
from core.craft.tables import USUAL_SIZES_MM
from core.design.document import Design, NamedSize
from core.design.edits import set_size
from core.edging.plan import grown_mm
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.fabric.sizes import length_choices, width_choices
from core.fabric.wash import wash_of
from core.pipeline import Pipeline, Results
from core.records import Struct, replace
from core.stripes.sequence import worked_stripes
from core.words.facts import Amount, Facts
from core.words.finishing import caution_lines, size_lines
from core.words.pattern import Pattern
from core.words.sizes import Sized, in_one_text
from core.words.stripes import sequence_rows, stripe_keys
from core.words.vocabulary import Language, Vocabulary, vocabulary
from core.words.write import pattern_in

SizeChoice = int | Literal["own", "all"]
"""The design's own size, all sizes in one text, or one of its other sizes by number from 0."""


class Edition(Struct, frozen=True, kw_only=True):
    """How a pattern is written.

    Attributes:
        terms: The system of terms, if not the design's own.
        language: The language; terms are those of English.
        spelled: Whether everything is spelled out, for a voice to read.
        size: Which size, or all of them in one text.
    """

    terms: Terms | None = None
    language: Language = "en"
    spelled: bool = False
    size: SizeChoice = "own"


OWN = Edition()


def pattern_of(
    results: Results, edition: Edition = OWN, *, should_stop: ShouldStop = never
) -> Pattern:
    """Return the written pattern.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    design, size = results.design, edition.size
    if size == "all" and len(sizes_in_order(design)) > 1 and results.rows.misfit is None:
        return _all_sizes(results, edition, should_stop)
    words, facts = words_of(design, edition, sized=False), facts_of(results)
    if isinstance(size, int) and size < len(design.sizes):
        mine = in_size(results, design.sizes[size])
        if mine.rows.misfit is None:
            return _one_size(mine, _sized_facts(results, facts, mine), words)
    return _one_size(results, facts, words)


def sizes_in_order(design: Design) -> tuple[NamedSize, ...]:
    """Return all sizes, the design's own among them, from small to large.

    The own size is one without a name, unless one of the list is the same.
    """
    sizes = list(design.sizes)
    own = design.size
    if all((size.repeats, size.rows) != (own.repeats, own.rows) for size in sizes):
        sizes.append(NamedSize(name="-", repeats=own.repeats, rows=own.rows))
    return tuple(sorted(sizes, key=lambda size: (size.repeats, size.rows)))


def facts_of(results: Results) -> Facts:
    """Return what a pattern states of measures, yarn and care."""
    amounts = {
        use.yarn: Amount(use.balls, use.length_m, use.mass_g, use.spare_m) for use in results.yarn
    }
    design, size, wave = results.design, results.known_size, results.wave
    cautions = cautions_of(design, size, results.fabric.steady)
    if size is None:
        return Facts(amounts=amounts, cautions=cautions)
    wider, longer = grown_mm(results.ends, results.border, wash_of(design.swatch))
    washed = results.finished_wave if size.is_washed else None
    return Facts(
        width_mm=size.width_mm,
        length_mm=size.length_mm,
        is_washed=size.is_washed,
        wider_mm=wider,
        longer_mm=longer,
        has_fill=results.ends.has_fill,
        has_border=results.border is not None,
        repeat_mm=wave.repeat_width_mm if wave else None,
        rise_mm=wave.rise_mm if wave else None,
        washed_repeat_mm=washed.repeat_width_mm if washed else None,
        washed_rise_mm=washed.rise_mm if washed else None,
        tails=results.tails,
        carried=_come_back(design),
        cautions=cautions,
        amounts=amounts,
    )


def size_told(results: Results, edition: Edition = OWN) -> tuple[str, ...]:
    """Return the finished size and the cautions it calls for, in words."""
    facts, words = facts_of(results), words_of(results.design, edition, sized=False)
    return (*size_lines(facts, words), *caution_lines(facts, words))


def in_size(results: Results, size: NamedSize) -> Results:
    """Return the results for the design in another size, its fabric laid out, not settled."""
    design = set_size(results.design, repeats=size.repeats, rows=size.rows)
    return results if design == results.design else Pipeline().results(design)


def measures_in_size(results: Results, size: NamedSize) -> tuple[float, float] | None:
    """Return width and length in another size with all that is worked round it, in mm.

    None without a steady state or while rows don't fit.
    """
    wave, own = results.finished_wave, facts_of(results)
    if wave is None or own.width_mm is None:
        return None
    now = results.design.size
    wide = own.full_width_mm + (size.repeats - now.repeats) * wave.repeat_width_mm
    return wide, own.full_length_mm + (size.rows - now.rows) * wave.rise_mm


def proposed_sizes(results: Results) -> tuple[NamedSize, ...]:
    """Return the usual sizes in this wave: the nearest whole repeats and rows to each.

    Sizes are those of published tables (`core.craft.tables.USUAL_SIZES_MM`); fill rows and
    border are counted in. There are none without a steady state or while rows don't fit.
    """
    wave, design = results.finished_wave, results.design
    if wave is None or results.rows.misfit is not None:
        return ()
    wider, longer = grown_mm(results.ends, results.border, wash_of(design.swatch))
    found = []
    for name, width_mm, length_mm in USUAL_SIZES_MM:
        wide = width_choices(
            design, results.size, wave, wanted_mm=max(width_mm - wider, 10.0), spread=0
        )
        long = length_choices(
            design, results.size, wave, wanted_mm=max(length_mm - longer, 10.0), spread=0
        )
        found.append(NamedSize(name=name, repeats=wide[0].repeats, rows=long[0].rows))
    return tuple(found)


def words_of(design: Design, edition: Edition, *, sized: bool | None = None) -> Vocabulary:
    """Return the words that an edition is written in.

    Args:
        design: The design.
        edition: The edition.
        sized: Whether one text holds several sizes; as the edition asks for it if None.
    """
    if sized is None:
        sized = edition.size == "all" and len(sizes_in_order(design)) > 1
    return vocabulary(
        edition.terms or design.terms, edition.language, spelled=edition.spelled, sized=sized
    )


def _come_back(design: Design) -> bool:
    """Return whether every stripe has an even number of rows and a yarn is met again."""
    stripes = worked_stripes(design.stripes, design.size.rows)
    again = len(stripes) > len({stripe.yarn for stripe in stripes}) > 1
    return again and all(stripe.rows % 2 == 0 for stripe in stripes)


def _one_size(
    results: Results, facts: Facts, words: Vocabulary, period: int | None = None
) -> Pattern:
    return pattern_in(
        results.design,
        results.rows,
        words,
        yarns=results.yarn_of_row.tolist(),
        amounts=facts.amounts,
        facts=facts,
        ends=results.ends,
        border=results.border,
        period=period,
    )


def _all_sizes(results: Results, edition: Edition, should_stop: ShouldStop) -> Pattern:
    words = words_of(results.design, edition, sized=True)
    pipeline, own = Pipeline(), facts_of(results)
    found, sizes = [], []
    for size in sizes_in_order(results.design):
        if should_stop():
            raise Stopped
        design = set_size(results.design, repeats=size.repeats, rows=size.rows)
        mine = results if design == results.design else pipeline.results(design)
        facts = _sized_facts(results, own, mine)
        found.append((mine, facts))
        sizes.append(
            Sized(
                name="" if size.name == "-" else size.name,
                design=design,
                rows=mine.rows,
                yarns=mine.yarn_of_row.tolist(),
                facts=facts,
            )
        )
    longest = max(sizes, key=lambda size: len(size.yarns))
    period = sequence_rows(stripe_keys(longest.design, longest.yarns))
    patterns = [_one_size(mine, facts, words, period) for mine, facts in found]
    return in_one_text(patterns, sizes, words)


def _sized_facts(results: Results, own: Facts, mine: Results) -> Facts:
    """Return another size's facts, its measures a whole number of repeats and rows away."""
    if mine is results:
        return own
    facts, wave = facts_of(mine), results.finished_wave
    if wave is None or own.width_mm is None or own.length_mm is None:
        return facts
    now, size = results.design.size, mine.design.size
    return replace(
        facts,
        width_mm=own.width_mm + (size.repeats - now.repeats) * wave.repeat_width_mm,
        length_mm=own.length_mm + (size.rows - now.rows) * wave.rise_mm,
        wider_mm=own.wider_mm,
        repeat_mm=own.repeat_mm,
        rise_mm=own.rise_mm,
        washed_repeat_mm=own.washed_repeat_mm,
        washed_rise_mm=own.washed_rise_mm,
    )
