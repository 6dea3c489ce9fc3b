"""How steep rows may run for the sake of the soil; no limit of what a machine can stand on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ANNUAL", "OUTLET_NEAR", "PERENNIAL", "GradeLimit"]

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
    near_share : float
        Times the limit where water soon reaches a stable outlet. [-]
    near_least : float
        There the limit is no lower than this. [%]
    source : str
        Where it comes from.
    """

    rows: str
    most: float
    share_of_slope: float
    near_share: float
    near_least: float
    source: str

    def at(self, slope: Floats, near: NDArray[np.bool_] | None = None) -> Floats:
        """
        Return the limit, shape (n,). [%]

        Parameters
        ----------
        slope : ndarray, shape (n,)
            Of the ground. [%]
        near : ndarray of bool, shape (n,), optional
            Where a stable outlet is within `OUTLET_NEAR`.
        """
        limit = np.minimum(self.most, self.share_of_slope * slope)
        if near is None:
            return limit
        return np.where(near, np.maximum(self.near_share * limit, self.near_least), limit)

    def over(
        self, grade: Floats, slope: Floats, near: NDArray[np.bool_] | None = None
    ) -> NDArray[np.bool_]:
        """Return where a grade, up or down, is over the limit, shape (n,), both in percent."""
        return np.asarray(np.abs(grade) > self.at(slope, near) + ROUNDING)


OUTLET_NEAR = 45.72
"""150 feet: rows may be steeper so near to a stable outlet; USDA NRCS, Codes 330 and 331. [m]"""

ANNUAL = GradeLimit("annual rows", 2.0, 0.5, 1.0, 3.0, "USDA NRCS, Contour Farming, Code 330.")
PERENNIAL = GradeLimit(
    "tree rows",
    4.0,
    0.5,
    1.25,
    0.0,
    "USDA NRCS, Contour Orchard and Other Perennial Crops, Code 331.",
)
