"""One row in words, and the foundation chain below it."""

from collections.abc import Callable, Sequence
from typing import Literal

from core.craft.stitches import CHAIN, NUMBER, Terms
from core.design.document import Design, Item
from core.records import Struct
from core.rows.build import Rows, is_right_side
from core.stripes.loops import loop_of_row
from core.words.items import so_many, step_phrase, work_phrase
from core.words.steps import Ending, Opening, RowSteps, Step, Where
from core.words.telling import row_steps
from core.words.vocabulary import Language, Vocabulary, sentence, vocabulary


class WrittenRow(Struct, frozen=True, kw_only=True):
    """One line of the written rows.

    Attributes:
        row: Number of the row; 0 is the foundation; of several rows, the last.
        side: The side that faces while it is worked.
        text: The instructions, the stitch count at their end, without the label.
        label: What stands before them: "Row 1 (RS)".
        count: Stitches in the row, chains of a chain space among them; of the foundation,
            all its chains; 0 if the row can't be written.
    """

    row: int
    side: Literal["RS", "WS"]
    text: str
    label: str
    count: int


def written_row(
    design: Design,
    rows: Rows,
    row: int,
    *,
    terms: Terms | None = None,
    language: Language = "en",
    spelled: bool = False,
) -> WrittenRow:
    """Return row number `row` in words; row 0 is the foundation chain.

    From the first row that doesn't fit the one below it, the text says so instead.
    """
    words = vocabulary(terms or design.terms, language, spelled=spelled)
    if not 0 <= row <= len(rows.which):
        raise IndexError(f"there is no row {row} in {len(rows.which)} rows")
    if row == 0:
        return foundation_line(rows, words)
    if rows.misfit is not None and row >= rows.misfit.row:
        return misfit_line(rows, words)
    text = finished(rows, row, row_body(design, rows, row, words), words)
    return labelled(rows, row, text, words)


def labelled(rows: Rows, row: int, text: str, words: Vocabulary) -> WrittenRow:
    """Return the text with the label, side and count of row number `row`."""
    side = side_of(row)
    label = words.say("row", row=row, side=words.say(side))
    return WrittenRow(row=row, side=side, text=text, label=label, count=rows.makes(row))


def side_of(row: int) -> Literal["RS", "WS"]:
    """Return the side that faces while row number `row` is worked."""
    return "RS" if is_right_side(row) else "WS"


def foundation_line(rows: Rows, words: Vocabulary, yarn: str | None = None) -> WrittenRow:
    """Return the foundation chain in words, with the name of its yarn if one is given."""
    base = rows.foundation
    key = "foundation ch"
    if base.multiple > 1:
        key += ", multiple plus" if base.extra else ", multiple"
    text = words.say(key, chains=base.chains, multiple=base.multiple, extra=base.extra)
    if yarn is not None:
        text = words.say("with yarn", yarn=yarn, text=text)
    return WrittenRow(
        row=0,
        side="RS",
        text=words.say("stop", text=sentence(text)),
        label=words.say("foundation"),
        count=base.chains,
    )


def misfit_line(rows: Rows, words: Vocabulary) -> WrittenRow:
    """Return the line that stands for the rows that can't be worked.

    Raises:
        ValueError: All rows can.
    """
    misfit = rows.misfit
    if misfit is None:
        raise ValueError("every row fits")
    text = words.say(
        "not written", uses=misfit.uses, available=misfit.available, below=misfit.row - 1
    )
    side = side_of(misfit.row)
    label = words.say("row", row=misfit.row, side=words.say(side))
    return WrittenRow(row=misfit.row, side=side, text=sentence(text), label=label, count=0)


def finished(rows: Rows, row: int, body: str, words: Vocabulary) -> str:
    """Return the instructions with the row's stitch count at their end."""
    chains = int((rows.plan(row).kind == NUMBER[CHAIN]).sum())
    key = "count with ch" if chains else "count"
    count = words.say(key, n=rows.makes(row), chains=chains)
    return words.say("row text", body=body, count=count)


StepText = Callable[[Step, Vocabulary], str]


def _as_it_is(text: str) -> str:
    return text


def row_body(
    design: Design,
    rows: Rows,
    row: int,
    words: Vocabulary,
    *,
    told: RowSteps | None = None,
    phrase: StepText = step_phrase,
    opening: Callable[[str], str] = _as_it_is,
) -> str:
    """Return a row's instructions without its stitch count.

    `told`, `phrase` and `opening` are for `core.words.spans`: the row's steps, if they are in hand,
    and how a step and the words on the turning chain are put.
    """
    told = told or row_steps(design, rows, row, mark_one=words.sized)
    put = _Put(phrase, opening)
    body = _in_loops(design, row, _body(told, design, row, words, put), words)
    if row == 1:
        return sentence(body)
    turn = opening(sentence(_turn(told, words)))
    return ". ".join([turn, sentence(body)] if body else [turn])


def loops_key(design: Design, row: int) -> str | None:
    """Return the phrase for the loops of row number `row`, None if it is both."""
    loop = loop_of_row(design, row)
    if loop == "both":
        return None
    return f"{loop} loops" + (", last both" if design.loops.last_stitch_both else "")


def _in_loops(design: Design, row: int, body: str, words: Vocabulary) -> str:
    key = loops_key(design, row)
    return words.say(key, body=body) if key and body else body


class _Put(Struct, frozen=True):
    """How a step and the words on the turning chain are put."""

    phrase: StepText
    opening: Callable[[str], str]

    def all(self, steps: Sequence[Step], words: Vocabulary) -> str:
        """Return steps one after another."""
        return words.joined([self.phrase(step, words) for step in steps])


def _body(told: RowSteps, design: Design, row: int, words: Vocabulary, put: _Put) -> str:
    lead = _lead(told, design, row, words, put)
    parts = [lead, _marked(told, words, put), put.all(told.tail, words)]
    body = words.joined(parts)
    if told.ending is not Ending.JOINED:
        return body
    last = (told.tail or told.lead)[-1] if told.tail or not told.times else None
    if last and last.item.skip and last.where is Where.LAST:
        return body.removesuffix(put.phrase(last, words)) + _beyond(last, words)
    return words.say("leaving turning", phrase=body)


def _beyond(last: Step, words: Vocabulary) -> str:
    """Return the skip at a row's end together with a chain that stands aside there."""
    more = Item(skip=last.item.uses + 1)
    return step_phrase(Step(item=more, where=Where.TURNING), words)


def _lead(told: RowSteps, design: Design, row: int, words: Vocabulary, put: _Put) -> str:
    opening, phrases = told.opening, [put.phrase(step, words) for step in told.lead]
    number = _special(told.lead)
    remark = ""
    if row == 1:
        remark = _skipped(told, design, words)
    elif number is not None:
        remark = words.say("turn joins", **_joined(told.lead[number], opening, words))
    remark = put.opening(remark)
    if number is None:
        return words.joined([remark, *phrases])
    if remark:
        phrases[number] = words.say("remark", phrase=phrases[number], remark=remark)
    if row == 1 and opening.extra:
        phrases.insert(0, put.opening(words.say("ch more", n=opening.extra)))
    return words.joined(phrases)


def _special(lead: Sequence[Step]) -> int | None:
    """Return the number of the step that begins at the hook or completes a decrease."""
    special = (n for n, step in enumerate(lead) if step.joins or step.where is Where.FROM_HOOK)
    return next(special, None)


def _marked(told: RowSteps, words: Vocabulary, put: _Put) -> str:
    if not told.times:
        return ""
    return words.say(
        "repeat",
        body=put.all(told.repeat, words),
        more=words.say("more", n=told.times - 1),
        all=words.times(told.times),
    )


def _turn(told: RowSteps, words: Vocabulary) -> str:
    opening, chains = told.opening, told.chains
    if not chains:
        return words.say("turn")
    if opening.stitch is None:
        return words.say("turn, not counting", n=chains)
    if opening.over > 1:
        return words.say("turn, part of a stitch", n=chains)
    return words.say("turn, counting", n=chains + opening.extra, what=_what(opening, words))


def _what(opening: Opening, words: Vocabulary) -> str:
    """Return what a counted chain counts as: 1 dc, or 1 dc and 1 ch."""
    what = so_many(1, opening.stitch or "", words)
    if not opening.extra:
        return what
    return words.say("and", first=what, second=words.say("chains counted", n=opening.extra))


def _joined(step: Step, opening: Opening, words: Vocabulary) -> dict[str, str | int]:
    stitch = opening.stitch or ""
    plain = step.item.is_plain
    return {
        "work": words.short(stitch) if plain else work_phrase(step.item, words),
        "one": so_many(1, stitch, words) if plain else work_phrase(step.item, words),
        "what": words.say("one together", stitch=words.together(stitch, opening.over)),
    }


def _skipped(told: RowSteps, design: Design, words: Vocabulary) -> str:
    """Return the remark on the chains that row 1 leaves unworked at the hook."""
    opening, skipped = told.opening, told.opening.skipped
    if opening.stitch is None:
        return _not_counting(skipped, opening.extra, words)
    own = design.turning.chains + opening.extra
    number = _special(told.lead)
    if number is None:
        return words.say("nothing to skip", n=own, what=_what(opening, words))
    if opening.over > 1:
        return words.say(
            "skipped, joining", n=skipped, **_joined(told.lead[number], opening, words)
        )
    if skipped > own:
        what = _what(opening, words)
        return words.say("skipped, counting in part", n=own, all=skipped, what=what)
    return words.say("skipped, counting", n=skipped, what=_what(opening, words))


def _not_counting(skipped: int, extra: int, words: Vocabulary) -> str:
    """Return the remark where the turn doesn't count; `extra` chains are the row's own."""
    if not skipped:
        return ""
    if extra == skipped:
        return words.say("skipped, stitches", n=extra)
    if extra:
        return words.say("skipped, stitches in part", n=extra, all=skipped)
    return words.say("skipped, not counting", n=skipped)
