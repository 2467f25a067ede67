"""The chart as SVG text: every symbol defined once and used wherever it stands.

Symbols are defined at the size that most of their uses have, so a use only turns them and
scales them by the little that a stitch is stretched. Where that would show in the stroke, the
use carries a stroke width that makes up for it; no viewer has to know of strokes that don't
scale. Text stays text. Everything that comes from a design is escaped.
"""

import xml.etree.ElementTree as ET
from typing import Final

import numpy as np

from core.chart.sheet import Sheet, Text
from core.chart.symbols import NAMES, SYMBOLS, Floats
from core.stripes.colour import INK
from core.stripes.sequence import Indices

_SEEN_IN_STROKE: Final = 0.06  # difference in scale that shows in a stroke's width
_FONTS: Final = "Cabin, 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif"


def svg_text(sheet: Sheet, *, width_mm: float, paper: str | None = "#ffffff") -> str:
    """Return the sheet as an SVG file `width_mm` wide, in proportion.

    Args:
        sheet: What to draw.
        width_mm: Printed width.
        paper: Colour of the page; None leaves it clear.
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
            "role": "img",
        },
    )
    ET.SubElement(root, "title").text = sheet.title or "Stitch chart"
    ET.SubElement(root, "desc").text = _description(sheet)
    if paper:
        ET.SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": paper})
    lengths = _usual_lengths(sheet)
    _define(root, lengths)
    turned = _Turned(left, top)
    _grounds(root, sheet, turned)
    drawing = {"stroke": INK, "fill": "none", "stroke-linecap": "round", "stroke-linejoin": "round"}
    stroke = {"stroke-width": f"{sheet.stroke_mm:.3f}", **drawing}
    chart = sheet.chart
    for row in range(int(chart.row.max(initial=0)) + 1):
        group = ET.SubElement(root, "g", {"id": f"row-{row}", **stroke})
        ET.SubElement(group, "title").text = f"Row {row}" if row else "Foundation chain"
        here = chart.row == row
        _uses(
            group,
            chart.symbol[here],
            chart.foot_mm[here],
            chart.top_mm[here],
            sheet,
            lengths,
            turned,
        )
    _lines(ET.SubElement(root, "g", {"id": "marks", **stroke}), sheet.lines_mm, turned)
    key = ET.SubElement(root, "g", {"id": "key", **stroke})
    _uses(key, sheet.key_symbol, sheet.key_foot_mm, sheet.key_top_mm, sheet, lengths, turned)
    words = ET.SubElement(root, "g", {"id": "text", "font-family": _FONTS, "fill": INK})
    for text in sheet.texts:
        _text(words, text, turned)
    ET.indent(root, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def _description(sheet: Sheet) -> str:
    chart = sheet.chart
    stitches = int((chart.row == 0).sum())
    return (
        f"Crochet chart seen from the right side: {stitches} foundation stitches, "
        f"{int(chart.row.max(initial=0))} rows numbered where they start."
    )


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
    return {int(n): float(np.median(length[symbol == n])) for n in np.unique(symbol)}


def _define(root: ET.Element, lengths: dict[int, float]) -> None:
    defs = ET.SubElement(root, "defs")
    for number, length in lengths.items():
        symbol = SYMBOLS[NAMES[number]]
        node = ET.SubElement(
            defs, "symbol", {"id": _identifier(symbol.name), "overflow": "visible"}
        )
        ET.SubElement(node, "title").text = symbol.name
        for stroke in symbol.strokes:
            path = {"d": _path(stroke.points * (length, -length), closed=stroke.filled)}
            if stroke.filled:
                path["fill"] = INK
            ET.SubElement(node, "path", path)


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
    sheet: Sheet,
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
            use["stroke-width"] = f"{sheet.stroke_mm / scale:.3f}"
        ET.SubElement(group, "use", use)


def _grounds(root: ET.Element, sheet: Sheet, turned: _Turned) -> None:
    group = ET.SubElement(root, "g", {"id": "stripes"})
    for ground in sheet.grounds:
        path = _path(turned(ground.outline_mm), closed=True)
        node = ET.SubElement(group, "path", {"fill": ground.colour, "d": path})
        rows = f"{ground.first} to {ground.last}" if ground.last > ground.first else ground.first
        ET.SubElement(node, "title").text = f"Rows {rows}"


def _lines(group: ET.Element, lines: Floats, turned: _Turned) -> None:
    if len(lines):
        steps = " ".join(_path(turned(line), closed=False) for line in lines)
        ET.SubElement(group, "path", {"d": steps})


def _text(group: ET.Element, text: Text, turned: _Turned) -> None:
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
    if text.bold:
        node.set("font-weight", "bold")
    node.text = text.text
