"""Bands of ground side by side, with or without trees, repeated or laid once."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.trees.trees import BandTrees, Setback
from geolayout.plan.value import Count, Distance, Length, Name, Value

__all__ = ["Band", "BandTrees", "Pattern", "Setback", "Trial"]


class Band(Value):
    """
    Ground square to the guide lines, with a width.

    Attributes
    ----------
    name : str
        What seasons and maps call it.
    width : float or "rest"
        Its width; "rest" takes what the other bands leave. [m]
    stand : str, optional
        What grows there; "none" is bare. A band with trees may leave it out.
    whole : bool
        Never laid narrower than its width.
    min_width : float
        The narrowest cut that is kept at the far side. [m]
    trees : BandTrees, optional
        Trees standing in it.
    """

    name: Name
    width: Length | Literal["rest"]
    stand: Name = "none"
    whole: Annotated[bool, Field(strict=True)] = False
    min_width: Length | None = None
    trees: BandTrees | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.trees is None and "stand" not in self.model_fields_set:
            raise PlanError(
                f"Band {self.name} has no stand.",
                "Nothing says what grows there.",
                'Add stand = "...", or stand = "none" for bare ground.',
            )
        if self.width == "rest":
            return self
        if self.min_width is not None and self.min_width > self.width:
            raise PlanError(
                f"Band {self.name} is {self.width:g} m wide with min_width {self.min_width:g} m.",
                "A cut band is never wider than the band.",
                "Make min_width smaller.",
            )
        if self.trees is not None:
            _check_trees_fit(self, self.width, self.trees)
        return self

    @property
    def least_width(self) -> float:
        """The narrowest cut that is kept. [m]"""
        return ACROSS_SLACK if self.min_width is None else self.min_width


def _check_trees_fit(band: Band, width: float, trees: BandTrees) -> None:
    """Tree rows stand on their own band."""
    span = trees.at[-1] if trees.at is not None else ((trees.rows or 1) - 1) * trees.row_step
    if span > width:
        raise PlanError(
            f"Tree rows of band {band.name} reach {span:g} m across a band of {width:g} m.",
            "Trees stand on their own band.",
            "Make the band wider or bring the tree rows closer.",
        )


class Trial(Value):
    """
    An on-farm trial: whole plots side by side, each treatment once in every replicate.

    Attributes
    ----------
    treatments : tuple of str
        Names of stands, sole crops included.
    replicates : int
        How many times each treatment is laid.
    plot_width : float
        Width of a plot. [m]
    guard : float
        Width inside each side of a plot that is not harvested for the result. [m]
    harvest_width : float
        Width of the pass that is weighed. [m]
    seed : int
        Number that fixes the order of the plots.
    rest : str
        Stand on the land that is left; "none" is bare.
    """

    treatments: Annotated[tuple[Name, ...], Field(min_length=2)]
    replicates: Count
    plot_width: Length
    guard: Distance = 0.0
    harvest_width: Length
    seed: Annotated[int, Field(strict=True, ge=0)] = 0
    rest: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if len(set(self.treatments)) != len(self.treatments):
            raise PlanError(
                f"The trial names a treatment twice: {', '.join(self.treatments)}.",
                "Each treatment is laid once in every replicate.",
                "Name each once and use replicates.",
            )
        needed = self.harvest_width + 2 * self.guard
        if self.plot_width < needed - 1e-9:
            raise PlanError(
                f"A plot is {self.plot_width:g} m wide and needs {needed:g} m.",
                f"That is {self.harvest_width:g} m to weigh and {self.guard:g} m guard each side.",
                "Widen the plot, or narrow the guard or the weighed pass.",
            )
        return self


class Pattern(Value):
    """
    Bands in order away from `from`, repeated until the land ends.

    Attributes
    ----------
    name : str
        What blocks call it.
    bands : tuple of Band
        The bands of one repeat. Empty where a trial stands in their place.
    trial : Trial, optional
        A trial instead of bands.
    remainder : {"cut", "widen", "spread", "headland"}
        What happens to land that holds no further band.
    close_with : str, optional
        The band that must be the last at either side.
    repeats : int, optional
        How many repeats are laid; until the land ends if nothing is said.
    rest : str, optional
        Stand on the land beyond the repeats.
    """

    name: Name
    bands: tuple[Band, ...] = ()
    trial: Trial | None = None
    remainder: Literal["cut", "widen", "spread", "headland"] = "cut"
    close_with: Name | None = None
    repeats: Count | None = None
    rest: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if bool(self.bands) == (self.trial is not None):
            found = "both bands and a trial" if self.bands else "no bands"
            raise PlanError(
                f"Pattern {self.name} has {found}.",
                "A pattern is either bands or a trial.",
                "Give bands = [ ... ] or trial = { ... }.",
            )
        _check_band_names(self)
        _check_rest(self)
        return self

    @property
    def laid_once(self) -> bool:
        """Whether it does not repeat because one band takes the rest of the width."""
        return any(band.width == "rest" for band in self.bands)

    @property
    def repeat_width(self) -> float:
        """Width of one repeat; the fixed bands only where one takes the rest. [m]"""
        return sum(band.width for band in self.bands if band.width != "rest")

    @property
    def has_trees(self) -> bool:
        """Whether any band carries trees."""
        return any(band.trees is not None for band in self.bands)


def _check_band_names(pattern: Pattern) -> None:
    """Band names are unique, and `close_with` is one of them."""
    names = [band.name for band in pattern.bands]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(
            f"Pattern {pattern.name} has two bands called {twice[0]}.",
            "A season could not say which of the two it means.",
            "Give each band its own name; two may grow the same stand.",
        )
    if pattern.close_with is not None and pattern.close_with not in names:
        raise PlanError(
            f"Pattern {pattern.name} closes with {pattern.close_with!r}.",
            "That is not one of its bands.",
            f"Its bands are: {', '.join(names) or 'none'}.",
        )


def _check_rest(pattern: Pattern) -> None:
    """At most one band takes the rest, and land beyond repeats needs repeats."""
    if pattern.trial is not None and pattern.repeats is not None:
        raise PlanError(
            f"Pattern {pattern.name} is a trial and has repeats = {pattern.repeats}.",
            "A trial is laid once, with its replicates side by side.",
            "Take repeats away; the trial's own replicates say how often.",
        )
    if pattern.rest is not None and "rest" in (band.name for band in pattern.bands):
        raise PlanError(
            f'Pattern {pattern.name} names `rest` and has a band called "rest".',
            "A season could not say which of the two it means.",
            "Give the band another name.",
        )
    takers = [band.name for band in pattern.bands if band.width == "rest"]
    if len(takers) > 1:
        raise PlanError(
            f'Pattern {pattern.name} has width = "rest" on {" and ".join(takers)}.',
            "Only one band can take what the others leave.",
            "Give all but one a width in metres.",
        )
    if takers and pattern.repeats is not None:
        raise PlanError(
            f'Pattern {pattern.name} has repeats and a band of width "rest".',
            "A pattern with such a band is laid once.",
            "Take one of the two away.",
        )
    if pattern.rest is not None and pattern.repeats is None:
        raise PlanError(
            f"Pattern {pattern.name} names `rest` and no repeats.",
            "Without repeats the bands run until the land ends and nothing is left.",
            "Add repeats = n.",
        )
