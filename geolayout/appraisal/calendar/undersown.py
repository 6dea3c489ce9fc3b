"""Sowings into a standing crop, and others with a day of their own: in their window or not."""

from collections.abc import Iterator
from typing import Final

from geolayout.appraisal.calendar.days import Span, Times
from geolayout.appraisal.calendar.heat import dated
from geolayout.appraisal.calendar.leaves import leaves_of
from geolayout.appraisal.calendar.season import LaidStand, laid_stands, times_of
from geolayout.appraisal.caution import WARNING, Caution
from geolayout.appraisal.places import listed
from geolayout.layout.build import Layout
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing

__all__ = ["is_crop", "sowing_window_cautions"]

FIRST_LEAVES, LAST_LEAVES = 4.0, 6.0
"""Leaves of maize between which it is under-sown."""

LEAVES_SOURCE: Final = (
    "fieldcropnews.com, Interseeding Early Cover Crops into Corn, 2019; Schmitt and others, "
    "Agronomy 11:712, 2021, abstract"
)

LONGEST_RELAY: Final = 49
"""Days before wheat harvest from which on soya is relayed: 6 to 7 weeks."""

RELAY_SOURCE: Final = (
    "Ohio State Extension, Modified Relay Intercropping, 2013; the yield there ran from nothing to "
    "54 bushels an acre"
)

LATE_IN_CEREALS: Final = (
    "stem extension",
    "stem elongation",
    "booting",
    "heading",
    "flowering",
    "ripe",
    "ripening",
)
CEREALS: Final = ("wheat", "barley", "oat", "rye", "triticale", "spelt")
CEREAL_SOURCE: Final = (
    "FiBL, Dierauer and Gelencsér, Undersowing catch crops in cereals, 2018: from tillering to "
    "before stem extension"
)


def is_crop(plan: Plan, name: str, wanted: str) -> bool:
    """
    Tell whether two names mean one crop, as written or by the crop sheet.

    Parameters
    ----------
    plan : Plan
        The plan, with its crop sheet.
    name, wanted : str
        Names of crops, such as "winter wheat" and "wheat".
    """
    if name.lower() == wanted.lower():
        return True
    found, other = plan.sheet.find(name), plan.sheet.find(wanted)
    return found is not None and found is other


def sowing_window_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of under-sowing, relay and dated sowings outside their window.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        Days are judged only where the plan has a season.
    """
    times = times_of(layout)
    return [
        caution
        for laid in laid_stands(layout)
        for sowing in laid.stand.sowing
        for caution in (
            *_by_leaves(layout.plan, laid, sowing),
            *_in_cereal(layout.plan, laid, sowing),
            *(_by_days(times, laid, sowing) if times is not None else ()),
        )
    ]


def _by_days(times: Times, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return what the days of a sowing tell."""
    yield from _in_maize(times, laid, sowing)
    yield from _relay(times, laid, sowing)
    yield from _usual_months(times, laid, sowing)


def _caution(sentence: str, remedy: str, source: str, *figures: float, unit: str) -> Caution:
    """Return a warning of a sowing outside its window, with the figure and its limit."""
    value, threshold = figures
    return Caution(
        key="sowing-window",
        severity=WARNING,
        sentence=sentence,
        remedy=remedy,
        source=source,
        code="W23",
        value=value,
        threshold=threshold,
        unit=unit,
    )


def _where(laid: LaidStand) -> str:
    """Return where a stand grows."""
    return listed(laid.where)


def _late_early(leaves: float) -> str:
    """Return what goes wrong before or after the window in maize."""
    if leaves < FIRST_LEAVES:
        return "it takes yield from the maize"
    return "the maize shades it, and the cover is thin"


REMEDY_IN_MAIZE: Final = (
    "Sow between four and six leaves, or a little either side after a look at the field; slow "
    "grasses come earlier than fast ones."
)


def _by_leaves(plan: Plan, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return the warning of a stage of maize outside four to six leaves."""
    when = sowing.when
    mother = laid.stand.find(when.crop) if when is not None and when.crop is not None else None
    if mother is None or when is None or not is_crop(plan, mother.crop, "maize"):
        return
    leaves = leaves_of(when.stage or "")
    if leaves is None or FIRST_LEAVES <= leaves <= LAST_LEAVES:
        return
    yield _caution(
        f"{sowing.label} is sown into the maize of {_where(laid)} at {when.stage}: "
        f"{_late_early(leaves)}.",
        REMEDY_IN_MAIZE,
        LEAVES_SOURCE,
        leaves,
        FIRST_LEAVES if leaves < FIRST_LEAVES else LAST_LEAVES,
        unit="leaves",
    )


def _in_maize(times: Times, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return the warning of a day on which no scale has maize between four and six leaves."""
    day = sowing.when.date if sowing.when is not None else None
    mother = next((s for s in laid.stand.sowing if is_crop(times.plan, s.crop, "maize")), None)
    if day is None or mother is None or mother is sowing or sowing.harvested:
        return
    opens = times.at_stage(mother, f"V{FIRST_LEAVES:.0f}").spans
    closes = times.at_stage(mother, f"V{LAST_LEAVES:.0f}").spans
    (span,) = times.sown(sowing, laid.stand).spans
    if not opens or not closes:
        return
    first, last = min(s.first for s in opens), max(s.last for s in closes)
    if first <= span.first <= last:
        return
    early = span.first < first
    yield _caution(
        f"{sowing.label} is sown into the maize of {_where(laid)} on {dated(span.first)}, and the "
        f"maize has four to six leaves between {dated(first)} and {dated(last)}: "
        f"{_late_early(0.0 if early else 99.0)}.",
        REMEDY_IN_MAIZE,
        LEAVES_SOURCE,
        float((first - span.first).days if early else (span.first - last).days),
        0.0,
        unit="days",
    )


def _relay(times: Times, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return the warning of soya relayed into wheat too long before the wheat's harvest."""
    mother = next((s for s in laid.stand.sowing if is_crop(times.plan, s.crop, "wheat")), None)
    if sowing.when is None or mother is None or not is_crop(times.plan, sowing.crop, "soya"):
        return
    harvest = times.harvest(mother).spans
    for span in times.sown(sowing, laid.stand).spans[:1]:
        if not harvest or (harvest[0].first - span.first).days <= LONGEST_RELAY:
            continue
        days = (harvest[0].first - span.first).days
        yield _caution(
            f"{sowing.label} goes into the wheat of {_where(laid)} from {dated(span.first)} on, "
            f"{days} days before the wheat is harvested: it suffers in the shade, and so does the "
            "wheat from the wheels.",
            "Sow 6 to 7 weeks before the wheat's harvest at the earliest; relay is a risk anyhow.",
            RELAY_SOURCE,
            float(days),
            float(LONGEST_RELAY),
            unit="days",
        )


def _in_cereal(plan: Plan, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return the warning of a cover sown into a cereal that shoots already."""
    when = sowing.when
    mother = laid.stand.find(when.crop) if when is not None and when.crop is not None else None
    if mother is None or when is None or sowing.harvested:
        return
    cereal = any(is_crop(plan, mother.crop, name) for name in CEREALS)
    stage = (when.stage or "").lower()
    if not cereal or stage not in LATE_IN_CEREALS:
        return
    yield Caution(
        key="sowing-window",
        severity=WARNING,
        sentence=f"{sowing.label} is sown into the {mother.label} of {_where(laid)} at {stage}: "
        "it comes late into a closed stand.",
        remedy="Sow it between tillering and stem extension, or after the harvest.",
        source=CEREAL_SOURCE,
        code="W23",
    )


def _usual_months(times: Times, laid: LaidStand, sowing: Sowing) -> Iterator[Caution]:
    """Return the warning of a day outside every usual month of the crop on this half of earth."""
    if sowing.when is not None and sowing.when.date is None:
        return
    span = next(iter(times.sown(sowing, laid.stand).spans), None)
    usual = times.usual_months(sowing)
    if span is None or not usual or "usual months" in span.basis:
        return
    months = {month for one in usual for month in _months(one)}
    if months & set(_months(span)) or _joins_another(times, laid, sowing, span):
        return
    yield Caution(
        key="sowing-window",
        severity=WARNING,
        sentence=f"{sowing.label} in {_where(laid)} is sown from {dated(span.first)} on, outside "
        f"the months of the crop sheet on this half of the earth.",
        remedy="Look at the day and the crop; local practice decides.",
        source="; ".join(dict.fromkeys(one.basis for one in usual)),
        code="W23",
    )


def _joins_another(times: Times, laid: LaidStand, sowing: Sowing, span: Span) -> bool:
    """Whether something stands there already; the sheet's months are of crops grown alone."""
    others = [one for one in laid.stand.sowing if one is not sowing]
    days = [days for one in others for days in times.sown(one, laid.stand).spans]
    return any(one.place == "standing" for one in others) or any(
        day.first < span.first for day in days
    )


def _months(span: Span) -> list[int]:
    """Return the months of a span."""
    count = (span.last.year - span.first.year) * 12 + span.last.month - span.first.month + 1
    return [(span.first.month - 1 + i) % 12 + 1 for i in range(count)]
