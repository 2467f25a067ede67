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

PRAM_MM: Final = (765.0, 915.0)
"""Width and length up to which published tables call a blanket pram or baby size
(30 x 36 in: crochetcabana.com, sarahmaker.com)."""
