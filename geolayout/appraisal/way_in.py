"""The way in: how far a place is from a gateway, and to which side as one comes through it."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.land.features import Feature
from geolayout.land.field import Field

__all__ = ["FromGate", "gates_of", "way_from"]

AHEAD = 20.0
"""Within so much of straight in, a place is ahead. Our own choice. [degrees]"""

STEP = 1.0
"""Length along the edge at a gateway that its direction is taken from. [m]"""

Place = tuple[float, float]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FromGate:
    """
    Where a place is, for somebody who comes in by a gateway.

    Attributes
    ----------
    gate : Feature
        The gateway.
    distance : float
        Straight from the middle of the gateway. [m]
    bearing : float
        From true north, clockwise. [degrees]
    side : {"ahead", "to the left", "to the right"}
        As one comes in.
    """

    gate: Feature
    distance: float
    bearing: float
    side: str


def gates_of(field: Field) -> list[Feature]:
    """Return the gateways of a field, as the plan has them."""
    return [feature for feature in field.features if feature.kind == "gateway"]


def way_from(field: Field, place: Place, gate: Feature | None = None) -> FromGate | None:
    """
    Say how to come to a place from a gateway.

    Parameters
    ----------
    field : Field
        The field.
    place : tuple of float
        East and north in its frame. [m]
    gate : Feature, optional
        Which gateway; the nearest to the place if nothing is said.

    Returns
    -------
    way : FromGate or None
        None where the field has no gateway.
    """
    gates = [gate] if gate is not None else gates_of(field)
    if not gates:
        return None
    target = np.asarray(place)
    nearest = min(gates, key=lambda one: float(np.hypot(*(target - _middle(one)))))
    way = target - _middle(nearest)
    begin = (float(_middle(nearest)[0]), float(_middle(nearest)[1]))
    in_frame = float(np.degrees(np.arctan2(*way)))
    bearing = field.frame.true_bearing(begin, in_frame) % 360.0
    return FromGate(nearest, float(np.hypot(*way)), bearing, _side(field, nearest, way))


def _middle(gate: Feature) -> Floats:
    """Return the middle of a gateway. [m]"""
    return np.asarray(shapely.get_coordinates(shapely.centroid(gate.geometry))[0])


def _side(field: Field, gate: Feature, way: Floats) -> str:
    """Return to which side a way goes for somebody who comes in square to the edge."""
    inward = _inward(field, gate)
    angle = float(np.degrees(np.arctan2(inward[0] * way[1] - inward[1] * way[0], inward @ way)))
    if abs(angle) <= AHEAD:
        return "ahead"
    return "to the left" if angle > 0 else "to the right"


def _inward(field: Field, gate: Feature) -> Floats:
    """Return the direction into the field, square to its edge at a gateway."""
    part = min(shapely.get_parts(field.land), key=lambda one: float(one.distance(gate.geometry)))
    edge = shapely.get_exterior_ring(part)
    at = shapely.line_locate_point(edge, shapely.Point(_middle(gate)))
    places = np.array([at - STEP / 2, at + STEP / 2]) % edge.length
    a, b = shapely.get_coordinates(shapely.line_interpolate_point(edge, places))
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    inward = np.array([-along[1], along[0]])
    probe = (a + b) / 2 + 0.1 * STEP * inward
    return inward if shapely.contains_xy(field.land, *probe) else -inward
