"""One field: its boundary, its land in metres, and what stands in it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError
from geolayout.land.features import DrawnFeature, Feature, body, kept_clear, placed
from geolayout.land.finding import Finding
from geolayout.land.frame import Frame, geodesic_area
from geolayout.land.repair import made_valid, sound_polygon

__all__ = ["Field", "make_field"]

SMALL_FIELD = 0.1
"""Under this the coordinate system is worth a second look (common practice, no source). [ha]"""

LARGE_FIELD = 500.0
"""Over this the coordinate system is worth a second look (common practice, no source). [ha]"""

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
    """

    name: str
    boundary: Polygon | MultiPolygon
    frame: Frame
    land: Polygon | MultiPolygon
    features: tuple[Feature, ...]
    findings: tuple[Finding, ...]
    area: float

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
    land, rounded = _valid_land(frame.to_local(sound))
    area = geodesic_area(sound)
    return Field(
        name=name,
        boundary=sound,
        frame=frame,
        land=land,
        features=tuple(placed(drawn, frame) for drawn in features),
        findings=(*findings, *done, *rounded, *_odd_area(area)),
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
    land: Polygon | MultiPolygon,
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
    sentence = f"Rings that touch were parted in the local frame: {change:+.4f} m2."
    return shapely.orient_polygons(mended), (Finding("touching rings", sentence, change),)


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
    return (Finding("unusual area", sentence),)
