"""The written pattern: right to the stitch, the same in both systems of terms.

`Reader` below reads rows back as a maker would, from the text alone, and knows nothing of
items or steps: what it makes is compared with the plan of the row, stitch by stitch.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.craft.stitches import KEYS
from core.design.document import (
    Design,
    Gauge,
    Item,
    Loops,
    Row,
    Size,
    Stripe,
    Stripes,
    Turning,
    Wave,
    Yarn,
    total_makes,
    total_uses,
)
from core.rows.build import Rows, build_rows
from core.words import write as write_module
from core.words.abbreviations import special_stitches
from core.words.items import items_phrase
from core.words.repeats import copies, stretches
from core.words.vocabulary import Vocabulary, vocabulary
from core.words.write import write_pattern, written_row, written_rows

# What a maker knows the words to mean: UK dc is US sc, and so on. Source: the US/UK
# translation chart at cdn.shopify.com, Crochet_Terms_Translation_Chart.pdf.
MEANING = {
    "US": {"sl st": "sl st", "sc": "sc", "hdc": "hdc", "dc": "dc", "tr": "tr", "dtr": "dtr"},
    "UK": {"ss": "sl st", "dc": "sc", "htr": "hdc", "tr": "dc", "dtr": "tr", "trtr": "dtr"},
}
PASS = {"US": "skip", "UK": "miss"}
TIMES = {"once": 1, "twice": 2}

STITCH = r"(?:sl st|sc|hdc|dc|dtr|trtr|tr|ss|htr)"
ORDINAL = r"(\d+)(?:st|nd|rd|th)"
REPEAT = re.compile(
    r"\*(?P<body>[^*]*); repeat from \* (?:(?P<once>once) more|(?P<more>\d+) more times) "
    r"\((?P<all>once|twice|\d+ times) in all\)"
)
COUNT = re.compile(r"\. \((?P<sts>\d+) sts?(?:, (?P<chains>\d+) of them ch)?\)\Z")
TURN = re.compile(
    rf"\A(?:Turn|Ch (?P<n>\d+)(?: \((?:counts as 1 (?P<stitch>{STITCH})(?: and (?P<extra>\d+) ch)?"
    r"|(?P<no>does not count as a st))\))?, turn)(?:\. |\Z)"
)
LOOPS = re.compile(r"\A[Ww]orking in (?:back|front) loops only(?:, last st through both loops)?: ")


@dataclass
class Reader:
    """Works one row from its text.

    Attributes:
        terms: What the words mean.
        below: The stitches of the row below as this row comes to them, its last one first.
        turning: What the row below began with: "top", "3rd", "joined" or "none".
        chains: In row 1, the chains of the foundation.
        at: Places of the row below that lie behind the hook.
        made: The stitches so far.
        links: (stitch, place) of every leg that was worked; not of turning chains.
        joined: Whether the turning chain became a leg of a decrease.
    """

    terms: str
    below: list[str]
    turning: str = "none"
    chains: int = 0
    at: int = 0
    made: list[str] = field(default_factory=list)
    links: list[tuple[int, int]] = field(default_factory=list)
    joined: bool = False
    turning_chains: int = 0

    def read(self, text: str) -> "Reader":
        count = COUNT.search(text)
        assert count, f"no stitch count at the end: {text}"
        body = text[: count.start()]
        if not self.chains:
            body = self._turn(body)
        body = LOOPS.sub("", body)
        for phrase in _split(_expanded(body)):
            self._phrase(phrase[:1].lower() + phrase[1:])
        assert self.at == len(self.below), f"{len(self.below) - self.at} places left over: {text}"
        assert len(self.made) == int(count["sts"])
        assert self.made.count("ch") == int(count["chains"] or 0)
        return self

    def leaves(self, *, counts: bool) -> str:
        """Return what this row's beginning is for the row above."""
        if not counts:
            return "none"
        if self.joined:
            return "joined"
        chains_of_its_own = extra_chains(self.made)
        return "top" if not chains_of_its_own else str(self.turning_chains - chains_of_its_own)

    def _turn(self, body: str) -> str:
        turn = TURN.match(body)
        assert turn, f"no turn: {body}"
        self.turning_chains = int(turn["n"] or 0)
        if turn["stitch"]:
            self._stand(turn["stitch"], int(turn["extra"] or 0))
        return body[turn.end() :]

    def _stand(self, stitch: str, extra: int) -> None:
        assert not self.made
        self.made += [MEANING[self.terms][stitch], *["ch"] * extra]

    def _phrase(self, phrase: str) -> None:
        remark = re.fullmatch(r"(.*?) \(((?:\d+ of )?the .*)\)", phrase)
        if remark:
            self._remarked(remark[1], remark[2])
        elif match := re.fullmatch(r"the (?:\d+ )?ch counts? as (.*)", phrase):
            self._count_as(match[1])
            self.at = len(self.below)
        elif match := re.fullmatch(r"\[(.*)\] (.*)", phrase):
            for _ in range(_times(match[2])):
                self._phrase(match[1])
        elif not (self._chain(phrase) or self._pass(phrase) or self._together(phrase)):
            self._into(phrase)

    def _remarked(self, phrase: str, remark: str) -> None:
        skipped = {"US": "skipped", "UK": "missed"}[self.terms]
        if match := re.fullmatch(r"(.*) and this (\S+(?: st\S*)?) counts? as 1 (.*)", remark):
            self._join(phrase, match[2], match[3])
            return
        assert re.match(
            rf"(?:\d+ of )?the (?:first (?:\d+ )?of the )?(?:\d+ )?{skipped} ch ", remark
        ), remark
        if match := re.search(
            r"(?:(\d+) (?:of the \d+ )?|the )\w+ ch counts? as (?:a st|sts)\Z", remark
        ):
            self.made += ["ch"] * int(match[1] or 1)
        elif match := re.search(r"ch counts? as (.*)", remark):
            self._count_as(match[1])
        else:
            assert re.search(r"ch (?:does not count as a st|do not count as sts)\Z", remark)
        self._skipped_agree(phrase, remark)
        self._phrase(phrase)

    def _skipped_agree(self, phrase: str, remark: str) -> None:
        first = re.search(rf"(?:in|over) {ORDINAL} ", phrase)
        numbers = [int(n) for n in re.findall(r"\d+", remark.split(" count")[0])]
        assert first
        assert (numbers[-1] if numbers else 1) == int(first[1]) - 1

    def _count_as(self, what: str) -> None:
        match = re.fullmatch(rf"1 ({STITCH})(?: and (\d+) ch)?", what)
        assert match, what
        self._stand(match[1], int(match[2] or 0))

    def _join(self, phrase: str, work: str, whole: str) -> None:
        """Make one decrease of the chain and the phrase's stitch."""
        match = re.fullmatch(rf"({STITCH}) ?(\d+)tog", whole)
        legs = re.fullmatch(rf"({STITCH})(?: ?(\d+)tog)?", work)
        assert match and legs, whole
        assert match[1] == legs[1]
        assert int(match[2]) == int(legs[2] or 1) + 1
        assert not self.made
        self._phrase(phrase)
        assert self.made == [MEANING[self.terms][match[1]]]
        self.joined = True

    def _space(self, order: str, chains: int) -> range:
        """Go over a chain space, which has to be a whole one."""
        places = self._go(chains, order, "ch")
        beside = [
            self.below[n] for n in (places.start - 1, places.stop) if 0 <= n < len(self.below)
        ]
        assert "ch" not in beside
        return places

    def _chain(self, phrase: str) -> bool:
        match = re.fullmatch(r"ch (\d+)( more)?", phrase)
        if not match:
            return False
        if match[2]:  # what they count as is said where they are skipped
            self.chains += int(match[1])
        else:
            self.made += ["ch"] * int(match[1])
        return True

    def _pass(self, phrase: str) -> bool:
        unworked = re.fullmatch(
            r"leave (?:last (?:(\d+) )?(\w+)( and turning ch)?|turning ch) "
            r"unworked",
            phrase,
        )
        if phrase == "leaving turning ch unworked":
            assert self.turning == "joined"
            return True
        if unworked:
            places = int(unworked[1] or 1) if unworked[2] and unworked[2] != "turning" else 0
            of_turning = unworked[3] or not unworked[2]
            self.at += places + bool(of_turning and self.turning != "joined")
            assert self.at == len(self.below)
            return True
        match = re.fullmatch(rf"{PASS[self.terms]} (first|next|last) ch-(\d+) sp", phrase)
        match = match or re.fullmatch(r"leave (last) ch-(\d+) sp unworked", phrase)
        if match:
            self._space(match[1], int(match[2]))
            return True
        match = re.fullmatch(rf"{PASS[self.terms]} (first|next|last) (?:(\d+) )?(sts?|ch)", phrase)
        if match:
            self._go(int(match[2] or 1), match[1], match[3])
        return bool(match)

    def _go(self, n: int, order: str, noun: str) -> range:
        """Move over the next `n` places and return them."""
        places = range(self.at, self.at + n)
        self.at += n
        assert self.at <= len(self.below), "beyond the end of the row below"
        assert order != "first" or places.start == 0
        assert order != "last" or self.at == len(self.below)
        if noun == "ch":
            assert {self.below[place] for place in places} == {"ch"}
        else:
            assert not self.chains, "row 1 is worked into chains"
            assert (noun == "st") == (n == 1)
        return places

    def _hook(self, ordinal: int, n: int) -> range:
        """Go to a chain counted from the hook; the last chain of all is the last place."""
        assert self.chains
        self.at = len(self.below) - 1 - (self.chains - ordinal)
        return self._go(n, "next", "ch")

    def _turning(self, place: str) -> range:
        expected = {"top": "top of turning ch"}.get(self.turning)
        if expected is None:
            match = re.fullmatch(rf"{ORDINAL} ch of turning ch", place)
            assert match, place
            assert match[1] == self.turning
        else:
            assert place == expected
        assert self.at == len(self.below) - 1
        return self._go(1, "last", "st")

    def _together(self, phrase: str) -> bool:
        match = re.fullmatch(rf"({STITCH}) ?(\d+)tog over (.*)", phrase)
        if not match:
            return False
        places = self._legs(match[3], int(match[2]))
        assert len(places) == int(match[2])
        self.made.append(MEANING[self.terms][match[1]])
        self.links += [(len(self.made) - 1, place) for place in places]
        return True

    def _legs(self, where: str, n: int) -> list[int]:
        if match := re.fullmatch(rf"{ORDINAL} (and|to) {ORDINAL} ch from hook", where):
            assert (match[2] == "and") == (n == 2)
            assert int(match[3]) - int(match[1]) + 1 == n
            return list(self._hook(int(match[1]), n))
        if match := re.fullmatch(r"next (?:(\d+) )?(sts?) and (.* turning ch)", where):
            return [*self._go(int(match[1] or 1), "next", match[2]), *self._turning(match[3])]
        match = re.fullmatch(r"(first|next|last) (\d+) (sts|ch)", where)
        assert match, where
        return list(self._go(int(match[2]), match[1], match[3]))

    def _into(self, phrase: str) -> None:
        match = re.fullmatch(rf"(\(.*\)|\d+ {STITCH}) in (.*)", phrase)
        assert match, f"not understood: {phrase}"
        work = self._work(match[1])
        if space := re.fullmatch(r"(first|next|last) ch-(\d+) sp", match[2]):
            self._into_space(work, self._space(space[1], int(space[2])))
            return
        for place in self._places(match[2]):
            for stitch in work:
                self.made.append(stitch)
                if stitch != "ch":
                    self.links.append((len(self.made) - 1, place))

    def _into_space(self, work: list[str], places: range) -> None:
        """Share what goes into a space among its chains, as they come."""
        assert len(work) % len(places) == 0
        each = len(work) // len(places)
        for number, stitch in enumerate(work):
            self.made.append(stitch)
            if stitch != "ch":
                self.links.append((len(self.made) - 1, places[number // each]))

    def _work(self, work: str) -> list[str]:
        made: list[str] = []
        for part in _split(_groups_written_out(work.strip("()"))):
            if match := re.fullmatch(r"ch (\d+)", part):
                made += ["ch"] * int(match[1])
            else:
                n, _, stitch = part.partition(" ")
                made += [MEANING[self.terms][stitch]] * int(n)
        return made

    def _places(self, where: str) -> Sequence[int]:
        if where == "same st":
            return self._go(1, "first", "st")
        if match := re.fullmatch(rf"{ORDINAL} ch from hook", where):
            return self._hook(int(match[1]), 1)
        if where.endswith("turning ch"):
            return self._turning(where)
        if match := re.fullmatch(r"each of the (\d+) (sts|ch)", where):
            assert self.at == 0
            return self._go(int(match[1]), "last", match[2])
        match = re.fullmatch(r"(each of )?(first|next|last) (?:(\d+) )?(sts?|ch)", where)
        assert match, where
        assert bool(match[1]) == bool(match[3])
        return self._go(int(match[3] or 1), match[2], match[4])


def _times(text: str) -> int:
    return TIMES[text] if text in TIMES else int(text.removesuffix(" times"))


def _expanded(body: str) -> str:
    """Return the text with what stands between asterisks written out."""

    def written_out(match: re.Match[str]) -> str:
        times = _times(match["all"])
        assert times == (1 if match["once"] else int(match["more"])) + 1
        return ", ".join([match["body"]] * times)

    assert body.count("*") in (0, 2)
    expanded = REPEAT.sub(written_out, body)
    assert "*" not in expanded
    return expanded


def _groups_written_out(text: str) -> str:
    def written_out(match: re.Match[str]) -> str:
        return ", ".join([match[1]] * _times(match[2]))

    return re.sub(r"\[([^]]*)\] (once|twice|\d+ times)", written_out, text)


def _split(text: str) -> Iterator[str]:
    """Yield what stands between commas outside all brackets."""
    depth, part = 0, ""
    for sign in text:
        depth += (sign in "([") - (sign in ")]")
        if sign == "," and not depth:
            yield part.strip()
            part = ""
        else:
            part += sign
    if part.strip():
        yield part.strip()


def read_rows(design: Design, rows: Rows, terms: str) -> Iterator[tuple[int, Reader]]:
    """Read every row, each over what was read of the one below."""
    foundation = re.match(r"Ch (\d+)", written_row(design, rows, 0, terms=terms).text)
    assert foundation
    below, turning = ["ch"] * rows.foundation.base_stitches, "none"
    for row in range(1, len(rows.which) + 1):
        chains = int(foundation[1]) if row == 1 else 0
        reader = Reader(terms, below, turning, chains)
        reader.read(written_row(design, rows, row, terms=terms).text)
        below = reader.made[::-1]
        if row == 1:
            reader.turning_chains = design.turning.chains + extra_chains(reader.made)
        turning = reader.leaves(counts=design.turning.counts)
        yield row, reader


def extra_chains(made: Sequence[str]) -> int:
    """Return how many chains follow a first stitch."""
    return next(n for n, stitch in enumerate([*made[1:], ""]) if stitch != "ch")


def rows_told(lines: Sequence[str]) -> dict[int, str]:
    """Return the text of every row from the lines of a pattern, as a maker would go on."""
    found: dict[int, str] = {}
    for line in lines:
        label, text = line.split(": ", 1)
        bare = COUNT.sub("", text).removesuffix(".")
        if match := re.fullmatch(r"Row (\d+) \((?:RS|WS)\)", label):
            like = re.fullmatch(r"Work as row (\d+)", bare)
            found[int(match[1])] = found[int(like[1])] if like else text
        elif match := re.fullmatch(r"Rows (\d+) to (\d+)", label):
            if like := re.fullmatch(r"Work as rows (\d+) to (\d+)", bare):
                first, last = int(match[1]), int(match[2])
                assert last - first == int(like[2]) - int(like[1])
                assert int(like[2]) < first
                found |= {row: found[row - first + int(like[1])] for row in range(first, last + 1)}
                continue
            _repeat(found, int(match[1]), int(match[2]), bare)
    return found


def _repeat(found: dict[int, str], first: int, last: int, text: str) -> None:
    match = re.fullmatch(
        r"Repeat (?:row (\d+)|rows (\d+) to (\d+)) until (\d+) rows are worked"
        r"(?:; the last is worked as row (\d+))?",
        text,
    )
    assert match, text
    assert int(match[4]) == last
    begin, end = (int(match[n] or match[1]) for n in (2, 3))
    assert end == first - 1
    for row in range(first, last + 1):
        found[row] = found[begin + (row - begin) % (end - begin + 1)]
    assert found[last] == found[int(match[5] or end)]


# Designs -------------------------------------------------------------------------------------


def a_design(row: Row, *, repeats: int = 2, rows: int = 8, **values) -> Design:
    parts = {
        "title": "Ripple of twelve",
        "designer": "A. Designer",
        "gauge": Gauge(stitch="dc", stitches=13, rows=7.5, hook_mm=5.0),
        "wave": Wave(
            row.start, row.repeat, row.end, values.pop("setup", None), values.pop("cycle", None)
        ),
        "turning": Turning(chains=3, counts=True),
        "loops": Loops(),
        "size": Size(repeats=repeats, rows=rows),
        "yarns": (
            Yarn(name="Sea", colour="#2a6f97", ball_m=105, ball_g=50),
            Yarn(name="Sand", colour="#e9d8a6", ball_m=105, ball_g=50),
        ),
        "stripes": Stripes((Stripe(yarn=0, rows=2), Stripe(yarn=1, rows=2))),
    }
    return Design(**(parts | values))


@pytest.fixture(scope="module")
def twelve(row_of) -> Design:
    return a_design(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), rows=84)


@pytest.fixture(scope="module")
def every_stitch(row_of) -> Design:
    """A cycle with a row of each stitch, both ways of changing and a chain between."""
    rows = tuple(
        row_of("I2", "3 D2x2 3 V", "3 D2x2 3 I2", key)
        for key in ("sl st", "sc", "hdc", "dc", "tr", "dtr")
    )
    return a_design(rows[3], cycle=rows, rows=20, yarns=a_design(rows[3]).yarns)


def text_of(design: Design, row: int, terms: str = "US", **size: int) -> str:
    return written_row(design, build_rows(design, **size), row, terms=terms).text


def lines_of(design: Design, **options) -> list[str]:
    lines = written_rows(design, build_rows(design), **options)
    return [f"{line.label}: {line.text}" for line in lines]


def pattern_text(*args, **kwargs) -> str:
    return write_pattern(*args, **kwargs).plain


def section(text: str, heading: str) -> list[str]:
    block = next(part for part in text.split("\n\n") if part.startswith(f"{heading}\n"))
    return block.strip().splitlines()[1:]


# A whole pattern -----------------------------------------------------------------------------


def test_the_twelve_stitch_ripple_worked_by_hand(twelve):
    """Row 2 over 39 chains for 2 repeats, counted on paper.

    The chain and 1 dc use 1 and make 2. A repeat uses 3 + 4 + 3 + 2 = 12 and makes
    3 + 2 + 3 + 4 = 12. The end uses 3 + 4 + 3 + 1 = 11 and makes 3 + 2 + 3 + 2 = 10. So the row
    uses 1 + 24 + 11 = 36 and makes 2 + 24 + 10 = 36; with 3 chains to turn, 39.
    """
    assert text_of(twelve, 0) == "Ch 39 (a multiple of 12, plus 3)."
    assert text_of(twelve, 1) == (
        "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), *1 dc in each of next 3 ch, "
        "[dc2tog over next 2 ch] twice, 1 dc in each of next 3 ch, 2 dc in each of next 2 ch; "
        "repeat from * once more (twice in all), 1 dc in each of next 3 ch, [dc2tog over next 2 "
        "ch] twice, 1 dc in each of next 3 ch, 2 dc in last ch. (36 sts)"
    )
    assert text_of(twelve, 2) == (
        "Ch 3 (counts as 1 dc), turn. 1 dc in same st, *1 dc in each of next 3 sts, [dc2tog over "
        "next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in each of next 2 sts; repeat from "
        "* once more (twice in all), 1 dc in each of next 3 sts, [dc2tog over next 2 sts] twice, "
        "1 dc in each of next 3 sts, 2 dc in top of turning ch. (36 sts)"
    )


def test_a_written_row_carries_its_number_side_and_count(twelve):
    rows = build_rows(twelve)
    first, second = written_row(twelve, rows, 1), written_row(twelve, rows, 2)
    assert (first.label, first.side, first.row, first.count) == ("Row 1 (RS)", "RS", 1, 36)
    assert (second.label, second.side, second.row, second.count) == ("Row 2 (WS)", "WS", 2, 36)
    assert written_row(twelve, rows, 0).count == 39


def test_there_is_no_row_beyond_the_last(twelve):
    with pytest.raises(IndexError, match="no row 85 in 84 rows"):
        written_row(twelve, build_rows(twelve), 85)


def test_terms_are_those_of_the_design_unless_others_are_asked_for(twelve, row_of):
    british = a_design(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), terms="UK")
    assert "Written in UK terms" in pattern_text(british, build_rows(british))
    assert "Written in US terms" in pattern_text(british, build_rows(british), terms="US")
    assert text_of(twelve, 2, "UK") == written_row(british, build_rows(british), 2).text


# Read back -----------------------------------------------------------------------------------


NAMED = [
    "two_row_ripple",
    "sc_ripple",
    "sharp_wave",
    "steep_wave",
    "plain_cloth",
    "lacy_wave",
    "ridged_ripple",
    "level_start",
    "twelve",
    "every_stitch",
]


def assert_reads_back(design: Design, rows: Rows, terms: str) -> None:
    for row, reader in read_rows(design, rows, terms):
        plan = rows.plan(row)
        assert reader.made == [KEYS[number] for number in plan.kind]
        links = [(int(child), int(parent)) for child, parent in plan.links]
        if design.turning.counts:  # where the chain itself stands, the text doesn't say
            links = links[1:]
        assert reader.links == links


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("name", NAMED)
def test_a_maker_who_follows_the_words_makes_the_planned_stitches(name, terms, request):
    design = request.getfixturevalue(name)
    assert_reads_back(design, build_rows(design), terms)


@st.composite
def any_items(draw, at_most: int) -> tuple[Item, ...]:
    stitch = draw(st.sampled_from(["sc", "hdc", "dc", "tr", "sl st", "dtr"]))
    few, chains = st.integers(1, 3), st.integers(1, 2)
    kinds = st.one_of(
        st.builds(Item, stitch=st.just(stitch), times=st.integers(1, 4)),
        st.builds(Item, stitch=st.just(stitch), make=st.integers(2, 5), times=few),
        st.builds(Item, stitch=st.just(stitch), over=st.integers(2, 4), times=few),
        st.builds(
            Item, stitch=st.just(stitch), make=st.integers(2, 5), chain=chains, times=st.just(1)
        ),
        st.builds(Item, skip=few),
        st.builds(Item, chain=chains),
    )
    return tuple(draw(st.lists(kinds, max_size=at_most)))


def _closing(items: tuple[Item, ...], stitch: str) -> tuple[Item, ...]:
    """Return what makes the items leave as many stitches as they use."""
    gain = total_makes(items) - total_uses(items)
    if gain > 0:
        return (Item(skip=gain),)
    if gain < 0:
        return (Item(chain=-gain),) if gain < -4 else (Item(stitch=stitch, make=1 - gain),)
    return ()


@st.composite
def balanced_rows(draw) -> Row:
    """Rows that leave as many stitches as they use, in edges and repeat alike."""
    repeat = draw(any_items(4))
    if not any(item.stitch for item in repeat):
        repeat = (*repeat, Item(stitch="dc", times=draw(st.integers(1, 3))))
    repeat = (*repeat, *_closing(repeat, "dc"))
    start, end = draw(any_items(3)), draw(any_items(3))
    return Row(start, repeat, (*end, *_closing(start + end, "dc")))


def _widened(row: Row, repeats: int, width: int) -> Row:
    missing = width - row.uses(repeats)
    return Row(row.start, row.repeat, (*row.end, *_plain(missing)))


def _plain(n: int) -> tuple[Item, ...]:
    return (Item(stitch="dc", times=n),) if n else ()


def _begins_with_a_chain(row: Row) -> bool:
    items = row.start + row.repeat
    first = next(number for number, item in enumerate(items) if item.stitch)
    return any(item.chain for item in items[:first])


@st.composite
def any_designs(draw) -> Design:
    """Designs whose rows fit: cycles, set-up rows, every edge, every turning chain."""
    chains = draw(st.integers(0, 5))
    turning = Turning(chains=chains, counts=bool(chains) and draw(st.booleans()))
    repeats = draw(st.integers(1, 5))
    kinds = draw(st.lists(balanced_rows(), min_size=1, max_size=3))
    # A counted chain is the first stitch; no chain space can come before it.
    assume(not (turning.counts and any(map(_begins_with_a_chain, kinds))))
    width = max(row.uses(repeats) for row in kinds)
    kinds = [_widened(row, repeats, width) for row in kinds]
    setup = kinds[0] if len(kinds) > 1 and draw(st.booleans()) else None
    loops = st.builds(
        Loops,
        work_in=st.sampled_from(["both", "back", "front"]),
        from_row=st.integers(1, 8),
        last_stitch_both=st.booleans(),
        in_turn=st.none()
        | st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=3).map(tuple),
    )
    return a_design(
        kinds[-1],
        repeats=repeats,
        rows=draw(st.integers(1, 12)),
        turning=turning,
        setup=setup,
        cycle=tuple(kinds),
        loops=draw(loops),
    )


@given(any_designs(), st.sampled_from(["US", "UK"]))
def test_the_numbers_in_the_words_add_up_to_the_row(design, terms):
    rows = build_rows(design)
    assert rows.misfit is None
    assert_reads_back(design, rows, terms)


@given(any_designs())
def test_written_once_and_repeated_every_row_is_told(design):
    rows = build_rows(design)
    told = rows_told(lines_of(design))
    assert told == {
        row: written_row(design, rows, row).text for row in range(1, len(rows.which) + 1)
    }


@given(any_designs())
def test_no_row_is_written_out_twice(design):
    texts = [line.text for line in written_rows(design, build_rows(design))]
    assert len({text for text in texts if not text.startswith("Work as")}) == len(
        [text for text in texts if not text.startswith("Work as")]
    )


@given(any_designs())
def test_the_first_chain_named_is_the_foundations(design):
    first = (design.wave.first.start + design.wave.first.repeat)[0]
    assume(first.stitch and (first.make > 1 or first.over > 1 or first.times > 1))
    assume(not first.chain)
    rows = build_rows(design)
    named = re.search(rf"{ORDINAL} (?:(?:and|to) \w+ )?ch from hook", text_of(design, 1))
    assert named
    assert int(named[1]) == rows.foundation.first_in


# Against patterns by others ------------------------------------------------------------------

PUBLISHED = [
    # knitty.com/ISSUEdf12/ripply.html: a multiple of 14 plus 3, begun in the 4th chain
    ("UK", "dc", (3, True), ("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2"), 1, 31,
     "1 tr in 4th ch from hook (the 3 missed ch count as 1 tr), "),
    # madebypurpje.com/2022/02/09/ripple-stitch: 12n + 3, 4th chain
    ("US", "dc", (3, True), ("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), 1, 27,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # joann.com/lion-brand-vannas-choice-losdale-ripple-afghan: 165 ch, 2 in the 4th chain
    ("US", "dc", (3, True), ("I3 5 D3x2 5", "I3x2 5 D3x2 5", "I3"), 8, 165,
     "2 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # cdn.shopify.com BRC0202-003788M.pdf: 105 ch, 4th chain
    ("US", "dc", (3, True),
     ("I2x3 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x6 K1 1 K1 1 K1 1 K1 1 K1 1 K1", "I2x3"), 5, 105,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 2 dc in each of next 2 ch, "),
    # cdn.shopify.com BRC0125-003704M.pdf: 21 ch, skip 3, dc2tog over the next 2 is a dc3tog
    ("US", "dc", (3, True), ("D3 1 I5 2", "D5 2 I5", "1 D3"), 1, 21,
     "Dc2tog over 4th and 5th ch from hook (the 3 skipped ch and this dc2tog count as 1 dc3tog), "),
    # danettesangels.tripod.com/patterns/ripple.html: 66 ch, 4th chain
    ("US", "dc", (3, True), ("4", "I3 4 K2 4", "I3 4"), 5, 66,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 1 dc in each of next 2 ch, "),
    # blog.lionbrand.com/my-go-to-blanket-stitch-the-wavy-chevron: 60 ch, 4th chain
    ("US", "dc", (3, True), ("I2", "5 D3 5 V", "5 D3 5 I2"), 3, 60,
     "1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), "),
    # crochetknitting4u.blogspot.com, lace-and-ripple blanket: 136 ch, 2 in the 5th chain
    ("US", "dc", (4, True), ("1 I2", "3 D2x3 3 I3", "3 D2x3 3 I2 1"), 9, 136,
     "2 dc in 5th ch from hook (the 4 skipped ch count as 1 dc), "),
    # silver-gateway.com, Project Linus #4: 198 ch, 3rd chain, the chain doesn't count
    ("US", "dc", (2, False),
     ("1 I2 2 I2", "2 D2 2 D2 2 D2 2 D2 2 I2 2 I2 2 I2 2 I2", "2 D2 2 D2 2 D2 2 D2 2 I2 2 I2 1"),
     6, 198, "1 dc in 3rd ch from hook (the 2 skipped ch do not count as sts), "),
    # forum.knittinghelp.com/t/fo-baby-blankets/32492: 152 ch, 2 in the 2nd chain
    ("US", "sc", (1, False), ("I2", "6 K2 6 I3", "6 K2 6 I2"), 9, 152,
     "2 sc in 2nd ch from hook (the skipped ch does not count as a st), "),
    # chattyspatterns.blogspot.com/2011/02: 173 ch, 2nd chain
    ("US", "sc", (1, False), ("1 K1", "7 I3 7 K2", "7 I3 7 K1 1"), 9, 173,
     "1 sc in 2nd ch from hook (the skipped ch does not count as a st), skip next ch, "),
    # freevintagecrochet.com, 5158: 119 ch, hdc in the 3rd chain
    ("US", "hdc", (2, False), ("7", "I3 7 K2 7", "I3 7"), 6, 119,
     "1 hdc in 3rd ch from hook (the 2 skipped ch do not count as sts), "),
    # common practice: ch-1 mesh in dc, of which the first dc goes into the 6th chain
    ("US", "dc", (3, True), ("1 C K1 1", "C K1 1", "C K1 1"), 2, 11,
     "Ch 1 more, 1 dc in 6th ch from hook (the first 4 of the 5 skipped ch count as 1 dc and "
     "1 ch), "),
]  # fmt: skip


@pytest.mark.parametrize(
    ("terms", "stitch", "turning", "row", "repeats", "chains", "begins"), PUBLISHED
)
def test_row_one_begins_where_published_patterns_begin(
    row_of, terms, stitch, turning, row, repeats, chains, begins
):
    design = a_design(
        row_of(*row, stitch), repeats=repeats, turning=Turning(chains=turning[0], counts=turning[1])
    )
    assert text_of(design, 0, terms).startswith(f"Ch {chains} (a multiple of")
    assert text_of(design, 1, terms).startswith(begins)


# The start of a row (common practice) ---------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "begins"),
    [
        ("I3 4", "Ch 3 (counts as 1 dc), turn. 2 dc in same st, 1 dc in each of next 4 sts, "),
        ("I2x2", "Ch 3 (counts as 1 dc), turn. 1 dc in same st, 2 dc in next st, "),
        ("3", "Ch 3 (counts as 1 dc), turn. Skip first st, 1 dc in each of next 2 sts, "),
        ("1 I2", "Ch 3 (counts as 1 dc), turn. Skip first st, 2 dc in next st, "),
        ("1 K1 3", "Ch 3 (counts as 1 dc), turn. Skip first 2 sts, 1 dc in each of next 3 sts, "),
        ("K1 4", "Ch 3 (counts as 1 dc), turn. Skip first 2 sts, 1 dc in each of next 3 sts, "),
        ("D2", "Ch 3, turn. Skip first st, 1 dc in next st (the turning ch and this dc count as "
         "1 dc2tog), "),
        ("D3", "Ch 3, turn. Skip first st, dc2tog over next 2 sts (the turning ch and this "
         "dc2tog count as 1 dc3tog), "),
        ("V 2", "Ch 4 (counts as 1 dc and 1 ch), turn. 1 dc in same st, "),
        ("1 C2 K2 3", "Ch 5 (counts as 1 dc and 2 ch), turn. Skip first 3 sts, 1 dc in each of "
         "next 3 sts, "),
    ],
)  # fmt: skip
def test_a_counted_chain_takes_the_place_of_the_first_stitch(row_of, start, begins):
    balance = row_of(start, "1", "")
    end = _closing(balance.start, "dc")
    wave = row_of("", "3 I2 D2 3", "")
    design = a_design(Row(balance.start, wave.repeat, (*end, *_plain(3))))
    assert text_of(design, 2).startswith(begins)


@pytest.mark.parametrize(
    ("start", "begins"),
    [
        ("I2", "Ch 1 (does not count as a st), turn. 2 sc in first st, "),
        ("1 I2", "Ch 1 (does not count as a st), turn. 1 sc in first st, 2 sc in next st, "),
        ("3", "Ch 1 (does not count as a st), turn. 1 sc in each of first 3 sts, "),
        ("D2 1", "Ch 1 (does not count as a st), turn. Sc2tog over first 2 sts, "),
        ("K1 3", "Ch 1 (does not count as a st), turn. Skip first st, 1 sc in each of next 3 sts"),
    ],
)
def test_a_chain_that_does_not_count_leaves_the_first_stitch_to_be_worked(row_of, start, begins):
    row = row_of(start, "3 I2 D2 3", "", "sc")
    design = a_design(
        Row(row.start, row.repeat, (*_closing(row.start, "sc"), *_plain(3))),
        turning=Turning(chains=1, counts=False),
    )
    assert text_of(design, 2).startswith(begins)


def test_without_a_turning_chain_the_row_just_turns(row_of):
    row = row_of("3", "3 I2 D2 3", "3", "sl st")
    design = a_design(row, turning=Turning(chains=0, counts=False))
    assert text_of(design, 1).startswith("1 sl st in 1st ch from hook, 1 sl st in each of next 2")
    assert text_of(design, 2).startswith("Turn. 1 sl st in each of first 3 sts, ")


# The end of a row (common practice) -----------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "ends"),
    [
        ("I2", "3 D2x2 3 I2", "1 dc in each of next 3 sts, 2 dc in top of turning ch. (36 sts)"),
        ("1", "3", "1 dc in each of next 2 sts, 1 dc in top of turning ch. (28 sts)"),
        ("I2", "1 D2", "1 dc in next st, dc2tog over next st and top of turning ch. (28 sts)"),
        ("I3", "D3", "dc3tog over next 2 sts and top of turning ch. (28 sts)"),
        ("I2", "K1", "leave turning ch unworked. (26 sts)"),
        ("I3", "K2", "leave last st and turning ch unworked. (27 sts)"),
        ("D2", "3 I2", "2 dc in last st, leaving turning ch unworked. (30 sts)"),
        ("D2", "I2 D2x2 I2x2", "2 dc in each of last 2 sts, leaving turning ch unworked. (33 sts)"),
        (
            "V",
            "K2 2",
            "skip next 2 sts, 1 dc in next ch-1 sp, 1 dc in 3rd ch of turning ch. (29 sts, "
            "1 of them ch)",
        ),
    ],
)
def test_the_last_stitch_goes_where_the_row_below_began(row_of, start, end, ends):
    row = row_of(start, "3 D2x2 3 I2x2", end)
    design = a_design(row)
    rows = build_rows(design)
    assert rows.misfit is None
    assert written_row(design, rows, 2).text.endswith(ends)


def test_a_chain_that_does_not_count_is_never_worked_into(sc_ripple):
    assert text_of(sc_ripple, 2).endswith("2 sc in last st. (36 sts)")
    assert "Turning ch: it does not count as a st and is never worked into." in section(
        pattern_text(sc_ripple, build_rows(sc_ripple)), "Before you begin"
    )


# Repeats --------------------------------------------------------------------------------------


def test_one_repeat_needs_no_asterisks(twelve):
    assert text_of(twelve, 2, repeats=1) == (
        "Ch 3 (counts as 1 dc), turn. 1 dc in same st, 1 dc in each of next 3 sts, [dc2tog over "
        "next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in each of next 2 sts, 1 dc in each "
        "of next 3 sts, [dc2tog over next 2 sts] twice, 1 dc in each of next 3 sts, 2 dc in top "
        "of turning ch. (24 sts)"
    )


def test_the_repeats_still_to_come_and_all_of_them_are_named(twelve):
    for repeats, named in [(2, "once more (twice in all)"), (9, "8 more times (9 times in all)")]:
        assert f"; repeat from * {named}, " in text_of(twelve, 2, repeats=repeats)


def test_without_edges_the_repeats_that_begin_and_end_the_row_are_written_out(row_of):
    design = a_design(row_of("", "3 D2x2 3 I2x2", ""), repeats=5)
    text = text_of(design, 2)
    assert text.startswith("Ch 3 (counts as 1 dc), turn. Skip first st, 1 dc in each of next 2 sts")
    assert "; repeat from * 2 more times (3 times in all), " in text
    assert text.endswith("2 dc in next st, 2 dc in top of turning ch. (60 sts)")


def test_straight_rows_are_told_in_one_go(row_of):
    cloth = a_design(row_of("", "1", "", "sc"), repeats=20, turning=Turning(chains=1, counts=False))
    assert text_of(cloth, 2).endswith("turn. 1 sc in each of the 20 sts. (20 sts)")
    assert text_of(cloth, 0) == "Ch 21."


def test_neighbours_that_say_the_same_become_one(row_of, twelve):
    spelled_out = a_design(row_of("I2", "2 1 D2 D2 1 1 1 I2 I2", "3 D2 D2 2 1 I2"), rows=84)
    assert lines_of(spelled_out) == lines_of(twelve)


# Which rows -----------------------------------------------------------------------------------


def told(design: Design, **options) -> list[str]:
    return lines_of(design, **options)[1:]


def test_one_row_repeats_until_all_are_worked(twelve):
    assert [line.split(":")[0] for line in told(twelve)] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Rows 3 to 84",
    ]
    assert told(twelve)[-1] == "Rows 3 to 84: Repeat row 2 until 84 rows are worked. (36 sts)"


def test_a_cycle_repeats_as_a_whole_and_says_where_it_stops(ridged_ripple, sized):
    lines = told(sized(ridged_ripple, repeats=2, rows=12))
    assert [line.split(":")[0] for line in lines] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Row 3 (RS)",
        "Rows 4 to 12",
    ]
    assert lines[-1] == (
        "Rows 4 to 12: Repeat rows 2 to 3 until 12 rows are worked; the last is worked as row 2. "
        "(36 sts)"
    )


def test_a_row_met_before_is_named_instead_of_written_again(ridged_ripple):
    tall, low = ridged_ripple.wave.cycle
    design = a_design(tall, cycle=(tall, tall, low, low), rows=9)
    lines = told(design)
    assert [line.split(":")[0] for line in lines][-2:] == ["Row 5 (RS)", "Rows 6 to 9"]
    again = a_design(tall, cycle=(tall, tall, tall, low), rows=9)
    assert told(again)[2] == "Row 3 (RS): Work as row 2. (36 sts)"


def test_like_rows_one_after_another_are_told_in_one_line(ridged_ripple):
    tall, low = ridged_ripple.wave.cycle
    swap = a_design(tall, cycle=(tall,) * 5 + (low,) * 5, rows=40)
    labels = [line.split(": ")[0] for line in told(swap)]
    assert labels[:5] == ["Row 1 (RS)", "Row 2 (WS)", "Rows 3 to 5", "Row 6 (WS)", "Rows 7 to 10"]
    assert labels[-1] == "Rows 12 to 40"
    assert told(swap)[2] == "Rows 3 to 5: Repeat row 2 until 5 rows are worked. (36 sts)"
    mixed = a_design(tall, cycle=(tall, low, low, tall, low, low, tall, tall), rows=40)
    assert "Rows 5 to 7: Work as rows 2 to 4. (36 sts)" in told(mixed)


@given(st.lists(st.integers(0, 3), min_size=1, max_size=40))
def test_copies_give_back_every_row(kinds):
    rows: list[int] = []
    for part in copies(kinds, 1):
        assert part.first == len(rows) + 1
        if not part.of:
            assert part.rows == 1 and kinds[part.first - 1] not in rows
            rows.append(kinds[part.first - 1])
        for n in range(part.rows if part.of else 0):
            rows.append(rows[part.of - 1 + n])
    assert rows == kinds


def test_markers_go_into_the_first_stitch_of_every_repeat(twelve, sharp_wave, lacy_wave):
    """By hand: stitches before the repeat are those that the start edge makes."""
    for design, first, apart in ((twelve, 3, 12), (sharp_wave, 3, 11), (lacy_wave, 11, 17)):
        lines = section(pattern_text(design, build_rows(design, repeats=5)), "Rows")
        (line,) = [line for line in lines if line.startswith("Markers: ")]
        assert lines.index(line) == 2  # after the foundation and the set-up row
        ordinal = vocabulary("US").ordinal(apart)
        assert f"in st {first} of row 1 and in every {ordinal} st after it, 5 in all" in line
    one = pattern_text(twelve, build_rows(twelve, repeats=1))
    assert "Markers: put one in st 3 of row 1, where the only repeat begins" in one


def test_lace_is_crossed_from_the_end_of_the_row_below(row_of):
    """A fan near one edge is met last by the row that comes back over it."""
    fan = row_of("2", "6", "V K2 3")
    back = row_of("2", "6", "6")
    design = a_design(fan, cycle=(fan, back), turning=Turning(chains=3, counts=False), repeats=1)
    assert text_of(design, 1).endswith(
        "(1 dc, ch 1, 1 dc) in next ch, skip next 2 ch, 1 dc in each of last 3 ch. "
        "(14 sts, 1 of them ch)"
    )
    assert text_of(design, 2).endswith(
        "1 dc in each of first 4 sts, 1 dc in next ch-1 sp, 1 dc in each of last 9 sts. (14 sts)"
    )


def test_a_plain_row_over_lace_keeps_its_repeat(row_of):
    lace = row_of("3", "V K2 4", "3")
    design = a_design(lace, cycle=(lace, row_of("3", "7", "3")), repeats=9)
    text = text_of(design, 2)
    assert "*1 dc in each of next 5 sts, 1 dc in next ch-1 sp, 1 dc in next st; repeat" in text
    assert text.count("sp") == 1


def test_a_setup_row_is_told_before_the_rows_that_repeat(level_start):
    lines = told(level_start)
    assert lines[0] == (
        "Row 1 (RS): 1 dc in 4th ch from hook (the 3 skipped ch count as 1 dc), 1 dc in each of "
        "last 34 ch. (36 sts)"
    )
    assert lines[-1].startswith("Rows 3 to 8: Repeat row 2 until 8 rows are worked.")


def test_rows_before_the_loops_change_repeat_among_themselves(twelve):
    design = a_design(twelve.wave.row, rows=20, loops=Loops(work_in="back", from_row=9))
    assert [line.split(":")[0] for line in told(design)] == [
        "Row 1 (RS)",
        "Row 2 (WS)",
        "Rows 3 to 8",
        "Row 9 (RS)",
        "Rows 10 to 20",
    ]


def test_a_single_row_more_is_worked_as_the_one_it_repeats(twelve):
    assert told(a_design(twelve.wave.row, rows=3))[-1] == "Row 3 (RS): Work as row 2. (36 sts)"


@given(st.lists(st.integers(0, 3), min_size=1, max_size=30))
def test_a_stretch_gives_back_every_row(kinds):
    (stretch,) = stretches(kinds, [1])
    assert [kinds[stretch.like(row) - 1] for row in range(1, len(kinds) + 1)] == kinds


def test_rows_from_the_misfit_on_are_not_written(losing_wave):
    lines = lines_of(losing_wave)
    assert len(lines) == 3
    assert lines[-1] == (
        "Row 2 (WS): Not written: it takes 46 sts, but row 1 has 45. The rows from here on can be "
        "written once the two agree."
    )
    rows = build_rows(losing_wave)
    assert written_row(losing_wave, rows, 5).text == written_row(losing_wave, rows, 2).text
    assert "Fasten off" not in pattern_text(losing_wave, rows)


# Loops, chains, mixed stitches ----------------------------------------------------------------


def test_loops_are_named_once_in_every_row_they_apply_to(twelve):
    back = a_design(twelve.wave.row, loops=Loops(work_in="back"))
    assert "loops" not in text_of(back, 1)
    assert text_of(back, 2).startswith(
        "Ch 3 (counts as 1 dc), turn. Working in back loops only: 1 dc in same st, "
    )
    assert text_of(back, 2).count("loops") == 1


def test_the_last_stitch_through_both_loops_is_said(twelve):
    front = a_design(
        twelve.wave.row, loops=Loops(work_in="front", from_row=3, last_stitch_both=True)
    )
    assert "loops" not in text_of(front, 2)
    assert "turn. Working in front loops only, last st through both loops: 1 dc" in text_of(
        front, 3
    )
    rules = "\n".join(section(pattern_text(front, build_rows(front)), "Before you begin"))
    assert "from row 3 on, work in the front loops only (the loops towards you)" in rules


def test_a_chain_below_is_named_where_it_is_worked_into(lacy_wave):
    assert (
        "(1 dc, ch 1, 1 dc) in next ch-1 sp, *1 dc in each of next 7 sts, skip next 2 sts"
        in text_of(lacy_wave, 2)
    )
    assert text_of(lacy_wave, 2).endswith("(51 sts, 3 of them ch)")
    rules = "\n".join(section(pattern_text(lacy_wave, build_rows(lacy_wave)), "Before you begin"))
    assert "Ch-sp: work into the space under the ch, not into the ch itself." in rules


def test_a_row_that_crosses_a_chain_counts_stitches_and_chains_apart(row_of):
    lace = row_of("3", "V K2 4", "3")
    plain = row_of("3", "7", "3")
    design = a_design(lace, cycle=(lace, plain), turning=Turning(chains=1, counts=False))
    assert text_of(design, 2).endswith(
        "1 dc in each of first 3 sts, *1 dc in each of next 5 sts, 1 dc in next ch-1 sp, 1 dc in "
        "next st; repeat from * once more (twice in all), 1 dc in each of last 3 sts. (20 sts)"
    )


def test_mixed_stitches_each_have_their_name(every_stitch):
    assert "(1 hdc, ch 1, 1 hdc) in next " in text_of(every_stitch, 3)
    assert "(1 htr, ch 1, 1 htr) in next " in text_of(every_stitch, 3, "UK")
    assert "[sl st2tog over next 2" in text_of(every_stitch, 1)


def test_items_alone_read_as_in_the_middle_of_a_row(items_of):
    items = items_of("3 D2x2 3 I2x2 K2 C V")
    assert items_phrase(items, vocabulary("UK")) == (
        "1 tr in each of next 3 sts, [tr2tog over next 2 sts] twice, 1 tr in each of next 3 sts, "
        "2 tr in each of next 2 sts, miss next 2 sts, ch 1, (1 tr, ch 1, 1 tr) in next st"
    )


# Stripes --------------------------------------------------------------------------------------


def test_colours_change_on_the_last_yarn_over_of_the_row_before(twelve):
    lines = lines_of(a_design(twelve.wave.row, rows=4), ball_for_row=[0, 1, 1, 0])
    assert lines[0] == "Foundation: With Sea, ch 39 (a multiple of 12, plus 3)."
    assert "chang" not in lines[1] + lines[2]  # a row that repeats reads the same every time
    assert lines[3] == (
        "Rows 3 to 4: Repeat row 2 until 4 rows are worked, changing color where the stripes do. "
        "(36 sts)"
    )


def test_the_rule_says_when_the_colour_changes(twelve):
    text = pattern_text(twelve, build_rows(twelve, rows=4), yarn_of_row=[0, 1, 1, 0])
    (rule,) = [line for line in section(text, "Before you begin") if line.startswith("Changing")]
    assert "last st of a stripe up to its last yo, then make that yo with the new color" in rule
    plain = pattern_text(twelve, build_rows(twelve, rows=4), yarn_of_row=[0, 0, 0, 0])
    assert "Changing" not in plain


def test_a_stripe_sequence_that_comes_again_is_said_once(twelve):
    yarns = [0, 0, 1, 0, 0, 1, 1, 0] * 4 + [0, 0, 1]
    text = pattern_text(twelve, build_rows(twelve, rows=35), yarn_of_row=yarns)
    assert section(text, "Stripes") == [
        "The stripe sequence has 8 rows:",
        "Rows 1 to 2: Sea (2 rows, 2 in all)",
        "Row 3: Sand (1 row, 3 in all)",
        "Rows 4 to 5: Sea (2 rows, 5 in all)",
        "Rows 6 to 7: Sand (2 rows, 7 in all)",
        "Row 8: Sea (1 row, 8 in all)",
        "Repeat rows 1 to 8 of the stripe sequence 3 more times: 32 rows in all.",
        "Then work rows 1 to 3 of the sequence again: 35 rows in all.",
    ]


def stripes_read(lines: Sequence[str], names: Sequence[str]) -> list[int]:
    """Return the yarn of every row, read from a stripe list."""
    yarns: list[int] = []
    for line in lines:
        if match := re.match(r"Rows? (\d+)(?: to (\d+))?: (\w+) \((\d+) rows?, (\d+) in all", line):
            assert int(match[1]) == len(yarns) + 1
            yarns += [names.index(match[3])] * int(match[4])
            assert len(yarns) == int(match[5]) == int(match[2] or match[1])
        elif match := re.match(r"Repeat .* 1 to (\d+) .* (?:once|(\d+)) more.*: (\d+) rows", line):
            yarns *= int(match[2] or 1) + 1
            assert len(yarns) == int(match[3])
        elif match := re.match(r"Then work rows? 1(?: to (\d+))? .*: (\d+) rows", line):
            yarns += yarns[: int(match[1] or 1)]
            assert len(yarns) == int(match[2])
        else:
            assert re.fullmatch(r"The stripe sequence has \d+ rows:", line)
    return yarns


@given(st.lists(st.integers(0, 1), min_size=1, max_size=12), st.integers(1, 40))
def test_a_stripe_list_read_again_gives_every_row_its_yarn(sequence, n_rows):
    yarns = (sequence * 40)[:n_rows]
    row = Row((), (Item(stitch="dc", times=6),), ())
    design = a_design(row, rows=n_rows)
    text = pattern_text(design, build_rows(design), yarn_of_row=yarns)
    assert stripes_read(section(text, "Stripes"), ["Sea", "Sand"]) == yarns


def test_stripes_are_listed_with_the_rows_so_far(twelve):
    rows = build_rows(twelve, rows=6)
    text = pattern_text(twelve, rows, yarn_of_row=[0, 0, 1, 0, 0, 0])
    assert section(text, "Stripes") == [
        "Rows 1 to 2: Sea (2 rows, 2 in all)",
        "Row 3: Sand (1 row, 3 in all)",
        "Rows 4 to 6: Sea (3 rows, 6 in all)",
    ]


def test_yarns_of_the_same_name_are_told_apart(twelve):
    same = tuple(Yarn(name="Wool", colour=c, ball_m=90, ball_g=50) for c in ("#102030", "#405060"))
    design = a_design(twelve.wave.row, yarns=same, rows=2)
    text = pattern_text(design, build_rows(design), yarn_of_row=[0, 1])
    assert "Row 2: Wool (yarn 2) (1 row, 2 in all)" in text


def test_only_yarns_that_are_worked_with_are_materials(twelve):
    text = pattern_text(twelve, build_rows(twelve, rows=2), yarn_of_row=[1, 1])
    assert section(text, "Materials") == ["Sand: 105 m in a ball of 50 g", "Hook: 5 mm"]


# Size and gauge -------------------------------------------------------------------------------


def test_the_multiple_says_how_to_make_it_wider(twelve):
    assert section(pattern_text(twelve, build_rows(twelve)), "Multiple") == [
        "Multiple of 12 plus 3 ch (27 ch or more).",
        "This blanket has 2 repeats between its edges: 39 ch in all.",
        "For every repeat more, make 12 ch more; every row then has 12 sts more.",
        "At any width, in row 1 repeat from * to last 11 ch, in every later row repeat from * to "
        "last 11 sts (the turning ch is one of them).",
    ]


@given(any_designs())
def test_to_the_last_stitches_is_where_the_repeats_end(design):
    rows = build_rows(design)
    lines = "\n".join(section(pattern_text(design, rows, terms="US"), "Multiple"))
    row_1 = re.search(r"in row 1 repeat from \* to last (?:(\d+) )?ch", lines)
    later = re.search(r"in every later row repeat from \* to last (?:(\d+) )?sts?", lines)
    for row, found in ((1, row_1), (2, later)):
        if found is None or row > len(rows.which):
            continue
        text = text_of(design, row)
        joined = row > 1 and " ch and this " in text_of(design, row - 1)
        tail = COUNT.sub("", text).split(" in all)", 1)[1].removeprefix(", ")
        assert int(found[1] or 1) == _uses(tail, joined=joined)


def _uses(tail: str, *, joined: bool) -> int:
    """Return how many places a tail goes into, by its numbers alone."""
    uses = 0
    for phrase in _split(tail):
        times = 1
        if match := re.fullmatch(r"\[(.*)\] (.*)", phrase):
            phrase, times = match[1], _times(match[2])
        if re.fullmatch(r"ch \d+|leaving turning ch unworked", phrase):
            continue
        where = re.split(r" in | over |skip |leave ", phrase)[-1]
        number = re.search(r"(?:next|last|first) (\d+)", where)
        named = (
            int(number[1])
            if number
            else len(re.findall(r"next st|last st|(?:last|next) ch(?!-)", where))
            + sum(map(int, re.findall(r"ch-(\d+) sp", where)))
        )
        of_turning = "turning ch" in where and not joined
        uses += (named + of_turning) * times
    return uses


def test_rows_that_fit_at_one_width_only_are_said_to(row_of):
    wide = row_of("2", "4", "")
    narrow = row_of("4", "3", "")
    design = a_design(wide, cycle=(wide, narrow), repeats=2)
    assert build_rows(design).misfit is None
    assert "The rows fit one another at this width only." in pattern_text(
        design, build_rows(design)
    )


def test_the_gauge_names_the_units_of_the_design(twelve):
    inches = a_design(twelve.wave.row, units="in")
    text = pattern_text(inches, build_rows(inches))
    assert section(text, "Gauge") == [
        "13 dc and 7.5 rows = 4 in (10 cm), in plain rows of dc without the wave."
    ]
    assert "Sea: 105 m (115 yd) in a ball of 50 g" in text
    assert section(pattern_text(twelve, build_rows(twelve), terms="UK"), "Tension") == [
        "13 tr and 7.5 rows = 10 cm, in plain rows of tr without the wave."
    ]


def test_notes_and_size_lines_stand_as_they_are_given(twelve):
    design = a_design(twelve.wave.row, notes="Wash cool.\nDry flat.")
    text = pattern_text(design, build_rows(design), size_text=["Width: 91 cm"])
    assert section(text, "Notes") == ["Wash cool.", "Dry flat."]
    assert section(text, "Size") == ["Width: 91 cm"]


def test_a_design_without_title_and_designer_begins_with_its_terms(twelve):
    design = a_design(twelve.wave.row, title="", designer="")
    assert pattern_text(design, build_rows(design)).startswith("Written in US terms\n")


# Words ----------------------------------------------------------------------------------------

ONLY_US = (
    r"\b(?:sc|hdc|sl st|skip|skipped|gauge|yo|yarn over|color|single crochet|half double crochet)\b"
    r"|\b(?:sc|hdc|sl st)\d+tog"
)
ONLY_UK = (
    r"\b(?:ss|htr|trtr|miss|missed|tension|yrh|yarn round hook|colour|half treble|triple treble)\b"
    r"|\b(?:ss|htr|trtr)\d+tog"
)


@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_no_word_of_the_other_system_is_left(name, request):
    design = request.getfixturevalue(name)
    rows = build_rows(design)
    for terms, foreign in (("UK", ONLY_US), ("US", ONLY_UK)):
        text = pattern_text(design, rows, terms=terms, yarn_of_row=[0, 1] * (len(rows.which) // 2))
        assert not re.search(foreign, text, re.IGNORECASE)


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_exactly_the_abbreviations_in_use_are_explained(name, terms, request):
    design = request.getfixturevalue(name)
    rows = build_rows(design)
    text = pattern_text(design, rows, terms=terms, yarn_of_row=[0, 1] * (len(rows.which) // 2))
    listed = {line.split(": ")[0] for line in section(text, "Abbreviations")}
    rest = text.replace("\n".join(section(text, "Abbreviations")), "").replace(
        "\nAbbreviations", ""
    )
    assert listed == _abbreviations_in(rest, terms)


def _abbreviations_in(text: str, terms: str) -> set[str]:
    found = {match[0].lower() for match in re.finditer(rf"\b{STITCH}\d+tog\b", text, re.IGNORECASE)}
    for word in ["ch", "RS", "WS", "yo", "yrh", *MEANING[terms]]:
        if re.search(rf"\b{word}\b", text, re.IGNORECASE):
            found.add(word)
    if re.search(r"\bsps?\b", text):
        found.add("sp(s)")
    bare = re.sub(r"\bsl st\b", "", text)
    return found | ({"st(s)"} if re.search(r"\bsts?\b", bare, re.IGNORECASE) else set())


# Common practice: a leg ends with its last two loops left, and one more yarn over closes all.
DECREASES = {
    ("sc", 2): "[insert hook in next st, yo and pull up a loop] twice, yo and pull through all "
    "3 loops on hook.",
    ("hdc", 3): "[yo, insert hook in next st, yo and pull up a loop] 3 times, yo and pull through "
    "all 7 loops on hook.",
    ("dc", 3): "[yo, insert hook in next st, yo and pull up a loop, yo and pull through 2 loops] "
    "3 times, yo and pull through all 4 loops on hook.",
    ("tr", 2): "[yo twice, insert hook in next st, yo and pull up a loop, (yo and pull through "
    "2 loops) twice] twice, yo and pull through all 3 loops on hook.",
    ("sl st", 2): "insert hook in next st, yo and pull up a loop, insert hook in next st, yo and "
    "pull through the st and all loops on hook.",
}


@pytest.mark.parametrize(("stitch", "over"), DECREASES)
def test_decreases_are_written_out_for_their_stitch(stitch, over):
    name = f"{stitch}{over}tog"
    (line,) = special_stitches(f"{name} over next", [], vocabulary("US"))
    assert line == (name, DECREASES[stitch, over].removesuffix("."))


def test_increases_are_written_out_once_each(items_of):
    items = items_of("I2 3 I2x2 I3 V")
    assert special_stitches("", items, vocabulary("UK")) == (
        ("2 tr in one st", "work all of them into the same place; 1 st more than before"),
        ("3 tr in one st", "work all of them into the same place; 2 sts more than before"),
        (
            "(1 tr, ch 1, 1 tr) in one st",
            "work all of it into the same place; 2 sts more than before, each ch counted as one",
        ),
    )


def test_both_systems_have_a_phrase_for_every_key():
    us, uk = vocabulary("US"), vocabulary("UK")
    assert us.phrases.keys() == uk.phrases.keys()
    for key, phrase in us.phrases.items():
        assert set(re.findall(r"\{\w+\}", phrase)) == set(re.findall(r"\{\w+\}", uk.phrases[key]))
        assert "<" not in phrase + uk.phrases[key]


@pytest.mark.parametrize(("number", "written"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"),
                                                 (11, "11th"), (12, "12th"), (13, "13th"),
                                                 (21, "21st"), (111, "111th")])  # fmt: skip
def test_ordinals_are_english(number, written):
    assert vocabulary("US").ordinal(number) == written


@pytest.mark.parametrize("name", [*NAMED, "losing_wave"])
def test_every_word_comes_from_the_vocabulary(name, request, monkeypatch):
    """With all words of the catalogue turned into x, no letter but x is left."""
    english = vocabulary("US")
    blank = Vocabulary(
        terms="US",
        phrases={
            key: re.sub(r"\{\w+\}|[A-Za-z]", lambda m: m[0] if m[0][0] == "{" else "x", phrase)
            for key, phrase in english.phrases.items()
        },
        names={key: type(entry)("xx", "xxx", "xxx") for key, entry in english.names.items()},
        number_of=english.number_of,
        ordinal=str,
    )
    monkeypatch.setattr(write_module, "vocabulary", lambda *args, **kwargs: blank)
    design = request.getfixturevalue(name)
    yarns = tuple(Yarn(name=n, colour="#000000", ball_m=1, ball_g=1) for n in ("1", "2"))
    plain = a_design(
        design.wave.row,
        title="3",
        designer="4",
        yarns=yarns,
        setup=design.wave.setup,
        cycle=design.wave.cycle,
        turning=design.turning,
        loops=design.loops,
    )
    text = pattern_text(plain, build_rows(plain), yarn_of_row=[0, 1] * 4)
    assert set(re.findall(r"[A-Za-z]", text)) <= {"x", "X", "U", "S"}  # US itself is filled in


def test_the_longest_blanket_is_written_without_waiting(row_of):
    """5,000 rows in a cycle of 40 kinds; each kind is worded once."""
    kinds = tuple(row_of(f"I2 {n + 1}", "3 D2x2 3 I2x2", f"{41 - n} D2") for n in range(40))
    design = a_design(kinds[0], cycle=kinds, rows=5000)
    assert len(lines_of(design)) == 1 + 1 + 40 + 1
