"""GPX: tracks or routes as lines, and waypoints, read here and not by GDAL."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from xml.etree.ElementTree import Element  # filled by a guarded parser only

import shapely

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.wording import listed, shown
from geolayout.land.files.xml import local_name, parse_xml

__all__ = ["TrackPoint", "read_gpx", "timed_points"]

_LAYERS = {"tracks": "trk", "routes": "rte", "waypoints": "wpt"}


def read_gpx(source: Source, layer: str | None = None) -> Sheet:
    """
    Read the tracks of a GPX file, or its routes if it has no track, and its waypoints.

    Parameters
    ----------
    source : Source
        The file.
    layer : str, optional
        Only one of ``tracks``, ``routes``, ``waypoints``.

    Returns
    -------
    sheet : Sheet
        One row for each track or route, a line, or several lines where a track has several
        pieces, and one for each waypoint, a point; column ``kind`` tells which. Heights and times
        are left behind.

    Raises
    ------
    FileError
        If it is no GPX, or holds none of these.
    """
    root = parse_xml(source.file.name, source.content(), roots=("gpx",))
    found = {name: _children(root, tag) for name, tag in _LAYERS.items()}
    wanted = _wanted(source, layer, found)
    rows = [
        Row(_shape(element, name, source), {"name": _name(element), "kind": name[:-1]})
        for name in wanted
        for element in found[name]
    ]
    if not rows:
        raise FileError(
            f"{source.name} holds no track, route or waypoint.",
            "There is nothing in it to read.",
            "Record a track along the edge of the field, and save it.",
        )
    return Sheet(source, tuple(rows), WGS84, _beside(source, layer, found))


@dataclass(frozen=True, slots=True)
class TrackPoint:
    """
    A point of a track with its time.

    Attributes
    ----------
    run : int
        Number of its piece of a track, in the order in which they were driven.
    lon, lat : float
        Where. [degrees]
    time : datetime
        When, in UTC where the file does not say otherwise.
    """

    run: int
    lon: float
    lat: float
    time: datetime


def timed_points(source: Source) -> tuple[TrackPoint, ...]:
    """
    Read the points of all tracks with their times, in the order of the times.

    Parameters
    ----------
    source : Source
        A GPX file.

    Returns
    -------
    points : tuple of TrackPoint
        None where a point has no time that can be read, or two pieces of tracks were recorded at
        the same time: then nothing puts the pieces in order.

    Raises
    ------
    FileError
        If it is no GPX, or a point has no place.
    """
    root = parse_xml(source.file.name, source.content(), roots=("gpx",))
    pieces = [piece for track in _children(root, "trk") for piece in _children(track, "trkseg")]
    timed = [[(_time(p), p) for p in _children(piece, "trkpt")] for piece in pieces]
    timed = [piece for piece in timed if piece]
    if any(when is None for piece in timed for when, _ in piece):
        return ()
    known = [[(when, p) for when, p in piece if when is not None] for piece in timed]
    known = sorted((sorted(one, key=_first) for one in known), key=lambda one: one[0][0])
    if any(before[-1][0] > after[0][0] for before, after in pairwise(known)):
        return ()
    return tuple(
        TrackPoint(run, *_lonlat(point, source), when)
        for run, piece in enumerate(known)
        for when, point in piece
    )


def _first(timed: tuple[datetime, Element]) -> datetime:
    return timed[0]


def _time(point: Element) -> datetime | None:
    """Return the time of a point in UTC; None where there is none to be read."""
    for child in _children(point, "time"):
        try:
            when = datetime.fromisoformat((child.text or "").strip())
        except ValueError:
            return None
        return when.astimezone(UTC) if when.tzinfo is not None else when.replace(tzinfo=UTC)
    return None


def _children(element: Element, *tags: str) -> list[Element]:
    return [child for child in element if local_name(child.tag) in tags]


def _wanted(source: Source, layer: str | None, found: dict[str, list[Element]]) -> tuple[str, ...]:
    """Settle which kinds are read: tracks go before routes."""
    if layer in _LAYERS:
        return (layer,)
    if layer is not None and not source.answers_to(layer):
        raise FileError(
            f"{source.name} has no layer '{shown(layer)}'.",
            f"The layers of a GPX file are {listed(_LAYERS)}.",
            "Name one of them, or none.",
        )
    return ("tracks" if found["tracks"] else "routes", "waypoints")


def _beside(
    source: Source, layer: str | None, found: dict[str, list[Element]]
) -> tuple[Finding, ...]:
    """Say what else the file holds."""
    said = []
    if layer not in _LAYERS and found["tracks"] and found["routes"]:
        sentence = f"{source.name} holds {len(found['routes'])} routes beside its tracks, not read."
        said.append(Finding("passed over", sentence))
    lines = found["tracks"] or found["routes"]
    if layer not in _LAYERS and lines and found["waypoints"]:
        sentence = f"{source.name} holds {len(found['waypoints'])} waypoints, no part of a line."
        said.append(Finding("passed over", sentence))
    return tuple(said)


def _name(element: Element) -> str | None:
    texts = [(child.text or "").strip() for child in _children(element, "name")]
    return next((text for text in texts if text), None)


def _shape(
    element: Element, layer: str, source: Source
) -> shapely.Point | shapely.LineString | shapely.MultiLineString | None:
    """Build the line of a track or route, or the point of a waypoint."""
    if layer == "waypoints":
        return shapely.Point(_lonlat(element, source))
    pieces = _children(element, "trkseg") if layer == "tracks" else [element]
    drawn = [list(_corners(piece, source)) for piece in pieces]
    lines = [shapely.LineString(corners) for corners in drawn if len(corners) > 1]
    if not lines:
        return None
    return lines[0] if len(lines) == 1 else shapely.MultiLineString(lines)


def _corners(piece: Element, source: Source) -> Iterator[tuple[float, float]]:
    return (_lonlat(point, source) for point in _children(piece, "trkpt", "rtept"))


def _lonlat(point: Element, source: Source) -> tuple[float, float]:
    try:
        lon, lat = float(point.attrib["lon"]), float(point.attrib["lat"])
    except (KeyError, ValueError):
        lon = lat = math.nan
    if math.isfinite(lon) and math.isfinite(lat):
        return lon, lat
    raise FileError(
        f"{source.name} has a point with lat={_given(point, 'lat')}, lon={_given(point, 'lon')}.",
        "A point of a GPX file has both, as numbers in degrees.",
        "Delete the point, or save the track again.",
    )


def _given(point: Element, key: str) -> str:
    return f"'{shown(point.get(key), 20)}'" if key in point.attrib else "none"
