"""Shapes of a plan's features, from their files or from the plan itself, with what is kept."""

from pathlib import Path

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.readers import read_shapes
from geolayout.plan.country import Default, default_for
from geolayout.plan.features import FeatureSource

__all__ = ["drawn_feature", "feature_shapes"]


def feature_shapes(feature: FeatureSource, base: Path) -> list[tuple[str, BaseGeometry]]:
    """
    Return the shapes of a feature, as drawn.

    Parameters
    ----------
    feature : FeatureSource
        Of a plan.
    base : path
        Folder of the plan.

    Returns
    -------
    shapes : list of (str, shapely geometry)
        Name in the file, "" where there is none, and geometry on WGS 84. [degrees]

    Raises
    ------
    FileError, BoundaryError
        If its file cannot be read, or holds nothing of what was chosen.
    """
    if feature.source is None:
        return [("", _in_plan(feature))]
    return read_shapes(
        base / feature.source,
        layer=feature.layer,
        shape_id=feature.id,
        attribute=next(iter(feature.attribute.items()), None),
        crs=feature.crs,
    )


def _in_plan(feature: FeatureSource) -> BaseGeometry:
    """Return the shape that the plan itself gives."""
    if feature.at is not None:
        return shapely.Point(feature.at)
    corners = list(feature.points)
    return shapely.Polygon(corners) if feature.closed else shapely.LineString(corners)


def drawn_feature(
    feature: FeatureSource, name: str, shape: BaseGeometry, country: str | None
) -> DrawnFeature:
    """
    Return one shape of a feature, with the distances that are kept from it.

    Parameters
    ----------
    feature : FeatureSource
        Of a plan.
    name : str
        Name of the shape in its file.
    shape : shapely geometry
        On WGS 84. [degrees]
    country : str or None
        Whose default stands where a protected feature has no distance of its own.

    Returns
    -------
    feature : DrawnFeature
    """
    kept, start, called = _kept(feature, country)
    otherwise = "drawn edge" if "Polygon" in shape.geom_type else "centre line"
    return DrawnFeature(
        feature.kind,
        feature.name or name or feature.kind,
        shape,
        start or otherwise,
        feature.half_width,
        kept,
        radius=feature.radius,
        width=feature.width or 0.0,
        room=feature.room,
        default_from=called,
        height=feature.height or 0.0,
    )


def _kept(feature: FeatureSource, country: str | None) -> tuple[KeepClear, str | None, str]:
    """Return the distances kept, what they start from, and the default they are, if they are."""
    default = default_for(country, feature.kind) if feature.keep_clear is None else None
    if default is None:
        given = feature.clearance
        kept = KeepClear(given.all, given.trees, given.turning)
        return kept, feature.measured_from, feature.default_from or ""
    return _by_default(default), default.measured_from, default.called


def _by_default(default: Default) -> KeepClear:
    """Return the distance of a default, for its purpose."""
    if default.purpose == "trees":
        return KeepClear(trees=default.distance)
    return KeepClear(all=default.distance)
