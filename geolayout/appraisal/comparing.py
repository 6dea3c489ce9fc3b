"""
Several plans on one field beside each other: every figure of one in a row with those of the others.

A figure that a plan does not have is empty, which is not nought.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from geolayout.appraisal.caution import HAZARD, NOTE, Caution
from geolayout.appraisal.driving.hours import Range
from geolayout.appraisal.driving.season import Driving
from geolayout.appraisal.light.alley import AlleyLight
from geolayout.appraisal.quantities.figures import Figures
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.units import METRIC, Units

__all__ = [
    "PARTS",
    "WARNING_TOTALS",
    "Comparison",
    "Line",
    "Plain",
    "Weighed",
    "compared",
    "plain_figures",
]

Part = Literal["land", "seed", "trees", "work", "money", "light", "grade", "warnings"]

PARTS: tuple[Part, ...] = (
    "land",
    "seed",
    "trees",
    "work",
    "money",
    "light",
    "grade",
    "warnings",
)
"""What is compared, in the order of the table."""

WARNING_TOTALS = ("hazards", "hazards not acknowledged", "warnings", "notes")
"""How many cautions there are of each weight; other lines of warnings count one kind."""

HECTARE = 1e4
"""[m2]"""

SAME = 1e-4
"""Figures that differ by a smaller part of the larger are the same: rounding of coordinates. [-]"""


@dataclass(frozen=True, slots=True)
class Plain:
    """
    One figure of one plan.

    Attributes
    ----------
    part : str
        One of `PARTS`.
    what : str
        What it is.
    unit : str
        Its unit; "" for a count.
    low, high : float
        Least and most; the same where it is known.
    """

    part: Part
    what: str
    unit: str
    low: float
    high: float

    @classmethod
    def of(cls, part: Part, what: str, unit: str, value: float | Span | Range) -> "Plain":
        """Return a figure that is known, or a range."""
        if isinstance(value, Span):
            return cls(part, what, unit, value.low, value.high)
        if isinstance(value, Range):
            return cls(part, what, unit, value.least, value.most)
        return cls(part, what, unit, value, value)


@dataclass(frozen=True, slots=True)
class Weighed:
    """
    Everything that is measured of one plan.

    Attributes
    ----------
    figures : Figures
        Areas, rows, seed, trees, passes, money.
    cautions : sequence of Caution
        What to know before going out.
    driving : sequence of Driving
        Hours and fuel, by operation.
    alleys : sequence of AlleyLight
        Light beside trees; none where it is not known.
    """

    figures: Figures
    cautions: Sequence[Caution]
    driving: Sequence[Driving]
    alleys: Sequence[AlleyLight]


@dataclass(frozen=True, slots=True)
class Line:
    """
    One figure of all plans.

    Attributes
    ----------
    part, what, unit : str
        As in `Plain`.
    figures : tuple of (float, float) or None
        Least and most for each plan, in their order; None where a plan has no such figure.
    """

    part: Part
    what: str
    unit: str
    figures: tuple[tuple[float, float] | None, ...]

    @property
    def differs(self) -> bool:
        """Whether the plans do not all say the same."""
        return any(self.moved)

    @property
    def moved(self) -> tuple[bool, ...]:
        """For each plan, whether its figure is not that of the first."""
        return tuple(not _same(self.figures[0], other) for other in self.figures)


@dataclass(frozen=True, slots=True)
class Comparison:
    """
    Several plans on one field.

    Attributes
    ----------
    field : str
        What the first plan calls the field.
    names : tuple of str
        What each plan is called.
    seasons : tuple of (int or None)
        The harvest year of each.
    lines : tuple of Line
        Every figure of all of them.
    notes : tuple of str
        What is not compared.
    units : Units
        Those that the first plan's farm reads.
    """

    field: str
    names: tuple[str, ...]
    seasons: tuple[int | None, ...]
    lines: tuple[Line, ...]
    notes: tuple[str, ...]
    units: Units = METRIC


def _same(one: tuple[float, float] | None, other: tuple[float, float] | None) -> bool:
    """Whether two figures are the same but for rounding."""
    if one is None or other is None:
        return one is other
    return all(abs(a - b) <= SAME * max(abs(a), abs(b)) for a, b in zip(one, other, strict=True))


def compared(plans: Sequence[Sequence[Plain]]) -> tuple[Line, ...]:
    """
    Put the figures of several plans beside each other.

    Parameters
    ----------
    plans : sequence of sequence of Plain
        The figures of each plan.

    Returns
    -------
    lines : tuple of Line
        Part by part; within one in the order in which figures first come.
    """
    keys = dict.fromkeys((one.part, one.what, one.unit) for plan in plans for one in plan)
    found = [{(one.part, one.what, one.unit): (one.low, one.high) for one in p} for p in plans]
    lines = [Line(*key, tuple(plan.get(key) for plan in found)) for key in keys]
    return tuple(sorted(lines, key=lambda line: PARTS.index(line.part)))


def plain_figures(weighed: Weighed) -> tuple[Plain, ...]:
    """
    Return the figures of a plan that are compared.

    Parameters
    ----------
    weighed : Weighed
        What was measured.

    Returns
    -------
    figures : tuple of Plain
        Kinds of ground of which there is none, and work that is not done, are left out.
    """
    return (
        *_land(weighed.figures),
        *_seed(weighed.figures),
        *_trees(weighed.figures),
        *_work(weighed.figures, weighed.driving),
        *_money(weighed.figures),
        *_light(weighed.alleys),
        *_grade(weighed.figures),
        *_warnings(weighed.cautions),
    )


def _land(figures: Figures) -> Iterator[Plain]:
    """Yield areas: the field, kinds of ground, crops."""
    yield Plain.of("land", "field", "ha", figures.field.record_m2 / HECTARE)
    for kind in figures.kinds:
        if kind.area_m2 > 0:
            yield Plain.of("land", kind.kind, "ha", kind.area_m2 / HECTARE)
    for crop in figures.crops:
        yield Plain.of("land", f"ground of {crop.crop}", "ha", crop.area_m2 / HECTARE)


def _seed(figures: Figures) -> Iterator[Plain]:
    """Yield what is ordered of each crop; nothing where a line of it is not known."""
    kilograms: dict[str, list[Span | None]] = {}
    for line in figures.seed_order.lines:
        name = f"{line.crop}, {line.variety}" if line.variety else line.crop
        kilograms.setdefault(name, []).append(line.kg_ordered)
    for name, several in kilograms.items():
        known = [one for one in several if one is not None]
        if len(known) == len(several):
            total = Span(sum(one.low for one in known), sum(one.high for one in known))
            yield Plain.of("seed", f"seed of {name}", "kg", total)


def _trees(figures: Figures) -> Iterator[Plain]:
    """Yield trees, and the ground that they take."""
    trees = figures.trees
    yield Plain.of("trees", "trees", "", trees.trees)
    if trees.trees:
        yield Plain.of("trees", "tree rows", "", trees.rows)
        yield Plain.of("trees", "trees over the field", "/ha", trees.trees_per_ha_of_field)
        for one in trees.by_species:
            yield Plain.of("trees", f"trees of {one.species}", "", one.trees)


def _work(figures: Figures, driving: Sequence[Driving]) -> Iterator[Plain]:
    """Yield passes and length at work, hours and fuel."""
    for one in figures.operations:
        if one.passes:
            yield Plain.of("work", f"passes of {one.operation}", "", one.passes)
            yield Plain.of("work", f"{one.operation}, at work", "km", one.length_m / 1000.0)
    for drive in driving:
        yield Plain.of("work", f"hours of {drive.operation}", "h", drive.hours.total)
        if drive.fuel_per_ha is not None:
            fuel = drive.fuel_per_ha.range * (drive.area / HECTARE)
            yield Plain.of("work", f"fuel of {drive.operation}", "l", fuel)
    if driving:
        total = Range(0.0, 0.0, 0.0)
        for drive in driving:
            total = total + drive.hours.total
        yield Plain.of("work", "hours in all", "h", total)
        yield from _fuel_in_all(driving)


def _fuel_in_all(driving: Sequence[Driving]) -> Iterator[Plain]:
    """Yield the fuel of all work; nothing where that of one operation is not known."""
    total = Range(0.0, 0.0, 0.0)
    for one in driving:
        if one.fuel_per_ha is None:
            return
        total = total + one.fuel_per_ha.range * (one.area / HECTARE)
    yield Plain.of("work", "fuel in all", "l", total)


def _money(figures: Figures) -> Iterator[Plain]:
    """Yield margins and the land equivalent, where they are known."""
    money = figures.money
    if money is None:
        return
    field, land = money.field, money.instead.land
    for what, sums in (("income", field.income), ("costs", field.costs)):
        if sums is not None:
            yield Plain.of("money", what, money.coin, sums)
    if field.margin is not None and field.margin_per_ha is not None:
        yield Plain.of("money", "gross margin", money.coin, field.margin)
        by_ha = f"{money.coin}/ha"
        yield Plain.of("money", "gross margin over the field", by_ha, field.margin_per_ha)
    if land is not None and land.ratio is not None:
        yield Plain.of("money", "land equivalent ratio (land, not money)", "", land.ratio)
    if money.trees is not None:
        yield Plain.of("money", "trees over the years", money.coin, money.trees.worth)
        worths = [one.worth for one in money.trees.less_crops]
        if worths:
            less = Span(min(worths), max(worths))
            yield Plain.of("money", "trees less what crops lose", money.coin, less)


def _light(alleys: Sequence[AlleyLight]) -> Iterator[Plain]:
    """Yield the mean light of every year told, from the darkest alley on a fast site."""
    years = sorted({one.year for alley in alleys for one in alley.years})
    for year in years:
        told = [one for alley in alleys for one in alley.years if one.year == year]
        low = 100 * min(one.fast.mean for one in told)
        high = 100 * max(low / 100, *(one.slow.mean for one in told))
        yield Plain("light", f"light beside trees in year {year:g}", "%", low, high)


def _grade(figures: Figures) -> Iterator[Plain]:
    """Yield how steep rows and passes run."""
    for one in figures.slopes:
        yield Plain.of("grade", f"{one.what}, steepest", "%", one.steepest_percent)
        if one.limit:
            what = f"{one.what}, over the grade that keeps soil"
            yield Plain.of("grade", what, "%", one.over_percent)


def _warnings(cautions: Sequence[Caution]) -> Iterator[Plain]:
    """Yield how many cautions there are, then how often each comes."""
    hazards = [one for one in cautions if one.severity == HAZARD]
    notes = [one for one in cautions if one.severity == NOTE]
    others = len(cautions) - len(hazards) - len(notes)
    counts = (len(hazards), sum(one.open for one in hazards), others, len(notes))
    for what, count in zip(WARNING_TOTALS, counts, strict=True):
        yield Plain.of("warnings", what, "", count)
    for key in dict.fromkeys(one.key for one in cautions if one.severity != NOTE):
        count = sum(one.count for one in cautions if one.key == key and one.severity != NOTE)
        yield Plain.of("warnings", key.replace("-", " "), "", count)
