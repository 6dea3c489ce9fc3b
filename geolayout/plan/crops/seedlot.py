"""Seed as it is bought: how heavy, how much of it comes up, in which packs."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Name, Value

__all__ = ["Mass", "Seed", "SeedLot", "VarietySeed", "filled"]

Grams = Annotated[float, Field(strict=True, gt=0, le=1e6, allow_inf_nan=False)]
Percent = Annotated[float, Field(strict=True, ge=1, le=100, allow_inf_nan=False)]
Spare = Annotated[float, Field(strict=True, ge=0, le=100, allow_inf_nan=False)]
Mass = Annotated[float, Field(strict=True, gt=0, le=100_000, allow_inf_nan=False)]
PackCount = Annotated[float, Field(strict=True, ge=1, le=1e9, allow_inf_nan=False)]


class SeedLot(Value):
    """
    One lot of seed, as its label has it.

    Attributes
    ----------
    tgw : float, optional
        Thousand grain weight. [g]
    germination : float, optional
        Seeds that germinate in the test. [%]
    emergence : float, optional
        Of those that germinate, what comes up and stays. [%]
    establishment : float, optional
        Both in one: seeds that become plants. [%]
    pack_kg : float, optional
        Mass of one pack. [kg]
    pack_seeds : float, optional
        Seeds in one pack, where it is sold by number.
    """

    tgw: Grams | None = None
    germination: Percent | None = None
    emergence: Percent | None = None
    establishment: Percent | None = None
    pack_kg: Mass | None = None
    pack_seeds: PackCount | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        parted = self.germination is not None or self.emergence is not None
        if self.establishment is not None and parted:
            raise PlanError(
                f"Seed has establishment = {self.establishment:g} beside germination or emergence.",
                "Establishment is both in one, so they would be counted twice.",
                "Keep establishment, or germination and emergence.",
            )
        if self.pack_kg is not None and self.pack_seeds is not None:
            raise PlanError(
                f"A pack holds {self.pack_kg:g} kg and {self.pack_seeds:g} seeds.",
                "Packs are sold by one of the two.",
                "Keep the one that the label promises.",
            )
        return self


class VarietySeed(SeedLot):
    """
    The lot of one variety of a mix; what it does not say is as the sowing's seed has it.

    Attributes
    ----------
    name : str
        The variety, as the mix calls it.
    """

    name: Name


class Seed(SeedLot):
    """
    The seed of a sowing.

    Attributes
    ----------
    spare : float
        What is ordered beyond the need. [%]
    varieties : tuple of VarietySeed
        Lots of a mix's varieties, where they differ.
    """

    spare: Spare = 0.0
    varieties: tuple[VarietySeed, ...] = ()

    @model_validator(mode="after")
    def _once(self) -> Self:
        names = [lot.name for lot in self.varieties]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise PlanError(
                f"Variety {twice[0]!r} has two lots.",
                "Nothing says how much of each.",
                "Give the two lots names of their own in the mix.",
            )
        return self

    def lot(self, variety: str) -> SeedLot:
        """Return the lot of a variety, or of all of it where it has none of its own."""
        own = next((lot for lot in self.varieties if lot.name == variety), None)
        return self if own is None else _over(self, own)


def _over(common: Seed, own: VarietySeed) -> SeedLot:
    """Return a variety's lot, filled up from the sowing's seed where they do not exclude."""
    given = own.model_dump(exclude_unset=True, exclude={"name"})
    return SeedLot.model_validate({**_beside(common, set(given)), **given})


def filled(own: Seed | None, common: Seed | None) -> Seed | None:
    """Return a sowing's seed, filled up from that of its crop where they do not exclude."""
    if own is None or common is None:
        return own or common
    given = {name: getattr(own, name) for name in own.model_fields_set}
    beyond = common.model_dump(exclude_unset=True, include={"spare"})
    return Seed.model_validate({**beyond, **_beside(common, set(given)), **given})


_EXCLUDE = (
    ({"germination", "emergence"}, {"establishment"}),
    ({"establishment"}, {"germination", "emergence"}),
    ({"pack_kg", "pack_seeds"}, {"pack_kg", "pack_seeds"}),
)
"""Keys of which any one given leaves the others out."""


def _beside(common: Seed, given: set[str]) -> dict[str, object]:
    """Return what a lot says beside the keys that another gave."""
    left_out = {"spare", "varieties"}
    for keys, others in _EXCLUDE:
        if keys & given:
            left_out |= others
    return common.model_dump(exclude_unset=True, exclude=left_out)
