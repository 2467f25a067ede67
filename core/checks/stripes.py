"""The stripes: odd rows, unused yarns, neighbours that merge."""

from functools import lru_cache
from typing import Final

from core.checks.findings import Finding
from core.design.document import Design, Edging
from core.palette.neighbours import Merge, merging
from core.palette.sight import GREY, eyes
from core.stripes.sequence import Worked, worked_stripes, yarns_worked

_MOST: Final = 6  # pairs named one by one


def check_stripes(design: Design, n_rows: int) -> list[Finding]:
    """Return what is worth knowing about the stripe order."""
    worked = worked_stripes(design.stripes, n_rows)
    findings = []
    if design.stripes.fill == "stop" and design.stripes.rows < n_rows:
        findings.append(
            Finding(
                "note",
                "stripes",
                f"The sequence stops after {design.stripes.rows} rows; its last yarn goes on "
                f"to row {n_rows}.",
            )
        )
    if worked and worked[-1].rows < design.stripes.sequence[worked[-1].entry].rows:
        cut = design.stripes.sequence[worked[-1].entry].rows - worked[-1].rows
        findings.append(
            Finding(
                "note",
                "stripes",
                f"The last stripe is {cut} {'row' if cut == 1 else 'rows'} short: "
                f"{n_rows + cut} rows would complete it.",
            )
        )
    used = yarns_worked(design.edging, (stripe.yarn for stripe in worked))
    unused = set(range(len(design.yarns))) - set(used)
    findings += [
        Finding("note", f"yarn {number}", f"{design.yarns[number].name} isn't used in any row.")
        for number in sorted(unused)
    ]
    findings += _merging(design, worked)
    return findings


def _merging(design: Design, worked: tuple[Worked, ...]) -> list[Finding]:
    merges = _merges(tuple(yarn.colour for yarn in design.yarns), worked, design.edging)
    findings = [Finding("note", "colour", _sentence(design, merge)) for merge in merges[:_MOST]]
    more = len(merges) - _MOST
    if more > 0:
        pairs = "1 more pair" if more == 1 else f"{more} more pairs"
        findings.append(
            Finding("note", "colour", f"{pairs} of neighbours merge: the Colour page lists them.")
        )
    return findings


@lru_cache(maxsize=8)
def _merges(
    colours: tuple[str, ...], worked: tuple[Worked, ...], edging: Edging | None
) -> tuple[Merge, ...]:
    """Return the neighbours that merge; kept, as other changes of a design ask again."""
    return merging(colours, worked, edging)


def _sentence(design: Design, merge: Merge) -> str:
    first, second = design.yarns[merge.meeting.one], design.yarns[merge.meeting.other]
    beside = f"{first.name} and {second.name} lie side by side and"
    if merge.is_plain:
        return f"{beside} nearly match."
    if GREY in merge.sights:
        return f"{beside} are equally light: printed in grey or seen at dusk they merge."
    return f"{beside} look alike to {eyes(merge.sights)}."
