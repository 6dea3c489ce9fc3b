"""Gross margins: of each crop with the costs that are its own, and of the field with all."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geolayout.appraisal.money.budget import Account, added, minus
from geolayout.appraisal.money.land import Land
from geolayout.appraisal.money.lines import CostLine, ProductLine
from geolayout.appraisal.seed.rate import Span

__all__ = ["Margin", "crop_margins", "field_margin", "single_crops"]

HECTARE = 1e4
"""[m2]"""


@dataclass(frozen=True, slots=True)
class Margin:
    """
    The gross margin of some ground.

    Attributes
    ----------
    of : str
        The crop, or "field".
    ground_m2 : float
        Ground that it stands on, which others may share. [m2]
    income, costs, margin : Span or None
        None where something is missing. [coin]
    margin_per_ha : Span or None
        Of that ground. [coin/ha]
    missing : tuple of str
        What nobody said.
    """

    of: str
    ground_m2: float
    income: Span | None
    costs: Span | None
    margin: Span | None
    margin_per_ha: Span | None
    missing: tuple[str, ...]

    @property
    def account(self) -> Account | None:
        """The same as an account, where nothing is missing."""
        if self.income is None or self.costs is None:
            return None
        return Account(self.of, self.income, self.costs)


def single_crops(land: Land) -> dict[str, str]:
    """Return the crop of each stand that has only one."""
    crops: dict[str, list[str]] = {}
    for one in land.grown:
        crops.setdefault(one.stand, []).append(one.crop)
    return {stand: names[0] for stand, names in crops.items() if len(names) == 1}


def crop_margins(
    land: Land, sold: Sequence[ProductLine], costs: Sequence[CostLine]
) -> tuple[Margin, ...]:
    """
    Return the margin of each crop: what it brings less the costs that are its alone.

    Costs that several crops share are in the margin of the field only.
    """
    crops = list(dict.fromkeys(one.crop for one in land.grown))
    return tuple(
        _margin(
            crop,
            land.ground_of(crop, None),
            [one for one in sold if one.crop == crop],
            [one for one in costs if one.crop == crop],
        )
        for crop in crops
    )


def field_margin(
    land: Land, sold: Sequence[ProductLine], costs: Sequence[CostLine], of: str = "field"
) -> Margin:
    """Return the margin of the field, over its area of record."""
    return _margin(of, land.field_m2, sold, costs)


def _margin(
    of: str, ground: float, sold: Sequence[ProductLine], costs: Sequence[CostLine]
) -> Margin:
    """Add lines up, unless something is missing."""
    income, paid = _all(one.income for one in sold), _all(one.cost for one in costs)
    lacks = [*(one.missing for one in sold), *(one.missing for one in costs)]
    missing = tuple(dict.fromkeys(word for words in lacks for word in words))
    margin = minus(income, paid) if income is not None and paid is not None else None
    known = margin is not None and ground > 0
    by_ha = margin / (ground / HECTARE) if margin is not None and known else None
    return Margin(of, ground, income, paid, margin, by_ha, missing)


def _all(spans: Iterable[Span | None]) -> Span | None:
    """Add figures up; None where one of them is."""
    found = list(spans)
    known = [span for span in found if span is not None]
    return added(known) if len(known) == len(found) else None
