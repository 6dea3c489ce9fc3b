"""
Light over very many places: crowns and walls throw their shadow, and only what it meets is asked.

Along one direction of light the shadow of a crown on a level plane is an ellipse, that of a wall a
parallelogram. Places are slid along the light onto that plane, whatever the ground does there, and
sorted into squares; a shadow then looks at the squares that it touches and at no others::

       +---+---+---+---+---+---+
       |   |  _|___|_  |   |   |    light from the left: the crown stands at o,
       |   |o( |   | ):|   |   |    its shadow is looked for in five squares
       +---+---+---+---+---+---+

What comes out is what `transect.light_at` gives place by place, but for rounding.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.light.shade import CHUNK, FACING, Crowns, Walls
from geolayout.appraisal.light.sky import sky_directions
from geolayout.appraisal.light.sun import Suns
from geolayout.appraisal.light.transect import NO_WALLS, alike

__all__ = ["light_over"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Ends = Callable[[Ints, Floats, Floats], tuple[Floats, Floats]]
"""From and to where things reach over bands of the plane: takes things, lower and upper edges."""

HAIR = 1e-9
"""Shadows are looked for this much wider, so that rounding loses no place. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class _Squares:
    """
    Places of a plane, sorted into squares row by row.

    `order` are the places in that order, `xy` where they lie, `first` the first place of each
    square, with one entry more at the end.
    """

    order: Ints
    xy: Floats
    first: Ints
    corner: Floats
    side: float
    rows: int
    columns: int


def light_over(
    cells: Floats,
    normals: Floats,
    suns: Suns,
    crowns_of_month: dict[int, list[Crowns]],
    walls: Walls = NO_WALLS,
    done: Callable[[float], None] | None = None,
) -> tuple[Floats, Floats]:
    """
    Return the shares of direct and of diffuse light at very many places over a season.

    Parameters
    ----------
    cells : ndarray, shape (n, 3)
        Places. [m]
    normals : ndarray, shape (n, 3)
        Unit vectors square to the ground there.
    suns : Suns
        Places of the sun over the season.
    crowns_of_month : dict of int to list of Crowns
        Trees with their leaves in each month of the season; only leaves differ from month to month.
    walls : Walls
        Hedges and woods; their feet are as high as the place.
    done : callable, optional
        Is told the share of the work that is done, now and then.

    Returns
    -------
    direct, diffuse : ndarray, shape (n,)
        Shares of what open ground of the same slope gets, 0 to 1.
    """
    sky, say = sky_directions(), done or _silent
    level = not np.ptp(cells[:, 2]) if len(cells) else True
    shade = _Shade(cells, walls, _in_squares(cells[:, :2]), level)
    groups = alike(crowns_of_month, np.unique(suns.month).tolist())
    of_month = {month: g for g, months in enumerate(groups) for month in months}
    crowns = [crowns_of_month[months[0]] for months in groups]
    seen, direct = np.zeros((len(groups), len(cells))), np.zeros(len(cells))
    open_sky, open_sun = np.zeros((2, len(cells)))
    work = len(sky) + len(suns)
    for i, up in enumerate(sky):
        say(i / work)
        facing = np.maximum(normals @ up, 0.0)
        open_sky += facing
        seen += facing * _reaching(shade, crowns, up)
    for i, (up, weight, month) in enumerate(zip(suns.up, suns.weight, suns.month, strict=True)):
        say((len(sky) + i) / work)
        falls = np.maximum(normals @ up, 0.0) * (weight / up[2])
        open_sun += falls
        direct += falls * _reaching(shade, [crowns[of_month[int(month)]]], up)[0]
    weights = np.array([suns.weight[np.isin(suns.month, months)].sum() for months in groups])
    diffuse = (weights @ seen) / np.where(open_sky > 0.0, open_sky, 1.0)
    return direct / np.where(open_sun > 0.0, open_sun, 1.0), diffuse / suns.weight.sum()


def _silent(_share: float) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True, eq=False)
class _Shade:
    """Places, walls, the places in squares as they lie, and whether they are level."""

    cells: Floats
    walls: Walls
    flat: _Squares
    level: bool


def _reaching(shade: _Shade, crowns: list[list[Crowns]], up: Floats) -> Floats:
    """Return the share of light from one direction that passes everything, shape (groups, n)."""
    slid = shade.flat
    if not shade.level:
        over = up[:2] / up[2]
        slid = _in_squares(shade.cells[:, :2] - shade.cells[:, 2, None] * over)
    ways = [_ways(shade.cells, slid, one, up) for one in crowns[0]]
    leaves = np.array([[FACING * one.density for one in group] for group in crowns])
    met = leaves @ np.array(ways) if ways else np.zeros((len(crowns), 1))
    return np.asarray(np.exp(-met - _in_walls(shade, up)))


def _in_squares(xy: Floats) -> _Squares:
    """Sort places into squares, about one to a square."""
    corner = xy.min(axis=0, initial=np.inf) if len(xy) else np.zeros(2)
    span = np.maximum(np.ptp(xy, axis=0), 1.0) if len(xy) else np.ones(2)
    side = float(np.sqrt(span.prod() / max(len(xy), 1)))
    column, row = np.floor((xy - corner) / side).astype(np.int64).T
    columns, rows = (np.floor(span / side).astype(np.int64) + 1).tolist()
    square = row * columns + column
    order = np.argsort(square, kind="stable")
    first = np.concatenate([[0], np.cumsum(np.bincount(square, minlength=rows * columns))])
    return _Squares(order, xy[order], first, corner, side, rows, columns)


def _ways(cells: Floats, slid: _Squares, crowns: Crowns, up: Floats) -> Floats:
    """Return the way of light through crowns on its way to each place, shape (n,). [m]"""
    way = np.zeros(len(cells))
    if crowns.empty:
        return way
    wide, deep = crowns.width / 2.0, (crowns.top - crowns.base) / 2.0
    flat, high = float(np.hypot(up[0], up[1])), float(up[2])
    ahead = up[:2] / flat if flat > 0.0 else np.array([1.0, 0.0])
    length = float(np.hypot(wide, deep * flat / high))  # of the half ellipse, away from the light
    middle = crowns.foot + np.array([0.0, 0.0, (crowns.base + crowns.top) / 2.0])
    spot = middle[:, :2] - middle[:, 2, None] * (up[:2] / high)
    scaled = up / np.array([wide, wide, deep]) ** 2
    before, beyond = (cells @ scaled)[slid.order], middle @ scaled
    around = length**2 * np.outer(ahead, ahead) + wide**2 * (np.eye(2) - np.outer(ahead, ahead))
    reach = np.sqrt(around[1, 1]) + HAIR
    low, top = spot[:, 1] - reach, spot[:, 1] + reach
    for crown, place in _meetings(slid, low, top, _ellipse_ends(spot, around)):
        off = slid.xy[place] - spot[crown]
        along, across = off @ ahead, off @ np.array([-ahead[1], ahead[0]])
        left = 1.0 - (along / length) ** 2 - (across / wide) ** 2
        met = (left > 0.0) & (beyond[crown] > before[place])
        way += np.bincount(place[met], np.sqrt(left[met]), minlength=len(way))
    # In space scaled to unit balls a chord is 2 sqrt(1 - d^2); a metre of ray is so much of it.
    stretch = np.hypot(flat / wide, high / deep)
    return _unsorted(slid, 2.0 * way / stretch)


def _unsorted(squares: _Squares, values: Floats) -> Floats:
    """Return values of sorted places in the order in which the places were given."""
    found = np.empty(len(values))
    found[squares.order] = values
    return found


def _ellipse_ends(middle: Floats, around: Floats) -> Ends:
    """Return the ends of ellipses over bands; `around` is their matrix of second moments."""
    (xx, xy), (_, yy) = around
    lean, half = xy / yy, np.sqrt(max(xx - xy**2 / yy, 0.0))
    outmost, most = xy / np.sqrt(xx), np.sqrt(yy)  # where the ellipse reaches farthest to the right

    def ends(thing: Ints, lower: Floats, upper: Floats) -> tuple[Floats, Floats]:
        x, y = middle[thing].T
        low, high = np.clip(lower - y, -most, most), np.clip(upper - y, -most, most)
        right, left = np.clip(outmost, low, high), np.clip(-outmost, low, high)
        bow = [half * np.sqrt(np.maximum(1.0 - at**2 / yy, 0.0)) for at in (left, right)]
        return x + lean * left - bow[0] - HAIR, x + lean * right + bow[1] + HAIR

    return ends


def _in_walls(shade: _Shade, up: Floats) -> Floats:
    """Return what walls take of the light to each place: the share passed is exp of minus that."""
    walls, flat = shade.walls, shade.flat
    lost = np.zeros(len(shade.cells))
    if not len(walls.height):
        return lost
    away = -walls.height[:, None] * up[:2] / up[2]
    corners = np.stack([walls.start, walls.end, walls.start + away, walls.end + away])
    least, most = corners.min(axis=0) - HAIR, corners.max(axis=0) + HAIR

    def ends(wall: Ints, _lower: Floats, _upper: Floats) -> tuple[Floats, Floats]:
        return least[wall, 0], most[wall, 0]

    with np.errstate(divide="ignore"):
        taken = -np.log(walls.passed)
    for wall, place in _meetings(flat, least[:, 1], most[:, 1], ends):
        hit = _behind(flat.xy[place], walls, wall, up)
        lost += np.bincount(place[hit], taken[wall[hit]], minlength=len(lost))
    return _unsorted(flat, lost)


def _behind(xy: Floats, walls: Walls, wall: Ints, up: Floats) -> NDArray[np.bool_]:
    """Tell which of some pairs of place and wall have the wall before the light."""
    (ax, ay), (ox, oy) = (walls.end - walls.start)[wall].T, (walls.start[wall] - xy).T
    turned = up[0] * ay - up[1] * ax  # 0 where the ray runs along the wall
    with np.errstate(divide="ignore", invalid="ignore"):
        way, part = (ox * ay - oy * ax) / turned, (ox * up[1] - oy * up[0]) / turned
    low = way * up[2] < walls.height[wall]
    return np.asarray((way > 0.0) & (part >= 0.0) & (part <= 1.0) & low)


def _meetings(
    squares: _Squares, low: Floats, high: Floats, ends: Ends
) -> Iterator[tuple[Ints, Ints]]:
    """
    Yield pairs of things and sorted places that may meet, some million at a time.

    Parameters
    ----------
    squares : _Squares
        The places.
    low, high : ndarray, shape (m,)
        From and to where each thing reaches up the plane. [m]
    ends : callable
        Its ends over a band of the plane.
    """
    side, (west, south) = squares.side, squares.corner
    bottom = np.clip(np.floor((low - south) / side), 0, squares.rows).astype(np.int64)
    top = np.clip(np.floor((high - south) / side), -1, squares.rows - 1).astype(np.int64)
    bands = np.maximum(top - bottom + 1, 0)
    thing, row = np.repeat(np.arange(len(low)), bands), _runs(bottom, bands)
    lower = south + row * side
    left, right = ends(thing, lower, lower + side)
    begin = np.clip(np.floor((left - west) / side), 0, squares.columns).astype(np.int64)
    end = np.clip(np.floor((right - west) / side) + 1, 0, squares.columns).astype(np.int64)
    start = squares.first[row * squares.columns + begin]
    held = np.maximum(squares.first[row * squares.columns + end] - start, 0)
    parts = np.flatnonzero(np.diff(np.cumsum(held) // CHUNK, prepend=0, append=0)).tolist()
    for a, b in zip([0, *parts], [*parts, len(held)], strict=True):
        yield np.repeat(thing[a:b], held[a:b]), _runs(start[a:b], held[a:b])


def _runs(start: Ints, count: Ints) -> Ints:
    """Return whole numbers in runs, each from its start on."""
    total = np.cumsum(count)
    return np.asarray(np.arange(total[-1] if len(total) else 0)) + np.repeat(
        start - total + count, count
    )
