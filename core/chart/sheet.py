"""A chart made ready to be drawn: grounds, symbols, numbers, repeat, key, scale, words.

Everything that ends up on screen, in an SVG, a PNG or a PDF is settled here, in the chart's
millimetres (y up), so that the painters only paint. Words and numbers have the size they
shall have in print, whatever the chart's scale.
"""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from core.chart.bands import bands_of, edge_line_mm
from core.chart.key import key_of, letter_of
from core.chart.keysheet import Patch
from core.chart.layout import Chart
from core.chart.lettering import width_of
from core.chart.setting import AFTER_ARROW, ARROW, BETWEEN, MARGIN, Measure, Setting, pieces_of
from core.chart.symbols import NUMBER, Floats
from core.chart.words import Text
from core.craft.stitches import Terms
from core.records import Struct
from core.stripes.colour import INK, PAPER, grey_of, ground_of
from core.stripes.sequence import Indices
from core.words.vocabulary import Language, Vocabulary, vocabulary

Apart = Literal["weight", "lines", "none"]

_LARGEST: Final = 10.0  # mm in print that a stitch is wide at most
_BAR: Final = 34.0  # mm in print of the scale's bar at most
_LEAST_CHART: Final = 0.35  # share of the printed width that the chart keeps
_SCREEN: Final = 2.7  # mm that a stitch counts as where nothing is printed
_LINE: Final = 0.075  # strokes, in stitch widths
_STROKE: Final = (0.16, 0.36)  # and in print, mm, at least and at most
_HEAVY, _LIGHT = 1.3, 0.7  # strokes of odd and even rows
LIGHTER: Final = "#5d564d"  # ink of even rows on white: 7 : 1
QUIET: Final = "#78716a"  # ink of the row that the first one stands on: 4.5 : 1


class Stroke(Struct, frozen=True):
    """What a row's symbols are drawn with."""

    colour: str
    width_mm: float


class Ground(Struct, frozen=True, eq=False):
    """A coloured outline behind the symbols."""

    outline_mm: Floats
    colour: str
    first: int
    last: int


class Sheet(Struct, frozen=True, eq=False, kw_only=True):
    """Everything to be drawn.

    Attributes:
        chart: The symbols.
        grounds: Bands of colour, from below.
        guides_mm: Dashed lines between rows, each of shape (n, 2).
        lines_mm: Plain lines (arrows, repeat bracket, scale), shape (n, 2 ends, 2 axes).
        texts: Numbers, repeat, title and key.
        patches: The key's pieces of yarn colour.
        key_symbol: Number of each of the key's symbols, shape (k,).
        key_foot_mm: Shape (k, 2).
        key_top_mm: Shape (k, 2).
        stroke_mm: Width of the symbols' strokes.
        key_stroke_mm: The same of the key's.
        line_mm: Width of plain lines.
        strokes: Ink and stroke of odd rows, even rows and the quiet row.
        ink: Of words, lines and the key.
        quiet_ink: Of what stands back.
        bounds_mm: Left, bottom, right, top.
        print_scale: Millimetres in print of one of the chart's.
        around_mm: What stands beside the symbols, mm in print.
        title: For the file's own title.
        description: The chart in a sentence or two, for those who can't see it.
        words: What it is worded with.
        stamp: The word that marks a draft; empty if it is none.
    """

    chart: Chart
    grounds: tuple[Ground, ...]
    guides_mm: tuple[Floats, ...]
    lines_mm: Floats
    texts: tuple[Text, ...]
    patches: tuple[Patch, ...]
    key_symbol: Indices
    key_foot_mm: Floats
    key_top_mm: Floats
    stroke_mm: float
    key_stroke_mm: float
    line_mm: float
    strokes: tuple[Stroke, Stroke, Stroke]
    ink: str
    quiet_ink: str
    bounds_mm: tuple[float, float, float, float]
    print_scale: float
    around_mm: float
    title: str
    description: str
    words: Vocabulary
    stamp: str = ""

    def stroke_of(self, row: int) -> Stroke:
        """Return what a row's symbols are drawn with."""
        if row == self.chart.quiet:
            return self.strokes[2]
        return self.strokes[0 if row % 2 or row == 0 else 1]


class Look(Struct, frozen=True, kw_only=True):
    """How a chart is dressed.

    Attributes:
        title: Set above the chart; empty for none.
        caption: Set below the key, line by line; empty for none.
        with_key: Whether the key is drawn.
        apart: How rows are told apart where colour can't.
        grey: Whether colours are shown as greys that are as light.
        sides: Whether row numbers say RS and WS.
        scales: Bars that can show the scale; the longest that is short enough in print is taken.
        paper: The colour mixed into the grounds, so that ink reads on them.
        stamp: A word in a box above everything: that it is a draft.
    """

    title: str = ""
    caption: str = ""
    with_key: bool = True
    apart: Apart = "none"
    grey: bool = False
    sides: bool = False
    scales: Sequence[Measure] = ()
    paper: str = PAPER
    stamp: str = ""


PLAIN: Final = Look()


def make_sheet(
    chart: Chart,
    *,
    terms: Terms,
    language: Language = "en",
    look: Look = PLAIN,
    yarns: Sequence[tuple[str, str]] | None = None,
    yarn_of_row: Indices | None = None,
    print_mm: float | None = None,
) -> Sheet:
    """Return a chart ready to be drawn.

    Args:
        chart: The placed symbols.
        terms: Terms of the key.
        language: Language of its words.
        look: How it is dressed.
        yarns: Name and colour of each yarn; None leaves the grounds white.
        yarn_of_row: Number of each row's yarn; needed with `yarns`.
        print_mm: Width in print; None where nothing is printed.
    """
    words = vocabulary(terms, language)
    coloured = yarns is not None and yarn_of_row is not None
    low, high = chart.extent_mm()
    tints: list[str] = []
    letters: dict[int, str] = {}
    if yarns is not None and yarn_of_row is not None:
        tints = [_tint(colour, look) for _, colour in yarns]
        shown = (chart.first, chart.last, chart.quiet)
        letters = {r: letter_of(int(yarn_of_row[r - 1])) for r in _rows_of(*shown)}
    around = 2 * (MARGIN + _gutter(chart, letters, words, sides=look.sides))
    mm = _chart_mm(chart, _wide(chart), around, print_mm)
    sheet = Setting(chart, mm, low, high, print_mm, words)
    grounds = tuple(
        Ground(band.outline_mm, tints[band.yarn], band.first, band.last)
        for band in (
            bands_of(chart.fabric, yarn_of_row, first=chart.first, last=chart.last)
            if yarn_of_row is not None and tints
            else ()
        )
    )
    sheet.number_rows(letters, sides=look.sides)
    sheet.mark_repeat()
    if look.scales:
        short = [scale for scale in look.scales if scale[0] <= _BAR * mm]
        sheet.measure(max(short or look.scales[:1]))
    if look.title:
        sheet.head(look.title)
    if look.stamp:
        sheet.stamp(look.stamp)
    if look.with_key:
        names = _yarns_shown(chart, yarns, yarn_of_row, tints, words)
        sheet.add_key(key_of(chart, words), names)
    for line in look.caption.splitlines():
        sheet.foot(line)
    guides: tuple[Floats, ...] = ()
    if look.apart == "lines":
        guides = tuple(edge_line_mm(chart.fabric, r) for r in range(chart.first, chart.last))
    stroke = _stroke(chart.width_mm, mm)
    left, bottom, right, top = sheet.bounds()
    return Sheet(
        chart=chart,
        grounds=grounds,
        guides_mm=guides,
        lines_mm=np.concatenate(sheet.lines) if sheet.lines else np.empty((0, 2, 2)),
        texts=tuple(sheet.texts),
        patches=tuple(sheet.key.patches),
        key_symbol=np.array([NUMBER[name] for name in sheet.key.symbols], dtype=np.intp),
        key_foot_mm=np.array([stem[0] for stem in sheet.key.stems]).reshape(-1, 2),
        key_top_mm=np.array([stem[1] for stem in sheet.key.stems]).reshape(-1, 2),
        stroke_mm=stroke,
        key_stroke_mm=_stroke(sheet.key.stitch_mm, mm),
        line_mm=0.25 * mm,
        strokes=_strokes(stroke, look, on_white=not coloured),
        ink=_ink(INK, look),
        quiet_ink=_ink(QUIET, look),
        bounds_mm=(left, bottom, right, top),
        print_scale=1.0 / mm if print_mm is None else print_mm / (right - left),
        around_mm=around,
        title=look.title,
        description=_description(chart, look, letters, words),
        words=words,
        stamp=look.stamp,
    )


def _stroke(stitch_mm: float, mm: float) -> float:
    return min(max(_LINE * stitch_mm, _STROKE[0] * mm), _STROKE[1] * mm)


def _rows_of(first: int, last: int, quiet: int) -> range:
    return range(quiet if quiet > 0 else first, last + 1)


def _tint(colour: str, look: Look) -> str:
    tint = ground_of(colour, look.paper)
    return grey_of(tint) if look.grey else tint


def _ink(colour: str, look: Look) -> str:
    return grey_of(colour) if look.grey else colour


def _strokes(stroke: float, look: Look, *, on_white: bool) -> tuple[Stroke, Stroke, Stroke]:
    ink, quiet = _ink(INK, look), Stroke(_ink(QUIET, look), 0.8 * stroke)
    if look.apart != "weight":
        return Stroke(ink, stroke), Stroke(ink, stroke), quiet
    even = Stroke(_ink(LIGHTER, look) if on_white else ink, _LIGHT * stroke)
    return Stroke(ink, _HEAVY * stroke), even, quiet


def screen_mm(width_mm: float) -> float:
    """Return how many of a chart's millimetres stand for one in print where nothing is printed."""
    return width_mm / _SCREEN


def _chart_mm(chart: Chart, wide: float, around: float, print_mm: float | None) -> float:
    """Return how many of the chart's millimetres one millimetre in print is.

    Args:
        chart: The chart.
        wide: What is drawn is so wide, in the chart's mm.
        around: What stands around it, mm in print.
        print_mm: Width in print; None where nothing is printed.
    """
    if print_mm is None:
        return screen_mm(chart.width_mm)
    room = max(print_mm - around, _LEAST_CHART * print_mm)
    return max(wide / room, chart.width_mm / _LARGEST)


def _wide(chart: Chart) -> float:
    """Return how wide symbols and arrows' tips are, as far to the left as to the right."""
    low, high = chart.extent_mm()
    middle = 0.5 * float(low[0] + high[0])
    tips = [abs(label.x_mm - middle) for label in chart.labels]
    return 2 * max([0.5 * float(high[0] - low[0]), *tips])


def _gutter(chart: Chart, letters: dict[int, str], words: Vocabulary, *, sides: bool) -> float:
    """Return what the longest number takes beyond its arrow's tip, mm in print."""
    pieces = [
        pieces_of(label, letters.get(label.row, ""), words, sides=sides) for label in chart.labels
    ]
    wide = [sum(width_of(text, size, bold=bold) for text, size, bold in own) for own in pieces]
    most = max((len(own) for own in pieces), default=0)
    return ARROW + AFTER_ARROW + max(wide, default=0.0) + most * BETWEEN


def width_for(sheet: Sheet, factor: float) -> float | None:
    """Return the width in print at which symbols are `factor` times as large.

    Words keep their size. None if symbols are never drawn that large.
    """
    scale = sheet.print_scale * factor
    if scale * sheet.chart.width_mm > _LARGEST:
        return None
    room = _wide(sheet.chart) * scale
    return max(room + sheet.around_mm, sheet.around_mm / (1.0 - _LEAST_CHART))


def _description(chart: Chart, look: Look, letters: dict[int, str], words: Vocabulary) -> str:
    several = chart.first != chart.last
    rows = words.say(
        "caption rows" if several else "caption row", first=chart.first, last=chart.last
    )
    told = [f"{look.stamp}."] if look.stamp else []
    told.append(words.say("chart seen", rows=rows))
    if chart.first == 1:
        told.append(words.say("chart on chains", n=int((chart.row == 0).sum())))
    if chart.repeat is not None:
        told.append(words.say("chart bracket", n=chart.repeat.stitches))
    if letters:
        told.append(words.say("chart letters"))
    return " ".join(told)


def _yarns_shown(
    chart: Chart,
    yarns: Sequence[tuple[str, str]] | None,
    yarn_of_row: Indices | None,
    tints: Sequence[str],
    words: Vocabulary,
) -> list[tuple[str, str]]:
    """Return letter and name, and the tint, of every yarn of the rows shown."""
    if yarns is None or yarn_of_row is None:
        return []
    used = np.unique(yarn_of_row[chart.first - 1 : chart.last])
    return [
        (words.say("key yarn", letter=letter_of(n), name=yarns[n][0]), tints[n])
        for n in used.tolist()
    ]
