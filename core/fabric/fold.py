"""How rows worked in one loop fold: a drawing, not a measurement.

The row joint is a hinge. A row worked into one loop hangs on that loop, which lies on one face
of the fabric; the loop left unworked lies on the other. Two slabs hinged on one face fold until
those faces meet, so the joint stands out on the face that shows the unworked loop: in turned
rows on alternate faces, and rows fold like a fan, two of them to a ridge (crochetbug.com: two
sc rows make one ridge on each face).

How far a joint stands out isn't known for any yarn: `DEPTH` is common practice, about a third
of a stitch width at the most. A taller row folds less, since the same depth is spread over it.
Front loops lie flatter (common practice), so they get a small share. Sizes aren't changed: a
gauge taken from a swatch in the same loops already holds what a fold takes away.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.design.document import WorkIn
from core.fabric.springs import Floats
from core.records import Struct
from core.stripes.loops import ridge_of_row

DEPTH: Final = 0.30  # how far a folded joint stands out, in stitch widths
FRONT_SHARE: Final = 0.35  # of that, for rows in the front loops
_STEP: Final = 0.12  # how far a row hangs before or behind the middle of the joint below


class Fold(Struct, frozen=True, eq=False):
    """The rows' cross-section, in stitch widths towards the eye on the right side.

    Attributes:
        joint: Depth of every row's tops, the foundation's first, shape (rows + 1,).
        foot: Where each row's own foot hangs, shape (rows + 1,); row 0 has none, 0 there.
        faces_out: 1 where the unworked loop at a row's foot lies on the right side, -1 where
            on the wrong side, 0 without one; shape (rows + 1,), row 0 with 0.
    """

    joint: Floats
    foot: Floats
    faces_out: Floats

    def slope(self, heights: Floats) -> Floats:
        """Return how steeply each row comes towards the eye on its way up, shape (rows + 1,).

        Args:
            heights: Row heights in stitch widths, shape (rows + 1,); row 0's is not used.
        """
        slope = (self.joint - self.foot) / np.maximum(heights, 0.2)
        slope[0] = 0.0
        return slope

    @property
    def standing(self) -> Floats:
        """Return how far each row's middle stands out; negative falls back."""
        return 0.5 * (self.joint + self.foot)


def fold_of(loops: Sequence[WorkIn]) -> Fold:
    """Return the fold of rows worked into these loops, row 1 first."""
    n_rows = len(loops)
    out, share = np.zeros(n_rows + 2), np.zeros(n_rows + 2)
    for row, loop in enumerate(loops, start=1):
        ridge = ridge_of_row(loop, row)
        if ridge.faces_out is not None:
            out[row] = 1.0 if ridge.faces_out else -1.0
            share[row] = FRONT_SHARE if loop == "front" else 1.0
    joint = DEPTH * (out * share)[1:]  # the joint at the foot of row r is row r - 1's tops
    foot = np.concatenate([[0.0], joint[:-1]])
    # The foot hangs on the loop that lies away from the unworked one.
    foot -= _STEP * (out * share)[:-1]
    return Fold(joint=joint, foot=foot, faces_out=out[:-1])
