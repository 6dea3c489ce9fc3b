"""Rate zones in words, for the screen and for paper."""

from geolayout.appraisal.quantities.zones import ClassArea, ClassSeed, ZoneFigures, ZoneSowing
from geolayout.plan.units import METRIC, Units

__all__ = ["zone_lines"]

PLAIN = (
    "Seed in the row is told for the plan's own rate, and settings of the machine for the mean of "
    "the zones; rates by zone are in the files of the prescription."
)


def zone_lines(figures: ZoneFigures | None, units: Units = METRIC) -> list[str]:
    """
    Say how much ground is in each class, and what is sown there.

    Parameters
    ----------
    figures : ZoneFigures or None
        Rate zones; None where there are none.
    units : Units
        Units of the figures.

    Returns
    -------
    lines : list of str
    """
    if figures is None:
        return []
    unit = f" [{figures.unit}]" if figures.unit else ""
    return [
        f"{figures.quantity}{unit} of {figures.source}: {_least(figures, units)}.",
        *(_class_line(one, units) for one in figures.classes),
        *(_sowing_line(one, units) for one in figures.sowings),
        *figures.notes,
        PLAIN,
    ]


def _least(figures: ZoneFigures, units: Units) -> str:
    """Say how narrow and how small a zone may be."""
    if figures.narrowest_m == 0.0:
        return "zones as the map has them"
    width = f"{units.width.short(figures.narrowest_m)} {units.width.word}"
    return f"no zone narrower than {width} or smaller than {units.patch.said(figures.smallest_m2)}"


def _class_line(one: ClassArea, units: Units) -> str:
    """Say how much ground is in a class, before and after smoothing."""
    above = f" from {one.above:.4g}" if one.above is not None else ""
    below = f" below {one.below:.4g}" if one.below is not None else ""
    drawn, area = units.ground.said(one.drawn_m2), units.ground.said(one.area_m2)
    return f"{one.name}{above}{below}: {area}; {drawn} on the map."


def _sowing_line(one: ZoneSowing, units: Units) -> str:
    """Say what one sowing puts on the ground of each class."""
    parts = [_seed(seed, one, units) for seed in one.classes if seed.ground_m2 > 0.0]
    return f"{one.sowing} in {one.stand}, {one.place}: {'; '.join(parts)}."


def _seed(seed: ClassSeed, one: ZoneSowing, units: Units) -> str:
    """Say the rate, ground and amount of one class."""
    ground = units.ground.said(seed.ground_m2)
    if one.unit == "kg":
        return (
            f"{seed.name} {units.mass_rate.said(seed.rate)} on {ground}, "
            f"{units.mass.said(seed.amount)}"
        )
    return f"{seed.name} {_counted(seed.rate, one, units)} on {ground}, {seed.amount:,.0f}"


def _counted(rate: float, one: ZoneSowing, units: Units) -> str:
    """Say a rate by number; seeds stay for a square metre, as drills have them."""
    if one.unit == "seeds":
        return f"{rate:.4g} seeds/m2"
    return f"{units.count_rate.of(rate):,.0f} plants{units.count_rate.word}"
