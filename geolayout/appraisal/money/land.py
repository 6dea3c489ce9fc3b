"""Which crop stands on how much ground in which stand, and how much of it is reckoned as its."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.build import Layout
from geolayout.plan.money.money import Money
from geolayout.plan.stand import Stand

__all__ = ["Grown", "Land", "land_of"]


@dataclass(frozen=True, slots=True)
class Grown:
    """
    One crop in one stand.

    Attributes
    ----------
    crop, stand : str
        Which.
    ground_m2 : float
        Ground of the stand, which other crops may share. [m2]
    harvested : bool
        Whether it is taken off the field.
    share : float or None
        Part of the ground reckoned as its; None where crops share it and nobody said how. [-]
    """

    crop: str
    stand: str
    ground_m2: float
    harvested: bool
    share: float | None


@dataclass(frozen=True, slots=True)
class Land:
    """
    The ground that money is reckoned on.

    Attributes
    ----------
    grown : tuple of Grown
        Crops in their stands, both in the order of the plan.
    stands : mapping of str to float
        Ground of each stand. [m2]
    tree_m2 : float
        Ground of tree bands, whatever grows on it. [m2]
    below_trees : mapping of str to float
        Of it, the ground of each stand that grows there. [m2]
    field_m2 : float
        The field, its area of record. [m2]
    beside_trees : mapping of str to float
        Ground of each stand in the other bands of blocks that have tree bands. [m2]
    """

    grown: tuple[Grown, ...]
    stands: Mapping[str, float]
    tree_m2: float
    below_trees: Mapping[str, float]
    field_m2: float
    beside_trees: Mapping[str, float] = field(default_factory=dict)

    @property
    def grown_m2(self) -> float:
        """All ground on which something grows that the plan names. [m2]"""
        return sum(self.stands.values())

    def ground_of(self, crop: str | None, stand: str | None) -> float:
        """Return the ground of a crop, of a stand, of a crop in a stand, or of all. [m2]"""
        if crop is None:
            return self.grown_m2 if stand is None else self.stands.get(stand, 0.0)
        mine = (one for one in self.grown if one.crop == crop and stand in (None, one.stand))
        return sum(one.ground_m2 for one in mine)

    def compared_in(self, stand: str, sold: frozenset[str]) -> float:
        """Return the ground of a stand held against sole crops: all, or that under trees. [m2]"""
        return self.stands[stand] if stand in sold else self.below_trees.get(stand, 0.0)

    def sold_stands(self, money: Money) -> frozenset[str]:
        """Return the stands of which something is sold."""
        return frozenset(
            one.stand
            for one in self.grown
            if one.harvested
            for product in money.products_of(one.crop, one.stand)
            if product.yields not in (0, (0, 0))
        )


def land_of(layout: Layout, money: Money) -> Land:
    """
    Measure the ground that money is reckoned on.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.
    money : Money
        For shares that only the user knows.

    Returns
    -------
    land : Land
    """
    ground = layout.ground
    sums = _by_stand(layout, np.ones(len(ground.area), dtype=bool))
    stands = {one.name: sums[one.name] for one in layout.plan.stands if sums.get(one.name)}
    trees = ground.kind == "tree band"
    beside = (ground.kind == "band") & np.isin(ground.block, ground.block[trees])
    below, near = _by_stand(layout, trees), _by_stand(layout, beside)
    grown = [
        one
        for stand in layout.plan.stands
        if stand.name in stands
        for one in _in_stand(stand, stands[stand.name], money)
    ]
    under = {name: below[name] for name in stands if below.get(name)}
    beds = sum(below.values())
    return Land(tuple(grown), stands, beds, under, layout.field.area, near)


def _by_stand(layout: Layout, chosen: NDArray[np.bool_]) -> dict[str, float]:
    """Add the chosen ground up by stand. [m2]"""
    sums: dict[str, float] = defaultdict(float)
    ground = layout.ground
    for stand, area in zip(ground.stand[chosen], ground.area[chosen].tolist(), strict=True):
        sums[stand] += area
    return sums


def _in_stand(stand: Stand, ground: float, money: Money) -> list[Grown]:
    """Return the crops of a stand."""
    cut = {one.crop: False for one in stand.sowing}
    for one in stand.sowing:
        cut[one.crop] |= one.harvested
    shares = _shares(stand, [crop for crop, harvested in cut.items() if harvested], money)
    return [
        Grown(crop, stand.name, ground, harvested, shares.get(crop))
        for crop, harvested in cut.items()
    ]


def _shares(stand: Stand, crops: list[str], money: Money) -> dict[str, float]:
    """Return how the crops that are harvested share a stand; nothing where nobody said."""
    if len(crops) == 1:
        return {crops[0]: 1.0}
    said: dict[str, float] = {}
    for crop in crops:
        given = [one.share for one in money.products_of(crop, stand.name) if one.share is not None]
        rates = [one.rate for one in stand.sowing if one.crop == crop and one.harvested]
        if given:
            said[crop] = given[0]
        elif rates and all(rate is not None and rate.share is not None for rate in rates):
            said[crop] = sum(rate.share or 0.0 for rate in rates if rate is not None)
    whole = sum(said.values())
    return {crop: part / whole for crop, part in said.items()} if len(said) == len(crops) else {}
