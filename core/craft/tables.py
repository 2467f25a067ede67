"""Published tables that the program computes from, each with its source."""

from typing import Final

YARN_M_PER_M2: Final = 1250.0
"""Yarn in worsted-weight fabric, whatever the stitch: 1,237 to 1,263 m a square metre
(measured strips, windchilde.com). A weighed swatch of one's own replaces it."""

YARN_STITCH_MM: Final = 100 / 13
"""Width of the stitches that figure is taken for: 13 over 10 cm, the commonest published gauge of
worsted yarn on a 5 mm hook. Narrower stitches are of thinner yarn and take more in proportion,
as the same cloth drawn smaller would: 2,246 m a square metre were bought for 22 over 10 cm and
1,126 for 11 over 4 in (`tests/core/published_yarn.py`), where the rule says 2,115 and 1,041."""

YARN_BAND: Final = (0.80, 1.23)
"""Least and most that published pieces in closed cloth take, as shares of what is reckoned here
(`tests/core/published_yarn.py` prints them); the most are the measured strips of windchilde.com at
the stitch width that their row heights imply. Lace takes far less."""

OWN_HAND: Final = 0.05
"""Share by which a figure from one's own swatch may be off (from memory: our own choice)."""

YARN_OF_TOP: Final = 0.40
"""Share of a stitch that is its top, times its height over width: a top looks like a chain, and a
chain takes 4.8 of the 10.6, 15.7 and 20.4 in of yarn that an inch of sc, hdc and dc does
(windchilde.com): 0.41, 0.43 and 0.39."""

YARN_MM_PER_CHAIN_MM: Final = 4.8
"""Yarn in a foundation chain, length for length (windchilde.com)."""

TAIL_MM: Final = 150.0
"""Shortest tail to leave where a yarn is cut: 6 in, 15 cm (about.com). A design may say more."""

SPARE_PART: Final = 0.10
"""Share to buy beyond the sum: 10 % is commonly advised (from memory; pages say 10-20 %). A design
may say another."""

CARRY_ROWS: Final = 4
"""Rows of other yarns past which a yarn is carried up the side: 2 to 4 between uses
(Simply Crochet 122)."""

EVENING_HOURS: Final = 2.0
"""An evening's work (our own choice)."""

USUAL_SIZES_MM: Final = (
    ("pram", 762.0, 914.0),
    ("lap", 914.0, 1219.0),
    ("throw", 1270.0, 1524.0),
    ("single bed", 1676.0, 2286.0),
    ("double bed", 2032.0, 2286.0),
)
"""Name, width and length of usual blankets: 30 x 36, 36 x 48, 50 x 60, 66 x 90, 80 x 90 in
(stroller, lap, throw, twin, full: crochetcabana.com/sizing.htm, sarahmaker.com; sources differ by
a few inches, so they are places to start from)."""

PRAM_MM: Final = (765.0, 915.0)
"""Width and length up to which published tables call a blanket pram or baby size
(30 x 36 in: crochetcabana.com, sarahmaker.com)."""
