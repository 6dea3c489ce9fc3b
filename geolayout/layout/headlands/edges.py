"""
Edges of the land: the stretches of boundary that rows end at, or that face a side.

Boundaries are surveyed with a shake of the hand, so stretches are found on a thinned ring. The
thinning must not hang on where the ring starts, which way it runs or how the field is turned:
each ring is first run anticlockwise from its vertex farthest from its centroid, and split at the
vertex farthest from that one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isfinite, isnan, nan
from typing import Final, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, LineString, MultiPolygon, Polygon

from geolayout.errors import MeasureError, PlanError
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.units import METRIC, Scale

__all__ = [
    "ANGLE_SLACK",
    "SIDES",
    "TOUCH",
    "Coordinates",
    "Direction",
    "EdgeRun",
    "Land",
    "ThinnedRing",
    "angles_with",
    "canonical_ring",
    "check_width",
    "describe_runs",
    "edge_run",
    "end_runs",
    "facing",
    "outer_parts",
    "settled_ends",
    "side_runs",
    "stretches",
    "thinned_corners",
    "thinned_rings",
    "turns_at",
]

Land: TypeAlias = Polygon | MultiPolygon
Coordinates: TypeAlias = NDArray[np.float64]
Direction: TypeAlias = Callable[[Coordinates], NDArray[np.float64]]

THINNING: Final = 0.5  # a boundary wavers by this much and is still one edge [m]
ANGLE_SLACK: Final = 0.5  # an edge drawn at the limit must not change class by rounding [degrees]
DOUBLES_BACK: Final = 90.0  # a boundary that turns this far over a run comes back [degrees]
TOUCH: Final = 1e-6  # far above rounding in the overlay, far below any survey [m]

COMPASS: Final = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)
SIDES: Final = ("north", "east", "south", "west")
ALL_ROUND: Final = "all round"


@dataclass(frozen=True, slots=True)
class EdgeRun:
    """
    A run of neighbouring boundary edges that a headland or a margin is measured from.

    Attributes
    ----------
    side : str
        Compass word of the outward normal, weighted by length; "all round" for a whole ring.
    length : float
        Length along the boundary. [m]
    angle : float
        Angle between the edges and the guide, 0 to 90, mean weighted by length; not a number
        where no guide was asked. [degrees]
    line : LineString
        The boundary as drawn, with the land on its left; closed for a whole ring. [m]
    thinned : LineString
        The same stretch by the corners that thinning keeps. [m]
    turns : tuple of float
        How far the boundary turns at the run's first and last corner, towards the land positive:
        convex corners above 0, reflex corners below. (0, 0) for a whole ring. [degrees]
    width : float
        Width of the headland along it; not a number where none was asked. [m]
    told : bool
        Whether the width is told with the edge, since edges have widths of their own.
    """

    side: str
    length: float
    angle: float
    line: LineString
    thinned: LineString
    turns: tuple[float, float]
    width: float = nan
    told: bool = False


@dataclass(frozen=True, slots=True)
class ThinnedRing:
    """
    An outer ring, land on its left, from its canonical start.

    ``xy`` is closed; ``kept`` are the places of the thinned vertices in it, the last one being
    the first again, so that thinned edge ``i`` runs from ``kept[i]`` to ``kept[i + 1]``.
    """

    xy: Coordinates
    kept: NDArray[np.intp]

    @property
    def edges(self) -> Coordinates:
        """Thinned edges as vectors in metres, shape (n, 2)."""
        edges: Coordinates = np.diff(self.xy[self.kept], axis=0)
        return edges

    @property
    def middles(self) -> Coordinates:
        """Middles of the thinned edges in metres, shape (n, 2)."""
        corners = self.xy[self.kept]
        middles: Coordinates = (corners[1:] + corners[:-1]) / 2
        return middles

    @property
    def turns(self) -> NDArray[np.float64]:
        """Turn at the start of each thinned edge in degrees, to the left positive, shape (n,)."""
        edges = self.edges
        return turns_at(np.roll(edges, 1, axis=0), edges)

    def between(self, first: int, last: int) -> LineString:
        """Return the boundary as drawn, from thinned corner ``first`` round to ``last``."""
        start, stop = self.kept[first], self.kept[last]
        if start < stop:
            return LineString(self.xy[start : stop + 1])
        return LineString(np.concatenate([self.xy[start:-1], self.xy[: stop + 1]]))


def end_runs(
    land: Land, direction: Direction, *, width: float, steep: float
) -> tuple[EdgeRun, ...]:
    """
    Find the stretches of boundary where rows end.

    An edge is an end where the guide meets it at ``steep`` degrees or more (within 0.5). Edges
    are those of the outer rings thinned by 0.5 m. A run shorter than the headland is wide joins
    its neighbours, whichever class it has; but a run of ends over which the boundary doubles
    back is the end of a narrow field or lobe, and stays an end however short it is.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Drivable land. [m]
    direction : callable
        Gives the bearing of the guide at points of shape (n, 2), clockwise from north (the y
        axis), either way along the guide. [degrees]
    width : float
        Width of the headland. [m]
    steep : float
        Least angle between guide and edge at an end, 0 to 90. [degrees]

    Returns
    -------
    runs : tuple of EdgeRun
        Ring by ring, anticlockwise. A ring of nothing but ends is one closed run.

    Raises
    ------
    MeasureError
        If the width is below 0, or ``steep`` outside 0 to 90.

    Examples
    --------
    >>> field = shapely.box(0, 0, 200, 100)
    >>> rows_east = lambda xy: np.full(len(xy), 90.0)
    >>> [run.side for run in end_runs(field, rows_east, width=12.0, steep=30.0)]
    ['east', 'west']
    """
    check_width(width)
    _check_steep(steep)
    runs: list[EdgeRun] = []
    for ring in thinned_rings(land):
        angles = angles_with(ring, direction)
        ends = settled_ends(angles >= steep - ANGLE_SLACK, ring, width)
        runs += [edge_run(ring, first, last, angles) for first, last in stretches(ends)]
    return tuple(runs)


def side_runs(land: Land, sides: frozenset[str]) -> dict[str, tuple[EdgeRun, ...]]:
    """
    Find the stretches of boundary on compass sides of the land.

    An edge is on the side to which its outward normal points within 45 degrees. An edge that
    faces exactly between two sides (within 0.5 degrees) is on the clockwise one: one that faces
    north-east is on the east. So every edge is on one side.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land that the margin is measured in. [m]
    sides : frozenset of {"north", "east", "south", "west"}
        The sides wanted.

    Returns
    -------
    runs : dict
        The runs of each side asked for, north first and then clockwise. Their ``angle`` is not a
        number.

    Raises
    ------
    PlanError
        If a side is none of the four.
    """
    _check_sides(sides)
    runs: dict[str, tuple[EdgeRun, ...]] = {}
    rings = thinned_rings(land)
    facings = [facing(ring.edges) for ring in rings]
    for number, side in enumerate(SIDES):
        if side in sides:
            runs[side] = tuple(
                edge_run(ring, first, last, np.full(len(own), np.nan))
                for ring, own in zip(rings, facings, strict=True)
                for first, last in stretches(own == number)
            )
    return runs


def describe_runs(runs: Sequence[EdgeRun], unit: Scale = METRIC.length) -> list[str]:
    """
    Say which edges were taken, one line a run, their lengths in a unit.

    Examples
    --------
    >>> edge = LineString([(212.4, 0), (0, 0)])
    >>> describe_runs([EdgeRun("north", 212.4, 88.0, edge, edge, (90.0, 90.0))])
    ['north end, 212.4 m, meets the rows at 88 degrees']
    """
    return [_describe(run, unit) for run in runs]


def _describe(run: EdgeRun, unit: Scale) -> str:
    """Say one run in a line."""
    kind = "side" if isnan(run.angle) else "edge" if run.told else "end"
    where = run.side if run.side == ALL_ROUND else f"{run.side} {kind}"
    wide = f", {unit.said(run.width)} wide" if run.told else ""
    meets = "" if isnan(run.angle) else f", meets the rows at {run.angle:.0f} degrees"
    return f"{where}, {unit.said(run.length)}{wide}{meets}"


def edge_run(ring: ThinnedRing, first: int, last: int, angles: NDArray[np.float64]) -> EdgeRun:
    """Measure the run of thinned edges from ``first`` up to ``last``, cyclic."""
    members = _members(first, last, len(angles))
    edges = ring.edges[members]
    line = ring.between(first, last)
    corners = ring.xy[ring.kept[np.append(members, (members[-1] + 1) % len(angles))]]
    turns = ring.turns
    weights = np.hypot(*edges.T)
    return EdgeRun(
        side=_side(edges),
        length=float(line.length),
        angle=float(np.average(angles[members], weights=weights)),
        line=line,
        thinned=LineString(corners),
        turns=(0.0, 0.0) if first == last else (float(turns[first]), float(turns[last])),
    )


def _side(edges: Coordinates) -> str:
    """Name the way that edges face, weighted by length; a whole ring faces all round."""
    east, north = edges.sum(axis=0)
    if np.hypot(east, north) < TOUCH:
        return ALL_ROUND
    bearing = np.degrees(np.arctan2(north, -east))  # of the outward normal (north, -east)
    return COMPASS[round(bearing / 45.0) % len(COMPASS)]


def facing(edges: Coordinates) -> NDArray[np.intp]:
    """Return the place in ``SIDES`` of the side that each edge is on, shape (n,)."""
    east, north = edges.T
    bearing = np.degrees(np.arctan2(north, -east))
    quarters: NDArray[np.intp] = np.floor((bearing + 45.0 + ANGLE_SLACK) / 90.0).astype(np.intp)
    return quarters % len(SIDES)


def angles_with(ring: ThinnedRing, direction: Direction) -> NDArray[np.float64]:
    """Return the angle between each thinned edge and the guide at its middle, 0 to 90."""
    east, north = ring.edges.T
    apart = np.degrees(np.arctan2(east, north)) - direction(ring.middles)
    angles: NDArray[np.float64] = np.abs((apart + 90.0) % 180.0 - 90.0)
    return angles


def settled_ends(ends: NDArray[np.bool_], ring: ThinnedRing, width: float) -> NDArray[np.bool_]:
    """
    Let runs shorter than the width join their neighbours, the shortest first.

    Of runs equally short, sides go first: the land along a staircase is then one end, and not
    what the rounding of its steps decides.
    """
    settled = ends.copy()
    while settled.any() and not settled.all():
        firsts = np.flatnonzero(settled != np.roll(settled, 1))
        sides_first = firsts[np.argsort(settled[firsts], kind="stable")]
        nexts = firsts[(np.searchsorted(firsts, sides_first) + 1) % len(firsts)]
        lengths, turns = _over_runs(ring, sides_first, nexts)
        lengths[settled[sides_first] & (turns >= DOUBLES_BACK - ANGLE_SLACK)] = np.inf
        if lengths.min() >= width - ACROSS_SLACK:
            break
        joins = int(np.argmax(lengths <= lengths.min() + ACROSS_SLACK))
        members = _members(sides_first[joins], nexts[joins], len(settled))
        settled[members] = ~settled[members]
    return settled


def _over_runs(
    ring: ThinnedRing, firsts: NDArray[np.intp], nexts: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the length of each run, and how far the boundary turns over it, both corners in."""
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*ring.edges.T))])
    turn = np.concatenate([[0.0], np.cumsum(ring.turns)])
    wraps = nexts <= firsts
    lengths = length[nexts] - length[firsts] + wraps * length[-1]
    return lengths, turn[nexts + 1] - turn[firsts] + wraps * turn[-1]


def stretches(chosen: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """
    Return the cyclic runs of chosen edges, each from its first edge up to the next unchosen one.

    A ring of chosen edges only is one run that ends where it starts.
    """
    if chosen.all():
        return [(0, 0)]
    firsts = np.flatnonzero(chosen & ~np.roll(chosen, 1))
    lasts = np.flatnonzero(~chosen & np.roll(chosen, 1))
    if len(firsts) and lasts[0] < firsts[0]:
        lasts = np.roll(lasts, -1)
    return list(zip(firsts.tolist(), lasts.tolist(), strict=True))


def _members(first: int, last: int, count: int) -> NDArray[np.intp]:
    """Return the places of the edges from ``first`` up to ``last`` in a ring of ``count``."""
    return np.arange(first, last if last > first else last + count) % count


def thinned_rings(land: Land) -> list[ThinnedRing]:
    """Return the outer rings of land, thinned, in an order of their own."""
    rings = [canonical_ring(ring) for ring in shapely.get_exterior_ring(outer_parts(land))]
    rings.sort(key=lambda xy: (xy[0, 0], xy[0, 1]))
    return [ThinnedRing(xy, thinned_corners(xy)) for xy in rings]


def outer_parts(land: Land) -> NDArray[np.object_]:
    """
    Return the polygons of land; empty land has none.

    A speck that keeping clear of things left, or a thread no wider than a touch, has no edges.
    """
    parts: NDArray[np.object_] = shapely.get_parts(land)
    wide = shapely.area(parts) > TOUCH * shapely.length(parts)
    return np.asarray(parts[wide], dtype=object)


def canonical_ring(ring: LinearRing) -> Coordinates:
    """Return a ring, closed, anticlockwise, from the vertex farthest from its centroid."""
    drawn = shapely.remove_repeated_points(ring, TOUCH)
    xy = shapely.get_coordinates(drawn)[:-1]
    if not shapely.is_ccw(drawn):
        xy = xy[::-1]
    off = np.hypot(*(xy - shapely.get_coordinates(shapely.centroid(Polygon(ring)))).T)
    ties = np.flatnonzero(off >= off.max() - TOUCH)
    start = ties[np.lexsort((xy[ties, 1], xy[ties, 0]))[0]]
    rolled = np.roll(xy, -start, axis=0)
    closed: Coordinates = np.concatenate([rolled, rolled[:1]])
    return closed


def thinned_corners(xy: Coordinates) -> NDArray[np.intp]:
    """
    Return the places of the vertices that thinning keeps, first and last included.

    Douglas and Peucker's rule keeps both ends of a line, so the ring is thinned as two lines.
    """
    far = int(np.argmax(np.hypot(*(xy - xy[0]).T)))
    halves = [LineString(xy[: far + 1]), LineString(xy[far:])]
    kept = shapely.get_coordinates(shapely.simplify(halves, THINNING, preserve_topology=False))
    return np.flatnonzero(np.isin(_as_complex(xy), _as_complex(kept)))


def _as_complex(xy: Coordinates) -> NDArray[np.complex128]:
    """Return points as single numbers, so that whole points can be looked up."""
    points: NDArray[np.complex128] = xy[:, 0] + 1j * xy[:, 1]
    return points


def turns_at(before: Coordinates, after: Coordinates) -> NDArray[np.float64]:
    """Return the turn in degrees from one edge to the next, to the left positive."""
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    turns: NDArray[np.float64] = np.degrees(np.arctan2(cross, dot))
    return turns


def check_width(width: float) -> None:
    """Refuse a width that is no width."""
    if not (isfinite(width) and width >= 0.0):
        raise MeasureError(
            f"The headland or margin is {width:g} m wide.",
            "A width is a number of metres, 0 or more.",
            "Give 0 for none, or the width that the machines turn in.",
        )


def _check_steep(steep: float) -> None:
    """Refuse an angle that edges and rows cannot make."""
    if not 0.0 <= steep <= 90.0:
        raise MeasureError(
            f"Ends are said to be steeper than {steep:g} degrees.",
            "Rows and an edge meet at 0 to 90 degrees.",
            "Use a value between 0 and 90; 30 is usual here.",
        )


def _check_sides(sides: frozenset[str]) -> None:
    """Refuse a side that is not one of the four."""
    strange = sorted(sides - set(SIDES))
    if strange:
        raise PlanError(
            f"There is no side called {strange[0]!r}.",
            "Margins are given by compass side.",
            f"Use one of {', '.join(SIDES)}.",
        )
