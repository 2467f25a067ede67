"""A palette that becomes part of a design, in one edit."""

from collections.abc import Sequence

from core.design.document import Design, Stripe
from core.design.edits import set_sequence, set_values
from core.palette.stash import new_yarns

Choice = int | str
"""A yarn of the list by its number, or a new one by its colour."""


def take_palette(design: Design, choices: Sequence[Choice], *, recolour: bool = False) -> Design:
    """Return the design with the new yarns at the end of its list.

    Args:
        design: The design.
        choices: The palette in its order; yarns that are there already may be among them.
        recolour: Work the stripes in the palette: where the sequence takes up its first yarn
            the palette's first comes in, and so on; rows stay. A sequence of more yarns than
            the palette has begins it again.
    """
    colours = [choice for choice in choices if isinstance(choice, str)]
    made = iter(range(len(design.yarns), len(design.yarns) + len(colours)))
    palette = [next(made) if isinstance(choice, str) else choice for choice in choices]
    design = set_values(design, yarns=(*design.yarns, *new_yarns(colours, design.yarns)))
    if not recolour or not palette:
        return design
    order = list(dict.fromkeys(stripe.yarn for stripe in design.stripes.sequence))
    instead = {yarn: palette[place % len(palette)] for place, yarn in enumerate(order)}
    sequence = tuple(Stripe(instead[s.yarn], s.rows) for s in design.stripes.sequence)
    return set_sequence(design, sequence)
