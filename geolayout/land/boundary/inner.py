"""
Shapes drawn within another of the same file: a hole, or ground of the field drawn again.

.. code-block:: text

      +-----------------+
      |  field  +----+  |      Two shapes of one file. Is the pond in the field or not?
      |         |pond|  |      Nobody but the person at the desk can tell, so it is asked.
      |         +----+  |
      +-----------------+
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.tangle import check_tangle
from geolayout.land.frames.frame import geodesic_area
from geolayout.land.places import inner_points, named

__all__ = ["Inner", "Nested", "lying_within", "nested", "polygons_of", "settled"]

Inner = Literal["hole", "field"]
"""What a shape within the field is: cut out of it, or ground of it drawn again."""

WITHIN = 0.99
"""Share of a shape's area that must lie in another for it to be drawn within that one. [-]"""

THE_SAME = 0.999
"""Two shapes that share this much of the larger one are one shape drawn twice. [-]"""

MOST_PAIRS = 20_000
"""Shapes over each other that are looked at; more are several maps in one file. [-]"""

AT_ONCE = 200
"""Shapes that are held against all others at a time, so that memory stays small. [-]"""


@dataclass(frozen=True, slots=True)
class Nested:
    """
    Which shapes of a file lie within which, by their numbers.

    Attributes
    ----------
    within : tuple of (int, int)
        Inner and outer shape.
    twins : tuple of (int, int)
        First and second drawing of the same ground.
    is_whole : bool
        Whether all shapes that lie over each other were looked at.
    """

    within: tuple[tuple[int, int], ...]
    twins: tuple[tuple[int, int], ...]
    is_whole: bool


def polygons_of(geometry: BaseGeometry | None) -> list[Polygon]:
    """Take the polygons out of a geometry, however deep its collections are nested."""
    if isinstance(geometry, Polygon):
        return [geometry]
    parts = getattr(geometry, "geoms", ())
    return [polygon for part in parts for polygon in polygons_of(part)]


def nested(shapes: Sequence[BaseGeometry]) -> Nested:
    """
    Find shapes that lie within another, and shapes drawn twice.

    Parameters
    ----------
    shapes : sequence of shapely geometry
        Of which only polygons count, valid or not. [degrees]

    Returns
    -------
    nested : Nested
    """
    areas = np.array([_flat(shape) for shape in shapes], dtype=object)
    size = shapely.area(areas)
    inner, outer = _candidates(areas)
    is_whole = len(inner) <= MOST_PAIRS
    inner, outer = inner[:MOST_PAIRS], outer[:MOST_PAIRS]
    shared = _shared(areas, inner, outer)
    same = shared >= THE_SAME * np.maximum(size[inner], size[outer])
    inside = ~same & (shared >= WITHIN * size[inner]) & (size[inner] < size[outer])
    twins = _pairs(inner, outer, same & (inner < outer))
    return Nested(_pairs(inner, outer, inside), twins, is_whole)


def lying_within(outer: BaseGeometry, shapes: Sequence[BaseGeometry]) -> list[int]:
    """
    Find the shapes that lie within one, each drawing once.

    Parameters
    ----------
    outer : shapely geometry
        Of which only polygons count, valid or not. [degrees]
    shapes : sequence of shapely geometry
        Others of the same file. [degrees]

    Returns
    -------
    numbers : list of int
        Which of them do.
    """
    around = _flat(outer)
    areas = np.array([_flat(shape) for shape in shapes], dtype=object)
    shapely.prepare(around)
    near = np.flatnonzero(shapely.intersects(around, shapely.point_on_surface(areas)))
    size, whole = shapely.area(areas[near]), shapely.area(around)
    shared = shapely.area(shapely.intersection(areas[near], around))
    inside = (shared >= WITHIN * size) & (shared < THE_SAME * whole) & (size < whole)
    drawings = {shapely.to_wkb(shapely.normalize(areas[i])): int(i) for i in near[inside][::-1]}
    return sorted(drawings.values())


def _flat(shape: BaseGeometry) -> BaseGeometry:
    """Make the polygons of a shape valid for a look; scribble, refused later, covers nothing."""
    polygons = MultiPolygon(polygons_of(shape))
    if polygons.is_valid:
        return polygons
    try:
        check_tangle(shapely.get_rings(shapely.get_parts(polygons)), name="")
    except BoundaryError:
        return Polygon()
    return shapely.make_valid(polygons)


def _candidates(areas: NDArray[np.object_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pair each shape with those that hold a point inside it; a tree knows them quickly."""
    points = shapely.point_on_surface(areas)
    tree = shapely.STRtree(areas)
    found = [np.zeros((2, 0), dtype=np.int64)]
    for first in range(0, len(points), AT_ONCE):
        inner, outer = tree.query(points[first : first + AT_ONCE], predicate="intersects")
        others = inner + first != outer
        found.append(np.stack((inner[others] + first, outer[others])))
        if sum(pairs.shape[1] for pairs in found) > MOST_PAIRS:
            break
    inner, outer = np.concatenate(found, axis=1)
    return inner, outer


def _shared(
    areas: NDArray[np.object_], inner: NDArray[np.int64], outer: NDArray[np.int64]
) -> NDArray[np.float64]:
    shared: NDArray[np.float64] = shapely.area(shapely.intersection(areas[inner], areas[outer]))
    return shared


def _pairs(
    first: NDArray[np.int64], second: NDArray[np.int64], chosen: NDArray[np.bool_]
) -> tuple[tuple[int, int], ...]:
    return tuple(zip(first[chosen].tolist(), second[chosen].tolist(), strict=True))


def settled(
    outer: BaseGeometry,
    inside: Sequence[tuple[str, BaseGeometry]],
    *,
    name: str,
    inner: Inner | None,
) -> tuple[BaseGeometry, tuple[Finding, ...]]:
    """
    Cut shapes out of the one they lie within, or leave them in it, as the user says.

    Parameters
    ----------
    outer : shapely geometry
        The field as drawn. [degrees]
    inside : sequence of (str, shapely geometry)
        Name and shape of what is drawn within it. [degrees]
    name : str
        What sentences call the field.
    inner : {"hole", "field"} or None
        What the shapes are; None if nobody said.

    Returns
    -------
    geometry : shapely geometry
        Not made sound. [degrees]
    findings : tuple of Finding

    Raises
    ------
    BoundaryError
        If nobody said what the shapes are.
    """
    if not inside:
        return outer, ()
    shapes = [shape for _, shape in inside]
    what = f"{named(label for label, _ in inside)} ({_hectares(shapes):.3f} ha)"
    if inner is None:
        raise BoundaryError(
            f"Within {name} the file draws {what}.",
            "That may be a hole in the field, or ground of it drawn again.",
            'Say inner = "hole" to cut it out, or inner = "field" to leave it in.',
        )
    where = inner_points(shapes)
    if inner == "field":
        sentence = f"{what}, drawn within {name}, stays ground of the field, as you said."
        return outer, (Finding("shape within", sentence, 0.0, where),)
    sentence = f"{what}, drawn within {name}, was cut out as a hole, as you said."
    return _cut(polygons_of(outer), shapes), (Finding("shape within", sentence, 0.0, where),)


def _hectares(shapes: Iterable[BaseGeometry]) -> float:
    return sum(geodesic_area(polygon) for shape in shapes for polygon in polygons_of(shape)) / 1e4


def _cut(outer: list[Polygon], shapes: Sequence[BaseGeometry]) -> MultiPolygon:
    """Add the rings of the inner shapes as holes, and their own holes as islands."""
    cut = [polygon for shape in shapes for polygon in polygons_of(shape)]
    islands = [Polygon(ring) for polygon in cut for ring in polygon.interiors]
    points = shapely.point_on_surface([_flat(polygon) for polygon in cut])
    parts = []
    for part in outer:
        mine = shapely.intersects(_flat(part), points)
        holes = [polygon.exterior for polygon, is_mine in zip(cut, mine, strict=True) if is_mine]
        parts.append(Polygon(part.exterior, [*part.interiors, *holes]))
    return MultiPolygon([*parts, *islands])
