"""Sprays of one season that still work in the soil when the crop of another is sown there."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

from geolayout.appraisal.calendar.days import Times
from geolayout.appraisal.calendar.heat import dated
from geolayout.appraisal.calendar.season import times_of
from geolayout.appraisal.calendar.undersown import is_crop
from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.growing import band_label
from geolayout.appraisal.places import listed
from geolayout.layout.blocks.block import Block
from geolayout.layout.blocks.years import season_cuts, seasons_in_order
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.section.section import Section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing, Stand

__all__ = ["carried_spray_cautions"]

LABEL = "The product's label: days until the crop can be sown."

USUAL = "usual months"
"""How the basis of days begins that nobody said: they are asked for, and not counted from."""

REMEDY = "Sow later, or let another crop follow, or another product be used; its label decides."


@dataclass(frozen=True, slots=True)
class _Follows:
    """A sowing of one season on ground that an operation went over in an earlier one."""

    operation: Operation
    sprayed: Season
    sowing: Sowing
    stand: Stand
    sown: Season
    bands: tuple[str, ...]


def carried_spray_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of crops that are sown before the waiting time of an earlier season's spray is over.

    It is told in the season of the spray and in that of the crop.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field; the others are those of the plan.

    Returns
    -------
    cautions : list of Caution
        Warnings with both days, and a note where a day is not known.
    """
    times = times_of(layout)
    if times is None:
        return []
    found: list[Caution] = []
    unknown: dict[str, _Follows] = {}
    for one in _followers(layout, times.year):
        wait = _wait(times, one)
        if wait is not None and wait.sown >= wait.free:
            continue
        if wait is not None and not wait.usual:
            found.append(_too_early(one, wait))
        elif _reaches(one):
            unknown.setdefault(f"{one.operation.name} {one.sowing.label}", one)
    return [*dict.fromkeys(found), *(_asked(one) for one in unknown.values())]


def _followers(layout: Layout, year: int) -> Iterator[_Follows]:
    """Return sowings that follow a spray which harms them, where one of both is of this year."""
    plan = layout.plan
    sprays = [one for one in plan.operations if one.harms and one.plant_back]
    seasons = seasons_in_order(plan)
    for i, before in enumerate(seasons if sprays else ()):
        for after in seasons[i + 1 :]:
            if year not in (before.year, after.year):
                continue
            for operation in sprays:
                yield from _harmed(layout, operation, before, after)


def _harmed(
    layout: Layout, operation: Operation, before: Season, after: Season
) -> Iterator[_Follows]:
    """Return the sowings of a later season that an operation of an earlier one harms."""
    bands: dict[tuple[str, str], list[str]] = {}
    for b, block in enumerate(layout.blocks):
        if block.crossed_by:
            continue
        for stand, band in _grown_after(layout.plan, block, operation, (before, after)):
            for sowing in stand.sowing:
                if _harms(layout.plan, operation, sowing):
                    label = band_label(layout, b, band)
                    bands.setdefault((stand.name, sowing.label), []).append(label)
    for (name, label), places in bands.items():
        grown = layout.plan.stand(name)
        later = grown.find(label) if grown is not None else None
        if grown is not None and later is not None:
            where = tuple(dict.fromkeys(places))
            yield _Follows(operation, before, later, grown, after, where)


def _grown_after(
    plan: Plan, block: Block, operation: Operation, seasons: tuple[Season, Season]
) -> Iterator[tuple[Stand, str]]:
    """Return stands and bands of a later season on ground that was worked in an earlier one."""
    then, now = (season_cuts(plan, block, season) for season in seasons)
    section = Section(tuple(cut for cut, _ in then), 0, ())
    worked = worked_cuts(plan, operation, section, [stand for _, stand in then])
    spans = [(then[i][0].t0, then[i][0].t1) for i in worked]
    for cut, stand in now:
        shared = (min(cut.t1, t1) - max(cut.t0, t0) for t0, t1 in spans)
        if stand is not None and any(width > ACROSS_SLACK for width in shared):
            yield stand, cut.band


def _harms(plan: Plan, operation: Operation, sowing: Sowing) -> bool:
    """Whether an operation harms what a sowing brings up."""
    return sowing.place != "standing" and any(
        is_crop(plan, sowing.crop, crop) for crop in operation.harms
    )


@dataclass(frozen=True, slots=True)
class _Wait:
    """When an operation is over, when it harms no more, and when a crop is sown after it."""

    sprayed: dt.date
    free: dt.date
    sown: dt.date
    usual: bool


def _wait(times: Times, one: _Follows) -> _Wait | None:
    """Return the days between an operation and a sowing; None where one has none."""
    then = replace(times, year=one.sprayed.year)
    now = replace(times, year=one.sown.year)
    sprayed = then.of_operation(one.operation).spans
    sown = min(now.sown(one.sowing, one.stand).spans, key=lambda span: span.first, default=None)
    if not sprayed or sown is None:
        return None
    last = max(span.last for span in sprayed)
    free = last + dt.timedelta(days=one.operation.plant_back or 0)
    return _Wait(last, free, sown.first, sown.basis.startswith(USUAL))


def _too_early(one: _Follows, wait: _Wait) -> Caution:
    """Return the warning of a crop sown while an earlier spray still works."""
    name = one.operation.name
    early = (wait.free - wait.sown).days
    return Caution(
        key="spray-harms-next-crop",
        severity=WARNING,
        sentence=f"{name[:1].upper()}{name[1:]} of {dated(wait.sprayed)} harms {one.sowing.label} "
        f"for {one.operation.plant_back} days, until {dated(wait.free)}, and it is sown on the "
        f"same ground ({listed(one.bands)}) from {dated(wait.sown)} on: {early} days too early.",
        remedy=REMEDY,
        source=LABEL,
        code="W21",
        value=float(early),
        threshold=0.0,
        unit="days",
        count=len(one.bands),
    )


def _reaches(one: _Follows) -> bool:
    """Whether a waiting time may reach into the later season."""
    return one.sown.year - one.sprayed.year <= 1 + (one.operation.plant_back or 0) // 365


def _asked(one: _Follows) -> Caution:
    """Return the note that a waiting time cannot be told, for want of a day."""
    return Caution(
        key="spray-harms-next-crop",
        severity=NOTE,
        sentence=f"{one.sowing.label} of {one.sown.year} follows {one.operation.name} of "
        f"{one.sprayed.year} ({listed(one.bands)}), which harms it for "
        f"{one.operation.plant_back} days; the day of one of the two is not known.",
        remedy="Give the day of the operation and that of the sowing (`when`), and read the label.",
        source=LABEL,
        code="W21",
        count=len(one.bands),
    )
