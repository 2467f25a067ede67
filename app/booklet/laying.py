"""From the tree of a booklet to pieces, set in the manner of its edition."""

import re
from collections.abc import Iterator, Sequence
from typing import Final

from PySide6.QtCore import Qt

from app.booklet.figures import ChartFigure, FabricFigure, Figure, StripesFigure
from app.booklet.flow import Start
from app.booklet.lists import ColoursPiece, FactsPiece, TicksPiece
from app.booklet.manner import MM, POINT, Manner
from app.booklet.pieces import (
    BesidePiece,
    Cell,
    FigurePiece,
    Piece,
    ShiftedPiece,
    TablePiece,
    TextPiece,
)
from app.booklet.schematic import SchematicFigure
from app.booklet.setting import Run, SetText, text_width
from app.booklet.source import Source
from core.booklet.closeup import closeup_mm
from core.booklet.nodes import KNOWN, Colours, Facts, Node, Part, Picture, Points, Ticks
from core.records import replace
from core.words.pattern import Paragraph, Table

_FIGURES: Final = re.compile(r"[\d\s.,:–×x%+/()\-−]*\d[\d\s.,:–×x%+/()\-−]*(cm|mm|in|m|g)?")
_BEFORE_INCHES: Final = re.compile(r" \((?=\d)")
_UNITS: Final = re.compile(
    r"(?<=\d) (?=(?:cm|mm|in|m|g|yd|ch|sts?|Lm|M|Zentimeter|Millimeter|Meter|Gramm)\b)"
)
_LAST_WORD: Final = re.compile(r"(?<=\S) (?=\S{1,8}$)", re.MULTILINE)
_NO_BREAK: Final = "\u00a0"
_KEPT_WHOLE: Final = 0.24  # share of a column up to which a part isn't cut
_WIDE: Final = {"chart", "stripes"}  # parts that need the whole width


class Layer:
    """Sets one booklet's parts as pieces for a column of a given width."""

    def __init__(self, source: Source, manner: Manner, width: float, tallest: float) -> None:
        """Set for one edition.

        Args:
            source: What it is made from.
            manner: The look of the edition.
            width: Width of a column, in units.
            tallest: Height of a column.
        """
        self._source = source
        self._manner = manner
        self._width = width
        self._tallest = tallest
        self._side = manner.side_mm * MM

    # text

    def text(
        self,
        runs: Sequence[Run] | str,
        *,
        width: float | None = None,
        points: float | None = None,
        colour: str = "",
        hang: float = 0.0,
        bold: bool = False,
        leading: float | None = None,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
    ) -> SetText:
        """Return text set in this edition's manner."""
        manner = self._manner
        if isinstance(runs, str):
            runs = [Run(runs, bold)]
        return SetText(
            [replace(run, text=_bound(run.text)) for run in runs],
            self._width if width is None else width,
            family=self._source.family,
            points=points or manner.body,
            leading=leading or manner.leading,
            colour=colour or manner.ink,
            hang=hang,
            align=align,
        )

    # parts

    def parts(self) -> Iterator[Piece | Start]:
        """Yield the pieces of every part, each after the mark that it starts there."""
        for part in self._source.booklet.parts:
            yield Start(part.name)
            yield from self._part(part)

    def _part(self, part: Part) -> Iterator[Piece]:
        manner = self._manner
        beside = self._side and part.name not in _WIDE
        width = self._width - (self._side if beside else 0.0)
        pieces = _held_together(list(self._nodes(part.nodes, width)))
        if not manner.is_large:
            pieces = _short_kept_whole(pieces, _KEPT_WHOLE * self._tallest)
        gap = manner.part_gap * POINT
        heading = part.heading or part.name
        if beside and pieces and pieces[0].height:
            side = self.text(
                heading,
                width=self._side - 5 * MM,
                points=manner.heading,
                bold=True,
                colour=manner.accent,
                leading=1.2,
            )
            yield BesidePiece(
                inner=pieces[0],
                heading=side,
                x=self._side,
                rule=manner.hairline,
                rule_width=self._width,
                before=gap,
                keep=pieces[0].keep,
            )
            yield from (ShiftedPiece(inner=piece, x=self._side) for piece in pieces[1:])
            return
        yield TextPiece(
            text=self.text(
                heading, points=manner.heading, bold=True, colour=manner.accent, leading=1.25
            ),
            before=gap,
            keep=True,
            whole=True,
            rule=manner.hairline,
            rule_width=self._width,
        )
        yield from pieces

    def _nodes(self, nodes: Sequence[Node], width: float) -> Iterator[Piece]:
        for node in nodes:
            if type(node) not in KNOWN:  # a block of the words' that is new: its plain text
                lines = getattr(node, "plain", "").splitlines()
                yield from (self._paragraph(Paragraph(line), width) for line in lines)
            match node:
                case Paragraph():
                    yield self._paragraph(node, width)
                case Table():
                    yield from self._table(node, width)
                case Picture():
                    piece = self.picture(node, width)
                    if piece:
                        yield piece
                case Ticks():
                    yield from self._ticks(node, width)
                case Colours():
                    yield self._colours(node, width)
                case Points():
                    yield from (self._point(point, width) for point in node.points)
                case Facts():
                    yield self.facts(node, width)

    def _paragraph(self, paragraph: Paragraph, width: float) -> Piece:
        manner = self._manner
        runs = [Run(paragraph.text)]
        hang = 0.0
        if paragraph.label:
            runs.insert(0, Run(f"{paragraph.label}:", bold=True))
            runs[1] = Run(f" {paragraph.text}")
            hang = 1.4 * manner.body * POINT
        text = self.text(runs, width=width, hang=hang)
        return TextPiece(text=text, before=manner.gap * POINT, whole=bool(paragraph.label))

    def _point(self, point: str, width: float) -> Piece:
        hang = text_width("•  ", self._source.family, self._manner.body)
        text = self.text(f"•  {point}", width=width, hang=hang)
        return TextPiece(text=text, before=self._manner.gap * POINT)

    # tables

    def _table(self, table: Table, width: float) -> Iterator[Piece]:
        if not table.rows:
            return
        for way in () if self._manner.is_large else (table, _turned(table)):
            piece = self._columns(way, width)
            if piece is not None:
                yield piece
                return
        if table.caption:
            text = self.text(table.caption, width=width, bold=True)
            yield TextPiece(text=text, before=self._manner.gap * POINT, keep=True, whole=True)
        for row in table.rows:
            said = [f"{name}: {cell}" for name, cell in zip(table.head[1:], row[1:], strict=True)]
            runs = [Run(f"{row[0]}", bold=True), Run("\n" + "\n".join(said))]
            text = self.text(runs, width=width, hang=1.4 * self._manner.body * POINT)
            yield TextPiece(text=text, before=self._manner.gap * POINT, whole=True)

    def _columns(self, table: Table, width: float) -> TablePiece | None:
        """Return the table in columns, None if its longest words don't fit side by side."""
        manner, family = self._manner, self._source.family
        points, space = manner.small + 0.5, 1.1 * manner.small * POINT
        columns = list(zip(table.head, *table.rows, strict=True))

        def wide(text: str, *, bold: bool = False) -> float:
            return text_width(text, family, points, bold=bold)

        least = [max(wide(w, bold=True) for c in column for w in c.split() or [""]) + 2
                 for column in columns]  # fmt: skip
        most = [max(max(map(wide, column)), wide(column[0], bold=True)) + 2 for column in columns]
        room = width - space * (len(columns) - 1)
        if sum(least) > room:
            return None
        widths = _shared(least, most, room)
        figures = [all(map(_FIGURES.fullmatch, column[1:])) for column in columns]
        xs = [sum(widths[:n]) + n * space for n in range(len(widths))]

        def cells(row: Sequence[str], *, bold: bool) -> tuple[Cell, ...]:
            sides = Qt.AlignmentFlag.AlignRight, Qt.AlignmentFlag.AlignLeft
            return tuple(
                Cell(
                    self.text(
                        text,
                        width=wide_,
                        points=points,
                        bold=bold,
                        leading=1.25,
                        align=sides[0] if right else sides[1],
                    ),
                    x,
                )
                for text, wide_, x, right in zip(row, widths, xs, figures, strict=True)
            )

        caption = None
        if table.caption:
            caption = self.text(table.caption, width=width, points=points, bold=True)
        return TablePiece(
            caption=caption,
            head=cells(table.head, bold=True),
            rows=tuple(cells(row, bold=False) for row in table.rows),
            width=xs[-1] + widths[-1],
            pad=0.3 * points * POINT,
            hairline=manner.hairline,
            before=2 * manner.gap * POINT,
        )

    # pictures and lists

    def picture(self, picture: Picture, width: float, tallest: float | None = None) -> Piece | None:
        """Return a picture with its caption, no higher than `tallest` with it."""
        manner = self._manner
        figure = self.figure(picture, tallest or self._tallest)
        if figure is None:
            return None
        caption = self.text(picture.caption, width=width, points=manner.small, colour=manner.quiet)
        room = (tallest or self._tallest) - caption.height - 60
        wide, high = width, figure.height_for(width)
        while high > room and wide > 0.5 * MM:  # the blanket may be a ribbon
            wide *= max(min(room / high, 0.98), 0.5)
            high = figure.height_for(wide)
        return FigurePiece(
            figure=figure,
            width=wide,
            figure_height=high,
            caption=caption,
            before=2 * manner.gap * POINT,
        )

    def figure(self, picture: Picture, tallest: float) -> Figure | None:
        """Return the drawing behind a picture, None if there is nothing to draw."""
        manner, source = self._manner, self._source
        match picture.name:
            case "fabric":
                return FabricFigure(source)
            case "closeup":
                return FabricFigure(source, closeup_mm(source.results))
            case "schematic":
                high = min(0.75 * tallest, 110 * MM) if manner.is_large else min(tallest, 105 * MM)
                high -= 4 * manner.small * POINT
                return SchematicFigure(
                    source, points=manner.small, stacked=manner.is_large, tallest=high
                )
            case "chart":
                if source.sheet is None:
                    return None
                return ChartFigure(source)
            case "stripes":
                part = source.booklet.part("stripes")
                ticks = [n for n in part.nodes if isinstance(n, Ticks)] if part else []
                if not ticks:
                    return None
                return StripesFigure(
                    source, ticks[0].stripes, points=manner.small, fills=manner.fills
                )

    def _ticks(self, ticks: Ticks, width: float) -> Iterator[Piece]:
        manner = self._manner
        caption = self.text(ticks.caption, width=width)
        yield TextPiece(text=caption, before=2 * manner.gap * POINT, keep=True, whole=True)
        yield TicksPiece(
            stripes=ticks.stripes,
            yarns=self._source.results.design.yarns,
            family=self._source.family,
            manner=manner,
            words=self._source.words,
            width=width,
            before=manner.gap * POINT,
        ).with_names_whole()

    def _colours(self, colours: Colours, width: float) -> Piece:
        manner = self._manner
        return ColoursPiece(
            yarns=colours.yarns,
            family=self._source.family,
            manner=manner,
            width=width,
            before=2 * manner.gap * POINT,
        )

    def facts(self, facts: Facts, width: float) -> FactsPiece:
        """Return measures in short, names over values."""
        return FactsPiece(
            rows=tuple(
                (
                    self.text(name, width=width, points=self._manner.small,
                              colour=self._manner.quiet, leading=1.3),
                    self.text(
                        _BEFORE_INCHES.sub("\n(", value), width=width, bold=True, leading=1.25
                    ),
                )
                for name, value in facts.facts
            ),
            gap=0.7 * self._manner.body * POINT,
        )  # fmt: skip


def _bound(text: str) -> str:
    """Return text whose figures stay with their units, and whose last word isn't left alone."""
    return _LAST_WORD.sub(_NO_BREAK, _UNITS.sub(_NO_BREAK, text))


def _held_together(pieces: list[Piece]) -> list[Piece]:
    """Return pieces so that no short line begins or ends a part alone in a column."""

    def short(piece: Piece) -> bool:
        return isinstance(piece, TextPiece) and piece.text.n_lines <= 3

    held = list(pieces)
    for number in {0, len(held) - 2}:
        if 0 <= number < len(held) - 1:
            piece, after = held[number], held[number + 1]
            if isinstance(piece, TextPiece) and short(piece) and (number == 0 or short(after)):
                held[number] = replace(piece, keep=True)
    return held


def _short_kept_whole(pieces: list[Piece], room: float) -> list[Piece]:
    """Return the pieces of a part, held together if they take no more than so much room."""
    if sum(piece.before + piece.height for piece in pieces) > room:
        return pieces
    texts = [replace(p, keep=True) if isinstance(p, TextPiece) else p for p in pieces[:-1]]
    return [*texts, *pieces[-1:]]


def _turned(table: Table) -> Table:
    """Return a table with its columns as rows: many facts of few things."""
    head, *rows = zip(table.head, *table.rows, strict=True)
    return Table(head, tuple(rows), table.caption)


def _shared(least: Sequence[float], most: Sequence[float], room: float) -> list[float]:
    """Return the columns' widths: as wide as wanted if there is room, else shared fairly."""
    if sum(most) <= room:
        return list(most)
    wish = [b - a for a, b in zip(least, most, strict=True)]
    share = (room - sum(least)) / max(sum(wish), 1e-9)
    return [a + w * share for a, w in zip(least, wish, strict=True)]
