"""Reading a plan and every file it names, relative to the plan."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.jobs.job import Job
from geolayout.land.features import DrawnFeature, KeepClear, placed
from geolayout.land.field import Field, make_field
from geolayout.land.readers import read_boundary, read_shapes
from geolayout.layout.drawn import Drawn
from geolayout.plan.features import FeatureSource
from geolayout.plan.parse import farm_file, parse_farm, parse_plan
from geolayout.plan.plan import Plan

__all__ = ["plan_text", "read", "read_plan"]

FAR = 1000.0
"""A file whose every shape is farther from the field than this is a mistake; our own choice. [m]"""

NEAR = 500.0
"""Features farther from the field than this are left out; no distance kept is as wide. [m]"""

FARTHEST_DEGREES = 0.5
"""Beyond this a shape is not even brought into the field's frame. [degrees]"""


def read(path: str | Path) -> Job:
    """
    Read a plan, its farm, its field and all other files it names, relative to the plan.

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
    Read a plan and its farm file, and nothing else.

    Raises
    ------
    GeolayoutError
        If a file cannot be read or says what cannot be.
    """
    return _read_plan(Path(path))[1]


def plan_text(path: Path, what: str) -> str:
    """Return the text of a file."""
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
    machines = (
        parse_farm(plan_text(path.parent / farm, "The farm file")) if farm is not None else ()
    )
    return text, parse_plan(readable, farm=machines)


def _field_of(plan: Plan, base: Path) -> Field:
    """Return the field of a plan, with the features that lie near it."""
    source = plan.field
    drawn = read_boundary(
        base / (source.boundary or ""),
        layer=source.layer,
        field_id=source.id,
        attribute=next(iter(source.attribute.items()), None),
        crs=source.crs,
    )
    name = source.name or drawn.name
    land = make_field(drawn.geometry, name=name, findings=drawn.findings, height=source.height)
    features = [
        placed(shape, land.frame)
        for feature in plan.features
        for shape in _near_shapes(feature, base, land)
    ]
    return replace(land, features=tuple(features))


def _near_shapes(feature: FeatureSource, base: Path, land: Field) -> list[DrawnFeature]:
    """Return the shapes of a feature's file that lie near the field; one at least must."""
    shapes = read_shapes(base / feature.source, layer=feature.layer, crs=feature.crs)
    away = [_distance(shape, land) for _, shape in shapes]
    if not away or min(away) > FAR:
        where = f"lies {min(away) / 1000:,.1f} km from the field" if away else "holds no shape"
        raise BoundaryError(
            f"{feature.label} in {feature.source} {where}.",
            "It would keep nothing clear, without a word.",
            "Look at its file and coordinate system, or take the feature out.",
        )
    return [
        _drawn_feature(feature, name, shape)
        for (name, shape), distance in zip(shapes, away, strict=True)
        if distance <= NEAR
    ]


def _distance(shape: BaseGeometry, land: Field) -> float:
    """Return how far a shape in degrees lies from the field, roughly where it is far. [m]"""
    degrees = float(shapely.distance(shape, land.boundary))
    if not degrees <= FARTHEST_DEGREES:  # also not a number, for an empty shape
        return degrees * 111_000.0
    return float(shapely.distance(land.frame.to_local(shape), land.land))


def _drawn_feature(feature: FeatureSource, name: str, shape: BaseGeometry) -> DrawnFeature:
    """Return one shape of a feature, with the distances the plan keeps from it."""
    otherwise = "drawn edge" if "Polygon" in shape.geom_type else "centre line"
    kept = feature.clearance
    return DrawnFeature(
        feature.kind,
        feature.name or name or feature.kind,
        shape,
        feature.measured_from or otherwise,
        feature.half_width,
        KeepClear(kept.all, kept.trees, kept.turning),
    )


def _drawn_for(plan: Plan, base: Path, land: Field) -> Drawn:
    """Return the lands and lines that a plan names by file, in the field's frame."""
    lands = {
        block.name: _union(block.land, base, land, lambda shape: "Polygon" in shape.geom_type)
        for block in plan.blocks
        if block.land is not None
    }
    guides = [plan.guide, *(block.guide for block in plan.blocks)]
    names = {guide.line for guide in guides if guide is not None and guide.line is not None}
    lines = {
        name: _union(name, base, land, lambda shape: "Line" in shape.geom_type)
        for name in sorted(names)
    }
    return Drawn(lands, lines)


def _union(
    name: str, base: Path, land: Field, fits: Callable[[BaseGeometry], bool]
) -> BaseGeometry:
    """Return the shapes of the right kind in a file as one, in the field's frame."""
    shapes = [shape for _, shape in read_shapes(base / name) if fits(shape)]
    if not shapes:
        raise BoundaryError(
            f"{name} holds no shape that can be used here.",
            "The land of a block is an area, and a guide is a line.",
            "Draw it so, or name another file.",
        )
    if len(shapes) == 1:
        return land.frame.to_local(shapes[0])
    return land.frame.to_local(shapely.union_all(shapes))
