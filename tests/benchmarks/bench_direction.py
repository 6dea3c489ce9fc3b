"""
Every bearing of a field, against one shapely call a row; the plain way on 20 bearings and scaled.

What the plain way counts and measures on its bearings is held against ours on the same ones before
any time is printed.
"""

from collections.abc import Callable, Iterator
from math import ceil

import numpy as np
import shapely
from made_land import blob
from numpy.typing import NDArray
from race import Race, Result, Totals, check_agreement, fastest_in_turn
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.direction.combs import even_comb
from geolayout.appraisal.direction.hours import Driven, hours_of
from geolayout.appraisal.direction.look import look_at
from geolayout.appraisal.direction.pieces import LEAST_PIECE
from geolayout.appraisal.direction.rings import rings_of
from geolayout.appraisal.direction.site import Site, site_of
from geolayout.appraisal.direction.sweep import count_rows
from geolayout.jobs.direction import Implement
from geolayout.layout.headlands.edges import ANGLE_SLACK
from geolayout.plan.parse import parse_plan
from geolayout.plan.slack import ACROSS_SLACK

EVERY = np.arange(1800) * 0.1
SOME = EVERY[7::90]
"""The plain way is timed on these 20 of 1,800. [degrees]"""

LANDS = ((10.0, 60), (100.0, 200))
"""Hectares and corners of the land, a round pond in it."""

ROW = 0.75
WIDTH = 3.0
"""Between rows, and of the machine. [m]"""

AIMS = {"rows": 1000.0, "cost": 200.0}

Floats = NDArray[np.float64]


def results() -> Iterator[Result]:
    """Yield rows and pieces, and the full cost, of each piece of land."""
    for hectares, corners in LANDS:
        land = blob(hectares, corners) - shapely.Point(20.0, 30.0).buffer(15.0)
        name = f"{hectares:g} ha, {corners} corners"
        yield _rows_raced(land, name)
        yield _cost_raced(land, name)


def _rows_raced(land: BaseGeometry, name: str) -> Result:
    rings, comb = rings_of(land), even_comb(ROW)
    race = Race(
        f"bearings, rows, {name}",
        lambda: count_rows(rings, SOME, comb),
        lambda: [_rows(land, float(bearing)) for bearing in SOME],
        lambda counts: {
            "lines": int(counts.lines.sum()),
            "pieces": int(counts.pieces.sum()),
            "length": float(counts.length.sum()),
        },
        _row_totals,
        AIMS["rows"],
    )
    return _raced(race, lambda: count_rows(rings, EVERY, comb))


def _cost_raced(land: BaseGeometry, name: str) -> Result:
    plan = parse_plan(Implement(WIDTH, 6.5, 8.0, 12.0).plan())
    site = site_of(plan, None, (land, land), None)
    race = Race(
        f"bearings, cost, {name}",
        lambda: look_at(site, SOME),
        lambda: [_cost(site, land, float(bearing)) for bearing in SOME],
        lambda look: {
            "pieces": int(look.pieces.sum()),
            "short": int(look.short.sum()),
            "headland": float(look.headland.sum()),
            "hours": float(look.hours.usual.sum()),
        },
        _cost_totals,
        AIMS["cost"],
    )
    return _raced(race, lambda: look_at(site, EVERY))


def _raced(race: Race, ours: Callable[[], object]) -> Result:
    """Check that both agree on some bearings, then time ours on all and the plain way on some."""
    check_agreement(race)
    quick, plain = fastest_in_turn(ours, race.plain)
    plain *= len(EVERY) / len(SOME)
    times = plain / quick
    cells = (f"{quick * 1e3:.2f} ms", f"{plain * 1e3:.0f} ms")
    return Result(race.work, *cells, f"{times:.3g} x", f"{race.aim:.3g} x", times >= race.aim)


def _lines(turned: BaseGeometry, width: float) -> Iterator[BaseGeometry]:
    """Yield the pieces of each pass over turned land, one cut a pass."""
    low, south, high, north = turned.bounds
    count = ceil((high - low - ACROSS_SLACK) / width)
    for k in range(count):
        t = low + (k + 0.5) * width
        t = min(t, high - width / 2.0) if k == count - 1 else t
        yield turned.intersection(shapely.LineString([(t, south - 1.0), (t, north + 1.0)]))


def _rows(land: BaseGeometry, bearing: float) -> tuple[int, int, float]:
    """Return lines, pieces and length of rows at one bearing."""
    turned = affinity.rotate(land, bearing, origin=(0, 0))
    lines = list(_lines(turned, ROW))
    pieces = sum(len(shapely.get_parts(line)) for line in lines)
    return len(lines), pieces, sum(line.length for line in lines)


def _row_totals(found: list[tuple[int, int, float]]) -> Totals:
    lines, pieces, length = zip(*found, strict=True)
    return {"lines": sum(lines), "pieces": sum(pieces), "length": sum(length)}


def _cost(site: Site, land: BaseGeometry, bearing: float) -> tuple[int, int, float, float]:
    """Return pieces, short ones, headland and hours at one bearing, piece by piece."""
    turned = affinity.rotate(land, bearing, origin=(0, 0))
    forward = np.array([np.sin(np.radians(bearing)), np.cos(np.radians(bearing))])
    xy = site.rings.xy @ np.array([[forward[1], forward[0]], [-forward[0], forward[1]]])
    ends = np.stack([xy[site.rings.first], xy[site.rings.last]], axis=1)
    tree = shapely.STRtree(shapely.linestrings(ends))
    pieces = short = 0
    length = slant = 0.0
    for line in _lines(turned, WIDTH):
        for part in shapely.get_parts(line):
            asked = [_end(site, int(tree.nearest(end)), forward) for end in part.boundary.geoms]
            left = part.length - sum(take for take, _, _ in asked)
            if left > LEAST_PIECE:
                pieces += 1
                short += left < site.ends.short
                length += left + sum(reach for _, reach, _ in asked)
                slant += sum(aside for _, _, aside in asked) / 2.0
    headland = _headland(site, forward)
    (task,) = site.tasks
    turns = pieces - 1.0
    driven = Driven(length, turns, turns * task.turn_length + slant, headland)
    return pieces, short, headland, hours_of(task, driven).usual


def _end(site: Site, edge: int, forward: Floats) -> tuple[float, float, float]:
    """Return what an edge takes of a piece, adds to it, and how far aside the next one ends."""
    way = site.rings.way[edge]
    along, across = abs(way @ forward), abs(way[0] * forward[1] - way[1] * forward[0])
    steep = np.degrees(np.arctan2(across, along)) >= site.ends.steep - ANGLE_SLACK
    width = site.ends.headland if steep and site.rings.headed[edge] else 0.0
    take = width * np.hypot(*way) / across
    return take, min(WIDTH / 2.0 * along / across, along), min(WIDTH * along / across, along)


def _headland(site: Site, forward: Floats) -> float:
    """Return the headland at the ends, edge by edge."""
    total = 0.0
    for edge, length in enumerate(site.rings.lengths):
        along = abs(site.rings.way[edge] @ forward)
        across = np.sqrt(max(np.hypot(*site.rings.way[edge]) ** 2 - along**2, 0.0))
        steep = np.degrees(np.arctan2(across, along)) >= site.ends.steep - ANGLE_SLACK
        total += length * site.ends.headland if steep and site.rings.headed[edge] else 0.0
    return total


def _cost_totals(found: list[tuple[int, int, float, float]]) -> Totals:
    pieces, short, headland, hours = zip(*found, strict=True)
    return {
        "pieces": sum(pieces),
        "short": int(sum(short)),
        "headland": sum(headland),
        "hours": sum(hours),
    }
