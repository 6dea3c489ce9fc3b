"""Pollinators: whether one stands within reach of every tree, and flowers with it."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.trees.bands import PlantedBand, planted_bands, species_of_trees
from geolayout.layout.build import Layout
from geolayout.plan.slack import EDGE_SLACK
from geolayout.plan.trees.kinds import Pollination, overlap

__all__ = ["PollinationFigures", "pollination_cautions", "pollination_figures"]

SOURCE = "Nursery guidance on reach, one page in an excerpt; flower by the plan's own days."


@dataclass(frozen=True, slots=True)
class PollinationFigures:
    """
    One species that needs a pollinator.

    Attributes
    ----------
    block, band : str
        Where it stands.
    species : str
        What it is.
    trees : int
        How many stand there.
    pollinators : tuple of str
        Species that serve: named by the plan, and not known to flower at another time.
    days_together : tuple of (str, int or None)
        Days on which each species named flowers with it; None where a time is not given.
    reach_m : float
        How far a pollinator may stand. [m]
    farthest_m : float or None
        From a tree to the nearest pollinator, at most; None where none stands. [m]
    beyond : int
        Trees with no pollinator within reach.
    """

    block: str
    band: str
    species: str
    trees: int
    pollinators: tuple[str, ...]
    days_together: tuple[tuple[str, int | None], ...]
    reach_m: float
    farthest_m: float | None
    beyond: int


def pollination_figures(layout: Layout) -> tuple[PollinationFigures, ...]:
    """
    Measure how far pollinators stand.

    Parameters
    ----------
    layout : Layout
        The layout. Trees of all its bands and blocks serve as pollinators.

    Returns
    -------
    figures : tuple of PollinationFigures
        One for each species of a band that needs a pollinator and stands there.
    """
    names = species_of_trees(layout)
    return tuple(
        figures
        for band in planted_bands(layout)
        for one in band.trees.pollination
        if one.needs and (figures := _figures(layout, band, one, names)).trees
    )


def _figures(
    layout: Layout, band: PlantedBand, one: Pollination, names: NDArray[np.object_]
) -> PollinationFigures:
    """Measure one species of a band."""
    told = {other.species: other for other in band.trees.pollination}
    days = tuple((name, overlap(one, told[name]) if name in told else None) for name in one.needs)
    serving = tuple(name for name, together in days if together != 0)
    mine = band.which[names[band.which] == one.species]
    others = np.flatnonzero(np.isin(names, serving))
    distance = _nearest(layout.trees.xy[mine], layout.trees.xy[others])
    return PollinationFigures(
        band.block.name,
        band.band.name,
        one.species,
        len(mine),
        serving,
        days,
        one.reach,
        float(distance.max()) if len(mine) and len(others) else None,
        int((distance > one.reach + EDGE_SLACK).sum()),
    )


def _nearest(xy: NDArray[np.float64], others: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the distance from each point to the nearest of others. [m]"""
    if not len(xy) or not len(others):
        return np.full(len(xy), np.inf)
    tree = shapely.STRtree(shapely.points(others))
    (_, index), distance = tree.query_nearest(
        shapely.points(xy), all_matches=False, return_distance=True
    )
    return np.asarray(distance[: len(index)])


def pollination_cautions(layout: Layout) -> list[Caution]:
    """
    Say which trees lack a pollinator, and which flowers nobody gave a time for.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    found = []
    for one in pollination_figures(layout):
        if one.beyond:
            found.append(_beyond(one))
        if any(days is None for _, days in one.days_together):
            found.append(_unknown(one))
    return found


def _beyond(one: PollinationFigures) -> Caution:
    """Return the caution of trees without a pollinator within reach."""
    apart = [name for name, days in one.days_together if days == 0]
    reason = f" ({', '.join(apart)} flowers at another time)" if apart else ""
    verb = "has" if one.beyond == 1 else "have"
    if one.farthest_m is None:
        what = f"no pollinator of {one.species} stands in the field{reason}"
    else:
        what = (
            f"{one.beyond} of {one.trees} trees of {one.species} {verb} no pollinator within "
            f"{one.reach_m:g} m{reason}; the farthest stands {one.farthest_m:.1f} m from one"
        )
    return Caution(
        key="pollinator-out-of-reach",
        severity=WARNING,
        sentence=f"In band {one.band} {what}.",
        remedy="Plant a pollinator that flowers with it on every n-th tree, or in a row beside it.",
        source=SOURCE,
        value=one.farthest_m,
        threshold=one.reach_m,
        unit="m",
        count=max(one.beyond, 1),
    )


def _unknown(one: PollinationFigures) -> Caution:
    """Return the note of flowers whose time was not given."""
    names = [name for name, days in one.days_together if days is None]
    return Caution(
        key="flower-not-given",
        severity=NOTE,
        sentence=(
            f"Whether {', '.join(names)} flowers together with {one.species} was not looked at: "
            "the plan has no days of flower for both."
        ),
        remedy="Give flowers under pollination, by the nursery's list for the region.",
        source=SOURCE,
    )
