"""What exports show: the chart, the blanket's picture, the written pattern."""

from collections.abc import Callable
from typing import Final

import numpy as np
from PySide6.QtGui import QImage, QPainter

from app.assets import chart_font
from app.painting.chart import Placing
from app.painting.choices import Choices
from app.painting.edging import edging_shapes, paint_edging
from app.painting.fabric import fabric_image
from app.painting.pictures import check_pixels
from app.painting.stamp import paint_stamp
from core.chart.caption import caption_of, scales_of
from core.chart.piece import chart_of_part
from core.chart.sheet import Look, Sheet, make_sheet
from core.checks.cautions import short_caution
from core.craft.stitches import Terms
from core.editions import OWN, Edition, size_told
from core.fabric.relief import View
from core.pipeline import Results
from core.records import Struct, replace
from core.techedit.draft import published
from core.words.loops import loops_sentence
from core.words.pattern import Pattern
from core.words.vocabulary import vocabulary

_FINE_ENOUGH: Final = 2_000_000  # pixels from which smoothing is no longer seen

Part = tuple[float, float, float, float]
"""Left, bottom, right and top of a part of the blanket, in mm."""


class FabricPicture(Struct, frozen=True):
    """The blanket, true in proportion, to be painted strip by strip.

    Attributes:
        width: Pixels across.
        height: Pixels down.
        strip: The strip that begins so many pixels down and is so many high.
    """

    width: int
    height: int
    strip: Callable[[int, int], QImage]

    def whole(self) -> QImage:
        """Return all of it at once."""
        return self.strip(0, self.height)


def chart_sheet(results: Results, choices: Choices, stamp: str = "") -> Sheet:
    """Return the chart as exports show it; `stamp` marks a draft."""
    design = results.design
    hand = choices.hand or design.hand
    terms, language = choices.terms or design.terms, choices.edition.language
    words = vocabulary(terms, language)
    chart = chart_of_part(
        design,
        results.rows,
        results.fabric,
        choices.part,
        straight=choices.straight,
        hand=hand,
    )
    lines = [
        caption_of(design, choices.part, hand=hand, words=words),
        loops_sentence(design.loops, terms, language),
        short_caution(design, results.known_size, words),
    ]
    straight = choices.straight or results.rows.misfit is not None
    look = Look(
        title=design.title,
        caption="\n".join(line for line in lines if line) if choices.with_key else "",
        with_key=choices.with_key,
        apart=choices.apart,
        grey=choices.grey,
        sides=True,
        scales=scales_of(design, words, straight=straight),
        paper="#ffffff",
        stamp=stamp,
    )
    yarns = [(yarn.name, yarn.colour) for yarn in design.yarns] if choices.coloured else None
    return make_sheet(
        chart,
        terms=terms,
        language=language,
        look=look,
        yarns=yarns,
        yarn_of_row=results.yarn_of_row if choices.coloured else None,
        print_mm=choices.width_mm,
    )


def fabric_picture(
    results: Results, width: int, part_mm: Part | None = None, *, stamp: str = ""
) -> FabricPicture:
    """Return the picture of a blanket, or of a part of it; `stamp` marks a draft.

    Raises:
        DesignError: It would be too large.
    """
    fabric = results.fabric
    half = 0.5 * fabric.size.width_mm
    low, high = fabric.tops_mm.min(axis=0) - half, fabric.tops_mm.max(axis=0) + half
    edging = edging_shapes(results)
    if edging.is_there:
        outer = np.array(edging.extent_mm).reshape(2, 2)
        low, high = np.minimum(low, outer[0]), np.maximum(high, outer[1])
    if part_mm is not None:
        low, high = np.array(part_mm).reshape(2, 2)
    scale = width / float(high[0] - low[0])
    height = max(round(scale * float(high[1] - low[1])), 1)
    check_pixels(width, height)
    smooth = 2 if width * height <= _FINE_ENOUGH else 1

    def strip(down: int, tall: int) -> QImage:
        view = View(float(low[0]), float(high[1]) - down / scale, scale, width, tall)
        image = fabric_image(results, view, smooth=smooth, outside="#ffffff")
        image = image.convertToFormat(QImage.Format.Format_RGB32)
        if edging.is_there:
            with QPainter(image) as painter:
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                up = scale * float(high[1]) - down
                paint_edging(painter, edging, Placing(scale, -scale * float(low[0]), up))
        if stamp:
            with QPainter(image) as painter:
                paint_stamp(painter, stamp, width, down, chart_font())
        return image

    return FabricPicture(width, height, strip)


def written_pattern(
    results: Results, terms: Terms | None = None, edition: Edition = OWN
) -> Pattern:
    """Return the whole written pattern, with sizes, amounts, cautions and own words."""
    return published(results, replace(edition, terms=terms or edition.terms))


def size_lines(results: Results) -> tuple[str, ...]:
    """Return the finished size and the cautions it calls for, in words."""
    return size_told(results)
