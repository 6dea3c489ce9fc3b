"""
How far a shift between datums can be trusted.

An old national system lies some hundred metres from WGS 84, and the shift from one to the other is
a formula, good to a metre or so, or a grid of corrections, good to centimetres. Where the grid is
not installed the library takes the formula without a word. Here it is said.
"""

import warnings
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.aoi import AreaOfInterest
from pyproj.exceptions import ProjError
from pyproj.transformer import TransformerGroup

from geolayout.land.boundary.finding import Finding
from geolayout.land.files.sheet import WGS84

__all__ = ["COARSE", "shift_findings"]

COARSE = 0.5
"""A shift less exact than this is worth a question: it moves every line of the plan. [m]"""

ETRS89 = CRS.from_epsg(4258)
"""
The way round to judge a shift by: the ways to WGS 84 all count 1 m for its own looseness, the ways
to ETRS89 do not (EPSG registry, as PROJ holds it).
"""

SAME_PLACE = 1e-7
"""Two ways that end within this, about 1 cm, are one way. [degrees]"""

UNMOVED = 1e-9
"""Coordinates that change by less have not been shifted. [degrees]"""


@dataclass(frozen=True, slots=True)
class _Way:
    """One way from a system to another at one place: where it leads and how exact it is."""

    lonlat: NDArray[np.float64]
    accuracy: float
    words: str

    @property
    def is_blind(self) -> bool:
        """Tell whether the numbers were kept for want of anything better."""
        return "ballpark" in self.words.casefold()


def shift_findings(drawn: NDArray[np.object_], crs: CRS) -> tuple[Finding, ...]:
    """
    Say how far the shift to WGS 84 can be trusted, where that is less than half a metre.

    Parameters
    ----------
    drawn : ndarray of shapely geometry
        Shapes in the system. [unit of the system]
    crs : CRS
        The system.

    Returns
    -------
    findings : tuple of Finding
        None for a system whose numbers are those of WGS 84 within what can be known.
    """
    geodetic = crs.geodetic_crs
    corners = shapely.get_coordinates(drawn)
    if geodetic is None or not len(corners) or crs.equals(WGS84, ignore_axis_order=True):
        return ()
    corner = corners[len(corners) // 2]
    way = _way(crs, WGS84, corner)
    if way is None:
        return ()
    if way.is_blind:
        return () if _is_modern(crs) else (_no_shift(crs),)
    if np.abs(way.lonlat - _unshifted(crs, geodetic, corner)).max() <= UNMOVED:
        return ()
    accuracy = _accuracy(crs, corner, way)
    return (_coarse(crs, way.lonlat, accuracy),) if not 0.0 <= accuracy <= COARSE else ()


def _way(source: CRS, target: CRS, corner: NDArray[np.float64]) -> _Way | None:
    """Go from one system to another as the library does; None where it cannot."""
    try:
        transformer = Transformer.from_crs(source, target, always_xy=True)
        lonlat = np.array(transformer.transform(*corner))
        used = transformer.get_last_used_operation()
    except ProjError:
        return None
    return _Way(lonlat, float(used.accuracy), used.description)


def _unshifted(crs: CRS, geodetic: CRS, corner: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give the degrees of a place on the system's own datum."""
    if crs.is_geographic:
        return corner
    return np.array(Transformer.from_crs(crs, geodetic, always_xy=True).transform(*corner))


def _accuracy(crs: CRS, corner: NDArray[np.float64], way: _Way) -> float:
    """Take the better word on a way that two registers' entries describe; -1 if neither knows."""
    other = _way(crs, ETRS89, corner)
    if other is None or other.is_blind or other.accuracy < 0.0:
        return way.accuracy
    if np.abs(other.lonlat - way.lonlat).max() > SAME_PLACE:
        return way.accuracy
    return min(other.accuracy, way.accuracy) if way.accuracy >= 0.0 else other.accuracy


def _is_modern(crs: CRS) -> bool:
    """Tell a system on the ellipsoids that satellites brought: it lies within metres of WGS 84."""
    ellipsoid = crs.ellipsoid
    wgs84 = WGS84.ellipsoid
    if ellipsoid is None or wgs84 is None:
        return False
    return abs(ellipsoid.semi_major_metre - wgs84.semi_major_metre) < 1.0 and (
        abs(ellipsoid.inverse_flattening - wgs84.inverse_flattening) < 1e-4
    )


def _no_shift(crs: CRS) -> Finding:
    sentence = (
        f"No way from {crs.name} to WGS 84 is known here: its degrees were kept as they are,"
        " which can be hundreds of metres off."
    )
    return Finding("datum shift", sentence, question=_EXPORT)


_EXPORT = "Can the boundary be exported in WGS 84 or ETRS89 for satellite guidance?"


def _coarse(crs: CRS, lonlat: NDArray[np.float64], accuracy: float) -> Finding:
    good = f"good to {accuracy:g} m" if accuracy >= 0.0 else "of unknown exactness"
    sentence = f"{crs.name} was shifted to WGS 84 by a formula {good}{_finer(crs, lonlat)}."
    return Finding("datum shift", sentence, question=_EXPORT)


def _finer(crs: CRS, lonlat: NDArray[np.float64]) -> str:
    """Name the grid that would do better here, if the library knows one that is not installed."""
    lon, lat = (float(value) for value in lonlat)
    absent = []
    for target in (ETRS89, WGS84):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # it warns of what is said here
            here = AreaOfInterest(lon, lat, lon, lat)
            ways = TransformerGroup(
                crs,
                target,
                always_xy=True,
                area_of_interest=here,  # type: ignore[arg-type]  # the stub has a class of its own
            )
        absent += [way for way in ways.unavailable_operations if way.accuracy >= 0.0 and way.grids]
    if not absent:
        return ""
    best = min(absent, key=lambda way: float(way.accuracy))
    grid = next(grid.short_name for grid in best.grids if not grid.available)
    return f"; the grid {grid}, good to {best.accuracy:g} m, is not installed here"
