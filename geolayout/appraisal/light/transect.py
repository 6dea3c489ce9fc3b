"""Light at places between trees over a season, as a share of what open ground gets."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.light.shade import Crowns, Walls, past_walls, through_crowns
from geolayout.appraisal.light.sky import sky_directions
from geolayout.appraisal.light.sun import Suns
from geolayout.plan.trees.growth import Growth

__all__ = ["NO_WALLS", "Stand", "alike", "crowns_in", "light_at"]

Floats = NDArray[np.float64]

NO_WALLS = Walls(np.empty((0, 2)), np.empty((0, 2)), np.empty(0), np.empty(0))
"""Nothing but trees in the way."""


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """
    Trees of one kind, as they grow.

    Attributes
    ----------
    foot : ndarray, shape (m, 3)
        Where their stems stand. [m]
    growth : Growth
        How they grow.
    mature : float or None
        Height when grown, for the estimate. [m]
    taken : ndarray, shape (m,), optional
        Years after planting in which each is taken out; nothing is, if nothing is said.
    later : float, default 0
        Years by which these were planted after the others: trees that replace failed ones.
    """

    foot: Floats
    growth: Growth
    mature: float | None
    taken: Floats | None = None
    later: float = 0.0

    def standing(self, year: float) -> Floats:
        """Return where those stand that are planted and not taken out, shape (k, 3). [m]"""
        if year < self.later:
            return self.foot[:0]
        return self.foot if self.taken is None else self.foot[self.taken > year]


def crowns_in(stand: Stand, year: float, years: float, month: int) -> Crowns:
    """
    Return the crowns of a stand in a year and a month.

    Parameters
    ----------
    stand : Stand
        The trees.
    year : float
        Years after planting.
    years : float
        Years to 95 % of the mature height, where the heights are an estimate.
    month : int
        1 to 12.

    Returns
    -------
    crowns : Crowns
        Of the trees that stand then. Those of young trees begin at half their height, if stems
        are pruned higher than that.
    """
    age = max(year - stand.later, 0.0)
    height = stand.growth.height_in(age, stand.mature, years) or 0.0
    base = min(stand.growth.crown_base, height / 2.0)
    width = stand.growth.crown_in(age, height)
    return Crowns(stand.standing(year), base, height, width, stand.growth.density_in(month))


def light_at(
    cells: Floats,
    normals: Floats,
    suns: Suns,
    crowns_of_month: dict[int, list[Crowns]],
    walls: Walls = NO_WALLS,
) -> tuple[Floats, Floats]:
    """
    Return the shares of direct and of diffuse light at places over a season.

    Parameters
    ----------
    cells : ndarray, shape (n, 3)
        Places. [m]
    normals : ndarray, shape (n, 3)
        Unit vectors square to the ground there.
    suns : Suns
        Places of the sun over the season.
    crowns_of_month : dict of int to list of Crowns
        Trees with their leaves in each month of the season.
    walls : Walls
        Hedges and woods.

    Returns
    -------
    direct, diffuse : ndarray, shape (n,)
        Shares of what open ground of the same slope gets, 0 to 1.

    Notes
    -----
    Diffuse light is weighed over the months by their direct light.
    """
    sky = sky_directions()
    open_sky = _facing(normals, sky)
    direct, open_direct, diffuse = np.zeros((3, len(cells)))
    for months in alike(crowns_of_month, np.unique(suns.month).tolist()):
        crowns = crowns_of_month[months[0]]
        mine = np.isin(suns.month, months)
        up, weight = suns.up[mine], suns.weight[mine]
        falls = _facing(normals, up) * (weight / up[:, 2])
        direct += (falls * _reaching(cells, crowns, walls, up)).sum(axis=1)
        open_direct += falls.sum(axis=1)
        seen = (open_sky * _reaching(cells, crowns, walls, sky)).sum(axis=1) / open_sky.sum(axis=1)
        diffuse += seen * weight.sum()
    return direct / np.where(open_direct > 0, open_direct, 1.0), diffuse / suns.weight.sum()


def alike(crowns_of_month: dict[int, list[Crowns]], months: list[int]) -> list[list[int]]:
    """Return the months, 1 to 12, in groups in which all trees have the same leaves."""
    groups: dict[tuple[float, ...], list[int]] = {}
    for month in months:
        leaves = tuple(one.density for one in crowns_of_month[month])
        groups.setdefault(leaves, []).append(month)
    return list(groups.values())


def _facing(normals: Floats, up: Floats) -> Floats:
    """Return how far ground faces directions, 0 where it turns away, shape (n, k)."""
    level = normals[:, 2, None] * up[:, 2] + normals[:, :2] @ up[:, :2].T
    return np.asarray(np.maximum(level, 0.0))


def _reaching(cells: Floats, crowns: list[Crowns], walls: Walls, up: Floats) -> Floats:
    """Return the share of light that passes everything, shape (n, k)."""
    share = past_walls(cells, walls, up)
    for one in crowns:
        share = share * through_crowns(cells, one, up)
    return share
