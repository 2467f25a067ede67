"""Stripes as text that goes to the clipboard and comes back, to another design too.

Yarns travel by name and colour: where a design has no such yarn, the nearest of its colours
takes its place.
"""

import json
from collections.abc import Sequence
from typing import Any, Final

from core.design.document import MOST_STRIPES, Design, Stripe, Yarn
from core.design.signs import plain_line
from core.errors import DesignError
from core.stripes.colour import difference

_KIND: Final = "dipslope-stripes"
_LONGEST: Final = 1_000_000  # characters


def text_of(design: Design, stripes: Sequence[Stripe]) -> str:
    """Return stripes as text."""
    listed = [
        {
            "yarn": design.yarns[stripe.yarn].name,
            "colour": design.yarns[stripe.yarn].colour,
            "rows": stripe.rows,
            "label": stripe.label,
        }
        for stripe in stripes
    ]
    return json.dumps({_KIND: listed}, ensure_ascii=False)


def stripes_in(text: str, design: Design) -> tuple[Stripe, ...]:
    """Return the stripes that a text holds, in a design's yarns.

    Raises:
        DesignError: It holds none.
    """
    nothing = DesignError("there are no stripes on the clipboard: cut or copy some first")
    if len(text) > _LONGEST:
        raise nothing
    try:
        listed = json.loads(text)[_KIND]
        found = [_stripe(entry, design.yarns) for entry in listed[:MOST_STRIPES]]
    except (ValueError, TypeError, LookupError, RecursionError):
        raise nothing from None
    if not found:
        raise nothing
    return tuple(found)


def _stripe(entry: Any, yarns: Sequence[Yarn]) -> Stripe:
    name, colour, rows, label = (entry[key] for key in ("yarn", "colour", "rows", "label"))
    if not isinstance(rows, int) or isinstance(rows, bool) or not 1 <= rows <= 5000:
        raise ValueError("rows")
    if not isinstance(label, str):
        raise ValueError("label")
    named = [n for n, yarn in enumerate(yarns) if (yarn.name, yarn.colour) == (name, colour)]
    if not named:
        named = [min(range(len(yarns)), key=lambda n: difference(yarns[n].colour, str(colour)))]
    return Stripe(named[0], rows, label=plain_line(label)[:40])
