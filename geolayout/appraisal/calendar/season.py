"""The calendar of one season: what is done and what stands where, from day to day."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geolayout.appraisal.calendar.days import Days, Times
from geolayout.appraisal.growing import band_label
from geolayout.appraisal.places import listed
from geolayout.appraisal.roles import Role, role_of
from geolayout.layout.build import Layout
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.stand import Sowing, Stand

__all__ = [
    "CalendarLine",
    "LaidStand",
    "SeasonCalendar",
    "laid_stands",
    "season_calendar",
    "times_of",
]

DORMANT: Final = "dormant season, bare-rooted trees; common practice, no source"

HEDGE_LAW: Final = "National Farmers' Union, hedgerow legislation update, 2024: no cutting"

TROPIC: Final = 23.4
"""Latitude of the tropics. [degrees]"""

NO_SEASON: Final = "[[season]] year, the year of the harvest"


@dataclass(frozen=True, slots=True)
class CalendarLine:
    """
    One thing in the season.

    Attributes
    ----------
    kind : str
        "sow", "together", "harvest", "work", "plant trees" or "no hedge cutting".
    what : str
        What is done, in words.
    where : tuple of str
        Bands, or the kind of ground.
    first, last : date or None
        From day to day; None where it is not known.
    basis : str
        Where these days come from.
    missing : str
        What would have to be known.
    """

    kind: str
    what: str
    where: tuple[str, ...]
    first: dt.date | None
    last: dt.date | None
    basis: str
    missing: str


@dataclass(frozen=True, slots=True)
class SeasonCalendar:
    """
    The calendar of a season.

    Attributes
    ----------
    year : int or None
        Year of the harvest; None where the plan has no season.
    lines : tuple of CalendarLine
        By their first day; those without days last.
    missing : tuple of str
        What would have to be known, each once.
    """

    year: int | None
    lines: tuple[CalendarLine, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LaidStand:
    """
    A stand that grows somewhere in a season.

    Attributes
    ----------
    stand : Stand
        The stand.
    where : tuple of str
        Its bands, or the kind of ground.
    """

    stand: Stand
    where: tuple[str, ...]


def times_of(layout: Layout) -> Times | None:
    """Return the days of a layout's season; None where the plan has no season."""
    if layout.season is None:
        return None
    field = layout.field
    return Times(
        layout.plan,
        layout.season.year,
        half_of(field.frame.lat),
        field.weather,
        field.usual_weather,
    )


def half_of(latitude: float) -> str:
    """
    Return the half of the earth whose seasons a place has; "" between the tropics.

    Examples
    --------
    >>> [half_of(latitude) for latitude in (52.0, -35.0, 0.5)]
    ['north', 'south', '']
    """
    if abs(latitude) < TROPIC:
        return ""
    return "north" if latitude > 0 else "south"


def laid_stands(layout: Layout) -> tuple[LaidStand, ...]:
    """Return every stand that grows in a layout, bands first, and where."""
    where: dict[str, list[str]] = {}
    for b, block in enumerate(layout.blocks):
        for cut, stand in zip(block.section.cuts, block.stands, strict=True):
            if stand is not None and not block.crossed_by:
                where.setdefault(stand.name, []).append(band_label(layout, b, cut.band))
    ground = layout.ground
    for name, kind in zip(ground.stand.tolist(), ground.kind.tolist(), strict=True):
        if name and kind in ("headland", "margin", "keep-clear"):
            where.setdefault(name, []).append(kind)
    return tuple(
        LaidStand(stand, tuple(dict.fromkeys(places)))
        for name, places in where.items()
        if (stand := layout.plan.stand(name)) is not None
    )


def season_calendar(layout: Layout) -> SeasonCalendar:
    """
    Put a season's work in order.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    calendar : SeasonCalendar
        Where published scales differ a thing has a line for each.
    """
    times = times_of(layout)
    if times is None:
        return SeasonCalendar(None, (), (NO_SEASON,))
    lines = [
        *(line for laid in laid_stands(layout) for line in _stand_lines(times, laid)),
        *_operation_lines(layout, times),
        *_tree_lines(layout, times),
        *_hedge_lines(layout, times),
    ]
    never = dt.date.max
    lines.sort(key=lambda line: (line.first or never, line.last or never))
    missing = dict.fromkeys(line.missing for line in lines if line.missing)
    return SeasonCalendar(times.year, tuple(dict.fromkeys(lines)), tuple(missing))


def _stand_lines(times: Times, laid: LaidStand) -> Iterator[CalendarLine]:
    """Return sowing and harvest of every sowing of a stand."""
    plan, stand = times.plan, laid.stand
    reapers = _reapers(plan, stand)
    for sowing in stand.sowing:
        if sowing.place != "standing":
            by = f" ({sowing.operation})" if sowing.operation else ""
            days = times.sown(sowing, stand)
            yield from _lines("sow", f"Sow {sowing.label}{by}", laid.where, days)
        if sowing.harvested and _ends_with_harvest(plan, sowing):
            by = f" ({listed(reapers)})" if reapers else ""
            what = f"Harvest {sowing.label}{by}"
            yield from _lines("harvest", what, laid.where, times.harvest(sowing))
    yield from _together(times, laid)


def _together(times: Times, laid: LaidStand) -> Iterator[CalendarLine]:
    """Return how long what is sown into something else stands together with it."""
    for sowing in laid.stand.sowing:
        when = sowing.when
        other = laid.stand.find(when.crop) if when is not None and when.crop is not None else None
        if other is None:
            continue
        ends = times.harvest(other).spans
        for span in times.sown(sowing, laid.stand).spans:
            if not ends or ends[0].last < span.first:
                continue
            days = (ends[0].first - span.last).days, (ends[0].last - span.first).days
            long = (
                f"{max(0, days[0])} to {days[1]} days" if days[0] != days[1] else f"{days[1]} days"
            )
            what = f"{sowing.label} and {other.label} stand together, {long}"
            basis = f"sowing ({span.basis}) to harvest ({ends[0].basis})"
            yield CalendarLine("together", what, laid.where, span.first, ends[0].last, basis, "")


def _ends_with_harvest(plan: Plan, sowing: Sowing) -> bool:
    """Whether a crop is harvested: not where the crop sheet knows that it never is."""
    crop = plan.sheet.find(sowing.crop)
    fact = crop.harvested if crop is not None else None
    return "harvested" in sowing.model_fields_set or fact is None or fact.value is not False


def _reapers(plan: Plan, stand: Stand) -> list[str]:
    """Return the operations that harvest a stand."""
    return [
        operation.name
        for operation in plan.operations
        if role_of(plan, operation) is Role.HARVESTS
        and (not operation.stands or stand.name in operation.stands)
    ]


def _lines(kind: str, what: str, where: tuple[str, ...], days: Days) -> Iterator[CalendarLine]:
    """Return a line for each span of days, or the one that says what is missing."""
    for span in days.spans:
        yield CalendarLine(kind, what, where, span.first, span.last, span.basis, "")
    if not days.spans:
        yield CalendarLine(kind, what, where, None, None, "", days.missing)


def _operation_lines(layout: Layout, times: Times) -> Iterator[CalendarLine]:
    """Return the operations that have a time of their own, where they work."""
    for operation in layout.plan.operations:
        if operation.when is None:
            continue
        where = tuple(
            dict.fromkeys(
                band_label(layout, b, block.section.cuts[i].band)
                for b, block in enumerate(layout.blocks)
                if not block.crossed_by
                for i in worked_cuts(layout.plan, operation, block.section, block.stands)
            )
        )
        if where:
            days = times.of_operation(operation)
            yield from _lines("work", operation.name[:1].upper() + operation.name[1:], where, days)


def _tree_lines(layout: Layout, times: Times) -> Iterator[CalendarLine]:
    """Return the planting of trees, in the first season of the plan."""
    first = min(season.year for season in layout.plan.seasons)
    if not len(layout.trees.xy) or times.year != first:
        return
    bands = tuple(
        dict.fromkeys(
            band_label(layout, b, cut.band)
            for b, block in enumerate(layout.blocks)
            for cut in block.section.cuts
            if cut.index >= 0 and block.pattern.bands[cut.index].trees is not None
        )
    )
    year = times.year
    what = "Plant the trees"
    if not times.half:
        missing = "when trees are planted there: with the rains, as a rule"
        yield CalendarLine("plant trees", what, bands, None, None, "", missing)
        return
    days = (
        (dt.date(year, 5, 1), dt.date(year, 8, 31))
        if times.half == "south"
        else (dt.date(year - 1, 11, 1), dt.date(year, 3, 31))
    )
    yield CalendarLine("plant trees", what, bands, *days, DORMANT, "")


def _hedge_lines(layout: Layout, times: Times) -> Iterator[CalendarLine]:
    """Return when hedges are left alone, where there are some."""
    if not any(feature.kind == "hedge" for feature in layout.field.features):
        return
    what, where = "Leave the hedges uncut", ("hedges",)
    if layout.plan.field.country == "England":
        first, last = dt.date(times.year, 3, 1), dt.date(times.year, 8, 31)
        basis = f"{HEDGE_LAW} from 1 March to 31 August; check today's rule"
        yield CalendarLine("no hedge cutting", what, where, first, last, basis, "")
    else:
        missing = "the days on which the local rule forbids to cut hedges"
        yield CalendarLine("no hedge cutting", what, where, None, None, "", missing)
