"""A maker: follows a generated pattern from its words alone, over a real chain.

It shares no code with `core.words` or `core.reading` and knows neither items nor steps. It has a
chain of so many loops, counted from the hook; it turns the work, so a row's first stitch is the
last of the row below; it goes on row by row as the lines say. Afterwards every stitch is known by
its name and by what it was worked into.

What it follows: "Ch 39"; "4th ch from hook"; "over 4th and 5th ch from hook"; skips; n in one; so
many together; groups in one with chains; square brackets so many times; asterisks; the turning
chain that counts, doesn't count, is a leg, or has chains of the row after it; its top, or which of
its chains; places left unworked; "work as row 2"; "repeat rows 2 to 3 until 10 rows are worked".
Loops and changes of colour are passed over. Anything else stops it with the words it stumbled on.
"""

import re
from dataclasses import dataclass, field

from published_names import UK, US

OFTEN = {"once": 1, "twice": 2}


class Stumbled(AssertionError):  # noqa: N818 - what happened to the maker
    """The words can't be followed."""


@dataclass
class Made:
    """A stitch: its name, and the numbers of what it was worked into.

    In row 1 these are chains counted from the hook, from 1; in other rows places counted from
    where the row begins, from 0. A turning chain that counts has none.
    """

    name: str
    feet: tuple[int, ...]


@dataclass
class Maker:
    """Works one pattern.

    Attributes:
        names: What its words mean.
        chains: Chains made before row 1.
        rows: Every row's stitches, in the order they were made.
    """

    names: dict[str, str]
    chains: int
    rows: list[list[Made]] = field(default_factory=list)
    asides: list[bool] = field(default_factory=list)  # whether the row's chain is no stitch

    def work(self, text: str) -> None:
        """Work the next row."""
        row = _Row(self, text)
        self.rows.append(row.made)
        self.asides.append(row.chain_aside)


class _Row:
    def __init__(self, maker: Maker, text: str) -> None:
        self.names, self.made, self.chain_aside = maker.names, list[Made](), False
        self.is_first = not maker.rows
        self.chains = maker.chains
        if self.is_first:
            self.below = ["ch"] * maker.chains
        else:
            self.below = [made.name for made in reversed(maker.rows[-1])]
            self.below_aside = maker.asides[-1]
        self.at, self.leg = 0, False
        body, count = self._cut_count(text)
        for phrase in self._phrases(body):
            self._do(phrase)
        if self.at != len(self.below):
            raise Stumbled(f"{len(self.below) - self.at} left over: {text}")
        if len(self.made) != count:
            raise Stumbled(f"{len(self.made)} made, {count} told: {text}")

    def _cut_count(self, text: str) -> tuple[str, int]:
        cut = text.rindex(" (")
        told = re.match(r" \((\d+) sts?\b", text[cut:])
        if told is None:
            raise Stumbled(f"no count: {text}")
        return text[:cut].removesuffix("."), int(told[1])

    def _phrases(self, body: str) -> list[str]:
        """Return the phrases in order, repeats written out."""
        star = re.compile(r"\*([^*]*); repeat from \* [^()]*\((once|twice|\d+ times) in all\)")
        while found := star.search(body):
            every = ", ".join([found[1]] * self._often(found[2]))
            body = body[: found.start()] + every + body[found.end() :]
        body = re.sub(r"[Ww]orking in (?:back|front) loops only(?:, last st through both loops)?: ",
                      "", body)  # fmt: skip
        body = re.sub(r", changing to .*\Z", "", body)
        found, depth, start = [], 0, 0
        for n, sign in enumerate(body + ","):
            depth += (sign in "([") - (sign in ")]")
            if not depth and (sign == "," or body[n : n + 2] == ". "):
                found.append(body[start:n].strip(" .,"))
                start = n + 1
        return [phrase[0].lower() + phrase[1:] for phrase in found if phrase]

    def _often(self, words: str) -> int:
        return OFTEN.get(words) or int(words.split()[0])

    def _do(self, phrase: str) -> None:
        for pattern, do in (
            (r"ch (\d+) more", self._more),
            (r"turn", lambda: None),
            (r"ch (\d+) \(counts as 1 (\S+(?: st)?)(?: and (\d+) ch)?\)", self._stand),
            (r"ch (\d+) \(does not count as a st\)", lambda n: None),
            (r"the (?:\d+ )?ch counts? as 1 (.*)", self._whole),
            (r"ch (\d+)", self._chain),
            (r"(.*) \((.*count.*)\)", self._remarked),
            (r"\[(.*)\] (.*)", self._again),
            (r"(?:skip|miss) (first|next|last) (?:(\d+) )?(\w+)", self._pass),
            (r"leave last (?:(\d+) )?(?:sts?|ch)( and turning ch)? unworked", self._leave),
            (r"leave turning ch unworked", lambda: self._leave("0", " and turning ch")),
            (r"leaving turning ch unworked", self._aside),
            (r"(.*?) ?(\d+)tog over (.*)", self._join),
            (r"(\(.*\)|\d+ .*?) in (.*)", self._into),
        ):
            match = re.fullmatch(pattern, phrase)
            if match is not None:
                bare = pattern == r"ch (\d+)" and not self.made and not self.at
                if bare and not self.is_first and not self._leg_or_row():
                    return
                do(*match.groups())
                return
        raise Stumbled(f"not understood: {phrase}")

    def _leg_or_row(self) -> bool:
        """Return whether a bare chain at a row's start is the row's own."""
        if self.leg:
            return True
        self.leg = True  # a turning chain that isn't explained yet: part of the first stitch
        return False

    def _more(self, n: str) -> None:
        self.chains += int(n)
        self.below += ["ch"] * int(n)

    def _stand(self, n: str, name: str, more: str | None) -> None:
        self.made.append(Made(self.names[name], ()))
        self.made += [Made("ch", ())] * int(more or 0)

    def _whole(self, what: str) -> None:
        name, _, more = what.partition(" and ")
        self._stand("0", name, more.split()[0] if more else None)
        self.at = len(self.below)

    def _chain(self, n: str) -> None:
        self.made += [Made("ch", ())] * int(n)

    def _again(self, phrase: str, often: str) -> None:
        for _ in range(self._often(often)):
            self._do(phrase)

    def _remarked(self, phrase: str, remark: str) -> None:
        joined = re.search(r"this (.*) counts? as 1 (\S+?) ?(\d+)tog", remark)
        if joined:
            self._do(phrase)
            (stitch,) = self.made
            if len(stitch.feet) + 1 != int(joined[3]) or stitch.name != self.names[joined[2]]:
                raise Stumbled(f"{phrase} and the chain are no {joined[0]}")
            self.chain_aside = True
            return
        if "not count" not in remark:
            told = re.search(r"counts? as (?:1 (\S+(?: st\b)?)(?: and (\d+) ch)?|a st|sts)", remark)
            if told is None:
                raise Stumbled(remark)
            if told[1]:
                self._stand("0", told[1], told[2])
            else:
                number = re.match(r"(?:the )?(\d+)", remark)
                self._chain(number[1] if number else "1")
        self._do(phrase)

    def _go(self, n: int) -> list[int]:
        if self.at + n > len(self.below):
            raise Stumbled(f"{n} wanted, {len(self.below) - self.at} left")
        feet = list(range(self.at, self.at + n))
        self.at += n
        return [foot + 1 for foot in feet] if self.is_first else feet

    def _pass(self, order: str, n: str | None, noun: str) -> None:
        self._places(f"{order} {n + ' ' if n else ''}{noun}")

    def _leave(self, n: str | None, turning: str | None) -> None:
        places = int(n or 1) + bool(turning and not self.below_aside)
        if places != len(self.below) - self.at:
            raise Stumbled(f"{places} to leave, {len(self.below) - self.at} left")
        self.at += places

    def _aside(self) -> None:
        if not self.below_aside:
            raise Stumbled("the turning chain below is a stitch")

    def _places(self, where: str) -> list[int]:
        """Return what a phrase's place is, and move past it."""
        if where == "same st":
            self.at = 0
            return self._go(1)
        hook = re.fullmatch(r"(\d+)\w\w (?:(?:and|to) (\d+)\w\w )?ch from hook", where)
        if hook:
            self.at = int(hook[1]) - 1
            return self._go(int(hook[2] or hook[1]) - int(hook[1]) + 1)
        if re.fullmatch(r"(?:top|\d+\w\w ch) of turning ch", where):
            if self.at != len(self.below) - 1 or self.below_aside:
                raise Stumbled(f"{where}: {len(self.below) - self.at} left")
            return self._go(1)
        both = re.fullmatch(r"(.*) and ((?:top|\d+\w\w ch) of turning ch)", where)
        if both:
            return [*self._places(both[1]), *self._places(both[2])]
        space = re.fullmatch(r"(?:each of )?next (?:(\d+) )?ch-(\d+) sps?", where)
        if space:
            n = int(space[1] or 1) * int(space[2])
            if self.below[self.at : self.at + n] != ["ch"] * n:
                raise Stumbled(f"{where}: what comes is {self.below[self.at : self.at + n]}")
            return self._go(n)
        place = re.fullmatch(r"(?:each of )?(first|next|last|the) (?:(\d+) )?(sts?|ch)", where)
        if place is None:
            raise Stumbled(f"no place: {where}")
        n = int(place[2] or 1)
        if place[1] == "first" and self.at:
            raise Stumbled(f"{where}, but {self.at} are behind")
        if place[1] in ("last", "the") and self.at + n != len(self.below):
            raise Stumbled(f"{where}, but {len(self.below) - self.at} are left")
        spots = self.below[self.at : self.at + n]
        if (place[3] == "ch") != (spots.count("ch") == n):
            raise Stumbled(f"{where}: what comes is {spots}")
        return self._go(n)

    def _join(self, name: str, n: str, where: str) -> None:
        feet = self._places(where)
        if len(feet) != int(n):
            raise Stumbled(f"{n} together over {len(feet)}")
        self.made.append(Made(self.names[name], tuple(feet)))

    def _into(self, work: str, where: str) -> None:
        for foot in self._places(where):
            for part in self._parts(work):
                n, _, name = part.partition(" ")
                if n == "ch":
                    self.made += [Made("ch", ())] * int(name)
                else:
                    self.made += [Made(self.names[name], (foot,))] * int(n)

    def _parts(self, work: str) -> list[str]:
        inside = work.removeprefix("(").removesuffix(")")
        inner = re.search(r"\[(.*)\] (once|twice|\d+ times)", inside)
        if inner:
            every = ", ".join([inner[1]] * self._often(inner[2]))
            inside = inside[: inner.start()] + every + inside[inner.end() :]
        return inside.split(", ")


def follow(lines: list[tuple[str, str]], terms: str) -> Maker:
    """Work a pattern from its lines (label, text), the foundation first.

    Raises:
        Stumbled: A maker can't go on.
    """
    chain = re.search(r"\b[Cc]h (\d+)", lines[0][1])
    if chain is None:
        raise Stumbled(f"no chain: {lines[0][1]}")
    maker = Maker(US if terms == "US" else UK, int(chain[1]))
    texts: list[str] = []
    for label, text in lines[1:]:
        numbers = [int(n) for n in re.findall(r"\d+", label)]
        like = re.match(r"(?:Work as row|Repeat rows?) (\d+)(?: to (\d+))?", text)
        if like is None:
            texts.append(text)
        else:
            first, last = int(like[1]), int(like[2] or like[1])
            for n in range(numbers[0], numbers[-1] + 1):
                texts.append(texts[first - 1 + (n - numbers[0]) % (last - first + 1)])
        if len(texts) != numbers[-1]:
            raise Stumbled(f"{label} after row {len(texts)}")
    for text in texts:
        maker.work(text)
    return maker
