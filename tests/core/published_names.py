"""What the trade calls each stitch and chains for it: the one table that a new stitch goes into.

Names: "Crochet Terms Translation Chart", cdn.shopify.com/s/files/1/0659/6837/3974/files/
Crochet_Terms_Translation_Chart.pdf, and woollykits.com/understanding-crochet-turning-chains.
Turning chains: dummies.com "how to crochet a turning chain", woollykits.com as above,
toruyuri.com/2020/01/14/tatiagari. Yarn overs: one a slash of the symbol from dc on
(crochetme.com/learn-how-to-crochet/crocheting-with-symbols); hdc and sc: common practice.
The hand's movements are from memory, counted on the hook.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Published:
    """One stitch as printed.

    Attributes:
        us: US abbreviation, which is the catalogue's key.
        uk: UK abbreviation.
        us_long: US name.
        uk_long: UK name.
        chains: Usual turning chains.
        counts: Whether they usually count as the first stitch; None where both are seen.
        yarn_overs: Yarn overs before the hook goes in.
        moves: Movements of the hand.
    """

    us: str
    uk: str
    us_long: str
    uk_long: str
    chains: int
    counts: bool | None
    yarn_overs: int
    moves: int


PUBLISHED = (
    Published("ch", "ch", "chain", "chain", 0, False, 0, 1),
    Published("sl st", "ss", "slip stitch", "slip stitch", 0, False, 0, 1),
    Published("sc", "dc", "single crochet", "double crochet", 1, False, 0, 2),
    Published("hdc", "htr", "half double crochet", "half treble", 2, None, 1, 3),
    Published("dc", "tr", "double crochet", "treble", 3, True, 1, 4),
    Published("tr", "dtr", "treble", "double treble", 4, True, 2, 6),
    Published("dtr", "trtr", "double treble", "triple treble", 5, True, 3, 8),
)
WORKED = PUBLISHED[1:]
US = {stitch.us: stitch.us for stitch in WORKED}
UK = {stitch.uk: stitch.us for stitch in WORKED}
"""What a maker takes each abbreviation for, as the program's key."""
