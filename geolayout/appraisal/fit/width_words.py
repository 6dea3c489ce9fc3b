"""Widths that fit, in words and columns."""

from collections.abc import Sequence

from geolayout.appraisal.fit.band_widths import BandWidths
from geolayout.appraisal.fit.widths import Asked, Misfit, WidthChoice
from geolayout.appraisal.places import listed
from geolayout.plan.units import METRIC, Units

__all__ = ["WIDTH_HEAD", "bands_word", "width_rows", "width_words"]

WIDTH_HEAD = ("width", "does not fit", "ends at the far end")
"""Columns of the table."""

NONE = "-"

FEW_NAMES = 4
"""Bands of more names than this are counted. Our own choice."""


def width_rows(widths: BandWidths, units: Units = METRIC) -> list[tuple[str, ...]]:
    """
    Return the ranked widths as text, under `WIDTH_HEAD`.

    Parameters
    ----------
    widths : BandWidths
        Of some bands.
    units : Units
        Units of the widths.
    """
    return [
        (
            units.width.said(choice.width),
            listed([_short(misfit) for misfit in choice.misfits]) or NONE,
            listed([demand.who for demand in choice.odd]) or NONE,
        )
        for choice in widths.choices
    ]


def _short(misfit: Misfit) -> str:
    """Return a misfit as a name and a share."""
    return f"{misfit.demand.who} {100 * misfit.share:.0f} %"


def bands_word(names: Sequence[str]) -> str:
    """Return the names of bands, many by their count."""
    return listed(names) if len(names) <= FEW_NAMES else f"{len(names)} bands"


def width_words(widths: BandWidths, units: Units = METRIC) -> list[str]:
    """
    Say how the wish fits, what it costs, what would have to change, and what is near it.

    Parameters
    ----------
    widths : BandWidths
        Of some bands.
    units : Units
        Units of the widths.
    """
    wish, wide = widths.wish, units.width
    bands = bands_word(widths.bands)
    if wish.misfits:
        told = [f"{bands}, {wide.said(wish.width)} as written, fits not all:"]
        told += [f"  {_misfit(one, units)}." for one in wish.misfits]
        told.append(_nearest(widths, units))
    else:
        told = [f"{bands}, {wide.said(wish.width)} as written, fits all that is asked of a width."]
    if wish.odd:
        names = listed([demand.who for demand in wish.odd])
        told.append(f"After an odd number of passes the machine ends at the far end: {names}.")
    return [*told, *_phases(widths.choices, units)]


def _nearest(widths: BandWidths, units: Units) -> str:
    """Say which width that fits all is nearest to the wish."""
    if widths.nearest is None:
        return "No width that was looked at fits all; below are those that miss least."
    return f"The nearest that fits all is {units.width.said(widths.nearest.width)}."


def _misfit(misfit: Misfit, units: Units) -> str:
    """Say what does not fit, by how much, and what would."""
    demand, wide, steps = misfit.demand, units.width, misfit.steps
    over = "the repeat" if demand.times > 1 or demand.plus else "it"
    step, share = wide.said(demand.step), f"{100 * misfit.share:.0f} %"
    off, fitting = wide.said(abs(misfit.over)), wide.said(misfit.step_that_fits)
    if demand.asked is Asked.ROWS:
        fine = units.spacing
        apart, fit = (f"{fine.short(x)} {fine.word}" for x in (demand.step, misfit.step_that_fits))
        return f"{demand.who}: {steps} rows {apart} apart leave {off}; {fit} apart fill it"
    if demand.asked is Asked.HEADERS and steps == 1:
        return f"{demand.who}: the header of {step} reaches {off} beyond; one of {fitting} fits"
    if demand.asked in (Asked.BOOMS, Asked.SECTIONS):
        what = "boom" if demand.asked is Asked.BOOMS else "part of the boom"
        return f"{demand.who}: {steps} times a {what} of {step} is {off} too wide ({share})"
    passes = "1 pass" if steps == 1 else f"{steps} passes"
    return (
        f"{demand.who}: {passes} of {step}, {off} wider than {over} or worked twice ({share}); "
        f"{fitting} a pass fits"
    )


def _phases(choices: Sequence[WidthChoice], units: Units) -> list[str]:
    """Say for each operation across strips which of the widths leave no room for its wheels."""
    wide, told = units.width, []
    for place, (name, needed, _) in enumerate(choices[0].phases if choices else ()):
        tight = [c for c in choices if c.phases[place][2].room <= needed]
        if tight:
            listing = listed([wide.said(choice.width) for choice in tight])
            told.append(f"Tramlines of {name} meet a border wherever strips of {listing} begin.")
    return told
