"""
Boundaries drawn as lines, closed into rings: a track that was walked, a polyline of a drawing.

.. code-block:: text

      +-----------+             +-----------+             +-----+ +-----+
      |           |             |           |             |             |
      |           |             |           |             |   several   |
      |           | gap         |           |             |    lines    |
      +--------   +         ----+-----------+             +---      ----+
                                | overshoot
      closed straight       cut at the crossing       joined end to end

A gap is closed only where it is short. What was done is said with its length and its place.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from geolayout.errors import BoundaryError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.tangle import check_tangle
from geolayout.land.frames.frame import Frame
from geolayout.land.places import first_corners, place, places

__all__ = ["CLOSING_GAP", "lines_of", "outlined"]

CLOSING_GAP = 10.0
"""
Ends up to this far apart are joined straight: twice the error of a telephone in the open, some
5 m (from memory), and short of a field's corner that was forgotten. [m]
"""

GAP_SHARE = 0.2
"""A gap is closed only if it is under this share of the line: a plot may be small. [-]"""

OVERSHOOT_SHARE = 0.1
"""Of a line's length at either end, searched for the place where its ends cross. [-]"""

SAID_GAP = 1.0
"""From this gap on the person is asked whether the boundary runs straight there. [m]"""

SAME_PLACE = 0.001
"""Ends nearer than this are one place. [m]"""

MOST_LINES = 200
"""More loose lines than this are a drawing, not the boundary of a field. [-]"""

WIDEST = 1.0
"""Lines that reach further than this are no field. [degrees]"""


def outlined(
    lines: Sequence[LineString], *, name: str
) -> tuple[list[Polygon], tuple[Finding, ...]]:
    """
    Close lines into areas.

    Parameters
    ----------
    lines : sequence of LineString
        In longitude and latitude. [degrees]
    name : str
        What sentences call the boundary.

    Returns
    -------
    areas : list of Polygon
        One for each ring that the lines make, valid or not. [degrees]
    findings : tuple of Finding
        Which gaps were closed, which overshoots cut, which lines joined.

    Raises
    ------
    BoundaryError
        If the lines make no ring, or need a gap closed that is too wide.
    """
    drawn = [line for line in lines if not line.is_empty]
    if not drawn or np.ptp(shapely.get_coordinates(drawn), axis=0).max() > WIDEST:
        raise _no_ring(drawn, name)
    check_tangle(np.array(drawn, dtype=object), name=name)
    frame = Frame.centred_on(shapely.MultiLineString(drawn))
    findings: list[Finding] = []
    pieces = _end_to_end(list(frame.to_local(np.array(drawn, dtype=object))), frame, findings)
    if len(pieces) > MOST_LINES:
        raise _gap_too_wide(pieces, frame, name)
    rings = [_closed(piece, frame, findings) for piece in pieces]
    closed = [ring for ring in rings if ring is not None]
    open_pieces = [piece for piece, ring in zip(pieces, rings, strict=True) if ring is None]
    if not closed and len(open_pieces) > 1:
        closed, open_pieces = _faces(open_pieces, findings), []
    if not closed:
        raise _gap_too_wide(pieces, frame, name)
    if open_pieces:
        findings.append(_left_out(open_pieces, frame))
    return [frame.to_geographic(Polygon(ring)) for ring in closed], tuple(findings)


def lines_of(geometry: BaseGeometry | None) -> list[LineString]:
    """Take the lines out of a geometry, however deep its collections are nested."""
    if isinstance(geometry, LineString):
        return [geometry]
    parts = getattr(geometry, "geoms", ())
    return [line for part in parts for line in lines_of(part)]


def _ends(line: LineString) -> NDArray[np.float64]:
    """Take the first and the last corner, as two rows."""
    ends: NDArray[np.float64] = shapely.get_coordinates(line)[[0, -1]]
    return ends


def _gap(line: LineString) -> float:
    return float(np.hypot(*np.diff(_ends(line), axis=0)[0]))


def _closes(line: LineString) -> bool:
    """Tell whether the ends of a line lie near enough to be joined."""
    return bool(_gap(line) <= min(CLOSING_GAP, GAP_SHARE * line.length))


# Several lines


def _end_to_end(lines: list[LineString], frame: Frame, findings: list[Finding]) -> list[LineString]:
    """Join lines whose ends meet, then those whose ends lie nearest, until none is near."""
    merged = shapely.line_merge(shapely.MultiLineString(lines))
    pieces = [part for part in shapely.get_parts(merged) if part.length > 0.0]
    widest, where = 0.0, None
    while 1 < len(pieces) <= MOST_LINES and (pair := _nearest_ends(pieces)) is not None:
        first, second = (shapely.get_coordinates(piece) for piece in pair.turned)
        length = float(np.hypot(*(second[0] - first[-1])))
        if length > widest:
            widest, where = length, first[-1]
        pieces = [piece for i, piece in enumerate(pieces) if i not in pair.numbers]
        pieces.append(LineString(np.concatenate((first, second))))
    if len(pieces) < len(lines):
        findings.append(_joined(len(lines), len(pieces), widest, _lonlat(where, frame)))
    return pieces


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """Two lines by their numbers, and turned so that the one runs on into the other."""

    numbers: tuple[int, int]
    turned: tuple[LineString, LineString]


def _nearest_ends(pieces: list[LineString]) -> _Pair | None:
    """Find the two lines whose ends lie nearest; a line that closes on itself is done with."""
    loose = [number for number, piece in enumerate(pieces) if not _closes(piece)]
    if len(loose) < 2:
        return None
    ends = np.concatenate([_ends(pieces[number]) for number in loose])
    apart = np.hypot(*(ends[:, None] - ends[None, :]).transpose(2, 0, 1))
    owner = np.repeat(loose, 2)
    apart[owner[:, None] == owner[None, :]] = np.inf
    i, j = np.unravel_index(int(apart.argmin()), apart.shape)
    if apart[i, j] > CLOSING_GAP:
        return None
    first, second = pieces[owner[i]], pieces[owner[j]]
    # Each line has its start at an even place among the ends, its end at an odd one.
    first = first if i % 2 else shapely.reverse(first)
    second = shapely.reverse(second) if j % 2 else second
    return _Pair((int(owner[i]), int(owner[j])), (first, second))


def _joined(
    drawn: int, left: int, widest: float, where: tuple[tuple[float, float], ...]
) -> Finding:
    ends = "ends that meet"
    if widest > SAME_PLACE:
        ends = f"ends up to {widest:.2f} m apart, the widest gap at {place(*where[0])}"
    sentence = f"{drawn} lines were joined into {left} by {ends}."
    asked = f"Does the boundary run straight across the gap of {widest:.1f} m?"
    return Finding("joined lines", sentence, 0.0, where, asked if widest >= SAID_GAP else "")


def _lonlat(where: NDArray[np.float64] | None, frame: Frame) -> tuple[tuple[float, float], ...]:
    """Give a place of the frame in longitude and latitude, as the places of a finding."""
    return () if where is None else places(frame.lonlat(np.atleast_2d(where)))


def _faces(lines: list[LineString], findings: list[Finding]) -> list[NDArray[np.float64]]:
    """Take the one area that lines enclose which cross at its corners, if there is one."""
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(lines)]))
    if len(faces) != 1:
        return []
    beyond = sum(line.length for line in lines) - faces[0].exterior.length
    sentence = (
        f"{len(lines)} lines enclose one area; {beyond:.1f} m beyond their crossings left off."
    )
    findings.append(Finding("joined lines", sentence))
    return [shapely.get_coordinates(faces[0].exterior)]


# One line


def _closed(line: LineString, frame: Frame, findings: list[Finding]) -> NDArray[np.float64] | None:
    """Make a ring of a line: cut where its ends cross, or closed straight; None if it gapes."""
    corners: NDArray[np.float64] = shapely.get_coordinates(line)
    if _gap(line) <= SAME_PLACE and len(corners) > 3:
        findings.append(Finding("line", "The boundary is drawn as a closed line."))
        return corners
    cut = _cut_at_crossing(line)
    if cut is not None:
        ring, lost = cut
        where = _lonlat(ring[0], frame)
        sentence = (
            "The boundary is drawn as a line that runs on past its start:"
            f" {lost:.1f} m beyond the crossing at {place(*where[0])} left off."
        )
        findings.append(Finding("overshoot", sentence, 0.0, where))
        return ring
    if not _closes(line) or len(corners) < 3:
        return None
    findings.append(_gap_closed(line, frame))
    return np.concatenate((corners, corners[:1]))


def _cut_at_crossing(line: LineString) -> tuple[NDArray[np.float64], float] | None:
    """Find where the first and the last tenth of a line cross, and cut both there."""
    length = line.length
    head = substring(line, 0.0, OVERSHOOT_SHARE * length)
    tail = substring(line, (1.0 - OVERSHOOT_SHARE) * length, length)
    met = shapely.get_coordinates(shapely.intersection(head, tail))
    if not len(met):
        return None
    points = shapely.points(met)
    into = shapely.line_locate_point(head, points)
    short = tail.length - shapely.line_locate_point(tail, points)
    best = int((into + short).argmin())
    kept = shapely.get_coordinates(substring(line, into[best], length - short[best]))
    kept[[0, -1]] = met[best]
    return kept, float(into[best] + short[best])


def _gap_closed(line: LineString, frame: Frame) -> Finding:
    gap = _gap(line)
    where = _lonlat(_ends(line)[1], frame)
    sentence = (
        "The boundary is drawn as a line that ends"
        f" {gap:.2f} m short of its start, at {place(*where[0])}; it was closed straight."
    )
    asked = f"Does the boundary run straight across the gap of {gap:.1f} m?"
    return Finding("line", sentence, 0.0, where, asked if gap >= SAID_GAP else "")


def _left_out(lines: list[LineString], frame: Frame) -> Finding:
    length = sum(line.length for line in lines)
    lonlat = [frame.to_geographic(line) for line in lines]
    count = "1 line that closes" if len(lines) == 1 else f"{len(lines)} lines that close"
    sentence = f"{count} nothing, {length:.0f} m in all, left out."
    return Finding(
        "left out", sentence, 0.0, first_corners(lonlat), "Is a piece of the boundary missing?"
    )


# What cannot be closed


def _gap_too_wide(pieces: list[LineString], frame: Frame, name: str) -> BoundaryError:
    """Say how far the ends of the longest line lie apart, and where."""
    if not pieces:
        return _no_ring([], name)
    longest = max(pieces, key=lambda piece: float(piece.length))
    (start,), (end,) = (_lonlat(corner, frame) for corner in _ends(longest))
    drawn = "a line" if len(pieces) == 1 else f"{len(pieces)} lines that do not join, the longest"
    return BoundaryError(
        f"{name} is drawn as {drawn} with its ends {_gap(longest):.1f} m apart,"
        f" at {place(*start)} and {place(*end)}.",
        f"Only a gap of up to {CLOSING_GAP:g} m, and under a fifth of the line, is closed here:"
        " a wider one may hide a corner.",
        "Close the line, or draw or export the boundary as a polygon.",
    )


def _no_ring(lines: Sequence[LineString], name: str) -> BoundaryError:
    drawn = "a line" if len(lines) == 1 else f"{len(lines)} lines"
    return BoundaryError(
        f"{name} is drawn as {drawn} that cannot be the outline of a field.",
        "A boundary is a closed line, and a field lies within one degree.",
        "Draw or export the boundary as a polygon.",
    )
