"""The foundation chain: how many chains, from the rows and the turning chain, never typed.

Three cases (common practice; the first two checked against published patterns in
`tests/core/test_published_ripples.py`). With t turning chains:

- the chain counts and the first item makes several into one place: that place is a chain of
  the base, the skipped t chains come on top;
- the chain counts and stands on its own foot: one of the t chains is its foot in the base;
- the chain doesn't count: all t come on top.

In every case the first worked stitch goes into chain t + 1 from the hook.
"""

from core.design.document import Row, Turning, total_uses
from core.records import Struct


class Foundation(Struct, frozen=True, kw_only=True):
    """The chain to make before row 1.

    Attributes:
        multiple: Chains that one more repeat takes; 0 if the repeat works into none.
        extra: What the chain has beyond whole multiples.
        base_stitches: Chains that row 1 works into.
        chains: All chains to make.
        turn: Chains that are only the turn, `chains - base_stitches`.
        first_in: Chain from the hook that takes the first worked stitch.
    """

    multiple: int
    extra: int
    base_stitches: int
    chains: int
    turn: int
    first_in: int


def foundation_of(first: Row, turning: Turning, repeats: int) -> Foundation:
    """Return the foundation that row 1 (`first`) asks for."""
    base = first.uses(repeats)
    turn = turning.chains - (1 if turning.counts and not first_shares_foot(first) else 0)
    multiple = total_uses(first.repeat)
    chains = base + turn
    return Foundation(
        multiple=multiple,
        extra=chains % multiple if multiple else chains,
        base_stitches=base,
        chains=chains,
        turn=turn,
        first_in=turning.chains + 1,
    )


def first_shares_foot(row: Row) -> bool:
    """Return whether the row's first stitch has others in the same place."""
    items = row.start + row.repeat
    return items[0].make > 1
