"""The yarn in plain fabric, which everything else is reckoned from."""

from core.craft.tables import YARN_M_PER_M2
from core.design.document import Design


def yarn_m_per_m2(design: Design) -> float:
    """Return the yarn in a square metre of plain fabric: the swatch's, or the published one."""
    weighed = design.swatch.yarn_m_per_m2 if design.swatch else None
    return YARN_M_PER_M2 if weighed is None else weighed
