"""Walks over the field: what to count on each, in which strips, how far from which end."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely import LineString

from geolayout.appraisal.calendar.days import Span, Times
from geolayout.appraisal.calendar.season import LaidStand, laid_stands, times_of
from geolayout.appraisal.calendar.undersown import is_crop
from geolayout.appraisal.growing import band_label
from geolayout.appraisal.places import COMPASS
from geolayout.appraisal.quantities.rows import SowingFigures, sowings
from geolayout.layout.build import Layout
from geolayout.plan.stand import Sowing

__all__ = ["Spot", "Walk", "field_walks"]

STRIPS: Final = 3
"""Strips that are looked at in each stand: near side, middle, far side. Our own choice."""

SHARES: Final = (0.25, 0.5, 0.75)
"""How far along each of these strips, in turn. Our own choice. [-]"""

SHORTEST: Final = 30.0
"""Strips shorter than this are not walked; their spots would stand on the ends. Our own. [m]"""

COME_UP: Final = (14, 28)
"""Days after sowing on which plants are counted (common practice, no source). [days]"""

BEFORE_HARVEST: Final = 14
"""Days before harvest on which a crop is looked at (common practice, no source). [days]"""

BEFORE_STAGE: Final = 7
"""Days before a stage that something waits for (common practice, no source). [days]"""

FEW: Final = 0.1
"""Up to this in-row spacing one metre of row is counted, from there on five. Our own. [m]"""


@dataclass(frozen=True, slots=True)
class Spot:
    """
    A place to count at.

    Attributes
    ----------
    band : str
        The band.
    number : int
        Its number from the near side.
    metres : float
        From that end of the strip, along its middle. [m]
    end : str
        The end, by the compass.
    lon, lat : float
        The place on WGS 84. [degrees]
    """

    band: str
    number: int
    metres: float
    end: str
    lon: float
    lat: float


@dataclass(frozen=True, slots=True)
class Walk:
    """
    One walk.

    Attributes
    ----------
    stand : str
        The stand that is looked at.
    what : str
        What to count or look at.
    expected : str
        What is expected, with its sum; "" where nothing is.
    first, last : date or None
        When; None where it is not known.
    basis : str
        Where these days come from.
    spots : tuple of Spot
        Where.
    """

    stand: str
    what: str
    expected: str
    first: dt.date | None
    last: dt.date | None
    basis: str
    spots: tuple[Spot, ...]


def field_walks(layout: Layout) -> tuple[Walk, ...]:
    """
    Plan the walks of a season.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    walks : tuple of Walk
        By their first day, those without days last; none where the plan has no season.
    """
    times = times_of(layout)
    if times is None:
        return ()
    figures = sowings(layout)
    walks = []
    for laid in laid_stands(layout):
        spots = _spots(layout, laid.stand.name)
        if spots:
            walks += list(_walks(times, laid, figures, spots))
    return tuple(sorted(walks, key=lambda walk: (walk.first or dt.date.max, walk.stand)))


def _walks(
    times: Times,
    laid: LaidStand,
    figures: tuple[SowingFigures, ...],
    spots: tuple[Spot, ...],
) -> Iterator[Walk]:
    """Return the walks of a stand: plants that came up, stages waited for, before harvest."""
    name = laid.stand.name
    for sowing in laid.stand.sowing:
        if sowing.place != "standing":
            what, expected = _plants(laid, sowing, figures)
            yield Walk(name, what, expected, *_come_up(times, laid, sowing), spots)
        if sowing.when is not None and sowing.when.stage is not None:
            other, stage = sowing.when.crop, sowing.when.stage
            what = f"the stage of {other} on ten plants, before {sowing.label} is sown"
            days = _before(times.sown(sowing, laid.stand).spans, BEFORE_STAGE)
            yield Walk(name, what, f"{stage}, on most of them", *days, spots)
        harvest = times.harvest(sowing).spans if sowing.harvested else ()
        if harvest:
            what = f"ripeness, weeds and lodging of {sowing.label}; the outer rows apart"
            yield Walk(name, what, "", *_before(harvest, BEFORE_HARVEST), spots)


Days = tuple[dt.date | None, dt.date | None, str]


def _plants(laid: LaidStand, sowing: Sowing, figures: tuple[SowingFigures, ...]) -> tuple[str, str]:
    """Return what plants to count, and how many there would be if all came up."""
    mine = [one for one in figures if (one.stand, one.sowing) == (laid.stand.name, sowing.label)]
    spacing = next((one.in_row_spacing_m for one in mine if one.in_row_spacing_m), None)
    counted = next((one.counted for one in mine if one.in_row_spacing_m), "")
    if spacing is None:
        return f"plants of {sowing.label} in a frame of 0.5 by 0.5 m, times four", ""
    length = 1.0 if spacing <= FEW else 5.0
    what = f"plants of {sowing.label} on {length:g} m of one row"
    return what, f"{length / spacing:.0f} {counted} ({length:g} m / {spacing:.3f} m)"


def _come_up(times: Times, laid: LaidStand, sowing: Sowing) -> Days:
    """Return when plants are counted: maize by its warmth and some days, others after sowing."""
    spans = times.sown(sowing, laid.stand).spans
    if is_crop(times.plan, sowing.crop, "maize"):
        up = times.at_stage(sowing, "V2").spans
        if up:
            return min(s.first for s in up), max(s.last for s in up), "two leaves, by warmth"
    if not spans:
        return None, None, ""
    early, late = (dt.timedelta(days=days) for days in COME_UP)
    basis = f"{COME_UP[0]} to {COME_UP[1]} days after sowing, common practice"
    return min(s.first for s in spans) + early, max(s.last for s in spans) + late, basis


def _before(spans: tuple[Span, ...], days: int) -> Days:
    """Return the days before the first of some spans."""
    if not spans:
        return None, None, ""
    first = min(span.first for span in spans)
    return first - dt.timedelta(days=days), first, f"the {days} days before, common practice"


def _spots(layout: Layout, stand: str) -> tuple[Spot, ...]:
    """Return the spots of a stand: in strips at the near side, in the middle and far off."""
    strips = [
        (b, c, line)
        for b, block in enumerate(layout.blocks)
        for c, grown in enumerate(block.stands)
        if grown is not None and grown.name == stand and (line := _middle(layout, b, c)) is not None
    ]
    chosen = sorted({round(x) for x in np.linspace(0, len(strips) - 1, STRIPS)}) if strips else []
    return tuple(
        _spot(layout, strips[index], SHARES[k % len(SHARES)]) for k, index in enumerate(chosen)
    )


def _middle(layout: Layout, block: int, cut: int) -> LineString | None:
    """Return the line along the middle of a strip's largest piece; None where it is short."""
    ground = layout.ground
    mine = np.flatnonzero((ground.block == block) & (ground.cut == cut) & (ground.kind == "band"))
    if not mine.size:
        return None
    largest = ground.geometry[mine[int(np.argmax(ground.area[mine]))]]
    section = layout.blocks[block].section.cuts[cut]
    t = np.array([(section.t0 + section.t1) / 2.0])
    line = layout.blocks[block].guides.lines(t, largest)[0]
    parts = [
        part
        for part in shapely.get_parts(shapely.intersection(line, largest))
        if isinstance(part, LineString)
    ]
    longest = max(parts, key=lambda part: part.length, default=None)
    return longest if longest is not None and longest.length >= SHORTEST else None


def _spot(layout: Layout, strip: tuple[int, int, LineString], share: float) -> Spot:
    """Return the spot at a share of a strip's length, to the metre, from its nearer end."""
    block, cut, line = strip
    if share > 0.5:
        line, share = line.reverse(), 1.0 - share
    metres = float(round(line.length * share))
    place = line.interpolate(metres)
    start, middle = line.interpolate(0.0), line.interpolate(0.5, normalized=True)
    bearing = np.degrees(np.arctan2(start.x - middle.x, start.y - middle.y))
    end = COMPASS[round(float(bearing) / 45.0) % len(COMPASS)]
    lon, lat = layout.field.frame.lonlat(np.array([[place.x, place.y]]))[0].tolist()
    section = layout.blocks[block].section.cuts[cut]
    name = band_label(layout, block, section.band)
    return Spot(name, section.number, metres, end, round(lon, 7), round(lat, 7))
