"""The stitch catalogue: names in both systems, turning chains and proportions.

Inside the program a stitch is known by its US abbreviation. UK words appear only where
words are written or read.

Sources, also named beside the tests:
    Names: translation chart for crochet terms (US/UK), woollykits.com on turning chains.
    Turning chains: woollykits.com and dummies.com (sc 1, hdc 2, dc 3, tr 4, dtr 5).
    The hand's movements: from memory, counted on the hook.
    Proportions: medians of published swatches (`tests/core/published_tables.py`); tr and hdc
    rest on one swatch each; dtr follows the turning chains' ratio 5 : 4 to tr.
"""

from typing import Final, Literal, get_args

from core.records import Struct

Terms = Literal["US", "UK"]


class Name(Struct, frozen=True):
    """What a stitch is called in one system of terms."""

    short: str
    long: str


class Stitch(Struct, frozen=True, kw_only=True):
    """One kind of stitch.

    Attributes:
        key: US abbreviation, the program's own name for it.
        us: Name in US terms.
        uk: Name in UK terms.
        turning_chains: Chains usually made at the start of a row of it.
        chain_counts: Whether those chains usually count as the first stitch.
        yarn_overs: Wraps made before the hook goes in.
        at_once: Whether the last pull goes through every loop, as in hdc, and not through two
            loops again and again, as in dc.
        height_to_width: Row height over stitch width in a plain swatch.
        is_rung: Whether waves of stitch heights step over it. A stitch between two of the usual
            ones is none, or the published orders, and designs that follow them, would change.
    """

    key: str
    us: Name
    uk: Name
    turning_chains: int
    chain_counts: bool
    yarn_overs: int
    at_once: bool = False
    height_to_width: float
    is_rung: bool = True

    @property
    def slashes(self) -> int:
        """How many slashes its symbol has across the stem: one a yarn over, none in hdc."""
        return 0 if self.at_once else self.yarn_overs

    @property
    def hand_moves(self) -> int:
        """Movements of the hand: yarn overs, the loop pulled up, each draw through loops.

        In a chain and a slip stitch, which have no height, pulling up and drawing through are one.
        """
        if not self.turning_chains:
            return 1
        draws = 1 if self.at_once else self.yarn_overs + 1
        return self.yarn_overs + 1 + draws

    def name(self, terms: Terms) -> Name:
        """Return the stitch's name in `terms`."""
        return self.us if terms == "US" else self.uk


CHAIN: Final = "ch"

_ALL: Final = (
    Stitch(
        key="ch",
        us=Name("ch", "chain"),
        uk=Name("ch", "chain"),
        turning_chains=0,
        chain_counts=False,
        yarn_overs=0,
        height_to_width=0.5,  # a chain lies down; from memory, only its symbol's size rests on it
    ),
    Stitch(
        key="sl st",
        us=Name("sl st", "slip stitch"),
        uk=Name("ss", "slip stitch"),
        turning_chains=0,
        chain_counts=False,
        yarn_overs=0,
        height_to_width=0.4,  # from memory: a slip stitch adds little height
    ),
    Stitch(
        key="sc",
        us=Name("sc", "single crochet"),
        uk=Name("dc", "double crochet"),
        turning_chains=1,
        chain_counts=False,
        yarn_overs=0,
        height_to_width=0.90,
    ),
    Stitch(
        key="hdc",
        us=Name("hdc", "half double crochet"),
        uk=Name("htr", "half treble"),
        turning_chains=2,
        chain_counts=True,
        yarn_overs=1,
        at_once=True,
        height_to_width=1.4,
    ),
    Stitch(
        key="dc",
        us=Name("dc", "double crochet"),
        uk=Name("tr", "treble"),
        turning_chains=3,
        chain_counts=True,
        yarn_overs=1,
        height_to_width=1.65,
    ),
    Stitch(
        key="tr",
        us=Name("tr", "treble"),
        uk=Name("dtr", "double treble"),
        turning_chains=4,
        chain_counts=True,
        yarn_overs=2,
        height_to_width=2.5,
    ),
    Stitch(
        key="dtr",
        us=Name("dtr", "double treble"),
        uk=Name("trtr", "triple treble"),
        turning_chains=5,
        chain_counts=True,
        yarn_overs=3,
        height_to_width=3.125,
    ),
)

CATALOGUE: Final[dict[str, Stitch]] = {stitch.key: stitch for stitch in _ALL}
KEYS: Final[tuple[str, ...]] = tuple(CATALOGUE)
WorkedStitch = Literal["sl st", "sc", "hdc", "dc", "tr", "dtr"]
WORKED: Final[tuple[WorkedStitch, ...]] = get_args(WorkedStitch)
RUNGS: Final[tuple[WorkedStitch, ...]] = tuple(key for key in WORKED if CATALOGUE[key].is_rung)
"""The stitches that heights step over, from the lowest to the tallest."""
NUMBER: Final[dict[str, int]] = {key: number for number, key in enumerate(KEYS)}
HAND_MOVES: Final[dict[str, int]] = {key: stitch.hand_moves for key, stitch in CATALOGUE.items()}


def height_ratio(stitch: str, gauge_stitch: str) -> float:
    """Return how tall `stitch` is compared with `gauge_stitch`, in the same yarn."""
    return CATALOGUE[stitch].height_to_width / CATALOGUE[gauge_stitch].height_to_width
