"""Rate zones of a plan, from the map that it names."""

from pathlib import Path

from geolayout.errors import PlanError
from geolayout.land.field import Field
from geolayout.land.zones.map import ZoneMap
from geolayout.land.zones.polygons import read_zone_polygons
from geolayout.layout.zones.field import Zones, least_zone, make_zones
from geolayout.plan.plan import Plan
from geolayout.plan.ratezones import RateZones

__all__ = ["rate_zones"]

RASTERS = frozenset({".asc", ".bil", ".flt", ".img", ".jp2", ".tif", ".tiff", ".vrt"})
"""Ends of names by which a raster is known; every other file is one of polygons."""


def rate_zones(plan: Plan, base: Path, land: Field) -> Zones | None:
    """
    Read the map of a plan's rate zones, class it and smooth it.

    Parameters
    ----------
    plan : Plan
        The plan.
    base : path
        Its folder.
    land : Field
        Its field.

    Returns
    -------
    zones : Zones or None
        None where the plan has none.

    Raises
    ------
    GeolayoutError
        If the map cannot be read, does not lie on the field, or does not go into the classes.
    """
    asked = plan.rate_zones
    if asked is None:
        return None
    width = least_zone(asked, plan).width
    return make_zones(_mapped(asked, base, land, width), land.land, plan)


def _mapped(asked: RateZones, base: Path, land: Field, width: float) -> ZoneMap:
    """Read the map by its kind; a raster no finer than half a pass."""
    path = base / asked.source
    if path.suffix.casefold() in RASTERS:
        _check_raster_keys(asked)
        from geolayout.land.zones.raster import read_zone_raster  # noqa: PLC0415  (start-up time)

        return read_zone_raster(path, land, crs=asked.crs, finest=width / 2.0)
    if asked.column is None:
        raise PlanError(
            f"The rate zones name polygons, {asked.source}, and no column.",
            "A polygon may have many values.",
            'Say which, such as column = "clay".',
        )
    return read_zone_polygons(
        path, land, asked.column, words=asked.by_words, layer=asked.layer, crs=asked.crs
    )


def _check_raster_keys(asked: RateZones) -> None:
    """A raster has no layers and no columns."""
    key = "layer" if asked.layer is not None else "column"
    if getattr(asked, key) is not None:
        raise PlanError(
            f"The rate zones name a raster, {asked.source}, and a {key}.",
            "Its cells hold one value each.",
            f"Take {key} away.",
        )
