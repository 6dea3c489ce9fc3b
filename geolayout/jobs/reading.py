"""Reading a plan and every file it names, relative to the plan."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.handover.planfile import RESOLVED_FILE
from geolayout.jobs.featureshapes import drawn_feature, feature_shapes
from geolayout.jobs.guidelines import guide_lines
from geolayout.jobs.job import Job
from geolayout.jobs.ratezones import rate_zones
from geolayout.jobs.splitlines import split_lines
from geolayout.land.features import DrawnFeature, placed
from geolayout.land.field import Field, make_field
from geolayout.land.frames.lonlat import check_region
from geolayout.land.readers import DrawnBoundary, read_boundary, read_shapes
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.country import expected_box
from geolayout.plan.features import FeatureSource
from geolayout.plan.ground import Block, FieldSource
from geolayout.plan.parse import crops_file, farm_file, parse_crops, parse_farm, parse_plan
from geolayout.plan.plan import Plan

__all__ = ["drawn_field", "plan_text", "read", "read_plan"]

FAR = 1000.0
"""A file whose every shape is farther from the field than this is a mistake; our own choice. [m]"""

NEAR = 500.0
"""Features farther from the field than this are left out; no distance kept is as wide. [m]"""

FARTHEST_DEGREES = 0.5
"""Beyond this a shape is not even brought into the field's frame. [degrees]"""


def read(path: str | Path) -> Job:
    """
    Read a plan, its farm, its crops, its field and all other files it names, relative to the plan.

    Parameters
    ----------
    path : path
        The plan file.

    Returns
    -------
    job : Job

    Raises
    ------
    GeolayoutError
        If a file cannot be read or says what cannot be.
    """
    text, plan = _read_plan(Path(path))
    base = Path(path).parent
    land = _field_of(plan, base) if plan.field.boundary is not None else None
    drawn = _drawn_for(plan, base, land) if land is not None else Drawn()
    return Job(Path(path), text, plan, land, drawn)


def read_plan(path: str | Path) -> Plan:
    """
    Read a plan, its farm file and its crop file, and nothing else.

    Raises
    ------
    GeolayoutError
        If a file cannot be read or says what cannot be.
    """
    return _read_plan(Path(path))[1]


def plan_text(path: Path, what: str) -> str:
    """Return the text of a file."""
    if path.is_dir():
        runs = f"Name {RESOLVED_FILE} in it, which runs on its own."
        there = (path / RESOLVED_FILE).is_file()
        raise FileError(
            f"{what}, {path}, is a folder.",
            "A plan is a text file.",
            runs if there else "Name a file in it.",
        )
    try:
        return path.read_bytes().decode()  # line ends as the user wrote them
    except UnicodeDecodeError:
        raise FileError(
            f"{what}, {path.name}, is no text in UTF-8.",
            "It may be a spreadsheet or saved in another encoding.",
            "Save it as plain text in UTF-8.",
        ) from None
    except (OSError, ValueError) as error:  # ValueError: a null character in the path
        why = getattr(error, "strerror", None) or str(error)
        raise FileError(
            f"{what}, {path}, cannot be read.", f"The system says: {why}.", "Look at its name."
        ) from None


def _read_plan(path: Path) -> tuple[str, Plan]:
    """Return the text of a plan file and the plan, with the farm's machines."""
    text = plan_text(path, "The plan")
    readable = text.removeprefix("\ufeff")  # some editors begin a file with this mark
    farm = farm_file(readable)
    shared = (
        parse_farm(plan_text(path.parent / farm, "The farm file")) if farm is not None else None
    )
    named = crops_file(readable)
    crops = (
        parse_crops(plan_text(path.parent / named, "The crop file")) if named is not None else ()
    )
    return text, parse_plan(readable, farm=shared, crops=crops)


def _field_of(plan: Plan, base: Path) -> Field:
    """Return the field of a plan, with the features that lie near it."""
    source = plan.field
    drawn = drawn_field(plan, base)
    name = source.name or drawn.name
    elsewhere = check_region(drawn.geometry, expected_box(source.country), name=name)
    land = make_field(
        drawn.geometry,
        name=name,
        findings=(*drawn.findings, *elsewhere),
        height=source.height,
        thin=source.thin,
    )
    features = [
        placed(shape, land.frame)
        for feature in plan.features
        for shape in _near_shapes(feature, base, land, source.country)
    ]
    there = _with_terrain(replace(land, features=tuple(features)), source, base)
    return _with_weather(there, source, base)


def _with_terrain(land: Field, source: FieldSource, base: Path) -> Field:
    """Return a field with the heights its plan names, and what is to be known of them."""
    if source.terrain is None:
        return land
    from geolayout.land.terrain.heights import read_terrain  # noqa: PLC0415  (start-up time)

    terrain, found = read_terrain(base / source.terrain, land, unit=source.terrain_unit)
    return replace(land, terrain=terrain, terrain_findings=found)


def _with_weather(land: Field, source: FieldSource, base: Path) -> Field:
    """Return a field with the daily temperatures its plan names."""
    if source.weather is None and source.weather_usual is None:
        return land
    from geolayout.land.weather.file import read_weather  # noqa: PLC0415  (start-up time)

    weather, usual = (
        read_weather(base / name, unit=source.weather_unit) if name is not None else None
        for name in (source.weather, source.weather_usual)
    )
    return replace(land, weather=weather, usual_weather=usual)


def drawn_field(plan: Plan, base: Path) -> DrawnBoundary:
    """
    Read the boundary that a plan names, as drawn.

    Raises
    ------
    FileError, BoundaryError
        If it cannot be read, or the choice does not leave one field.
    """
    source = plan.field
    return read_boundary(
        base / (source.boundary or ""),
        layer=source.layer,
        field_id=source.id,
        attribute=next(iter(source.attribute.items()), None),
        crs=source.crs,
        inner=source.inner,
    )


def _near_shapes(
    feature: FeatureSource, base: Path, land: Field, country: str | None
) -> list[DrawnFeature]:
    """Return the shapes of a feature's file that lie near the field; one at least must."""
    shapes = feature_shapes(feature, base)
    away = [_distance(shape, land) for _, shape in shapes]
    if not away or min(away) > FAR:
        raise _far_off(feature, [shape for _, shape in shapes], away, land)
    return [
        drawn_feature(feature, name, shape, country)
        for (name, shape), distance in zip(shapes, away, strict=True)
        if distance <= NEAR
    ]


def _far_off(
    feature: FeatureSource, shapes: Sequence[BaseGeometry], away: Sequence[float], land: Field
) -> BoundaryError:
    """Say how far off a feature lies, and whether longitude and latitude change places."""
    why, remedy = "It would keep nothing clear, without a word.", "take the feature out."
    where = "holds no shape"
    if away:
        where = f"lies {min(away) / 1000:,.1f} km from the field"
        swapped = shapely.transform(list(shapes), lambda lonlat: lonlat[:, ::-1])
        if min(_distance(shape, land) for shape in swapped) <= FAR:
            why = "With longitude and latitude exchanged it lies beside it: latitude comes first."
            remedy = "put longitude first."
    return BoundaryError(
        f"{feature.label} in {feature.place} {where}.",
        why,
        f"Look at its file and coordinate system, or {remedy}",
    )


def _distance(shape: BaseGeometry, land: Field) -> float:
    """Return how far a shape in degrees lies from the field, roughly where it is far. [m]"""
    degrees = float(shapely.distance(shape, land.boundary))
    if not degrees <= FARTHEST_DEGREES:  # also not a number, for an empty shape
        return degrees * 111_000.0
    return float(shapely.distance(land.frame.to_local(shape), land.land))


def _drawn_for(plan: Plan, base: Path, land: Field) -> Drawn:
    """Return the lands and lines that a plan names by file, in the field's frame."""
    lands = {
        block.name: _land_of(block, block.land, base, land)
        for block in plan.blocks
        if block.land is not None
    }
    lines, said = guide_lines(plan, base, land)
    cuts = split_lines(plan, base, land)
    return Drawn(lands, lines, said, cuts, rate_zones(plan, base, land))


def _land_of(block: Block, name: str, base: Path, land: Field) -> BaseGeometry:
    """Return the areas of a block's file as one, in the field's frame."""
    chosen = read_shapes(
        base / name,
        layer=block.layer,
        shape_id=block.id,
        attribute=next(iter(block.attribute.items()), None),
        crs=block.crs,
    )
    shapes = [shape for _, shape in chosen if "Polygon" in shape.geom_type]
    if not shapes:
        raise BoundaryError(
            f"{name} holds no area.",
            "The land of a block is an area.",
            "Draw it so, or name another file.",
        )
    if len(shapes) == 1:
        return land.frame.to_local(shapes[0])
    return land.frame.to_local(shapely.union_all(shapes))
