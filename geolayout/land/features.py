"""What stands in a field or runs across it, and the ground it takes or holds free."""

from dataclasses import dataclass, field
from math import isfinite

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, MeasureError, PlanError
from geolayout.land.boundary.repair import check_lonlat
from geolayout.land.frames.frame import Frame
from geolayout.land.kinds import KINDS, MEASURED_FROM

__all__ = ["DrawnFeature", "Feature", "KeepClear", "body", "edge", "kept_clear", "placed"]

QUARTER_SEGMENTS = 16
"""Segments to a quarter circle: at 10 m the arc is under 13 mm inside the true one. [-]"""

_EDGE_WORDS = ("top of bank", "outer wire")
_NAMES = {"Point": "point", "LineString": "line", "Polygon": "polygon"}


@dataclass(frozen=True, slots=True)
class KeepClear:
    """
    How far to keep clear of a feature.

    Attributes
    ----------
    all : float, default 0
        Nothing is sown within it: ground of its own. [m]
    trees : float, default 0
        No tree stands within it. [m]
    turning : float, default 0
        No machine turns within it. [m]

    Raises
    ------
    MeasureError
        If a distance is negative or not a number.
    """

    all: float = 0.0
    trees: float = 0.0
    turning: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a distance that cannot be walked."""
        for key in ("all", "trees", "turning"):
            _check_distance(getattr(self, key), f"keep_clear {key}")


@dataclass(frozen=True, slots=True, eq=False)
class DrawnFeature:
    """
    A feature as drawn, in longitude and latitude.

    Attributes
    ----------
    kind : str
        One of ``KINDS``.
    name : str
        What the user calls it.
    geometry : shapely geometry
        Point, line or polygon on WGS 84, may be multi. [degrees]
    measured_from : str, default "drawn edge"
        One of ``MEASURED_FROM``.
    half_width : float, default 0
        From the centre line to the bank or wire, for lines only. [m]
    keep_clear : KeepClear
        Distances to keep.
    radius : float, default 0
        From the centre of a round thing drawn as a point to its edge. [m]
    width : float, default 0
        Between the posts or rails of what machines pass through; 0 where nobody gave it. [m]
    room : float, default 0
        Of that width, what is wanted beside a machine, both sides together. [m]
    default_from : str, default ""
        Country and year of the default its distances were taken from; "" if the plan says them.
    height : float, default 0
        Above the ground, of what shades it; 0 where nobody gave it. [m]
    """

    kind: str
    name: str
    geometry: BaseGeometry
    measured_from: str = "drawn edge"
    half_width: float = 0.0
    keep_clear: KeepClear = field(default_factory=KeepClear)
    radius: float = 0.0
    width: float = 0.0
    room: float = 0.0
    default_from: str = ""
    height: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Feature:
    """
    A feature in the field's local frame.

    Attributes
    ----------
    kind : str
        One of ``KINDS``.
    name : str
        What the user calls it.
    geometry : shapely geometry
        Point, line or polygon, may be multi. [m]
    measured_from : str
        What distances are measured from; one of ``MEASURED_FROM``.
    half_width : float
        From the centre line to the bank or wire, for lines only. [m]
    keep_clear : KeepClear
        Distances to keep.
    radius : float, default 0
        From the centre of a round thing drawn as a point to its edge. [m]
    width : float, default 0
        Between the posts or rails of what machines pass through; 0 where nobody gave it. [m]
    room : float, default 0
        Of that width, what is wanted beside a machine, both sides together. [m]
    default_from : str, default ""
        Country and year of the default its distances were taken from; "" if the plan says them.
    height : float, default 0
        Above the ground, of what shades it; 0 where nobody gave it. [m]

    Raises
    ------
    PlanError
        If the kind is unknown, or the words of ``measured_from`` do not suit what is drawn.
    MeasureError
        If the half width is negative, missing where it is needed, or given to another shape; if
        the radius is negative or given to anything but a point.
    BoundaryError
        If the geometry is empty or mixes points, lines and polygons.
    """

    kind: str
    name: str
    geometry: BaseGeometry
    measured_from: str
    half_width: float
    keep_clear: KeepClear
    radius: float = 0.0
    width: float = 0.0
    room: float = 0.0
    default_from: str = ""
    height: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what cannot be measured."""
        _check_kind(self)
        shape = _shape(self)
        _check_half_width(self, shape)
        _check_radius(self, shape)
        _check_measured_from(self, shape)

    @property
    def label(self) -> str:
        """The kind with the name of its own, as messages call it."""
        return self.kind if self.name in ("", self.kind) else f"{self.kind} '{self.name}'"


def placed(drawn: DrawnFeature, frame: Frame) -> Feature:
    """
    Bring a drawn feature into a field's frame.

    Parameters
    ----------
    drawn : DrawnFeature
        In longitude and latitude.
    frame : Frame
        Of the field.

    Returns
    -------
    feature : Feature
        In the frame, two-dimensional.

    Raises
    ------
    BoundaryError
        If its coordinates are not degrees, or its outline crosses itself.
    PlanError, MeasureError
        If it cannot be measured as it says; see ``Feature``.
    """
    check_lonlat(drawn.geometry, name=f"The {drawn.kind} '{drawn.name}'")
    if not drawn.geometry.is_valid:
        raise BoundaryError(
            f"The outline of the {drawn.kind} '{drawn.name}' is not sound:"
            f" {shapely.is_valid_reason(drawn.geometry)}.",
            "An outline that crosses itself has no inside to keep clear of.",
            "Draw it again without the crossing.",
        )
    return Feature(
        drawn.kind,
        drawn.name,
        frame.to_local(drawn.geometry),
        drawn.measured_from,
        drawn.half_width,
        drawn.keep_clear,
        drawn.radius,
        drawn.width,
        drawn.room,
        drawn.default_from,
        drawn.height,
    )


def body(feature: Feature) -> BaseGeometry:
    """
    Give the ground a feature itself occupies.

    Parameters
    ----------
    feature : Feature
        In the local frame.

    Returns
    -------
    ground : shapely geometry
        A polygon as drawn, a line widened by the half width with round ends, a point widened by
        its radius; empty for bare points and for kinds that can be driven and sown over. [m]
    """
    if not KINDS[feature.kind].occupies:
        return Polygon()
    if _shape(feature) == "polygon":
        return feature.geometry
    own = feature.half_width or feature.radius
    return _within(feature.geometry, own) if own else Polygon()


def kept_clear(feature: Feature, distance: float) -> BaseGeometry:
    """
    Give all ground within a distance of a feature, its own body included.

    Parameters
    ----------
    feature : Feature
        In the local frame; its ``measured_from`` says where the distance starts.
    distance : float
        One of ``feature.keep_clear``. 0 gives the body alone. [m]

    Returns
    -------
    ground : shapely geometry
        With round corners. [m]

    Raises
    ------
    MeasureError
        If the distance is negative or not a number.

    Notes
    -----
    From the centre line of a line the distance counts from the line itself. From the top of
    bank or the outer wire of a line the half width comes first: a ditch of 4 m drawn as a centre
    line and kept clear by 5 m from the top of bank holds 7 m each side of the line. From the
    drawn edge of a point its radius comes first; from the centre line it does not.
    """
    _check_distance(distance, "keep_clear")
    own = body(feature)
    if distance == 0.0:
        return own
    return shapely.union(own, _within(feature.geometry, distance + edge(feature)))


def edge(feature: Feature) -> float:
    """Return how far the edge that distances count from lies from the shape as drawn. [m]"""
    if feature.measured_from in _EDGE_WORDS:
        return feature.half_width
    return feature.radius if feature.measured_from == "drawn edge" else 0.0


def _within(geometry: BaseGeometry, distance: float) -> BaseGeometry:
    """Give the ground within a distance of a geometry."""
    return shapely.buffer(geometry, distance, quad_segs=QUARTER_SEGMENTS)


def _check_distance(distance: float, key: str) -> None:
    if not (isfinite(distance) and distance >= 0.0):
        raise MeasureError(
            f"{key} is {distance:g} m.",
            "A distance to keep is 0 m or more.",
            "Give it in metres; 0 keeps no distance.",
        )


def _check_kind(feature: Feature) -> None:
    if feature.kind not in KINDS:
        raise PlanError(
            f"A feature is of kind '{feature.kind}'.",
            f"Kinds are: {', '.join(KINDS)}.",
            "Choose one of them; 'other' fits what has no word here.",
        )


def _shape(feature: Feature) -> str:
    """Tell whether a feature is drawn as a point, a line or a polygon."""
    kind = feature.geometry.geom_type.removeprefix("Multi")
    shape = "line" if kind == "LinearRing" else _NAMES.get(kind, "")
    if not shape or feature.geometry.is_empty:
        what = "empty" if feature.geometry.is_empty else "drawn as points, lines and polygons mixed"
        raise BoundaryError(
            f"The {feature.label} is {what}.",
            "A distance needs one kind of shape to be measured from.",
            "Draw it as points, as lines or as polygons.",
        )
    return shape


def _check_half_width(feature: Feature, shape: str) -> None:
    _check_distance(feature.half_width, f"half_width of the {feature.label}")
    if feature.half_width > 0.0 and shape != "line":
        raise MeasureError(
            f"The {feature.label} is a {shape} with a half_width of {feature.half_width:g} m.",
            "Only a line has a half width: a polygon shows its own edge.",
            "Leave half_width out, or draw a centre line.",
        )


def _check_radius(feature: Feature, shape: str) -> None:
    _check_distance(feature.radius, f"radius of the {feature.label}")
    if feature.radius > 0.0 and shape != "point":
        raise MeasureError(
            f"The {feature.label} is a {shape} with a radius of {feature.radius:g} m.",
            "Only a point has a radius: anything else shows its own edge, or has a half width.",
            "Leave radius out, or draw a point.",
        )


def _check_measured_from(feature: Feature, shape: str) -> None:
    if feature.measured_from not in MEASURED_FROM:
        raise PlanError(
            f"The {feature.label} is measured_from '{feature.measured_from}'.",
            f"It can be measured from: {', '.join(MEASURED_FROM)}.",
            "Choose one of them.",
        )
    if shape == "line":
        _check_line(feature)
    elif shape == "polygon" and feature.measured_from == "centre line":
        raise _unsuited(feature, shape, "A polygon has no centre line.", "'drawn edge'")
    elif shape == "point" and feature.measured_from in _EDGE_WORDS:
        raise _unsuited(feature, shape, "A point has neither bank nor wire.", "'drawn edge'")


def _check_line(feature: Feature) -> None:
    """Refuse a line whose edge is not known."""
    if feature.measured_from == "drawn edge":
        raise _unsuited(
            feature,
            "line",
            "It is not known on which side of a line the feature lies.",
            "'centre line', or 'top of bank' with a half_width",
        )
    if feature.measured_from in _EDGE_WORDS and feature.half_width == 0.0:
        raise MeasureError(
            f"The {feature.label} is a line measured from the {feature.measured_from},"
            " with a half_width of 0 m.",
            "Then the distance would count from the middle and fall short.",
            f"Give half_width, from the middle to the {feature.measured_from}, in metres.",
        )


def _unsuited(feature: Feature, shape: str, why: str, remedy: str) -> PlanError:
    return PlanError(
        f"The {feature.label} is a {shape} measured from the {feature.measured_from}.",
        why,
        f"Write measured_from = {remedy}.",
    )
