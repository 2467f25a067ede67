"""Every figure that can be asked about, by key, in the order in which they are met."""

from collections.abc import Callable
from typing import Final

from core.explain import border, rows, sizes, yarns
from core.explain.figures import Explanation
from core.pipeline import Results
from core.records import replace

Explain = Callable[[Results, int], Explanation | None]


def _of_all(explain: Callable[[Results], Explanation | None]) -> Explain:
    return lambda results, yarn: explain(results)


def _of_border(explain: Callable[..., Explanation], *more: str) -> Explain:
    def explained(results: Results, yarn: int) -> Explanation | None:
        return None if results.border is None else explain(results, results.border, *more)

    return explained


EXPLAINED: Final[dict[str, Explain]] = {
    "chain": _of_all(rows.chain),
    "multiple": _of_all(rows.multiple),
    "stitches": _of_all(rows.stitches),
    "rows": _of_all(rows.rows),
    "stitch": _of_all(rows.stitch),
    "loops": _of_all(rows.loops),
    "width": _of_all(sizes.width),
    "length": _of_all(sizes.length),
    "wave height": _of_all(sizes.wave_height),
    "lean": _of_all(sizes.lean),
    "width step": _of_all(sizes.width_step),
    "length step": _of_all(sizes.length_step),
    "colours": _of_all(rows.colours),
    "stitch width": _of_all(sizes.stitch_width),
    "row height": _of_all(sizes.row_height),
    "repeat width": _of_all(sizes.repeat_width),
    "rise": _of_all(sizes.rise),
    "chain length": _of_all(sizes.chain_length),
    "draw in": _of_all(sizes.draw_in),
    "yarn in rows": yarns.in_rows,
    "yarn in foundation": yarns.foundation,
    "yarn in fill": yarns.fill,
    "yarn in border": yarns.border,
    "yarn in tails": yarns.tails,
    "yarn to spare": yarns.spare,
    "yarn together": yarns.together,
    "yarn weight": yarns.weight,
    "yarn balls": yarns.balls,
    "yarn short": yarns.short_by,
    "all length": _of_all(yarns.all_length),
    "all weight": _of_all(yarns.all_weight),
    "all balls": _of_all(yarns.all_balls),
    "all to buy": _of_all(yarns.all_to_buy),
    "cost": _of_all(yarns.cost),
    "tails": _of_all(rows.tails),
    "fill top": lambda results, yarn: border.bump(results, "top"),
    "fill bottom": lambda results, yarn: border.bump(results, "bottom"),
    "border side": _of_border(border.side),
    "border top": _of_border(border.end, "top"),
    "border bottom": _of_border(border.end, "bottom"),
    "border round": _of_border(border.rounds),
    "border last round": _of_border(border.corner),
    "border yarn": _of_border(border.metres),
    "border finished": _of_all(border.finished),
}

OF_ONE_YARN: Final = frozenset(key for key in EXPLAINED if key.startswith("yarn "))


def explain(key: str, results: Results, *, yarn: int = 0) -> Explanation | None:
    """Return how a figure is known; None if the design has no such figure.

    Args:
        key: One of `EXPLAINED`.
        results: The blanket.
        yarn: Number of the yarn that is spoken of, for figures of one yarn.

    Raises:
        KeyError: There is no such key.
    """
    number = min(max(yarn, 0), len(results.yarn) - 1)
    found = EXPLAINED[key](results, number)
    if found is None or key not in OF_ONE_YARN:
        return found
    name = f"{found.result.name}, {results.design.yarns[number].name}"
    return replace(found, result=replace(found.result, name=name))


def all_explanations(results: Results, *, yarn: int = 0) -> tuple[Explanation, ...]:
    """Return every figure that the design has, in order."""
    found = (explain(key, results, yarn=yarn) for key in EXPLAINED)
    return tuple(one for one in found if one is not None)
