"""
A drawn boundary made sound, and every change to it said.

Nothing here changes a boundary in silence. Each thing that was left out or straightened becomes
a ``Finding`` with the area it gained or lost, and what could be meant in two ways is refused.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError
from geolayout.land.boundary.crossings import crossing, fault, said_place
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.outline import outlined
from geolayout.land.boundary.spikes import without_spikes
from geolayout.land.boundary.tangle import AT_ONCE, check_tangle
from geolayout.land.frames.frame import geodesic_area
from geolayout.land.places import first_corners, inner_points, place, places

__all__ = ["check_lonlat", "made_valid", "sound_polygon"]

SMALLEST_PART = 1.0
"""Parts under this are slips of the pen, and parts may not overlap by more. [m2]"""

UNTANGLING_ROUNDS = 5
"""More than any drawn boundary has needed; the last leaves it valid all the same. [-]"""


def check_lonlat(geometry: BaseGeometry, *, name: str) -> None:
    """
    Refuse coordinates that cannot be longitude and latitude.

    Parameters
    ----------
    geometry : shapely geometry
        Said to be in longitude and latitude. [degrees]
    name : str
        What the message calls it.

    Raises
    ------
    BoundaryError
        If a coordinate is not a number or lies beyond 180 degrees east or 90 degrees north.
    """
    lonlat = shapely.get_coordinates(geometry)
    if not np.isfinite(lonlat).all():
        raise BoundaryError(
            f"{name} has a corner whose coordinates are not numbers.",
            "A corner without a place cannot be joined to the next.",
            "Delete that corner, or export the boundary again.",
        )
    beyond = (np.abs(lonlat) > (180.0, 90.0)).any(axis=1)
    if beyond.any():
        raise _not_on_earth(lonlat[beyond][0], name)


def _not_on_earth(corner: NDArray[np.float64], name: str) -> BoundaryError:
    """Say what the coordinates look like instead of degrees."""
    first, second = corner
    found = f"{name} has a corner at {first:.7g}, {second:.7g}."
    if abs(first) <= 90.0 and abs(second) <= 180.0:
        return BoundaryError(
            found,
            "That looks like latitude before longitude: no latitude is over 90 degrees.",
            "Put longitude first.",
        )
    return BoundaryError(
        found,
        "That looks like metres: degrees stay within 180 east and 90 north.",
        "State the coordinate system it is in, for example EPSG:32631.",
    )


def sound_polygon(
    geometry: BaseGeometry | None, *, name: str
) -> tuple[Polygon | MultiPolygon, tuple[Finding, ...]]:
    """
    Make a drawn boundary a valid polygon, and say what was done to it.

    Heights are left behind. Lines are closed into rings where no polygon is drawn, if their ends
    meet or nearly do. A boundary that is sound already comes back unchanged but for the
    winding of its rings, without a finding.

    Parameters
    ----------
    geometry : shapely geometry or None
        Polygons, or lines that go round the field, in longitude and latitude. [degrees]
    name : str
        What sentences call the boundary.

    Returns
    -------
    polygon : Polygon or MultiPolygon
        Valid, outer rings counter-clockwise, holes clockwise. [degrees]
    findings : tuple of Finding
        One for each kind of thing done, in the order it was done.

    Raises
    ------
    BoundaryError
        If there is no polygon in it and no line that closes, the coordinates are not degrees,
        parts overlap by over 1 m2, or less than 1 m2 is left.

    Notes
    -----
    A ring that crosses itself keeps all the land it goes round, so a loop of the pen leaves no
    hole. Its area is compared with the even-odd reading of the ring, in which land that a ring
    goes round twice counts as outside.
    """
    findings: list[Finding] = []
    parts = _drawn_polygons(geometry, name, findings)
    parts = _without_repeats(parts, findings)
    check_tangle(shapely.get_rings([part for part in parts if not part.is_valid]), name=name)
    for _ in range(UNTANGLING_ROUNDS):
        parts = _untangled(parts, findings)
        _check_overlaps(parts, name)
        if shapely.MultiPolygon(parts).is_valid:
            break
        parts = _joined(parts, findings)
    parts = _without_slivers(parts, name, findings)
    sound = parts[0] if len(parts) == 1 else MultiPolygon(parts)
    return shapely.orient_polygons(sound), tuple(findings)


def _drawn_polygons(
    geometry: BaseGeometry | None, name: str, findings: list[Finding]
) -> list[Polygon]:
    """Take the polygons out of whatever was drawn, flat and not empty; else close its lines."""
    parts = _flat_parts(geometry)
    check_lonlat(shapely.GeometryCollection(parts), name=name)
    polygons = [part for part in parts if isinstance(part, Polygon)]
    lines = [part for part in parts if isinstance(part, LineString)]
    if not polygons and not lines:
        raise _no_polygon(parts, name)
    left_out = [part for part in parts if not isinstance(part, Polygon)]
    if not polygons:
        polygons, closed = outlined(lines, name=name)
        findings.extend(closed)
        left_out = [part for part in parts if not isinstance(part, LineString)]
    if left_out:
        sentence = f"{len(left_out)} points or lines drawn beside the boundary were left out."
        if len(left_out) == 1:
            sentence = "1 point or line drawn beside the boundary was left out."
        findings.append(Finding("left out", sentence, 0.0, first_corners(left_out)))
    return polygons


def _flat_parts(geometry: BaseGeometry | None) -> list[BaseGeometry]:
    """Split a geometry into its simple parts, however deep collections are nested."""
    if geometry is None or geometry.is_empty:
        return []
    if not hasattr(geometry, "geoms"):
        return [shapely.force_2d(geometry)]
    return [flat for part in geometry.geoms for flat in _flat_parts(part)]


def _no_polygon(parts: Sequence[BaseGeometry], name: str) -> BoundaryError:
    if not parts:
        return BoundaryError(
            f"{name} is empty.", "A field needs a boundary.", "Draw it, or choose another shape."
        )
    return BoundaryError(
        f"{name} is drawn as {len(parts)} point{'s' * (len(parts) > 1)}.",
        "A boundary is a closed area, and points alone do not say their order.",
        "Draw or export it as a polygon.",
    )


def _without_repeats(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Drop corners that repeat the one before."""
    thinned = [_thinned(part) for part in parts]
    dropped = int(shapely.get_num_coordinates(parts).sum())
    dropped -= int(shapely.get_num_coordinates(thinned).sum())
    if dropped:
        sentence = "1 corner drawn twice was left out."
        if dropped > 1:
            sentence = f"{dropped} corners drawn twice were left out."
        findings.append(Finding("repeated corner", sentence, 0.0, _repeats(parts)))
    return thinned


def _repeats(parts: list[Polygon]) -> tuple[tuple[float, float], ...]:
    """Find the corners that repeat the one before, in their own ring."""
    corners, ring = shapely.get_coordinates(shapely.get_rings(parts), return_index=True)
    same = (corners[1:] == corners[:-1]).all(axis=1) & (ring[1:] == ring[:-1])
    return places(corners[1:][same])


def _thinned(part: Polygon) -> Polygon:
    """Drop the repeats of one part; a ring that is one point has no other corner to keep."""
    points = shapely.get_num_geometries(shapely.extract_unique_points(shapely.get_rings(part)))
    if points.min() > 1:
        return shapely.remove_repeated_points(part)
    outer, *holes = shapely.get_rings(part)
    holes = [hole for hole, count in zip(holes, points[1:], strict=True) if count > 1]
    return Polygon(outer, holes) if points[0] == 1 else _thinned(Polygon(outer, holes))


def _untangled(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Cut spikes off and split crossings, which may bare the one or the other again."""
    for _ in range(UNTANGLING_ROUNDS):
        parts = _trimmed(parts, findings)
        if all(part.is_valid for part in parts):
            break
        parts = _without_crossings(parts, findings)
    return parts


def _trimmed(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Drop corners at which the line turns back on itself."""
    cuts = [without_spikes(part) for part in parts]
    trimmed = [part for part, _ in cuts]
    tips = [tip for _, part_tips in cuts for tip in part_tips]
    if tips:
        change = _total_area(trimmed) - _total_area(parts)
        findings.append(Finding("spike", _spike_sentence(tips), change, places(tips)))
    return trimmed


def _spike_sentence(tips: list[NDArray[np.float64]]) -> str:
    if len(tips) == 1:
        return f"A spike under 1 mm wide was cut off at {place(*tips[0])}."
    return f"{len(tips)} spikes under 1 mm wide were cut off, the first at {place(*tips[0])}."


def _without_crossings(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Split parts at the places where their own lines cross."""
    sound: list[Polygon] = []
    for part in parts:
        if part.is_valid:
            sound.append(part)
            continue
        mended = _mended(part)
        large, _ = _by_size(mended)
        findings.append(crossing(part, mended, len(large)) if mended else _flat_part(part))
        sound += _land_of(mended, findings)
    return sound


def _land_of(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Drop the small loops at the crossings of one part, unless it is all small loops."""
    land, slivers = _by_size(parts)
    if land and slivers:
        findings.append(_slivers(slivers))
    return land or parts


def _mended(drawn: Polygon) -> list[Polygon]:
    """
    Take what the outer ring goes round, less what the holes go round.

    Ring by ring, for a hole drawn outside the boundary must not turn into land.
    """
    outer, *holes = (MultiPolygon(made_valid(Polygon(r))) for r in shapely.get_rings(drawn))
    if not holes:
        return list(outer.geoms)
    return made_valid(shapely.difference(outer, shapely.union_all(holes)))


def _flat_part(drawn: Polygon) -> Finding:
    corner = shapely.get_coordinates(drawn)[0]
    sentence = f"A part without area at {place(*corner)} was left out."
    return Finding("sliver", sentence, 0.0, places([corner]))


def made_valid(geometry: BaseGeometry) -> list[Polygon]:
    """
    Make polygons valid and keep what has area, without a word: the caller says it.

    Parameters
    ----------
    geometry : shapely geometry
        In any unit.

    Returns
    -------
    parts : list of Polygon
        Valid; land that a ring goes round twice is kept once.
    """
    valid = shapely.make_valid(geometry, method="structure", keep_collapsed=False)
    return [part for part in _flat_parts(valid) if isinstance(part, Polygon)]


def _check_overlaps(parts: list[Polygon], name: str) -> None:
    """Refuse parts that share ground: it may be meant once, twice or not at all."""
    if len(parts) < 2 or MultiPolygon(parts).is_valid:
        return
    tree = shapely.STRtree(parts)
    for start in range(0, len(parts), AT_ONCE):
        some, other = tree.query(parts[start : start + AT_ONCE], predicate="intersects")
        later = some + start < other
        for i, j in zip(some[later] + start, other[later], strict=True):
            _check_shared(shapely.intersection(parts[i], parts[j]), name)


def _check_shared(shared: BaseGeometry, name: str) -> None:
    """Refuse ground that two parts share, unless it is a slip of the pen."""
    area = geodesic_area(shared)
    if area > SMALLEST_PART:
        raise BoundaryError(
            f"Two parts of {name} overlap by {area:.1f} m2 near"
            f" {place(*inner_points([shared])[0])}.",
            "That ground could be in the field once, or be a hole in it.",
            'Say inner = "hole" or "field", or delete the part that is there twice.',
        )


def _joined(parts: list[Polygon], findings: list[Finding]) -> list[Polygon]:
    """Join parts that share an edge, or the least bit of ground."""
    drawn = MultiPolygon(parts)
    _, where = fault(drawn)
    whole = made_valid(drawn)
    change = _total_area(whole) - _total_area(parts)
    sentence = (
        f"Parts that touch along a line, as at {said_place(where)}, were joined:"
        f" {len(parts)} drawn, {len(whole)} left."
    )
    findings.append(Finding("joined parts", sentence, change, where))
    return whole


def _without_slivers(parts: list[Polygon], name: str, findings: list[Finding]) -> list[Polygon]:
    """Drop parts too small to be land; one at least must be left."""
    land, slivers = _by_size(parts)
    if not land:
        raise _no_area(name, _total_area(parts))
    if slivers:
        findings.append(_slivers(slivers))
    return land


def _by_size(parts: list[Polygon]) -> tuple[list[Polygon], list[Polygon]]:
    """Tell parts that are land from those that are slips of the pen."""
    land = [geodesic_area(part) >= SMALLEST_PART for part in parts]
    large = [part for part, is_land in zip(parts, land, strict=True) if is_land]
    return large, [part for part, is_land in zip(parts, land, strict=True) if not is_land]


def _slivers(parts: list[Polygon]) -> Finding:
    lost = _total_area(parts)
    pieces = "1 part" if len(parts) == 1 else f"{len(parts)} parts"
    sentence = f"{pieces} under 1 m2, {lost:.2f} m2 in all, left out."
    return Finding("sliver", sentence, -lost, inner_points(parts))


def _no_area(name: str, area: float = 0.0) -> BoundaryError:
    return BoundaryError(
        f"{name} encloses {area:.2f} m2.",
        "A field of under 1 m2 holds no row.",
        "Check that the boundary is drawn as an area and in the right coordinate system.",
    )


def _total_area(parts: Sequence[BaseGeometry] | NDArray[np.object_]) -> float:
    return float(sum(geodesic_area(part) for part in parts))
