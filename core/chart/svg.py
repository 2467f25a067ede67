"""The chart as SVG text: every symbol defined once and used wherever it stands.

Symbols are defined at the size that most of their uses have, so a use only turns them and
scales them by the little that a stitch is stretched. Where that would show in the stroke, the
use carries a stroke width that makes up for it; no viewer has to know of strokes that don't
scale. Text stays text. Everything that comes from a design is escaped.
"""

import xml.etree.ElementTree as ET
from collections.abc import Callable
from typing import Final

import numpy as np

from core.chart.sheet import Sheet
from core.chart.symbols import NAMES, STACKED, SYMBOLS, Floats
from core.chart.words import Layer, Text
from core.craft.numbers import median
from core.craft.stitches import CHAIN
from core.stripes.sequence import Indices
from core.words.vocabulary import Vocabulary

_SEEN_IN_STROKE: Final = 0.06  # difference in scale that shows in a stroke's width
_FONTS: Final = "Cabin, 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif"


def svg_text(
    sheet: Sheet,
    *,
    width_mm: float,
    paper: str | None = "#ffffff",
    go_on: Callable[[float], None] = lambda share: None,
) -> str:
    """Return the sheet as an SVG file `width_mm` wide, in proportion.

    Its layers are groups with names, from below: paper, stripes, guides, one for each row,
    marks, numbers, key, words.

    Args:
        sheet: What to draw.
        width_mm: Printed width.
        paper: Colour of the page; None leaves it clear.
        go_on: Told for every row how much is done; what it raises ends the work.
    """
    left, bottom, right, top = sheet.bounds_mm
    wide, high = right - left, top - bottom
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{width_mm:g}mm",
            "height": f"{width_mm * high / wide:.3f}mm",
            "viewBox": f"0 0 {wide:.3f} {high:.3f}",
            "xml:lang": sheet.words.language,
            "role": "img",
            "aria-labelledby": "title description",
        },
    )
    ET.SubElement(root, "title", {"id": "title"}).text = sheet.title or sheet.words.say(
        "chart untitled"
    )
    ET.SubElement(root, "desc", {"id": "description"}).text = sheet.description
    if paper:
        page = _layer(root, sheet, "paper")
        ET.SubElement(page, "rect", {"width": "100%", "height": "100%", "fill": paper})
    lengths = _usual_lengths(sheet)
    _define(root, lengths, sheet)
    turned = _Turned(left, top)
    _grounds(root, sheet, turned)
    _guides(root, sheet, turned)
    _rows(root, sheet, lengths, turned, go_on)
    line = {**_DRAWING, "stroke": sheet.ink, "stroke-width": f"{sheet.line_mm:.3f}"}
    marks = _layer(root, sheet, "marks")
    lines = ET.SubElement(marks, "g", line)
    _lines(lines, sheet.lines_mm, turned)
    _texts(marks, sheet, "marks", turned)
    _texts(_layer(root, sheet, "numbers"), sheet, "numbers", turned)
    _key(root, sheet, lengths, turned)
    _texts(_layer(root, sheet, "words"), sheet, "words", turned)
    return _written(root)


def _written(root: ET.Element) -> str:
    """Return the file's text, group by group: writing all at once would hold up every thread."""
    layers = list(root)
    for layer in layers:
        root.remove(layer)
    opened, closed = ET.tostring(root, encoding="unicode").removesuffix(" />"), "</svg>\n"
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', f"{opened}>"]
    for layer in layers:
        ET.indent(layer, " ", level=1)
        lines.append(" " + ET.tostring(layer, encoding="unicode").rstrip())
    return "\n".join([*lines, closed])


_DRAWING: Final = {"fill": "none", "stroke-linecap": "round", "stroke-linejoin": "round"}


def _layer(root: ET.Element, sheet: Sheet, name: str, **values: str) -> ET.Element:
    """Return a new group with an id and a title, which viewers show as a layer's name."""
    return _titled(root, name, sheet.words.say(f"layer {name}"), **values)


def _titled(root: ET.Element, name: str, title: str, **values: str) -> ET.Element:
    group = ET.SubElement(root, "g", {"id": name, **values})
    ET.SubElement(group, "title").text = title
    return group


def _rows(
    root: ET.Element,
    sheet: Sheet,
    lengths: dict[int, float],
    turned: "_Turned",
    go_on: Callable[[float], None],
) -> None:
    chart = sheet.chart
    rows = np.unique(chart.row).tolist()
    for number, row in enumerate(rows):
        go_on(number / len(rows))
        stroke = sheet.stroke_of(row)
        words = sheet.words
        title = words.say("caption row", first=row) if row else words.say("layer foundation")
        if row == chart.quiet:
            title = words.say("layer quiet", row=title)
        group = _titled(root, f"row-{row}", title, **_DRAWING)
        group.set("stroke", stroke.colour)
        group.set("stroke-width", f"{stroke.width_mm:.3f}")
        here = chart.row == row
        stems = chart.symbol[here], chart.foot_mm[here], chart.top_mm[here]
        _uses(group, *stems, stroke.width_mm, lengths, turned)


def _key(root: ET.Element, sheet: Sheet, lengths: dict[int, float], turned: "_Turned") -> None:
    key = _layer(root, sheet, "key")
    for patch in sheet.patches:
        path = {"d": _path(turned(patch.outline_mm), closed=True), "fill": patch.colour}
        path |= {"stroke": sheet.ink, "stroke-width": f"{0.5 * sheet.line_mm:.3f}"}
        ET.SubElement(key, "path", path)
    group = ET.SubElement(key, "g", {**_DRAWING, "stroke": sheet.ink})
    group.set("stroke-width", f"{sheet.key_stroke_mm:.3f}")
    stems = sheet.key_symbol, sheet.key_foot_mm, sheet.key_top_mm
    _uses(group, *stems, sheet.key_stroke_mm, lengths, turned)
    _texts(key, sheet, "key", turned)


def _guides(root: ET.Element, sheet: Sheet, turned: "_Turned") -> None:
    if not sheet.guides_mm:
        return
    dash = 4 * sheet.line_mm
    group = _layer(root, sheet, "guides", **_DRAWING)
    group.set("stroke", sheet.quiet_ink)
    group.set("stroke-width", f"{sheet.line_mm:.3f}")
    group.set("stroke-dasharray", f"{dash:.3f} {dash:.3f}")
    for guide in sheet.guides_mm:
        ET.SubElement(group, "path", {"d": _path(turned(guide), closed=False)})


class _Turned:
    """Turns the chart's y-up millimetres into the page's y-down ones."""

    def __init__(self, left: float, top: float) -> None:
        self._origin = np.array([left, top])

    def __call__(self, points: Floats) -> Floats:
        turned: Floats = (points - self._origin) * (1.0, -1.0)
        return turned


def _usual_lengths(sheet: Sheet) -> dict[int, float]:
    """Return the usual length from foot to top of every symbol used, in mm."""
    symbol = np.concatenate([sheet.chart.symbol, sheet.key_symbol])
    foot = np.concatenate([sheet.chart.foot_mm, sheet.key_foot_mm])
    top = np.concatenate([sheet.chart.top_mm, sheet.key_top_mm])
    length = np.linalg.norm(top - foot, axis=1)
    return {int(n): median(length[symbol == n]) for n in np.unique(symbol)}


def _define(root: ET.Element, lengths: dict[int, float], sheet: Sheet) -> None:
    defs = ET.SubElement(root, "defs")
    for number, length in lengths.items():
        symbol = SYMBOLS[NAMES[number]]
        node = ET.SubElement(
            defs, "symbol", {"id": _identifier(symbol.name), "overflow": "visible"}
        )
        ET.SubElement(node, "title").text = _symbol_name(symbol.name, sheet.words)
        for stroke in symbol.strokes:
            path = {"d": _path(stroke.points * (length, -length), closed=stroke.filled)}
            if stroke.filled:
                path["fill"] = sheet.ink
            ET.SubElement(node, "path", path)


def _symbol_name(name: str, words: Vocabulary) -> str:
    plain = name.partition(" long ")[0]
    if plain in words.names:
        return words.names[plain].long
    if plain == STACKED:
        return words.say("symbol stacked", stitch=words.names[CHAIN].long)
    stitch, dash, _ = plain.rpartition("-leg")
    if dash:
        return words.say("symbol leg", stitch=words.names[stitch].long)
    return words.say("symbol bar" if plain == "bar" else f"key {plain}")


def _identifier(name: str) -> str:
    return "s-" + name.replace(" ", "-")


def _path(points: Floats, *, closed: bool) -> str:
    steps = " L".join(f"{x:.3f} {y:.3f}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


def _uses(
    group: ET.Element,
    symbol: Indices,
    foot: Floats,
    top: Floats,
    stroke_mm: float,
    lengths: dict[int, float],
    turned: _Turned,
) -> None:
    """Add one use a symbol, turned from upright into its stem's direction and scaled to it."""
    usual = np.array([lengths[int(number)] for number in symbol]).reshape(-1, 1)
    way, place = (top - foot) / usual, turned(foot)
    scales = np.linalg.norm(way, axis=1)
    for number, (right, up), (x, y), scale in zip(symbol, way, place, scales, strict=True):
        matrix = f"matrix({up:.4g} {right:.4g} {-right:.4g} {up:.4g} {x:.3f} {y:.3f})"
        use = {"href": f"#{_identifier(NAMES[number])}", "transform": matrix}
        if abs(scale - 1.0) > _SEEN_IN_STROKE:
            use["stroke-width"] = f"{stroke_mm / scale:.3f}"
        ET.SubElement(group, "use", use)


def _grounds(root: ET.Element, sheet: Sheet, turned: _Turned) -> None:
    if not sheet.grounds:
        return
    group = _layer(root, sheet, "stripes")
    for ground in sheet.grounds:
        path = _path(turned(ground.outline_mm), closed=True)
        node = ET.SubElement(group, "path", {"fill": ground.colour, "d": path})
        key = "caption rows" if ground.last > ground.first else "caption row"
        rows = sheet.words.say(key, first=ground.first, last=ground.last)
        ET.SubElement(node, "title").text = rows


def _lines(group: ET.Element, lines: Floats, turned: _Turned) -> None:
    if len(lines):
        steps = " ".join(_path(turned(line), closed=False) for line in lines)
        ET.SubElement(group, "path", {"d": steps})


def _texts(layer: ET.Element, sheet: Sheet, name: Layer, turned: _Turned) -> None:
    group = ET.SubElement(layer, "g", {"font-family": _FONTS, "fill": sheet.ink})
    for text in sheet.texts:
        if text.layer == name:
            _text(group, text, turned, sheet.quiet_ink)


def _text(group: ET.Element, text: Text, turned: _Turned, quiet_ink: str) -> None:
    x, y = turned(np.array([text.x_mm, text.y_mm]))
    node = ET.SubElement(
        group,
        "text",
        {
            "x": f"{x:.3f}",
            "y": f"{y + 0.36 * text.size_mm:.3f}",  # from the middle down to the base line
            "font-size": f"{text.size_mm:.3f}",
            "text-anchor": text.anchor,
        },
    )
    if text.quiet:
        node.set("fill", quiet_ink)
    if text.bold:
        node.set("font-weight", "bold")
    node.text = text.text
