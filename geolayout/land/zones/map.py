"""A map of the soil or the crop, as read: shapes that each hold one value."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.land.boundary.finding import Finding

__all__ = ["ZoneMap"]


@dataclass(frozen=True, slots=True, eq=False)
class ZoneMap:
    """
    Shapes with values, in the field's frame.

    Attributes
    ----------
    shapes : ndarray of Polygon or MultiPolygon, shape (n,)
        The polygons of the file, or cells of the raster that hold a value. [m]
    values : ndarray of float or str, shape (n,)
        What each holds: numbers, or names of classes.
    source : str
        Name of the file.
    cell : float or None
        Width of a raster's cells; None for polygons. [m]
    findings : tuple of Finding
        What a person should know of the map.
    """

    shapes: NDArray[np.object_]
    values: NDArray[np.float64] | NDArray[np.str_]
    source: str
    cell: float | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def by_words(self) -> bool:
        """Whether it holds names and no numbers."""
        return not np.issubdtype(self.values.dtype, np.number)
