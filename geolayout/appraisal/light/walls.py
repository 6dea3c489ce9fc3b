"""Hedges, woods, walls and buildings beside the field as walls, where a plan gives their height."""

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.light.shade import Walls
from geolayout.land.features import Feature, body
from geolayout.land.field import Field

__all__ = ["outline", "standing", "walls_of"]

EVEN = 0.5
"""Their outline is drawn this exactly. Our own choice. [m]"""

TRUNK = 1.0
"""Half the width of a tree drawn as a point without a radius. Our own choice. [m]"""


def standing(field: Field) -> list[Feature]:
    """Return the features whose height is known."""
    return [feature for feature in field.features if feature.height > 0.0]


def walls_of(field: Field) -> Walls:
    """
    Return the outlines of all features with a height, as walls that let no light through.

    Notes
    -----
    A hedge in leaf lets little through, a bare one some; this is the dark end of what may be. Their
    feet are taken to be as high as the ground that they shade.
    """
    lines = [outline(feature) for feature in standing(field)]
    heights = [feature.height for feature in standing(field)]
    starts, ends, high = [np.empty((0, 2))], [np.empty((0, 2))], [np.empty(0)]
    for line, height in zip(lines, heights, strict=True):
        for part in shapely.get_parts(line):
            xy = shapely.get_coordinates(part)
            starts.append(xy[:-1])
            ends.append(xy[1:])
            high.append(np.full(len(xy) - 1, height))
    top = np.concatenate(high)
    return Walls(np.concatenate(starts), np.concatenate(ends), top, np.zeros(len(top)))


def outline(feature: Feature) -> BaseGeometry:
    """Return the lines that stand upright: a drawn line, or the edge of what takes ground."""
    drawn, ground = feature.geometry, body(feature)
    if drawn.geom_type.endswith("LineString") and ground.is_empty:
        return shapely.simplify(drawn, EVEN)
    if ground.is_empty:
        ground = shapely.buffer(drawn, TRUNK)
    return shapely.simplify(shapely.boundary(ground), EVEN)
