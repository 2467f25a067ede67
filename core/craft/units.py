"""Inches and yards, as they are defined (international yard, 1959)."""

from typing import Final

MM_PER_IN: Final = 25.4
M_PER_YARD: Final = 0.9144
