"""The polygons of whatever an overlay leaves."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["polygon_parts"]


def polygon_parts(geometry: BaseGeometry | NDArray[np.object_]) -> NDArray[np.object_]:
    """Return the polygons of a geometry or array, singly and without lines or points."""
    parts = shapely.get_parts(shapely.get_parts(np.atleast_1d(geometry)))
    keep = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    return np.asarray(parts[keep], dtype=object)
