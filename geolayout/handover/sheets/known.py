"""
Known points: two on a border between strips, to stand on before the first pass is driven.

They lie within the field, on the first border that runs through at least half as much land as the
longest, so a peg can stand there. Their coordinates are told as a screen shows them, in degrees
and in the UTM zone of the place: a receiver in another datum, or a terminal with another field's
line, is found out before seed is in the ground.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer

from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.parts import Item, Sentence, Table
from geolayout.handover.sheets.say import say
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import chords_inside
from geolayout.layout.guides.rings import Rings

__all__ = ["STOP_AT", "KnownPoint", "known_items", "known_points", "utm_code"]

Floats = NDArray[np.float64]

INSIDE = 2.0
"""From the edge of the land to a point; common practice, no source. [m]"""

LONG_ENOUGH = 0.5
"""Share of the longest border that a border must reach. Our own choice. [-]"""

STOP_AT = 0.10
"""A receiver that is farther off than this has another frame; common practice, no source. [m]"""


@dataclass(frozen=True, slots=True)
class KnownPoint:
    """
    A point that can be stood on.

    Attributes
    ----------
    name : str
        Its name on paper: peg 1, peg 2 ...
    block : str
        Whose border it is on, "" where there is one block.
    border : tuple of int
        Numbers of the strips on both sides; the same where the block has one strip.
    xy : tuple of float
        In the frame. [m]
    lat, lon : float
        On WGS 84. [degrees]
    zone : str
        UTM zone and hemisphere.
    easting, northing : float
        In that zone. [m]
    apart : float
        From the other point on its border, by tape. [m]
    """

    name: str
    block: str
    border: tuple[int, int]
    xy: tuple[float, float]
    lat: float
    lon: float
    zone: str
    easting: float
    northing: float
    apart: float


def known_points(layout: Layout) -> tuple[KnownPoint, ...]:
    """
    Return two points on a border of every block; none of rings, whose borders have no ends.

    Parameters
    ----------
    layout : Layout
        The layout.
    """
    found: list[KnownPoint] = []
    for block in layout.blocks:
        if not block.leads or isinstance(block.guides, Rings) or block.land.is_empty:
            continue
        border, ends = _border(block)
        apart = float(np.hypot(*(ends[1] - ends[0])))
        for xy in ends:
            name = say("peg {number}").format(number=len(found) + 1)
            found.append(_point(layout, (name, block.line_name), border, xy, apart))
    return tuple(found)


def known_items(handed: Handed) -> tuple[Item, ...]:
    """
    Return the known points, and the rule by which to stop.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    """
    points = known_points(handed.layout)
    if not points:
        return (Sentence(say("The lines run round the field and have no ends to stand on.")),)
    words = ("point", "on the border of", "latitude", "longitude", "UTM", "easting m", "northing m")
    head = tuple(map(say, words))
    rows = [
        (
            f"{point.name} {point.block}".strip(),
            _border_words(point),
            f"{point.lat:.8f}",
            f"{point.lon:.8f}",
            point.zone,
            f"{point.easting:.2f}",
            f"{point.northing:.2f}",
        )
        for point in points
    ]
    apart = ", ".join(
        say("{one} to {other}: {apart}").format(
            one=one.name, other=other.name, apart=handed.units.width.said(one.apart)
        )
        for one, other in zip(points[::2], points[1::2], strict=True)
    )
    length = handed.units.width
    return (
        Table(head, tuple(rows)),
        Sentence(say("Coordinates are on WGS 84. Between the points by tape: {apart}.").format(
            apart=apart)),
        Sentence(_correction(handed)),
        Sentence(
            say(
                "Stop rule: stand on each point. If the screen shows a place more than {far} from "
                "the figures above, do not drive: the receiver has another frame or the line is "
                "another plan's."
            ).format(far=length.said(STOP_AT))
        ),
    )  # fmt: skip


def _border_words(point: KnownPoint) -> str:
    """Say between which strips a point lies."""
    near, far = point.border
    if near == far:
        return say("the middle of strip {near}").format(near=near)
    return say("strips {near} and {far}").format(near=near, far=far)


def _correction(handed: Handed) -> str:
    """Say in which frame the farm's correction service is."""
    farm = handed.layout.plan.farm
    if farm is None or farm.correction is None:
        return say(
            "Nobody said in which frame the correction service gives its places; other services "
            "may differ by half a metre and more."
        )
    correction = farm.correction
    epoch = f" {correction.epoch:g}" if correction.epoch is not None else ""
    return say("The farm's correction is in {frame}{epoch}{service}.").format(
        frame=correction.frame,
        epoch=epoch,
        service=f" ({correction.service})" if correction.service else "",
    )


def _border(block: Block) -> tuple[tuple[int, int], Floats]:
    """Return the strips beside the chosen border of a block, and two points on it. [m]"""
    cuts = [cut for cut in block.section.cuts if cut.grows]
    beside = [(a.number, b.number) for a, b in pairwise(cuts)]
    places = np.array([cut.t1 for cut in cuts[:-1]])
    if not beside:
        near, far = block.guides.span(block.land)
        number = cuts[0].number if cuts else 1
        beside, places = [(number, number)], np.array([(near + far) / 2])
    chords = chords_inside(block.guides, block.land, places)
    length = chords.s1 - chords.s0
    chosen = int(np.flatnonzero(length >= LONG_ENOUGH * length.max())[0])
    line = int(chords.line[chosen])
    inset = INSIDE if length[chosen] > 5 * INSIDE else 0.0
    s = np.array([chords.s0[chosen] + inset, chords.s1[chosen] - inset])
    t = np.full(2, places[line])
    return beside[line], block.guides.from_turned(np.stack([t, s], axis=1))


def _point(
    layout: Layout, names: tuple[str, str], border: tuple[int, int], xy: Floats, apart: float
) -> KnownPoint:
    """Return a point with its coordinates."""
    lon, lat = layout.field.frame.lonlat(xy[None])[0].tolist()
    code = utm_code(lon, lat)
    to_utm = Transformer.from_crs("EPSG:4326", f"EPSG:{code}", always_xy=True)
    easting, northing = to_utm.transform(lon, lat)
    zone = f"{code % 100} {'N' if code < 32700 else 'S'}"
    place = (float(xy[0]), float(xy[1]))
    return KnownPoint(*names, border, place, lat, lon, zone, easting, northing, apart)


def utm_code(lon: float, lat: float) -> int:
    """
    Return the EPSG code of the UTM zone of a place, Norway and Svalbard as the map has them.

    Examples
    --------
    >>> utm_code(0.75, 52.3), utm_code(151.0, -33.0), utm_code(5.0, 60.0)
    (32631, 32756, 32632)
    """
    zone = int((lon + 180.0) // 6.0) % 60 + 1
    if 56.0 <= lat < 64.0 and 3.0 <= lon < 12.0:
        zone = 32
    elif 72.0 <= lat <= 84.0 and 0.0 <= lon < 42.0:
        zone = next(z for z, east in ((31, 9.0), (33, 21.0), (35, 33.0), (37, 42.0)) if lon < east)
    return (32600 if lat >= 0.0 else 32700) + zone
