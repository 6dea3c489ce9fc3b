"""Reading the lines that guides name by file, with what such a file says of its own numbers."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import cast, get_args

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, PlanError
from geolayout.land.field import Field
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row
from geolayout.land.frames.drift import carried, drift
from geolayout.land.frames.lonlat import on_earth
from geolayout.land.frames.references import Reference, stated_reference
from geolayout.layout.blocks.drawn import LineSays
from geolayout.plan.guide import Guide
from geolayout.plan.plan import Plan
from geolayout.plan.value import Compass

__all__ = ["guide_lines"]

FAR = 1000.0
"""A line farther from the field than this is a mistake; our own choice. [m]"""

FARTHEST_DEGREES = 0.5
"""Beyond this a line is not even brought into the field's frame. [degrees]"""


def guide_lines(
    plan: Plan, base: Path, land: Field
) -> tuple[dict[str, BaseGeometry], dict[str, LineSays]]:
    """
    Read the lines that a plan's guides name by file.

    Parameters
    ----------
    plan : Plan
        The plan.
    base : Path
        The plan's folder.
    land : Field
        The field.

    Returns
    -------
    lines : dict of str to geometry
        By the guide's `line_key`, in the field's frame; carried over to the frame of the farm's
        correction service where the guide asks for it and both sides are stated. [m]
    said : dict of str to LineSays
        What stands beside each.

    Raises
    ------
    GeolayoutError
        If a file cannot be read, leaves a choice of lines, or a line cannot be carried over.
    """
    guides = [plan.guide, *(block.guide for block in plan.blocks)]
    named = {guide.line_key: guide for guide in guides if guide is not None and guide.line}
    correction = plan.farm.correction if plan.farm is not None else None
    service = correction.reference if correction is not None else None
    lines, said = {}, {}
    for key in sorted(named):
        row = _chosen_line(named[key], base)
        drawn, said[key] = _carried_over(row, service if named[key].move_line else None)
        _check_near(named[key], drawn, land)
        lines[key] = land.frame.to_local(drawn)
    return lines, said


def _chosen_line(guide: Guide, base: Path) -> Row:
    """Return the row of the line that a guide follows."""
    name = guide.line or ""
    sheet = on_earth(read_sheet(base / name, None))
    rows = [row for row in sheet.rows if row.geometry and "Line" in row.geometry.geom_type]
    if not rows:
        raise BoundaryError(
            f"{name} holds no line.",
            "The lines of a layout are laid along one.",
            "Draw it as a line, or name another file.",
        )
    if guide.line_name is not None:
        wanted = [row for row in rows if guide.line_name in _names(row)]
        if len(wanted) != 1:
            raise PlanError(
                f"{len(wanted)} lines of {name} are called {guide.line_name!r}.",
                _held(rows),
                "Name one of them by line_name.",
            )
        return wanted[0]
    if len(rows) > 1:
        raise PlanError(
            f"{name} holds {len(rows)} lines.",
            f"A guide follows one line. {_held(rows)}",
            'Choose one in the guide, such as line_name = "north".',
        )
    return rows[0]


def _names(row: Row) -> Sequence[str]:
    """Return what a line may be called by: its name, or its block."""
    return [str(value) for value in (row.label(""), row.column("block")) if value]


def _held(rows: Iterable[Row]) -> str:
    """Say what lines there are."""
    names = [row.label("") or "one without a name" for row in rows]
    return f"Its lines are: {', '.join(names[:5])}{', and more' if len(names) > 5 else ''}."


def _carried_over(row: Row, service: Reference | None) -> tuple[BaseGeometry, LineSays]:
    """Return a line, and what is said of it, carried over where there is somewhere to go."""
    geometry = cast(BaseGeometry, row.geometry)
    stated = stated_reference(row.column("frame"), row.column("epoch"))
    moved = None
    if stated is not None and service is not None and stated != service:
        lon, lat = shapely.get_coordinates(geometry)[0].tolist()
        of, to = stated, service
        geometry = shapely.transform(geometry, lambda lonlat: carried(lonlat, of, to))
        found = drift((lon, lat), of, to)
        moved = found.distance if found is not None else None
        stated = service
    return geometry, LineSays(stated, moved, _number(row), _side(row))


def _number(row: Row) -> int | None:
    """Return the number of the band that begins on a line, where its file has one."""
    number = row.column("number_at_anchor")
    if isinstance(number, float) and number.is_integer():
        number = int(number)
    return number if isinstance(number, int) and not isinstance(number, bool) else None


def _side(row: Row) -> Compass | None:
    """Return the side that bands are counted from, where the line's file says it."""
    side = row.column("from")
    return cast(Compass, side) if side in get_args(Compass) else None


def _check_near(guide: Guide, line: BaseGeometry, land: Field) -> None:
    """Refuse a line of another place."""
    degrees = float(shapely.distance(line, land.boundary))
    far = degrees * 111_000.0
    if degrees <= FARTHEST_DEGREES:
        local = land.frame.to_local(line)
        far = float(np.nan_to_num(shapely.distance(local, land.land), nan=np.inf))
    if not far <= FAR:
        raise BoundaryError(
            f"The line in {guide.line} lies {far / 1000:,.1f} km from the field.",
            "It belongs to another place, or its coordinates are swapped.",
            "Name the line of this field.",
        )
