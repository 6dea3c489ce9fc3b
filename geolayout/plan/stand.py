"""What is sown together on one band: a stand is one or more sowings."""

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.crops.seedlot import Seed
from geolayout.plan.near import near_names
from geolayout.plan.value import Count, Distance, Length, Name, Value

__all__ = ["Rate", "Sowing", "Stand", "When", "check_no_share", "rate_of"]

Amount = Annotated[float, Field(strict=True, gt=0, le=1e9, allow_inf_nan=False)]
Share = Annotated[float, Field(strict=True, gt=0, le=10, allow_inf_nan=False)]


class Rate(Value):
    """
    How much of a crop is sown, in exactly one of four ways.

    Attributes
    ----------
    plants_per_ha : float, optional
        Plants wanted per hectare of band ground. [1/ha]
    seeds_per_m2 : float, optional
        Seeds sown per square metre of band ground. [1/m2]
    kg_per_ha : float, optional
        Seed sown per hectare of band ground. [kg/ha]
    share : float, optional
        Share of the rate the crop has when grown alone. [-]
    """

    plants_per_ha: Amount | None = None
    seeds_per_m2: Amount | None = None
    kg_per_ha: Amount | None = None
    share: Share | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        given = self.model_fields_set
        if len(given) != 1:
            raise PlanError(
                f"A rate is given in {len(given)} ways ({', '.join(sorted(given)) or 'none'}).",
                "Two ways may disagree, and none says nothing.",
                "Give one of plants_per_ha, seeds_per_m2, kg_per_ha or share.",
            )
        return self

    @property
    def unit(self) -> str:
        """The key that was given."""
        return next(iter(self.model_fields_set))

    @property
    def amount(self) -> float:
        """The figure that was given, in the unit its key says."""
        return float(getattr(self, self.unit))


class When(Value):
    """
    When a sowing is done: at a stage of another crop of the stand, or on a day.

    Attributes
    ----------
    crop : str, optional
        The crop, or the sowing's name, whose stage decides.
    stage : str, optional
        The growth stage, as the grower says it.
    date : date, optional
        A day.
    """

    crop: Name | None = None
    stage: Name | None = None
    date: dt.date | None = None

    @model_validator(mode="after")
    def _complete(self) -> Self:
        by_stage = self.crop is not None and self.stage is not None
        if by_stage == (self.date is not None) or (self.crop is None) != (self.stage is None):
            raise PlanError(
                "`when` is not complete.",
                "A sowing waits for a stage of a crop, or for a day.",
                'Give { crop = "...", stage = "..." } or { date = 2027-04-20 }.',
            )
        return self


class Sowing(Value):
    """
    One crop put into a band: which, where across it, how much, when and by which operation.

    Attributes
    ----------
    crop : str
        What is sown, or what stands there already.
    name : str, optional
        A name of its own, needed where one crop is sown twice.
    rows : int, optional
        Rows in the band.
    spacing : float, optional
        Between neighbouring rows, centre to centre. [m]
    at : tuple of float, optional
        Places of the rows from the band edge nearer `from`, or within one motif. [m]
    every : float, optional
        Length after which the motif `at` comes again. [m]
    place : {"rows", "broadcast", "standing"}
        How it stands; a standing crop is there already and is not sown.
    between : str, optional
        The crop, or sowing, between whose rows it goes.
    skip : tuple of str
        Operations whose wheel tracks are left unsown.
    when : When, optional
        When it is sown, if not with the rest.
    harvested : bool
        Whether it is taken to market.
    rate, sole_rate : Rate, optional
        How much, and how much when grown alone (for a share).
    mix : mapping of str to float
        Varieties and their shares by weight; they add up to 1.
    seed : Seed, optional
        The seed as it is bought: weight, germination, packs.
    cleared : float, optional
        Width of the standing crop that is killed, centred on each row. [m]
    operation : str, optional
        The operation that sows it.
    """

    crop: Name
    name: Name | None = None
    rows: Count | None = None
    spacing: Length | None = None
    at: tuple[Distance, ...] | None = None
    every: Length | None = None
    place: Literal["rows", "broadcast", "standing"] = "rows"
    between: Name | None = None
    skip: tuple[Name, ...] = ()
    when: When | None = None
    harvested: Annotated[bool, Field(strict=True)] = True
    rate: Rate | None = None
    sole_rate: Rate | None = None
    mix: dict[Name, Share] = Field(default_factory=dict)
    seed: Seed | None = None
    cleared: Length | None = None
    operation: Name | None = None

    @property
    def label(self) -> str:
        """What other sowings call it: its name, else its crop."""
        return self.name or self.crop

    @property
    def in_rows(self) -> bool:
        """Whether it has rows of its own."""
        return self.place == "rows"

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for check in (_check_place, _check_motif, _check_rows_given, _check_mix, _check_share):
            check(self)
        return self


def _check_place(sowing: Sowing) -> None:
    """Rows and their measures belong to a crop in rows; a standing crop has no seed."""
    if sowing.in_rows:
        return
    keys = ("rows", "spacing", "at", "every", "between", "cleared")
    given = [key for key in keys if getattr(sowing, key) is not None]
    if given:
        raise PlanError(
            f'{sowing.label} is `place = "{sowing.place}"` and also has {", ".join(given)}.',
            f"A {sowing.place} crop has no rows.",
            'Take these keys away, or say place = "rows".',
        )
    if sowing.place == "standing" and sowing.rate is not None:
        raise PlanError(
            f'{sowing.label} is `place = "standing"` and has a rate.',
            "A standing crop is there already, so it needs no seed.",
            'Take the rate away, or say place = "broadcast" if it is sown this year.',
        )


def _check_motif(sowing: Sowing) -> None:
    """`at` with `every` is a motif; neither goes with `rows` or `spacing`."""
    if sowing.every is not None and sowing.at is None:
        raise PlanError(
            f"{sowing.label} has `every = {sowing.every:g}` m and no `at`.",
            "A motif needs the places of its rows.",
            "Add at = [ ... ], or use spacing for evenly spaced rows.",
        )
    if sowing.at is None:
        return
    if sowing.rows is not None or sowing.spacing is not None or sowing.between is not None:
        raise PlanError(
            f"{sowing.label} has `at` beside rows, spacing or between.",
            "The places of the rows would be said twice.",
            "Keep either `at` (with `every`), or rows and spacing, or between.",
        )
    if not sowing.at or list(sowing.at) != sorted(set(sowing.at)):
        raise PlanError(
            f"{sowing.label} has `at = {list(sowing.at)}`.",
            "The places must be one or more, growing, none of them twice.",
            "Write them from the band's edge outwards, such as at = [0.10, 0.30].",
        )
    if sowing.every is not None and sowing.at[-1] >= sowing.every:
        raise PlanError(
            f"{sowing.label} has a row at {sowing.at[-1]:g} m in a motif of {sowing.every:g} m.",
            "A row beyond the motif falls into the next one.",
            "Make `every` larger, or bring the row inside it.",
        )


def _check_rows_given(sowing: Sowing) -> None:
    """Evenly spaced rows need a spacing or a number; rows in a gap need a number."""
    if not sowing.in_rows or sowing.at is not None:
        return
    if sowing.between is not None:
        if sowing.rows is None or (sowing.rows > 1 and sowing.spacing is None):
            raise PlanError(
                f"{sowing.label} goes between rows of {sowing.between}, but not how.",
                "Rows in a gap need their number, and their spacing if there is more than one.",
                "Add rows = 1, or rows = 3 and spacing = 0.15.",
            )
        return
    if sowing.rows is None and sowing.spacing is None:
        raise PlanError(
            f"{sowing.label} has neither rows nor spacing.",
            "Nothing says where its rows stand.",
            'Add spacing = 0.125 (m), or rows, or at, or place = "broadcast".',
        )


def _check_mix(sowing: Sowing) -> None:
    """Shares of varieties by weight add up to one."""
    total = sum(sowing.mix.values())
    if sowing.mix and abs(total - 1.0) > 1e-6:
        raise PlanError(
            f"The varieties of {sowing.label} add up to {total:g}.",
            "Shares by weight add up to 1.",
            "Change the shares, such as 0.4 and 0.6.",
        )
    lots = [lot.name for lot in sowing.seed.varieties] if sowing.seed is not None else []
    for name in lots:
        if name not in sowing.mix:
            raise PlanError(
                f"The seed of {sowing.label} has a lot of variety {name!r}.",
                "Its mix has no such variety.",
                near_names(name, sowing.mix) if sowing.mix else "Add mix, or take the lot away.",
            )


def _check_share(sowing: Sowing) -> None:
    """The rate when grown alone is itself not a share."""
    check_no_share(sowing.label, sowing.sole_rate)


def check_no_share(label: str, sole_rate: Rate | None) -> None:
    """Raise if the rate of a crop when grown alone is itself a share."""
    if sole_rate is not None and sole_rate.unit == "share":
        raise PlanError(
            f"The sole_rate of {label} is a share.",
            "A share of what is then not said.",
            "Give sole_rate in plants_per_ha, seeds_per_m2 or kg_per_ha.",
        )


def rate_of(sowing: Sowing) -> Rate | None:
    """
    Return the rate of a sowing with a share multiplied out; None where no figure follows.

    Examples
    --------
    >>> half, alone = Rate(share=0.5), Rate(kg_per_ha=180.0)
    >>> rate_of(Sowing(crop="oats", spacing=0.125, rate=half, sole_rate=alone)).kg_per_ha
    90.0
    """
    if sowing.rate is None or sowing.rate.unit != "share":
        return sowing.rate
    alone = sowing.sole_rate
    return None if alone is None else Rate(**{alone.unit: sowing.rate.amount * alone.amount})


class Stand(Value):
    """
    What is sown together, as one or more sowings.

    Attributes
    ----------
    name : str
        What bands and seasons call it. "none" is bare ground and cannot be a stand.
    sowing : tuple of Sowing
        The sowings, in the order they were written.
    mixed_grain : str, optional
        What becomes of grain that is threshed together.
    """

    name: Name
    sowing: Annotated[tuple[Sowing, ...], Field(min_length=1)]
    mixed_grain: Name | None = None

    def find(self, label: str) -> Sowing | None:
        """Return the sowing with this name, else the one of this crop."""
        named = [s for s in self.sowing if s.name == label]
        return next(iter(named or [s for s in self.sowing if s.crop == label]), None)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.name == "none":
            raise PlanError(
                'A stand is called "none".',
                'A band with stand = "none" is bare.',
                "Give the stand another name.",
            )
        _check_labels(self)
        _check_references(self)
        _check_one_motif(self)
        return self


def _check_labels(stand: Stand) -> None:
    """Each sowing can be told from the others."""
    labels = [sowing.label for sowing in stand.sowing]
    twice = sorted({label for label in labels if labels.count(label) > 1})
    if twice:
        raise PlanError(
            f"Stand {stand.name} sows {twice[0]} twice under one name.",
            "Others could not say which of the two they mean.",
            'Give each a name, such as name = "first clover".',
        )


def _check_references(stand: Stand) -> None:
    """`between` and `when` point at another sowing of the same stand."""
    for sowing in stand.sowing:
        wanted = [
            ("between", sowing.between),
            ("when", sowing.when.crop if sowing.when is not None else None),
        ]
        for key, label in wanted:
            if label is None:
                continue
            other = stand.find(label)
            if other is None or other is sowing:
                others = ", ".join(s.label for s in stand.sowing if s is not sowing) or "none"
                raise PlanError(
                    f"{sowing.label} in stand {stand.name} has {key} {label!r}.",
                    "That is not another sowing of this stand.",
                    f"The others are: {others}.",
                )
            if key == "between" and (not other.in_rows or other.between is not None):
                raise PlanError(
                    f"{sowing.label} in stand {stand.name} goes between rows of {label}.",
                    f"{label} has no rows of its own in the band.",
                    "Name a sowing with spacing, rows or at.",
                )


def _check_one_motif(stand: Stand) -> None:
    """Motifs of one stand have one length, or their rows would run apart across the band."""
    lengths = {sowing.every for sowing in stand.sowing if sowing.every is not None}
    if len(lengths) > 1:
        found = " and ".join(f"{length:g}" for length in sorted(lengths))
        raise PlanError(
            f"Stand {stand.name} has motifs of {found} m.",
            "Rows of one stand repeat together.",
            "Use one length for every, the longest that holds all rows.",
        )
