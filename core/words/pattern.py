"""A pattern as sections of blocks, before it is set as text, pages or markup.

What `core.words.write` says is kept apart from how it looks, so plain text, the booklet and
structured markup carry the same words.
"""

from core.craft.stitches import Terms
from core.records import Struct, field


class Paragraph(Struct, frozen=True):
    """A line of text, after a label that names it: a row, an abbreviation, a yarn.

    Attributes:
        text: What it says.
        label: What stands before it and a colon; empty if nothing does.
        row: Number of the row that it writes, the last of several; None if it writes none.
        own: Whether it is the designer's own wording.
        caution: Which caution it is; empty if it is none.
        only: Which of several sizes it holds for, numbers from the smallest; empty for all.
    """

    text: str
    label: str = ""
    row: int | None = None
    own: bool = False
    caution: str = ""
    only: tuple[int, ...] = ()

    @property
    def plain(self) -> str:
        """The line as plain text."""
        return f"{self.label}: {self.text}" if self.label else self.text


class Table(Struct, frozen=True):
    """Figures in columns.

    Attributes:
        head: Names of the columns.
        rows: The cells, every row as long as the head.
        caption: What it shows.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""

    @property
    def plain(self) -> str:
        """The table as lines of plain text, each cell after its column's name."""
        lines = [self.caption] if self.caption else []
        for row in self.rows:
            pairs = zip(self.head, row, strict=True)
            lines.append(", ".join(f"{name} {cell}".strip() for name, cell in pairs))
        return "\n".join(lines)


Block = Paragraph | Table


class Section(Struct, frozen=True):
    """A part of the pattern.

    Attributes:
        name: What it is in every language: "size", "rows".
        heading: What stands over it; empty for the head of the pattern.
        blocks: What it says, in order.
    """

    name: str
    heading: str
    blocks: tuple[Block, ...]

    @property
    def plain(self) -> str:
        """The section as plain text, its heading first."""
        heading = [self.heading] if self.heading else []
        return "\n".join([*heading, *(block.plain for block in self.blocks)])


class Pattern(Struct, frozen=True):
    """The whole written pattern; sections with nothing to say are left out."""

    terms: Terms
    sections: tuple[Section, ...] = field(default=())

    def section(self, name: str) -> Section | None:
        """Return the section of that name, if there is one."""
        return next((part for part in self.sections if part.name == name), None)

    @property
    def plain(self) -> str:
        """The pattern as plain text: paragraphs are lines, sections are parted by empty ones."""
        return "\n\n".join(section.plain for section in self.sections) + "\n"
