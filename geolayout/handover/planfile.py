"""The plan as a file again, and the plan with everything it needs to run from its own folder."""

import json
from collections.abc import Sequence
from typing import Any

import shapely
import tomli_w
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.raster import terrain_bytes
from geolayout.land.boundary.thin import MOST_CORNERS, corners_of
from geolayout.land.features import Feature
from geolayout.land.field import Field
from geolayout.land.weather.daily import DailyWeather
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.features import Clearance, FeatureSource
from geolayout.plan.ground import Block, FieldSource
from geolayout.plan.parts import Piece
from geolayout.plan.plan import Plan
from geolayout.plan.ratezones import RateZones

__all__ = ["BOUNDARY_FILE", "RESOLVED_FILE", "plan_toml", "portable"]

BOUNDARY_FILE = "field.geojson"
"""Name of the field's outline in the output folder."""

RESOLVED_FILE = "plan_resolved.toml"
"""The plan in figures; it runs again from its own folder."""

TERRAIN_FILE = "terrain.tif"
"""Name of the heights round the field there."""

ZONES_FILE = "rate_zones.geojson"
"""Name of the classes of the rate zones there."""

_OF_THE_MAP = ("layer", "crs", "limits", "quantiles", "machine", "smallest", "outside")
"""Keys of the rate zones that are settled once the map is classed and smoothed."""

WEATHER_FILE = "weather.csv"
USUAL_FILE = "weather_usual.csv"
"""Name of the daily temperatures there."""


def plan_toml(plan: Plan) -> str:
    """
    Write a plan as the text of a plan file.

    Only keys that were given are written, in the order of the plan file's page.

    Parameters
    ----------
    plan : Plan
        Any plan.

    Returns
    -------
    text : str
        TOML; `geolayout.plan.parse.parse_plan` makes an equal plan of it.
    """
    given = plan.model_dump(by_alias=True, exclude_unset=True, exclude_none=True)
    return tomli_w.dumps({"schema": plan.version, **_filled(given)})


def _filled(table: dict[str, Any]) -> dict[str, Any]:
    """Leave out tables and lists of tables with nothing in them: TOML would print bare heads."""
    return {key: value for key, value in table.items() if value not in ((), {}, [])}


def portable(plan: Plan, field: Field, drawn: Drawn) -> tuple[Plan, dict[str, bytes]]:
    """
    Make a resolved plan that refers to nothing outside its own folder.

    Parameters
    ----------
    plan : Plan
        A resolved plan, the farm's machines among its own.
    field : Field
        The field it was resolved on.
    drawn : Drawn
        Lands that its blocks name by file.

    Returns
    -------
    plan : Plan
        The same plan; boundary, features and lands are files of its folder.
    files : dict of str to bytes
        Those files. Coordinates are written in full, so that areas and frame agree to the bit.

    Notes
    -----
    Of the terrain only the cells round the field are kept. Each shape of a feature's file becomes a
    feature of its own.
    """
    files = {BOUNDARY_FILE: _collection([(field.name, field.boundary)])}
    source = FieldSource.model_validate(
        {
            "boundary": BOUNDARY_FILE,
            "name": field.name[:80],
            **_height(field),
            **_kept_corners(field),
            **_country(plan),
            **_terrain(field, files),
            **_weather(field, files),
        }
    )
    features = []
    for number, feature in enumerate(field.features, 1):
        name = f"feature_{number}.geojson"
        shape = field.frame.to_geographic(feature.geometry)
        files[name] = _collection([(feature.name, shape)])
        features.append(_feature_source(feature, name))
    blocks = []
    for number, block in enumerate(plan.blocks, 1):
        if block.land is not None:
            name = f"block_{number}.geojson"
            shape = field.frame.to_geographic(drawn.lands[block.name])
            files[name] = _collection([(block.name, shape)])
            block = _with_land(block, name)  # noqa: PLW2901  (the same block, its file beside it)
        blocks.append(_with_cuts(block, field, drawn, files))
    changed: dict[str, object] = {"field": source, "features": tuple(features)}
    changed |= _consents(plan, features)
    changed |= _rate_zones(plan, field, drawn, files)
    if blocks:  # each has its own guide by now, and the common one may name a file
        changed |= {"blocks": tuple(blocks), "guide": None}
    return plan.model_copy(update=changed), files


def _height(field: Field) -> dict[str, float]:
    """Return the height of the frame, where it has one."""
    return {"height": field.frame.height} if field.frame.height else {}


def _kept_corners(field: Field) -> dict[str, float]:
    """Ask for no further thinning of a boundary that would be thinned again when read."""
    return {"thin": 0.0} if corners_of(field.boundary) > MOST_CORNERS else {}


def _country(plan: Plan) -> dict[str, str]:
    """Return the country of the field, where it is named."""
    return {"country": plan.field.country} if plan.field.country else {}


def _consents(plan: Plan, features: Sequence[FeatureSource]) -> dict[str, object]:
    """Return the consents for features that lie near the field; others have nothing to name."""
    if not plan.consents:
        return {}
    names = {name for feature in features for name in (feature.label, feature.kind)}
    return {"consents": tuple(one for one in plan.consents if one.feature in names)}


def _rate_zones(
    plan: Plan, field: Field, drawn: Drawn, files: dict[str, bytes]
) -> dict[str, object]:
    """Keep the zones, smoothed as they are, as a file that names their classes."""
    if plan.rate_zones is None or drawn.zones is None:
        return {}
    shapes = [
        (one.name, field.frame.to_geographic(one.geometry))
        for one in drawn.zones.classes
        if not one.geometry.is_empty
    ]
    files[ZONES_FILE] = _collection(shapes)
    told = plan.rate_zones.model_dump(by_alias=True, exclude_unset=True, exclude_none=True)
    kept = {key: value for key, value in told.items() if key not in _OF_THE_MAP}
    there = {"source": ZONES_FILE, "column": "name", "narrowest": 0.0}
    asked = RateZones.model_validate({**kept, **there})
    return {"rate_zones": asked}


def _terrain(field: Field, files: dict[str, bytes]) -> dict[str, str]:
    """Keep the heights round the field as a file, and return how the plan names it."""
    if field.terrain is None:
        return {}
    files[TERRAIN_FILE] = terrain_bytes(field.terrain, field.frame)
    return {"terrain": TERRAIN_FILE}


def _weather(field: Field, files: dict[str, bytes]) -> dict[str, str]:
    """Keep the daily temperatures as a file, every digit, and return how the plan names it."""
    named = {}
    for key, name, there in (
        ("weather", WEATHER_FILE, field.weather),
        ("weather_usual", USUAL_FILE, field.usual_weather),
    ):
        if there is not None:
            files[name] = _weather_table(there)
            named[key] = name
    return named


def _weather_table(there: DailyWeather) -> bytes:
    """Return daily temperatures as a table, every digit."""
    columns = (there.days.tolist(), there.low.tolist(), there.high.tolist())
    lines = [f"{day},{low!r},{high!r}" for day, low, high in zip(*columns, strict=True)]
    return "\n".join(["date,tmin_c,tmax_c", *lines, ""]).encode()


def _with_land(block: Block, name: str) -> Block:
    """Return a block with its land alone in another file."""
    kept = block.model_fields_set - {"layer", "id", "attribute", "crs"}
    return Block.model_validate({**{key: getattr(block, key) for key in kept}, "land": name})


def _with_cuts(block: Block, field: Field, drawn: Drawn, files: dict[str, bytes]) -> Block:
    """Return a block with the lines round its piece in a file of its own folder."""
    if block.piece is None:
        return block
    names = {key: f"split_{i}.geojson" for i, key in enumerate(sorted(drawn.cuts), 1)}
    key = block.piece.key
    lines = shapely.get_parts(field.frame.to_geographic(drawn.cuts[key]))
    files[names[key]] = _collection([("", line) for line in lines])
    piece = Piece(line=names[key], near=block.piece.near)
    return block.model_copy(update={"piece": piece})


def _feature_source(feature: Feature, name: str) -> FeatureSource:
    """Return the feature as the plan file says it."""
    kept = feature.keep_clear
    clearance: float | Clearance = kept.all
    if kept.trees or kept.turning:
        clearance = Clearance(all=kept.all, trees=kept.trees, turning=kept.turning)
    given: dict[str, object] = {
        "kind": feature.kind,
        "source": name,
        "keep_clear": clearance,
        "measured_from": feature.measured_from,
    }
    if feature.name:
        given["name"] = feature.name[:80]
    for key in ("half_width", "radius", "width", "room", "default_from"):
        if value := getattr(feature, key):
            given[key] = value
    return FeatureSource.model_validate(given)


def _collection(shapes: list[tuple[str, BaseGeometry]]) -> bytes:
    """Return shapes in degrees as GeoJSON, every digit kept."""
    features = [
        {
            "type": "Feature",
            "id": number,
            "properties": {"name": name},
            "geometry": json.loads(
                shapely.to_geojson(shapely.orient_polygons(shape, exterior_cw=False))
            ),
        }
        for number, (name, shape) in enumerate(shapes, 1)
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False)
    return (text + "\n").encode()
