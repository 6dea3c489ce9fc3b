"""
The ground of a layout crossed with rate zones.

The zones are a partition of the field and the ground is one, so what the two cut each other into
is one as well: sums over zones are sums over bands.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.layout.ground import Ground
from geolayout.layout.shapes.overlay import common
from geolayout.layout.zones.field import Zones

__all__ = ["ZoneGround", "cross"]

BALANCE = 1e-9
"""Share of the field by which zones and ground may miss each other. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class ZoneGround:
    """
    Ground crossed with rate zones; every column has one entry a part.

    Attributes
    ----------
    zones : Zones
        The zones.
    geometry : ndarray of Polygon or MultiPolygon
        The parts. [m]
    piece, zone : ndarray of int
        Index of the piece of ground, and of the class.
    """

    zones: Zones
    geometry: NDArray[np.object_]
    piece: NDArray[np.int32]
    zone: NDArray[np.int32]

    @property
    def area(self) -> NDArray[np.float64]:
        """Area of each part in the frame, shape (n,). [m2]"""
        return np.asarray(shapely.area(self.geometry))


def cross(ground: Ground, zones: Zones) -> ZoneGround:
    """
    Cross the ground of a layout with rate zones.

    Parameters
    ----------
    ground : Ground
        A partition of the field.
    zones : Zones
        Rate zones of the same field.

    Returns
    -------
    crossed : ZoneGround
        A partition of the field, by piece of ground and class.

    Raises
    ------
    LayoutError
        If it is none, by more than 1e-9 of the field.
    """
    shapes: list[BaseGeometry] = []
    columns: list[tuple[int, int]] = []
    for k, one in enumerate(zones.classes):
        if one.geometry.is_empty:
            continue
        shapely.prepare(one.geometry)
        inside = shapely.covers(one.geometry, ground.geometry)
        for i in np.flatnonzero(shapely.intersects(one.geometry, ground.geometry)).tolist():
            piece = ground.geometry[i]
            shared = piece if inside[i] else common(piece, one.geometry)
            if not shared.is_empty:
                shapes.append(shared)
                columns.append((i, k))
    geometry = np.empty(len(shapes), dtype=object)
    geometry[:] = shapes
    piece, zone = np.array(columns, dtype=np.int32).reshape(-1, 2).T
    order = np.lexsort([zone, piece])
    crossed = ZoneGround(zones, geometry[order], piece[order], zone[order])
    _check_balance(ground, crossed)
    return crossed


def _check_balance(ground: Ground, crossed: ZoneGround) -> None:
    """Stop before ground is sown at two rates or none."""
    parts = np.bincount(crossed.piece, crossed.area, minlength=len(ground))
    off = float(np.abs(parts - ground.area).sum())
    if off > BALANCE * float(ground.area.sum()):
        raise LayoutError(
            f"Rate zones and ground miss each other by {off:.4f} m2.",
            "Some ground would get two rates, or none.",
            "Change `smallest` of the rate zones a little, and tell us of this field.",
        )
