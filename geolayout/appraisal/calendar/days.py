"""
The days of one season on which crops are sown, reach their stages and are harvested.

A season is called after the year of its harvest, north and south. A day written without a year is
put where that makes sense: harvest into the year itself, sowing before it, other stages between.
"""

import datetime as dt
from dataclasses import dataclass
from typing import Final

from geolayout.appraisal.calendar.heat import in_year
from geolayout.appraisal.calendar.scales import published_stages
from geolayout.appraisal.calendar.warmdays import not_enough, warm_enough
from geolayout.land.weather.daily import DailyWeather
from geolayout.plan.crops.stages import HARVEST, SOWN, Stage
from geolayout.plan.machines import Operation
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing, Stand

__all__ = ["Days", "Span", "Times"]

NEXT_HARVEST: Final = 8
"""From this month on a crop is sown for the next year's harvest, where no day of harvest tells.
Common practice both north and south of the equator, no source. [month]"""

BEFORE_WINTER: Final = {"north": (8, 9, 10, 11, 12), "south": (2, 3, 4, 5, 6)}
"""Months of sowing before winter by the half of the earth: common practice, no source."""

WRITTEN: Final = "as the plan has it"


@dataclass(frozen=True, slots=True)
class Span:
    """
    From day to day.

    Attributes
    ----------
    first, last : date
        Both count.
    basis : str
        Where they come from.
    """

    first: dt.date
    last: dt.date
    basis: str


@dataclass(frozen=True, slots=True)
class Days:
    """
    What is known of the time of one thing.

    Attributes
    ----------
    spans : tuple of Span
        One for each source; more than one where sources differ.
    missing : str
        What would have to be known, where there is none.
    """

    spans: tuple[Span, ...] = ()
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Times:
    """
    The days of one season.

    Attributes
    ----------
    plan : Plan
        The plan.
    year : int
        Year of the harvest.
    half : {"north", "south", ""}
        Half of the earth that the field lies on; "" between the tropics, where rain and not the
        sun makes the seasons and no usual months are known here.
    weather : DailyWeather or None
        The record of daily temperatures.
    usual : DailyWeather or None
        Usual temperatures of calendar days, for what the record does not hold yet.
    """

    plan: Plan
    year: int
    half: str
    weather: DailyWeather | None
    usual: DailyWeather | None = None

    def harvest(self, sowing: Sowing) -> Days:
        """Return the days on which a sowing is harvested."""
        entry = self._entry(sowing, HARVEST)
        if entry is None:
            return Days(missing=_ask(sowing, HARVEST))
        if entry.degree_days is not None:
            return self._after(sowing, [(entry, "")])
        span = self._placed(entry, self.year)
        return _known(span, _ask(sowing, HARVEST))

    def sown(self, sowing: Sowing, stand: Stand) -> Days:
        """Return the days on which a sowing is sown, the usual months where nothing was said."""
        when = sowing.when
        if when is not None and when.crop is not None and when.stage is not None:
            other = stand.find(when.crop)
            return self.at_stage(other, when.stage) if other is not None else Days()
        span = self._sown(sowing)
        if span is not None:
            return Days((span,))
        months = self.usual_months(sowing)
        return Days(months) if months else Days(missing=_ask(sowing, SOWN))

    def at_stage(self, sowing: Sowing, stage: str) -> Days:
        """Return the days on which a sowing is at a stage, on every scale that is known."""
        if stage == HARVEST:
            return self.harvest(sowing)
        if stage == SOWN:
            return _known(self._sown(sowing), _ask(sowing, SOWN))
        entry = self._entry(sowing, stage)
        if entry is not None and entry.degree_days is None:
            return _known(self._between(sowing, entry), _ask(sowing, stage))
        if entry is not None:
            return self._after(sowing, [(entry, "")])
        return self._after(sowing, self._published(sowing, stage), stage)

    def _published(self, sowing: Sowing, stage: str) -> list[tuple[Stage, str]]:
        """Return the warmth of a stage on every published scale of the crop."""
        crop = self.plan.sheet.find(sowing.crop)
        if crop is None:
            return []
        sown = self._sown(sowing)
        wintering = sown is not None and sown.first.month in BEFORE_WINTER.get(self.half, ())
        return published_stages(crop.name, sowing.label, stage, wintering=wintering)

    def of_operation(self, operation: Operation) -> Days:
        """Return the days of an operation that has a time of its own."""
        when = operation.when
        if when is None:
            return Days()
        if when.date is not None:
            year = self.year + when.date.year - self._own_year(when.date)
            day = in_year(when.date, year)
            same = "" if day == when.date else f"; the same day as in {when.date.year}"
            return Days((Span(day, day, WRITTEN + same),))
        for stand in self.plan.stands:
            other = stand.find(when.crop or "")
            if other is not None:
                return self.at_stage(other, when.stage or "")
        return Days()

    def _own_year(self, day: dt.date) -> int:
        """Return the season of the plan in whose work a day falls: the first that ends after it."""
        years = sorted(season.year for season in self.plan.seasons)
        after = [year for year in years if year >= day.year]
        return after[0] if after else years[-1] if years else self.year

    def _entry(self, sowing: Sowing, stage: str) -> Stage | None:
        """Return what the plan says of a stage: of the sowing itself, else of its crop."""
        mine = [one for one in self.plan.stages if one.stage.lower() == stage.lower()]
        own = [one for one in mine if one.crop == sowing.label]
        return next(iter([*own, *(one for one in mine if one.crop == sowing.crop)]), None)

    def _placed(self, entry: Stage, year: int) -> Span | None:
        """Return the days of a stage that begins in a year; None where they are of another."""
        first, last = entry.first, entry.last
        if isinstance(first, dt.date) and isinstance(last, dt.date):
            return Span(first, last, WRITTEN) if first.year == year else None
        begin, end = _in(str(first), year), _in(str(last), year)
        return Span(begin, end if end >= begin else _in(str(last), year + 1), WRITTEN)

    def _sown(self, sowing: Sowing) -> Span | None:
        """Return the days of sowing that were said."""
        day = sowing.when.date if sowing.when is not None else None
        if day is not None:
            placed = in_year(day, self._year_of_sowing(sowing, in_year(day, 2028)))
            same = "" if placed == day else f"; the same day as in {day.year}"
            return Span(placed, placed, WRITTEN + same)
        entry = self._entry(sowing, SOWN)
        if entry is None or entry.first is None:
            return None
        first = entry.first
        rough = in_year(first, 2028) if isinstance(first, dt.date) else _in(first, 2028)
        return self._placed(entry, self._year_of_sowing(sowing, rough))

    def _year_of_sowing(self, sowing: Sowing, day: dt.date) -> int:
        """Return the year in which a day of sowing lies: the last such day before harvest."""
        span = self._harvest_days(sowing)
        if span is not None:
            return self.year if in_year(day, self.year) < span.first else self.year - 1
        return self.year - 1 if day.month >= NEXT_HARVEST else self.year

    def _between(self, sowing: Sowing, entry: Stage) -> Span | None:
        """Return the days of a stage, after sowing or else before harvest."""
        sown = self._sown(sowing)
        spans = [self._placed(entry, self.year + step) for step in (-1, 0, 1)]
        there = [span for span in spans if span is not None]
        if sown is not None:
            return next((span for span in there if span.last >= sown.first), None)
        end = dt.date(self.year, 12, 31)
        harvest = self._harvest_days(sowing)
        end = harvest.last if harvest is not None else end
        return next((span for span in reversed(there) if span.first <= end), None)

    def _harvest_days(self, sowing: Sowing) -> Span | None:
        """Return the days of harvest where they were written as days."""
        entry = self._entry(sowing, HARVEST)
        if entry is None or entry.degree_days is not None:
            return None
        return self._placed(entry, self.year)

    def _after(self, sowing: Sowing, entries: list[tuple[Stage, str]], stage: str = "") -> Days:
        """Return the days after so much warmth, one span for each scale."""
        if not entries:
            return Days(missing=_ask(sowing, stage))
        name = entries[0][0].stage
        sown = self._sown(sowing)
        if sown is None:
            return Days(missing=_ask(sowing, SOWN))
        if self.weather is None:
            return Days(missing=f"daily temperatures, or the days of {name} of {sowing.label}")
        spans = []
        for entry, source in entries:
            days = warm_enough(self.weather, self.usual, (sown.first, sown.last), entry)
            if days is not None:
                basis = f"{source}{entry.degree_days or 0.0:.0f} °C·d from sowing, {days.told}"
                spans.append(Span(days.first, days.last, basis))
        if spans:
            return Days(tuple(spans))
        return Days(missing=not_enough(self.weather, sown.first, f"{sowing.label} to reach {name}"))

    def usual_months(self, sowing: Sowing) -> tuple[Span, ...]:
        """Return the usual months of sowing on this half of the earth."""
        crop = self.plan.sheet.find(sowing.crop)
        if crop is None:
            return ()
        spans = []
        for window in crop.windows:
            if window.hemisphere != self.half:
                continue
            first = dt.date(2028, window.first, 1)
            year = self._year_of_sowing(sowing, first)
            over = window.last < window.first
            after = dt.date(year + over + (window.last == 12), window.last % 12 + 1, 1)
            where = f", {window.region}" if window.region else ""
            basis = f"usual months{where} ({window.source})"
            spans.append(Span(first.replace(year=year), after - dt.timedelta(days=1), basis))
        return tuple(spans)


def _ask(sowing: Sowing, stage: str) -> str:
    """Say which days would have to be known."""
    return f'[[stage]] crop = "{sowing.label}", stage = "{stage}"'


def _known(span: Span | None, missing: str) -> Days:
    """Return a span, or what is missing."""
    return Days((span,)) if span is not None else Days(missing=missing)


def _in(month_day: str, year: int) -> dt.date:
    """Return a day written as month and day in a year; 29 February becomes the 28th."""
    return in_year(dt.date.fromisoformat(f"2028-{month_day}"), year)
