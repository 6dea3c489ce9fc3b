"""
The field's local frame: metres east and north of a point in the field.

Past this module geometry is in metres. The frame is a transverse Mercator of the WGS 84
ellipsoid with scale 1 at its origin, so a length in it is a length on the ellipsoid to within
2 parts in 100 million 1 km from the origin. Areas of record do not come from the frame: they
are geodesic.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, degrees, isfinite, radians, sin, sqrt
from typing import TypeVar, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Geod, Transformer
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError

__all__ = ["Frame", "geodesic_area", "geodesic_length"]

Shapes = TypeVar("Shapes", bound=BaseGeometry | NDArray[np.object_])

SEMI_MAJOR_AXIS = 6_378_137.0
"""Equatorial radius of WGS 84 (EPSG:7030, from memory, met by PROJ in the tests). [m]"""

FLATTENING = 1 / 298.257223563
"""Flattening of WGS 84 (EPSG:7030, from memory, met by PROJ in the tests). [-]"""

ORIGIN_DECIMALS = 4
"""Decimals of the origin: about 10 m, so that rounding a boundary rarely moves it. [-]"""

MERIDIAN_STEP = 0.001
"""Half length of the piece of meridian that tells where north is, about 110 m. [degrees]"""

_GEOD = Geod(ellps="WGS84")


@dataclass(frozen=True, slots=True)
class Frame:
    """
    Local metric frame of one field: x east, y north, (0, 0) at ``lon``, ``lat``.

    Attributes
    ----------
    lon, lat : float
        Origin on WGS 84. [degrees]
    height : float, default 0
        Height above the ellipsoid that lengths are true at. 0 measures on the ellipsoid. [m]

    Raises
    ------
    BoundaryError
        If the origin is not a place on earth.
    """

    lon: float
    lat: float
    height: float = 0.0

    def __post_init__(self) -> None:
        """Refuse an origin that no field can have."""
        if not (abs(self.lon) <= 180.0 and abs(self.lat) < 90.0 and isfinite(self.height)):
            raise BoundaryError(
                f"The frame's origin is {self.lon} degrees east, {self.lat} degrees north.",
                "Longitude must lie within 180 and latitude within 90 degrees.",
                "Check that the boundary is in longitude and latitude, in that order.",
            )

    @classmethod
    def centred_on(cls, geometry: BaseGeometry, height: float = 0.0) -> "Frame":
        """
        Centre a frame on the bounds of a geometry.

        The centre is rounded to 4 decimals, so neither where a ring starts nor which way it runs
        moves the frame.

        Parameters
        ----------
        geometry : shapely geometry
            In longitude and latitude. [degrees]
        height : float, default 0
            Height above the ellipsoid. [m]

        Returns
        -------
        frame : Frame

        Raises
        ------
        BoundaryError
            If the geometry is empty or does not lie on earth.
        """
        west, south, east, north = (float(value) for value in shapely.bounds(geometry))
        lon = round((west + east) / 2, ORIGIN_DECIMALS)
        lat = round((south + north) / 2, ORIGIN_DECIMALS)
        return cls(lon, lat, height)

    @property
    def scale(self) -> float:
        """Scale at the origin: 1 on the ellipsoid, more above it."""
        return 1.0 + self.height / _earth_radius(self.lat)

    @property
    def definition(self) -> str:
        """The frame as a PROJ string, to be written beside local coordinates."""
        return f"{self._projection} +datum=WGS84 +units=m +no_defs +type=crs"

    @property
    def _projection(self) -> str:
        origin = f"+lat_0={float(self.lat)!r} +lon_0={float(self.lon)!r} +x_0=0 +y_0=0"
        return f"+proj=tmerc {origin} +k={self.scale!r}"

    def metres(self, lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
        """
        Turn longitude and latitude into local metres.

        Parameters
        ----------
        lonlat : ndarray, shape (n, 2)
            Longitude, latitude on WGS 84. [degrees]

        Returns
        -------
        xy : ndarray, shape (n, 2)
            East, north of the origin. [m]
        """
        x, y = _transformer(self._projection).transform(lonlat[:, 0], lonlat[:, 1])
        return np.column_stack((x, y))

    def lonlat(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        """
        Turn local metres into longitude and latitude.

        Parameters
        ----------
        xy : ndarray, shape (n, 2)
            East, north of the origin. [m]

        Returns
        -------
        lonlat : ndarray, shape (n, 2)
            Longitude, latitude on WGS 84. [degrees]
        """
        transformer = _transformer(self._projection)
        lon, lat = transformer.transform(xy[:, 0], xy[:, 1], direction="INVERSE")
        return np.column_stack((lon, lat))

    def to_local(self, geometries: Shapes) -> Shapes:
        """
        Bring geometries from longitude and latitude into the frame, vertex by vertex.

        Parameters
        ----------
        geometries : shapely geometry or array of them
            On WGS 84; heights are left behind. [degrees]

        Returns
        -------
        geometries : the same kind
            Two-dimensional. [m]
        """
        return cast(Shapes, shapely.transform(geometries, self.metres))

    def to_geographic(self, geometries: Shapes) -> Shapes:
        """
        Bring geometries from the frame to longitude and latitude, vertex by vertex.

        Parameters
        ----------
        geometries : shapely geometry or array of them
            In the frame. [m]

        Returns
        -------
        geometries : the same kind
            On WGS 84, two-dimensional. [degrees]
        """
        return cast(Shapes, shapely.transform(geometries, self.lonlat))

    def frame_bearing(self, xy: tuple[float, float], true_bearing: float) -> float:
        """
        Turn a true bearing at a place into one from the frame's y axis.

        Parameters
        ----------
        xy : (float, float)
            The place in the frame. [m]
        true_bearing : float
            From true north, clockwise. [degrees]

        Returns
        -------
        bearing : float
            From the y axis, clockwise, at least 0 and under 360. [degrees]
        """
        return (true_bearing + self._north(xy)) % 360.0

    def true_bearing(self, xy: tuple[float, float], frame_bearing: float) -> float:
        """
        Turn a bearing from the frame's y axis at a place into a true bearing.

        Parameters
        ----------
        xy : (float, float)
            The place in the frame. [m]
        frame_bearing : float
            From the y axis, clockwise. [degrees]

        Returns
        -------
        bearing : float
            From true north, clockwise, at least 0 and under 360. [degrees]
        """
        return (frame_bearing - self._north(xy)) % 360.0

    def _north(self, xy: tuple[float, float]) -> float:
        """Tell the bearing of true north from the y axis at a place, in degrees."""
        lon, lat = self.lonlat(np.array([xy], dtype=float))[0]
        meridian = np.array([[lon, lat - MERIDIAN_STEP], [lon, lat + MERIDIAN_STEP]])
        (x0, y0), (x1, y1) = self.metres(meridian)
        return degrees(atan2(x1 - x0, y1 - y0))


@lru_cache(maxsize=512)
def _transformer(projection: str) -> Transformer:
    """Make the step from degrees to metres; a pipeline is made 100 times quicker than a CRS."""
    return Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad"
        f" +step {projection} +ellps=WGS84"
    )


def _earth_radius(lat: float) -> float:
    """Tell the Gaussian radius of curvature at a latitude, in metres."""
    squared_eccentricity = FLATTENING * (2.0 - FLATTENING)
    sine = sin(radians(lat))
    return (
        SEMI_MAJOR_AXIS * sqrt(1 - squared_eccentricity) / (1 - squared_eccentricity * sine * sine)
    )


def geodesic_area(geometry: BaseGeometry) -> float:
    """
    Measure the area of polygons on the ellipsoid, holes taken off.

    Vertices are joined by geodesics. Which way a ring runs makes no difference.

    Parameters
    ----------
    geometry : shapely geometry
        Longitude, latitude on WGS 84; anything but polygons adds nothing. [degrees]

    Returns
    -------
    area : float
        [m2]

    Notes
    -----
    ``pyproj.Geod`` gives a ring the sign of its winding, so that a hole drawn the same way round
    as its outer ring would be added. Each ring is therefore measured without its sign.
    """
    return sum(_polygon_area(part) for part in shapely.get_parts(geometry))


def _polygon_area(part: BaseGeometry) -> float:
    """Measure one part: outer ring less holes, in square metres; 0 if it is no polygon."""
    if not isinstance(part, shapely.Polygon) or part.is_empty:
        return 0.0
    outer, *holes = (_ring_area(ring) for ring in shapely.get_rings(part))
    return outer - sum(holes)


def _ring_area(ring: BaseGeometry) -> float:
    lon, lat = shapely.get_coordinates(ring).T
    return abs(float(_GEOD.polygon_area_perimeter(lon, lat)[0]))


def geodesic_length(geometry: BaseGeometry) -> float:
    """
    Measure the length of lines on the ellipsoid.

    Parameters
    ----------
    geometry : shapely geometry
        Longitude, latitude on WGS 84. Of a polygon all rings are measured, holes too. [degrees]

    Returns
    -------
    length : float
        [m]
    """
    return sum(_part_length(part) for part in shapely.get_parts(geometry))


def _part_length(part: BaseGeometry) -> float:
    """Measure one part: a line, or a polygon's rings, in metres; 0 for a point."""
    if isinstance(part, shapely.Polygon):
        return sum(_part_length(ring) for ring in shapely.get_rings(part))
    if not isinstance(part, shapely.LineString):
        return 0.0
    lon, lat = shapely.get_coordinates(part).T
    return float(_GEOD.line_length(lon, lat))
