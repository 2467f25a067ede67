"""The stripes: odd rows, unused yarns, neighbours that merge."""

from itertools import pairwise

from core.checks.findings import Finding
from core.design.document import Design
from core.stripes.colour import difference, lightness
from core.stripes.sequence import Worked, worked_stripes

MERGE_DIFFERENCE = 10.0
"""CIEDE2000 below which neighbours are said to merge (from memory: our own choice)."""
MERGE_LIGHTNESS = 8.0


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
    unused = set(range(len(design.yarns))) - {stripe.yarn for stripe in worked}
    unused -= {yarn for _, yarn in design.edging.yarns} if design.edging else set()
    findings += [
        Finding("note", f"yarn {number}", f"{design.yarns[number].name} isn't used in any row.")
        for number in sorted(unused)
    ]
    findings += _merging(design, worked)
    return findings


def _merging(design: Design, worked: tuple[Worked, ...]) -> list[Finding]:
    pairs = {
        (min(one.yarn, other.yarn), max(one.yarn, other.yarn))
        for one, other in pairwise(worked)
        if one.yarn != other.yarn
    }
    findings = []
    for one, other in sorted(pairs):
        first, second = design.yarns[one], design.yarns[other]
        apart = difference(first.colour, second.colour)
        grey = abs(lightness(first.colour) - lightness(second.colour))
        if apart < MERGE_DIFFERENCE:
            message = f"{first.name} and {second.name} lie side by side and nearly match."
        elif grey < MERGE_LIGHTNESS:
            message = (
                f"{first.name} and {second.name} lie side by side and are equally light: "
                "printed in grey or seen at dusk they merge."
            )
        else:
            continue
        findings.append(Finding("note", "stripes", message))
    return findings
