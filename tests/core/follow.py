"""A maker: follows a generated pattern from its words alone, over a real chain.

It shares no code with `core.words` or `core.reading` and knows neither items nor steps. It has a
chain of so many loops, counted from the hook; it turns the work, so a row's first stitch is the
last of the row below; it goes on row by row as the lines say, and minds what they say on the way:
first, next and last, st and sts, how often in all, which chain of the turning chain. Afterwards
every stitch is known by its name and by what it was worked into. Changes of colour are passed
over; anything else stops it.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from published_names import UK, US

NAMES = {"US": US, "UK": UK}
PASS = {"US": "skip", "UK": "miss"}
TIMES = {"once": 1, "twice": 2}

STITCH = rf"(?:{'|'.join(sorted({*US, *UK}, key=len, reverse=True))})"
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
        counted: Whether the turning chain is a stitch, or part of one.
        turning_chains: How many chains it has.
        extra: How many of them are chains of the row after its first stitch.
    """

    terms: str
    below: list[str]
    turning: str = "none"
    chains: int = 0
    at: int = 0
    made: list[str] = field(default_factory=list)
    links: list[tuple[int, int]] = field(default_factory=list)
    joined: bool = False
    counted: bool = False
    turning_chains: int = 0
    extra: int = 0

    def read(self, text: str) -> "Reader":
        count = COUNT.search(text)
        assert count, f"no stitch count at the end: {text}"
        body = text[: count.start()]
        if not self.chains:
            body = self._turn(body)
        body = LOOPS.sub("", body)
        for phrase in phrases_of(_expanded(body)):
            self._phrase(phrase[:1].lower() + phrase[1:])
        assert self.at == len(self.below), f"{len(self.below) - self.at} places left over: {text}"
        assert len(self.made) == int(count["sts"])
        assert self.made.count("ch") == int(count["chains"] or 0)
        return self

    def leaves(self) -> str:
        """Return what this row's beginning is for the row above."""
        if not self.counted:
            return "none"
        if self.joined:
            return "joined"
        if not extra_chains(self.made):
            return "top"
        return str(self.turning_chains - self.extra)  # its own end, wherever more chains follow

    def _turn(self, body: str) -> str:
        turn = TURN.match(body)
        assert turn, f"no turn: {body}"
        self.turning_chains = int(turn["n"] or 0)
        if turn["stitch"]:
            self._stand(turn["stitch"], int(turn["extra"] or 0))
        return body[turn.end() :]

    def _stand(self, stitch: str, extra: int) -> None:
        assert not self.made
        self.counted, self.extra = True, extra
        self.made += [NAMES[self.terms][stitch], *["ch"] * extra]

    def _phrase(self, phrase: str) -> None:
        remark = re.fullmatch(r"(.*?) \(((?:\d+ of )?the .*)\)", phrase)
        if remark:
            self._remarked(remark[1], remark[2])
        elif match := re.fullmatch(r"the (?:\d+ )?ch counts? as (.*)", phrase):
            self._count_as(match[1])
            self.at = len(self.below)
        elif match := re.fullmatch(r"\[(.*)\] (.*)", phrase):
            for _ in range(times_of(match[2])):
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
            self.counted = True
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
        self.turning_chains = int(first[1]) - 1

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
        assert self.made == [NAMES[self.terms][match[1]]]
        self.joined = self.counted = True

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
            self.below = [*self.below, *["ch"] * int(match[1])]
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
        self.made.append(NAMES[self.terms][match[1]])
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
        for part in phrases_of(_groups_written_out(work.strip("()"))):
            if match := re.fullmatch(r"ch (\d+)", part):
                made += ["ch"] * int(match[1])
            else:
                n, _, stitch = part.partition(" ")
                made += [NAMES[self.terms][stitch]] * int(n)
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


def times_of(text: str) -> int:
    return TIMES[text] if text in TIMES else int(text.removesuffix(" times"))


def _expanded(body: str) -> str:
    """Return the text with what stands between asterisks written out."""

    def written_out(match: re.Match[str]) -> str:
        times = times_of(match["all"])
        assert times == (1 if match["once"] else int(match["more"])) + 1
        return ", ".join([match["body"]] * times)

    assert body.count("*") in (0, 2)
    expanded = REPEAT.sub(written_out, body)
    assert "*" not in expanded
    return expanded


def _groups_written_out(text: str) -> str:
    def written_out(match: re.Match[str]) -> str:
        return ", ".join([match[1]] * times_of(match[2]))

    return re.sub(r"\[([^]]*)\] (once|twice|\d+ times)", written_out, text)


def phrases_of(text: str) -> Iterator[str]:
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


@dataclass
class Made:
    """A pattern as it was worked.

    Attributes:
        chains: Chains of the foundation.
        rows: Its rows, each as its reader left it.
    """

    chains: int
    rows: list[Reader] = field(default_factory=list)


def follow(lines: Sequence[tuple[str, str]], terms: str) -> Made:
    """Work a pattern from its lines (label, text), the foundation first, repeats as they are told.

    Raises:
        AssertionError: A maker can't go on, or ends on another count than is told.
        KeyError: A stitch has no meaning in these terms.
    """
    told = rows_told([f"{label}: {text}" for label, text in lines[1:]])
    return worked(lines[0][1], [told[row] for row in sorted(told)], terms)


def worked(foundation: str, rows: Sequence[str], terms: str) -> Made:
    """Work rows one over the other, each from its own text."""
    chain = re.search(r"\b[Cc]h (\d+)", foundation)
    assert chain, foundation
    made, below, turning = Made(int(chain[1])), ["ch"] * int(chain[1]), "none"
    for text in rows:
        row = Reader(terms, below, turning, 0 if made.rows else made.chains).read(text)
        made.rows.append(row)
        below, turning = row.made[::-1], row.leaves()
    return made


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
