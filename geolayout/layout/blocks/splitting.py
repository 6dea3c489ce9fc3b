"""
Parting the field by drawn lines: a block is the piece that its point lies in.

A line parts land only from edge to edge. One drawn by hand may stop a little short of the hedge,
or of another line: it runs straight on over a short gap, and is refused over a long one, for
nobody knows where it was meant to go.
"""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.field import Field
from geolayout.layout.shapes.overlay import common, on_grid, without
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.parts import Piece
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["PROLONGED", "piece_of"]

PROLONGED = 10.0
"""Farthest that a line runs on to the edge by itself. Our own choice. [m]"""

BEYOND = 1e-3
"""How far a prolonged line runs past what it meets, so that rounding leaves no gap. [m]"""

CRUMB_AREA = 1e-3
"""A piece under this is rounding between a line and the edge it follows. [m2]"""

TOUCHING = 1e-6
"""An end this near to the edge or another line has met it. [m]"""

FARTHEST_DEGREES = 0.5
"""Beyond this a point is not even brought into the field's frame. [degrees]"""


def piece_of(piece: Piece, block: str, field: Field, lines: BaseGeometry) -> BaseGeometry:
    """
    Return the piece of the field, between lines, that a point lies in.

    Parameters
    ----------
    piece : Piece
        Which piece is meant.
    block : str
        Name of the block, for messages.
    field : Field
        The field. Obstacles part it as its edge does.
    lines : LineString or MultiLineString
        The lines, in the field's frame. [m]

    Returns
    -------
    piece : Polygon
        [m]

    Raises
    ------
    LayoutError
        If no line meets the field, one ends inside it, none parts it, or the point lies in no
        piece.
    """
    land = on_grid(field.land)
    land = without(land, common(land, field.obstacles))
    pieces = _pieces(piece, field, land, lines)
    return _chosen(piece, block, field, pieces)


def _pieces(
    piece: Piece, field: Field, land: BaseGeometry, lines: BaseGeometry
) -> NDArray[np.object_]:
    """Return the pieces that lines part land into."""
    merged = shapely.line_merge(lines) if lines.geom_type != "LineString" else lines
    apart = shapely.remove_repeated_points(shapely.get_parts(merged))
    apart = apart[shapely.length(apart) > 0.0]
    if not len(apart):
        raise LayoutError(
            f"The lines of {piece.key} have no length.", "They part nothing.", "Draw them anew."
        )
    meets = shapely.distance(apart, land) <= EDGE_SLACK
    if not meets.any():
        off = float(shapely.distance(apart, land).min())
        raise LayoutError(
            f"No line of {piece.key} meets the field: the nearest lies {off:.1f} m beside it.",
            "A line parts the land that it crosses.",
            "Draw it across the field, or name the file of this field.",
        )
    drawn = apart[meets]
    edge = shapely.boundary(land)
    cuts = [_from_edge_to_edge(piece, field, (land, edge), drawn, i) for i in range(len(drawn))]
    net = shapely.union_all([*cuts, edge])
    faces = shapely.get_parts(shapely.polygonize([net]))
    shapely.prepare(land)
    faces = faces[shapely.area(faces) > CRUMB_AREA]
    mine = faces[shapely.contains(land, shapely.point_on_surface(faces))]
    if len(mine) <= len(polygon_parts(land)):
        raise LayoutError(
            f"The lines of {piece.key} meet the field and do not part it.",
            "They touch its edge, or run along it.",
            "Draw one across the field.",
        )
    return np.asarray(mine, dtype=object)


def _from_edge_to_edge(
    piece: Piece,
    field: Field,
    land: tuple[BaseGeometry, BaseGeometry],
    drawn: NDArray[np.object_],
    i: int,
) -> LineString:
    """Return one of several lines, its ends inside the land prolonged to what they meet."""
    inside, edge = land
    line = drawn[i]
    if line.is_closed:
        return line
    stops = shapely.union_all([edge, *np.delete(drawn, i)])
    xy = shapely.get_coordinates(line)
    for end, before in ((0, 1), (-1, -2)):
        place = Point(xy[end])
        if shapely.distance(place, stops) <= TOUCHING:
            xy[end] += BEYOND * _ahead(xy[end], xy[before])
        elif shapely.intersects(inside, place):
            xy[end] = _met(xy[end], xy[before], stops, piece, field)
    return LineString(xy)


def _met(
    end: NDArray[np.float64],
    before: NDArray[np.float64],
    stops: BaseGeometry,
    piece: Piece,
    field: Field,
) -> NDArray[np.float64]:
    """Return where a line that runs straight on from its end first meets an edge or a line."""
    ahead = _ahead(end, before)
    reach = float(np.hypot(*np.ptp(np.reshape(field.land.bounds, (2, 2)), axis=0))) + 1.0
    ray = LineString([end + TOUCHING * ahead, end + reach * ahead])
    gap = float(shapely.distance(Point(end), shapely.intersection(ray, stops)))
    if not gap <= PROLONGED:
        lon, lat = field.frame.lonlat(end[None])[0].tolist()
        raise LayoutError(
            f"A line of {piece.key} ends inside the field near {lon:.6f}, {lat:.6f}, {gap:.1f} m "
            "short of what it would meet.",
            f"It parts the land from edge to edge, and runs on by itself over {PROLONGED:g} m.",
            "Draw it on to the edge, or to another line.",
        )
    return np.asarray(end + (gap + BEYOND) * ahead)


def _ahead(end: NDArray[np.float64], before: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the direction in which a line runs on from its end, shape (2,)."""
    return np.asarray((end - before) / np.hypot(*(end - before)))


def _chosen(piece: Piece, block: str, field: Field, pieces: NDArray[np.object_]) -> BaseGeometry:
    """Return the piece that the point lies in."""
    lon, lat = piece.near
    off = float(shapely.distance(Point(lon, lat), field.boundary))
    found = np.empty(0, dtype=np.int64)
    if off <= FARTHEST_DEGREES:
        point = Point(field.frame.metres(np.array([piece.near]))[0])
        found = np.flatnonzero(shapely.contains(pieces, point))
    if len(found):
        chosen: BaseGeometry = pieces[found[0]]
        return chosen
    if off > FARTHEST_DEGREES:
        where = f"lies {off * 111.0:,.0f} km beside the field"
    elif shapely.distance(point, field.land) > 0.0:
        where = f"lies {shapely.distance(point, field.land):.1f} m beside the field"
    else:
        lies_on = shapely.intersects(point, field.obstacles)
        where = f"lies on {'an obstacle' if lies_on else 'a line'} and in no piece"
    raise LayoutError(
        f"Block {block} is the piece near {lon:g}, {lat:g}, which {where}.",
        "The point says which piece is meant.",
        "Give a point inside the piece, longitude first.",
    )
