"""Fill rows: stitches chosen by hand that no longer fit the row they lie on."""

from core.checks.findings import Finding
from core.edging.plan import Ends


def check_edging(ends: Ends) -> list[Finding]:
    """Return what is wrong with the fill rows."""
    return [
        Finding(
            "warning",
            f"edging {end}",
            f"The {end} fill has stitches chosen by hand for another row, so others are proposed "
            'in their place. "Propose again" on the page Edging forgets the old ones.',
        )
        for end, fill in ends.fills.items()
        if fill is not None and fill.own_misfits
    ]
