"""How steep rows may run for the sake of the soil; no limit of what a machine can stand on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ANNUAL", "PERENNIAL", "GradeLimit"]

ROUNDING = 1e-6
"""A grade over its limit by less than this is at it. [%]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class GradeLimit:
    """
    How steep rows may run for the sake of the soil.

    Attributes
    ----------
    rows : str
        Which rows it governs.
    most : float
        Never more than this. [%]
    share_of_slope : float
        Nor more than this share of the slope that the row lies on. [-]
    source : str
        Where it comes from.
    """

    rows: str
    most: float
    share_of_slope: float
    source: str

    def at(self, slope: Floats) -> Floats:
        """Return the limit on ground of some slope, shape (n,), both in percent."""
        return np.minimum(self.most, self.share_of_slope * slope)

    def over(self, grade: Floats, slope: Floats) -> NDArray[np.bool_]:
        """Return where a grade, up or down, is over the limit, shape (n,), both in percent."""
        return np.asarray(np.abs(grade) > self.at(slope) + ROUNDING)


ANNUAL = GradeLimit("annual rows", 2.0, 0.5, "USDA NRCS, Contour Farming, Code 330.")
PERENNIAL = GradeLimit(
    "tree rows", 4.0, 0.5, "USDA NRCS, Contour Orchard and Other Perennial Crops, Code 331."
)
