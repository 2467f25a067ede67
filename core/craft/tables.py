"""Published tables that the program computes from, each with its source."""

from typing import Final

YARN_M_PER_M2: Final = 1250.0
"""Yarn in worsted-weight fabric, whatever the stitch: 1,237 to 1,263 m a square metre
(measured strips, windchilde.com). A weighed swatch of one's own replaces it."""

YARN_MM_PER_CHAIN_MM: Final = 4.8
"""Yarn in a foundation chain, length for length (windchilde.com)."""

TAIL_MM: Final = 150.0
"""Shortest tail to leave where a yarn is cut: 6 in, 15 cm (about.com)."""

SPARE_PART: Final = 0.10
"""Share to buy beyond the sum: 10 % is commonly advised (from memory; pages say 10-20 %)."""

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
