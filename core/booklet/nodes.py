"""The tree of a booklet: parts made of blocks, pictures and lists, without any look."""

from collections.abc import Mapping
from typing import Final, Literal

from core.booklet.options import Edition
from core.records import Struct
from core.words.pattern import Block, Paragraph, Table
from core.words.vocabulary import Vocabulary

PictureName = Literal["fabric", "schematic", "chart", "closeup", "stripes"]


class Picture(Struct, frozen=True):
    """A picture and what it shows, in words.

    Attributes:
        name: Which one.
        caption: What stands under it.
        alt: One sentence that can take its place.
        description: What there is to see, for those who can't see it, paragraph by paragraph.
    """

    name: PictureName
    caption: str
    alt: str
    description: tuple[str, ...]


class Tick(Struct, frozen=True):
    """A stripe to be ticked off.

    Attributes:
        number: Its number, from 1.
        yarn: Number of its yarn.
        letter: The yarn's letter.
        name: The yarn's name, with what its designer calls the stripe.
        first: Its first row.
        last: Its last row.
    """

    number: int
    yarn: int
    letter: str
    name: str
    first: int
    last: int

    @property
    def rows(self) -> int:
        """Rows of the stripe."""
        return self.last - self.first + 1

    def span(self, words: Vocabulary) -> str:
        """Return its rows by number."""
        if self.first == self.last:
            return str(self.first)
        return words.say("row span", first=self.first, last=self.last)


class Ticks(Struct, frozen=True):
    """The stripes in order, each to be ticked off, with running totals."""

    caption: str
    stripes: tuple[Tick, ...]


class Colour(Struct, frozen=True):
    """A yarn's letter, name and colour, the colour in words as well."""

    yarn: int
    letter: str
    name: str
    words: str
    colour: str


class Colours(Struct, frozen=True):
    """What the yarns' letters stand for."""

    caption: str
    yarns: tuple[Colour, ...]


class Points(Struct, frozen=True):
    """Sentences that belong together, one under the other."""

    points: tuple[str, ...]


class Facts(Struct, frozen=True):
    """Measures with their names, in short."""

    facts: tuple[tuple[str, str], ...]


Node = Block | Picture | Ticks | Colours | Points | Facts

KNOWN: Final = (Paragraph, Table, Picture, Ticks, Colours, Points, Facts)
"""What pages and markup know how to set; any other block is set as its plain text."""


class Part(Struct, frozen=True):
    """A part of the booklet under a heading."""

    name: str
    heading: str
    nodes: tuple[Node, ...]


class Booklet(Struct, frozen=True, kw_only=True):
    """A whole booklet.

    Attributes:
        title: The pattern's title.
        designer: Who made it; empty if it isn't said.
        lines: What stands under the title: terms, hand.
        facts: The blanket in short, for the title page.
        cover: The picture on the title page.
        access: The access statement.
        parts: Everything after the title page.
        edition: The edition it is.
        words: What everything around the pattern is said with.
        own_meanings: What the abbreviations in the designer's own words mean.
        draft: Why it is a draft; empty if it isn't.
        version: What tells this state of the pattern from others.
        foot: What runs along the foot of every page: the title, then terms and version.
    """

    title: str
    designer: str
    lines: tuple[str, ...]
    facts: Facts
    cover: Picture
    access: str
    parts: tuple[Part, ...]
    edition: Edition
    words: Vocabulary
    own_meanings: Mapping[str, str]
    draft: tuple[str, ...]
    version: str
    foot: tuple[str, str]

    @property
    def language(self) -> str:
        """Its language as a tag: "en"."""
        return self.words.language

    def part(self, name: str) -> Part | None:
        """Return the part of that name, if there is one."""
        return next((part for part in self.parts if part.name == name), None)
