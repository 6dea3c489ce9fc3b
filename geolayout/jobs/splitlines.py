"""Reading the lines that part the field into pieces for blocks."""

from pathlib import Path

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, PlanError
from geolayout.land.field import Field
from geolayout.land.readers import read_shapes
from geolayout.plan.parts import Piece
from geolayout.plan.plan import Plan

__all__ = ["split_lines"]

FARTHEST_DEGREES = 0.5
"""Beyond this a line is not even brought into the field's frame. [degrees]"""


def split_lines(plan: Plan, base: Path, land: Field) -> dict[str, BaseGeometry]:
    """
    Read the lines that the pieces of a plan's blocks lie between.

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
    cuts : dict of str to geometry
        By the `key` of the piece, in the field's frame; what belongs to fields far away is left
        out. [m]

    Raises
    ------
    GeolayoutError
        If a file cannot be read, holds no line or none of the name, or belongs elsewhere.
    """
    pieces = {block.piece.key: block.piece for block in plan.blocks if block.piece is not None}
    return {key: _lines(pieces[key], base, land) for key in sorted(pieces)}


def _lines(piece: Piece, base: Path, land: Field) -> BaseGeometry:
    """Return the lines of one file that a piece lies between, in the field's frame."""
    shapes = [(name, shape) for name, shape in read_shapes(base / piece.line) if _is_line(shape)]
    if not shapes:
        raise BoundaryError(
            f"{piece.line} holds no line.",
            "Lines part the field into pieces.",
            "Draw them as lines, or give the areas as land.",
        )
    wanted = [shape for name, shape in shapes if piece.line_name in (None, name)]
    if not wanted:
        names = [name or "one without a name" for name, _ in shapes[:5]]
        raise PlanError(
            f"No line of {piece.line} is called {piece.line_name!r}.",
            f"Its lines are: {', '.join(names)}{', and more' if len(shapes) > 5 else ''}.",
            "Name one of them by line_name, or take it away.",
        )
    away = np.array([float(shapely.distance(shape, land.boundary)) for shape in wanted])
    near = [shape for shape, off in zip(wanted, away, strict=True) if off <= FARTHEST_DEGREES]
    if not near:
        raise BoundaryError(
            f"The lines of {piece.line} lie {away.min() * 111.0:,.0f} km from the field.",
            "They belong to another place, or their coordinates are swapped.",
            "Name the file of this field.",
        )
    parts = [part for shape in near for part in shapely.get_parts(shape)]
    return shapely.MultiLineString([land.frame.to_local(part) for part in parts])


def _is_line(shape: BaseGeometry) -> bool:
    """Whether a shape is a line or several."""
    return shape.geom_type in ("LineString", "MultiLineString", "LinearRing")
