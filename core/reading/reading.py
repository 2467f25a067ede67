"""A whole text read: its terms, its chain, every row with its counts, and where they break.

Words that can be meant in two ways are tried both ways; the way in which most rows fit and
most counts agree is taken, and said.
"""

from typing import Final

from core.craft.stitches import Terms
from core.reading.acts import (
    Unread,
    Work,
)
from core.reading.following import Outcome, agrees, follow_rows, ways_to_count, ways_to_mean
from core.reading.layout import lay_out_text
from core.reading.names import Said, is_foreign
from core.reading.ordering import choose_chains, put_in_order, take_rows
from core.reading.readrows import Reading, ReadRow, Trouble, every_act
from core.reading.shaping import flat_of
from core.reading.terms import guess_terms
from core.reading.tokens import MAX_TEXT, tokens_of
from core.reading.worked import Below, Worked

DEFAULT_REPEATS: Final = 6


def read_text(
    text: str,
    *,
    terms: Terms | None = None,
    otherwise: Terms = "US",
    repeats: int = DEFAULT_REPEATS,
    row_terms: dict[int, Terms] | None = None,
) -> Reading:
    """Return what a text of written rows says; it never fails, whatever the text is.

    Args:
        text: The text; of more than `MAX_TEXT` characters the rest isn't read.
        terms: The terms it is in; guessed if None.
        otherwise: The terms where nothing tells.
        repeats: How often the repeat is worked where only a multiple is given.
        row_terms: Terms of single rows, by number, where they differ.
    """
    tokens = tokens_of(text[:MAX_TEXT])
    guess = guess_terms(tokens, otherwise)
    layout = lay_out_text(text, tokens)
    reading = Reading(text, guess, terms or guess.terms, layout)
    if len(text) > MAX_TEXT:
        reading.troubles.append(
            Trouble(
                "warning",
                MAX_TEXT,
                len(text),
                0,
                f"The text is longer than {MAX_TEXT:,} characters: the rest isn't read.",
            )
        )
    if terms is None and guess.sureness == "open" and layout.rows:
        reading.troubles.append(Trouble("warning", 0, 0, 0, guess.reason))
    take_rows(reading)
    put_in_order(reading)
    choose_chains(reading, repeats)
    if reading.rows:
        follow_best(reading, row_terms or {})
    elif text.strip():
        reading.troubles.append(
            Trouble(
                "error",
                0,
                min(len(text), 40),
                0,
                "No row is found: begin each with its number and a colon, such as “Row 1:”.",
            )
        )
    reading.troubles.sort(key=lambda trouble: (trouble.start, trouble.end))
    return reading


def follow_best(reading: Reading, row_terms: dict[int, Terms]) -> None:
    best: Outcome | None = None
    for counts in ways_to_count(reading):
        for choices in ways_to_mean(reading):
            outcome = follow_rows(reading, counts, choices, row_terms)
            if best is None or outcome.score > best.score:
                best = outcome
    assert best is not None
    reading.counts, reading.base = best.counts, best.base
    _say_assumed(reading, best)
    terms_of = {
        reading.order[n - 1]: terms for n, terms in row_terms.items() if n <= len(reading.order)
    }
    for index, row in enumerate(reading.rows):
        if index in best.rows:
            worked, below, standing = best.rows[index]
            row.worked, row.available, row.turns_into = worked, below.n, standing
            row.flat = flat_of(worked, terms_of.get(index, reading.terms))
            _judge(reading, row, worked, below)
        _judge_words(reading, row, terms_of.get(index, reading.terms))
    for number, worked, _ in best.more:
        row = reading.rows[reading.order[number - 1]]
        if worked.broken is not None:
            reading.troubles.append(
                Trouble(
                    "error",
                    worked.broken.start,
                    worked.broken.end,
                    number,
                    f"Row {number}, worked as row {row.number}: {_small(worked.broken.message)}",
                )
            )
    if best.cut is not None:
        row = reading.rows[reading.order[best.cut - 1]]
        reading.troubles.append(
            Trouble(
                "note",
                row.start,
                row.start + 1,
                best.cut,
                f"The text is too long to follow whole; rows from {best.cut} on aren't counted.",
            )
        )


def _say_assumed(reading: Reading, best: Outcome) -> None:
    said = [row.opening.counts for row in reading.rows if row.opening.counts is not None]
    later = [row for row in reading.rows if row.number > 1 and row.opening.chains]
    if not said and later:
        chain = later[0].opening.chains
        does = "count" if best.counts else "don't count"
        reading.assumed.append(
            f"The {chain} turning ch {'are' if (chain or 0) > 1 else 'is'} not explained; read as "
            f"chains that {does} as a stitch."
        )
    if best.choices.spread:
        reading.assumed.append("“3 dc in next 3 sts” is read as one in each.")
    if best.choices.in_all:
        reading.assumed.append("“Repeat from * so many times” is read as so many times in all.")


def _judge(reading: Reading, row: ReadRow, worked: Worked, below: Below) -> None:
    """Add what is wrong with a row, or remarkable."""
    if worked.broken is not None:
        broken = worked.broken
        start, end = (broken.start, broken.end) if broken.end else (row.start, row.end)
        reading.troubles.append(
            Trouble("error", start, end, row.number, f"Row {row.number}: {_small(broken.message)}")
        )
    elif row.stated is not None and not agrees(row.stated, worked):
        reading.troubles.append(
            Trouble(
                "error",
                row.stated.start,
                row.stated.end,
                row.number,
                f"Row {row.number} says {row.stated.n} stitches, but its words make "
                f"{worked.makes}.",
            )
        )
    for remark in worked.remarks:
        reading.troubles.append(
            Trouble(
                "note",
                remark.start,
                remark.end,
                row.number,
                f"Row {row.number}: {_small(remark.message)}",
            )
        )
    if row.flat is not None:
        for event in row.flat.odd[:1]:
            reading.troubles.append(
                Trouble(
                    "warning",
                    event.start,
                    event.end,
                    row.number,
                    f"Row {row.number}: different stitches, or stitches with uneven chains, in "
                    "one place can be counted but not drawn yet.",
                )
            )


def _judge_words(reading: Reading, row: ReadRow, terms: Terms) -> None:
    """Add words that couldn't be read and words of the other system."""
    said: set[int] = {trouble.start for trouble in reading.troubles}
    heard: set[Said] = set()
    for act in every_act(row.acts):
        if isinstance(act, Unread) and act.start not in said:
            words = " ".join(reading.text[act.start : act.end].split())
            reading.troubles.append(
                Trouble(
                    "error",
                    act.start,
                    act.end,
                    row.number,
                    f"Row {row.number}: “{words[:60]}” can't be read: expected {act.expected}.",
                )
            )
        if isinstance(act, Work):
            for name in act.made:
                if is_foreign(name, terms) and name not in heard:
                    heard.add(name)
                    reading.troubles.append(
                        Trouble(
                            "warning",
                            act.start,
                            act.end,
                            row.number,
                            f"Row {row.number}: “{name}” isn't a word of {terms} terms; it is "
                            f"read as in the other system.",
                        )
                    )


def _small(message: str) -> str:
    """Return a sentence to stand behind a colon."""
    if message[:1] == "T" and message[:4] == "The ":
        return "t" + message[1:]
    if message[:6] in ("After ", "Before"):
        return message[0].lower() + message[1:]
    return message


__all__ = ["DEFAULT_REPEATS", "ReadRow", "Reading", "Trouble", "read_text"]
