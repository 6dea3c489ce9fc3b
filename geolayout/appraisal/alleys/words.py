"""Alleys that fit, in words and columns."""

from geolayout.appraisal.alleys.cautions import HEIGHTS_APART
from geolayout.appraisal.alleys.fit import AlleyChoice, AlleyFit, StripRoom
from geolayout.plan.units import METRIC, Units

__all__ = ["ALLEY_HEAD", "alley_rows", "alley_words"]

ALLEY_HEAD = ("width", "pitch", "fits all", "tree strip", "trees by pitch", "heights apart")
"""Columns of the table."""


def alley_rows(fit: AlleyFit, units: Units = METRIC) -> list[tuple[str, ...]]:
    """
    Return the ranked alleys as text, under `ALLEY_HEAD`.

    Parameters
    ----------
    fit : AlleyFit
        Of some bands.
    units : Units
        Units of the widths.
    """
    return [_row(one, units) for one in fit.choices]


def _row(one: AlleyChoice, units: Units) -> tuple[str, ...]:
    """Return one alley as text."""
    rate, apart = units.count_rate, one.heights_apart
    return (
        units.width.said(one.choice.width),
        units.width.said(one.pitch),
        "no" if one.choice.misfits else "yes",
        f"{100 * one.strip_share:.1f} %",
        f"{rate.figure(one.trees_per_ha)}{rate.word}",
        "not known" if apart is None else f"{apart:.1f}",
    )


def alley_words(fit: AlleyFit, units: Units = METRIC) -> list[str]:
    """
    Say what the wish and the nearest that fits mean for the trees.

    Parameters
    ----------
    fit : AlleyFit
        Of some bands.
    units : Units
        Units of the widths.
    """
    wide = units.width
    told = [_as_written(fit.wish, units)]
    if fit.nearest is not None and fit.nearest.choice.width != fit.wish.choice.width:
        told.append(
            f"The nearest that fits all is {wide.said(fit.nearest.choice.width)}, a pitch of "
            f"{wide.said(fit.nearest.pitch)}."
        )
    told += [_short(strip, units) for strip in fit.strips if strip.short]
    if fit.wish.near:
        told.append(
            f"Under {HEIGHTS_APART:g} heights apart the crop lacks light when the trees are grown."
        )
    return told


def _as_written(wish: AlleyChoice, units: Units) -> str:
    """Say what the plan has."""
    rate = units.count_rate
    return (
        f"As written: pitch {units.width.said(wish.pitch)}, tree strips take "
        f"{100 * wish.strip_share:.1f} % of the width, "
        f"{rate.figure(wish.trees_per_ha)} trees{rate.word} by pitch, edges left aside."
    )


def _short(strip: StripRoom, units: Units) -> str:
    """Say what a tree strip lacks beside its trees."""
    wide = units.width
    return (
        f"{strip.band}: {wide.said(strip.have)} from the trees to the edge, and the guard with "
        f"{wide.said(strip.clearance)} of room takes {wide.said(strip.guard + strip.clearance)}; "
        f"{wide.said(strip.short)} is lacking."
    )
