"""One field: its boundary, its land in metres, and what stands in it."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.repair import made_valid, sound_polygon
from geolayout.land.boundary.thin import MOST_CORNERS, Thinned, thinned
from geolayout.land.features import DrawnFeature, Feature, body, kept_clear, placed
from geolayout.land.frames.frame import Frame, geodesic_area
from geolayout.land.places import inner_points, places
from geolayout.land.terrain.terrain import Terrain
from geolayout.land.weather.daily import DailyWeather

__all__ = ["Field", "make_field"]

SMALL_FIELD = 0.1
"""Under this the coordinate system is worth a second look (common practice, no source). [ha]"""

LARGE_FIELD = 500.0
"""Over this the coordinate system is worth a second look (common practice, no source). [ha]"""

MOST_LISTED = 8
"""Parts whose areas are written out before the rest is counted. [-]"""

WIDEST = 1.0
"""Wider than this no single frame holds a field, and no field is. [degrees]"""


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """
    One field as it is.

    Attributes
    ----------
    name : str
        What the user calls it.
    boundary : Polygon or MultiPolygon
        Sound, on WGS 84, longitude first. [degrees]
    frame : Frame
        Local frame, centred on the field.
    land : Polygon or MultiPolygon
        The boundary in the frame, valid, outer rings counter-clockwise. [m]
    features : tuple of Feature
        What stands in it or crosses it, in the frame.
    findings : tuple of Finding
        What was found in the boundary, or done to it.
    area : float
        Area of record: geodesic, holes taken off. [m2]
    terrain : Terrain or None
        Heights round it, if they were given.
    terrain_findings : tuple of Finding
        What makes these heights less than they look.
    weather : DailyWeather or None
        Daily temperatures, if they were given.
    usual_weather : DailyWeather or None
        Usual temperatures of calendar days, if they were given.
    """

    name: str
    boundary: Polygon | MultiPolygon
    frame: Frame
    land: Polygon | MultiPolygon
    features: tuple[Feature, ...]
    findings: tuple[Finding, ...]
    area: float
    terrain: Terrain | None = None
    terrain_findings: tuple[Finding, ...] = ()
    weather: DailyWeather | None = None
    usual_weather: DailyWeather | None = None

    @property
    def obstacles(self) -> BaseGeometry:
        """Ground that features occupy themselves, in the frame; may reach beyond the land."""
        return _union(body(feature) for feature in self.features)

    @property
    def kept_clear(self) -> BaseGeometry:
        """Ground on which nothing is sown for a feature's sake, bodies included, in the frame."""
        return _union(kept_clear(feature, feature.keep_clear.all) for feature in self.features)


def make_field(
    boundary: BaseGeometry,
    *,
    name: str = "field",
    features: Iterable[DrawnFeature] = (),
    findings: Sequence[Finding] = (),
    height: float = 0.0,
    thin: float | None = None,
) -> Field:
    """
    Make a field of a drawn boundary.

    Parameters
    ----------
    boundary : shapely geometry
        Polygon or polygons on WGS 84, longitude first; made sound here. [degrees]
    name : str, default "field"
        What the user calls it.
    features : iterable of DrawnFeature, optional
        What stands in it or crosses it.
    findings : sequence of Finding, optional
        What reading the boundary brought up; stands before what is found here.
    height : float, default 0
        Height above the ellipsoid that the frame is true at. 0 measures on the ellipsoid. [m]
    thin : float, optional
        Farthest that a corner left out may lie off the boundary; 0 leaves out none. Where nothing
        is said, a boundary of over 3,000 corners is thinned by as little as will do. [m]

    Returns
    -------
    field : Field

    Raises
    ------
    BoundaryError
        If the boundary is no polygon in degrees, or cannot be made sound.
    PlanError, MeasureError
        If a feature cannot be measured as it says.
    """
    sound, done = sound_polygon(boundary, name=name)
    _check_width(sound, name)
    frame = Frame.centred_on(sound, height)
    land, rounded = _valid_land(frame.to_local(sound), frame)
    less = thinned(land, thin)
    if less.after < less.before:
        sound, land, rounded = _thin_boundary(less, sound, frame, rounded)
    area = geodesic_area(sound)
    return Field(
        name=name,
        boundary=sound,
        frame=frame,
        land=land,
        features=tuple(placed(drawn, frame) for drawn in features),
        findings=(*findings, *done, *rounded, *_odd_area(area), *_parts(sound), *_holes(sound)),
        area=area,
    )


def _union(grounds: Iterable[BaseGeometry]) -> BaseGeometry:
    """Join pieces of ground; none is an empty polygon."""
    pieces = [ground for ground in grounds if not ground.is_empty]
    return shapely.union_all(pieces) if pieces else Polygon()


def _check_width(boundary: BaseGeometry, name: str) -> None:
    """Refuse a boundary so wide that it is a mistake, or crosses the 180th meridian."""
    west, south, east, north = shapely.bounds(boundary)
    width = max(east - west, north - south)
    if width > WIDEST:
        raise BoundaryError(
            f"{name} is {width:.3g} degrees wide.",
            "A field lies within one degree, and on one side of the 180th meridian.",
            "Check its coordinates, or cut it at that meridian and plan each part.",
        )


def _valid_land(
    land: Polygon | MultiPolygon, frame: Frame
) -> tuple[Polygon | MultiPolygon, tuple[Finding, ...]]:
    """
    Keep the land valid where two rings touch.

    A corner that lies on a straight edge in degrees lies a hair to one side of it in metres.
    """
    if land.is_valid:
        return land, ()
    parts = made_valid(land)
    mended = parts[0] if len(parts) == 1 else MultiPolygon(parts)
    change = mended.area - land.area
    where = _fault_place(land, frame)
    sentence = f"Rings that touch were parted in the local frame: {change:+.4f} m2."
    return shapely.orient_polygons(mended), (Finding("touching rings", sentence, change, where),)


def _fault_place(land: BaseGeometry, frame: Frame) -> tuple[tuple[float, float], ...]:
    """Find where land in the frame is not valid, on earth."""
    found = re.search(r"\[(\S+) (\S+)\]", str(shapely.is_valid_reason(land)))
    return () if found is None else places(frame.lonlat(np.array([found.groups()], dtype=float)))


def _thin_boundary(
    less: Thinned,
    sound: Polygon | MultiPolygon,
    frame: Frame,
    rounded: tuple[Finding, ...],
) -> tuple[Polygon | MultiPolygon, Polygon | MultiPolygon, tuple[Finding, ...]]:
    """Take the thinned land for the land, and say what that did."""
    boundary = frame.to_geographic(less.land)
    change = geodesic_area(boundary) - geodesic_area(sound)
    sentence = (
        f"The boundary has {less.before:,} corners; {less.after:,} were kept, so that none left"
        f" out lies over {less.tolerance:g} m off the line: {change:+.1f} m2."
    )
    asked = ""
    if less.after > MOST_CORNERS:
        asked = f"Is {less.tolerance:g} m too fine? With more corners than {MOST_CORNERS:,} the"
        asked += " layout is slow; say thin = 0.5, or smooth the boundary."
    return boundary, less.land, (*rounded, Finding("thinned", sentence, change, (), asked))


def _parts(boundary: Polygon | MultiPolygon) -> tuple[Finding, ...]:
    """Count the parts of a field that has several, and measure each."""
    parts = list(shapely.get_parts(boundary))
    if len(parts) == 1:
        return ()
    areas = ", ".join(f"{geodesic_area(part) / 1e4:.3f}" for part in parts[:MOST_LISTED])
    more = f" and {len(parts) - MOST_LISTED} more" if len(parts) > MOST_LISTED else ""
    sentence = f"The field lies in {len(parts)} parts: {areas}{more} ha."
    return (Finding("parts", sentence, 0.0, inner_points(parts)),)


def _holes(boundary: Polygon | MultiPolygon) -> tuple[Finding, ...]:
    """Count the holes of a field, which are no part of it."""
    rings = [ring for part in shapely.get_parts(boundary) for ring in part.interiors]
    if not rings:
        return ()
    holes = [Polygon(ring) for ring in rings]
    count = "A hole" if len(holes) == 1 else f"{len(holes)} holes"
    area = sum(geodesic_area(hole) for hole in holes) / 1e4
    sentence = f"{count} of {area:.3f} ha {'is' if len(holes) == 1 else 'are'} not in the field."
    return (Finding("holes", sentence, 0.0, inner_points(holes)),)


def _odd_area(area: float) -> tuple[Finding, ...]:
    """Remark on an area that is rare for a field."""
    hectares = area / 1e4
    if SMALL_FIELD <= hectares <= LARGE_FIELD:
        return ()
    side = f"under {SMALL_FIELD:g}" if hectares < SMALL_FIELD else f"over {LARGE_FIELD:g}"
    sentence = (
        f"The field measures {hectares:.4g} ha, {side} ha:"
        " check that its coordinate system is the right one."
    )
    asked = "Is the coordinate system the right one?"
    return (Finding("unusual area", sentence, question=asked),)
