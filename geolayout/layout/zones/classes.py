"""
Classes of a map: where one ends and the next begins, and the ground of each.

A quantile is a share of the field's ground, not of the shapes: a map of five polygons says little
about the field if the five count alike. The limit lies midway between the last value of the lower
class and the first of the higher, so that neither is on it.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, LayoutError
from geolayout.land.zones.map import ZoneMap
from geolayout.layout.shapes.overlay import common, joined
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.ratezones import RateZones

__all__ = ["class_areas", "class_limits", "class_of"]

OVERLAP = 1e-3
"""Share of the field on which polygons of two classes may overlap: lines drawn twice. Ours. [-]"""

ROUNDING = 1e-12
"""Share of the ground by which a sum of areas misses a quantile. [-]"""


def class_limits(mapped: ZoneMap, land: BaseGeometry, zones: RateZones) -> tuple[float, ...]:
    """
    Return the values between neighbouring classes.

    Parameters
    ----------
    mapped : ZoneMap
        The map.
    land : Polygon or MultiPolygon
        The field. [m]
    zones : RateZones
        The plan's, with limits or quantiles, or neither where the map holds words.

    Returns
    -------
    limits : tuple of float
        Rising; none where the map holds words.

    Raises
    ------
    LayoutError
        If the map has too few values for the quantiles.
    """
    if not zones.quantiles:
        return zones.limits
    ground = np.asarray(shapely.area(shapely.intersection(mapped.shapes, land)))
    values = mapped.values.astype(np.float64)
    limits = [_quantile(values, ground, part) for part in zones.quantiles]
    if not np.isfinite(limits).all() or (np.diff(limits) <= 0.0).any():
        count = len(np.unique(values[ground > 0.0]))
        raise LayoutError(
            f"{mapped.source} holds {count} different values on the field, which do not part it "
            f"into {len(zones.classes)} classes by quantiles.",
            "A class would have no ground.",
            "Take fewer classes, other quantiles, or limits.",
        )
    return tuple(limits)


def _quantile(values: NDArray[np.float64], ground: NDArray[np.float64], part: float) -> float:
    """Return the limit with so much of the ground below; not a number if all lies below."""
    order = np.argsort(values, kind="stable")
    below = np.cumsum(ground[order])
    last = values[order][np.searchsorted(below, part * below[-1] * (1.0 - ROUNDING))]
    higher = values[(values > last) & (ground > 0.0)]
    return (last + float(higher.min())) / 2.0 if len(higher) else float("nan")


def class_of(mapped: ZoneMap, limits: Sequence[float], zones: RateZones) -> NDArray[np.intp]:
    """
    Return the class of every shape of a map.

    Raises
    ------
    BoundaryError
        If the map holds a word that is no class, or words where numbers are to be classed, or
        numbers without limits.
    """
    if mapped.by_words != zones.by_words:
        raise _other_values(mapped, zones)
    if not mapped.by_words:
        return np.searchsorted(np.asarray(limits), mapped.values.astype(np.float64), side="right")
    names = [name.casefold() for name in zones.classes]
    found = np.empty(len(mapped.values), dtype=np.intp)
    for i, word in enumerate(mapped.values.tolist()):
        if str(word).strip().casefold() not in names:
            raise BoundaryError(
                f"{mapped.source} has {str(word)!r} in column {zones.column}.",
                f"The classes of the rate zones are: {', '.join(zones.classes)}.",
                "Add it to the classes and to every rate, or mend the map.",
            )
        found[i] = names.index(str(word).strip().casefold())
    return found


def _other_values(mapped: ZoneMap, zones: RateZones) -> BoundaryError:
    """Say that a map holds words where numbers are classed, or the reverse."""
    if mapped.by_words:
        word = str(mapped.values[0])
        return BoundaryError(
            f"{mapped.source} has words in column {zones.column}, such as {word!r}.",
            "Limits and quantiles part numbers.",
            "Name a column of numbers, or take limits and quantiles away.",
        )
    return BoundaryError(
        f"{mapped.source} holds numbers, and the rate zones have no limits.",
        "Nothing says which number is in which class.",
        "Give limits or quantiles.",
    )


def class_areas(
    mapped: ZoneMap, classes: NDArray[np.intp], land: BaseGeometry, names: Sequence[str]
) -> list[BaseGeometry]:
    """
    Return the ground of every class as the map has it.

    Parameters
    ----------
    mapped : ZoneMap
        The map.
    classes : ndarray of int, shape (n,)
        Class of every shape.
    land : Polygon or MultiPolygon
        The field, on the grid of overlays. [m]
    names : sequence of str
        Names of the classes.

    Returns
    -------
    areas : list of Polygon or MultiPolygon
        Within the land, one a class; empty where it has none. [m]

    Raises
    ------
    BoundaryError
        If polygons of two classes overlap.
    """
    areas = [common(land, _one(mapped, classes == k)) for k in range(len(names))]
    if mapped.cell is None:
        _check_apart(mapped, areas, land, names)
    return areas


def _one(mapped: ZoneMap, mine: NDArray[np.bool_]) -> BaseGeometry:
    """Return the shapes of one class as one; cells share their corners to the bit."""
    shapes = polygon_parts(mapped.shapes[mine])
    if mapped.cell is None:
        apart = shapely.MultiPolygon(list(shapes))
        if apart.is_valid:
            return apart
        if not shapely.coverage_is_valid(shapes):
            return joined(list(shapes))
    parts = polygon_parts(np.atleast_1d(shapely.coverage_union_all(shapes)))
    return shapely.MultiPolygon(list(parts))


def _check_apart(
    mapped: ZoneMap, areas: Sequence[BaseGeometry], land: BaseGeometry, names: Sequence[str]
) -> None:
    """No ground has two classes; a line drawn twice is let pass."""
    for k, area in enumerate(areas):
        for j in range(k):
            both = shapely.intersection(areas[j], area).area
            if both > OVERLAP * land.area:
                raise BoundaryError(
                    f"Polygons of {mapped.source} overlap on {both / 1e4:.3f} ha that is in class "
                    f"{names[j]} and in class {names[k]}.",
                    "That ground would be sown at two rates.",
                    "Cut one of them back in the map.",
                )
