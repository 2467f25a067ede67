"""Abbreviations: those used but not explained, and those explained but never used.

The program's own list follows the program's words. What the designer typed may bring others: the
trade's usual ones are those printed in published lists (crochetplus.com, the yarn council's list).
"""

import re
from collections.abc import Iterator
from typing import Final

from core.checks.findings import Finding
from core.techedit.draft import Draft, place_of
from core.words.abbreviations import abbreviations_in
from core.words.pattern import Paragraph
from core.words.vocabulary import sentence

_TRADE: Final[dict[str, str]] = {
    "beg": "beginning", "blo": "back loop only", "flo": "front loop only", "cl": "cluster",
    "cont": "continue", "dec": "decrease", "inc": "increase", "lp": "loop", "lps": "loops",
    "pat": "pattern", "patt": "pattern", "pm": "place marker", "prev": "previous",
    "rem": "remaining", "rep": "repeat", "reps": "repeats", "rnd": "round", "rnds": "rounds",
    "sk": "skip", "sp": "space", "sps": "spaces", "tch": "turning chain", "t-ch": "turning chain",
    "tog": "together", "yo": "yarn over", "yoh": "yarn over hook", "yrh": "yarn round hook",
    "pc": "popcorn", "esc": "extended single crochet", "edc": "extended double crochet",
    "exsc": "extended single crochet", "exdc": "extended double crochet",
    "fsc": "foundation single crochet", "fdc": "foundation double crochet",
    "bpdc": "back post double crochet", "fpdc": "front post double crochet",
    "bpsc": "back post single crochet", "fpsc": "front post single crochet",
    "bptr": "back post treble", "fptr": "front post treble",
    "mc": "main color", "cc": "contrast color", "approx": "about", "foll": "following",
}  # fmt: skip
_UK: Final = {"sk": "miss", "yo": "yarn round hook", "yoh": "yarn round hook", "mc": "main colour",
              "cc": "contrast colour"}  # fmt: skip
_NOT_IN_PROSE: Final = frozenset({"beg", "cont", "prev", "tog", "cl", "cc", "dec", "esc",
                                  "inc", "mc", "pat", "pc", "pm", "rem",
                                  "rep", "reps", "approx", "sp"})  # fmt: skip
"""Those that are too often something else in a sentence: a month, a company, a clock's time."""
_WORD: Final = re.compile(r"(?<![\w-])(?:t-ch|[A-Za-z]{2,6})(?![\w-])")


def check_shorts(draft: Draft) -> list[Finding]:
    """Return a finding for every abbreviation without a meaning, or without a use."""
    if draft.words.spelled:
        return []
    listed = _listed(draft)
    return [*_undefined(draft, listed), *_unused(draft, listed)]


def _listed(draft: Draft) -> dict[str, tuple[str, ...]]:
    """Return the list's entries, each with its forms: st(s) is st and sts."""
    section = draft.pattern.section("abbreviations")
    labels = [
        block.label
        for block in (section.blocks if section else ())
        if isinstance(block, Paragraph) and block.label
    ]
    return {label: _forms(label) for label in labels}


def _forms(label: str) -> tuple[str, ...]:
    ending = re.fullmatch(r"(.+)\((\w+)\)", label)
    return (ending[1], ending[1] + ending[2]) if ending else (label,)


def _undefined(draft: Draft, listed: dict[str, tuple[str, ...]]) -> list[Finding]:
    known = {form.casefold() for forms in listed.values() for form in forms}
    known |= _explained(draft.results.design.notes)
    found: dict[str, Finding] = {}
    for section, block in draft.blocks("abbreviations", "materials", "stripes"):
        for entry in abbreviations_in(draft.said(block), draft.words):
            if not {form.casefold() for form in _forms(entry.short)} & known:
                where = place_of(section, block)
                found.setdefault(
                    entry.short,
                    Finding(
                        "error",
                        where,
                        f"“{entry.short}” is used but stands in no list of abbreviations.",
                        f"Say that it means {entry.long}.",
                    ),
                )
    for prose in draft.prose:
        used = [
            (e.short, e.long, _forms(e.short)) for e in abbreviations_in(prose.text, draft.words)
        ]
        used += [(word, meaning, (word.casefold(),)) for word, meaning in
                 _trade_shorts(prose.text, draft.pattern.terms, is_row=prose.is_row)]  # fmt: skip
        for short, long, forms in used:
            if {form.casefold() for form in forms} & known or short in found:
                continue
            found[short] = Finding(
                "error" if prose.is_row else "warning",
                prose.where,
                f"{prose.name} says “{short}”, which the list of abbreviations doesn't explain.",
                f"Write “{long}”, or explain it in the notes as “{short}: {long}”.",
            )
    return list(found.values())


def _trade_shorts(text: str, terms: str, *, is_row: bool) -> Iterator[tuple[str, str]]:
    for word in dict.fromkeys(_WORD.findall(text)):
        meaning = _UK.get(word.casefold()) if terms == "UK" else None
        meaning = meaning or _TRADE.get(word.casefold())
        if meaning and (is_row or word.casefold() not in _NOT_IN_PROSE):
            yield word, meaning


def _explained(notes: str) -> set[str]:
    """Return abbreviations that the notes explain: "sk: skip", "sk = skip"."""
    return {found.casefold() for found in re.findall(r"([\w-]{2,10})\s*(?:=|:)\s*\w", notes)}


def _unused(draft: Draft, listed: dict[str, tuple[str, ...]]) -> list[Finding]:
    sections = [part.plain for part in draft.pattern.sections if part.name != "abbreviations"]
    text = "\n".join(sections)
    return [
        Finding(
            "warning",
            "words",
            f"The abbreviation “{label}” is explained but never used.",
            "Use it where its long form stands, or word the rows so that they have it.",
        )
        for label, forms in listed.items()
        if not any(_stands_in(form, text) for form in forms)
    ]


def _stands_in(form: str, text: str) -> bool:
    either = "|".join(re.escape(one) for one in {form, sentence(form)})
    return re.search(rf"(?<!\w)(?:{either})(?!\w)", text) is not None
