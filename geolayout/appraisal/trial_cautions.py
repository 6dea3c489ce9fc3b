"""Trials that cannot tell what they are laid for: replicates, sole crops, and plots to weigh."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import listed
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.plan.pattern import Band

__all__ = ["trial_cautions"]

REPLICATES: Final = 4
"""The least, of three treatments and more."""

PAIRS: Final = 6
"""The least of two treatments side by side: 6 to 7, and never under 5 that can be used."""

REPLICATES_SOURCE: Final = (
    "PNW STEEP on-farm testing, Design, 1994; University of Nebraska, on-farm research design "
    "module (excerpts)"
)

SHORTEST: Final = 91.4
"""300 feet: plots are that long at least. [m]"""

LENGTH_SOURCE: Final = (
    "PNW STEEP on-farm testing, Design, 1994 (excerpt): equal lengths, 91 m or more"
)

UNEQUAL: Final = 1.1
"""Plots whose longest is so many times their shortest are not of equal length. Ours. [-]"""

SOLE_SOURCE: Final = (
    "The land equivalent ratio is a yield over that of the sole crop; practice of on-farm "
    "comparison: a sole crop of each species in every replicate"
)


@dataclass(frozen=True, slots=True)
class _Trial:
    """The plots of a block: the treatment of each cut that is one, and their mean lengths."""

    block: str
    treatments: tuple[str, ...]
    lengths: tuple[float, ...]

    @property
    def different(self) -> list[str]:
        """The treatments, each once, by name."""
        return sorted(set(self.treatments))

    @property
    def replicates(self) -> int:
        """How often the one with the fewest plots stands there."""
        return min(self.treatments.count(name) for name in self.different)


def trial_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of trials without enough replicates or sole crops, or with plots that cannot be compared.

    Parameters
    ----------
    layout : Layout
        The layout; a trial is known by its plots, laid once and called after their treatment.

    Returns
    -------
    cautions : list of Caution
    """
    found: list[Caution] = []
    for b, block in enumerate(layout.blocks):
        trial = _trial(layout, b, block)
        if trial is not None:
            found += [*_replicates(trial), *_sole_crops(layout, trial), *_lengths(trial)]
    return found


def _trial(layout: Layout, index: int, block: Block) -> _Trial | None:
    """Return the trial of a block; None where its bands are no plots."""
    bands = {band.name: band for band in block.pattern.bands}
    if block.crossed_by or block.pattern.repeats != 1 or not all(map(_is_plot, bands.values())):
        return None
    ground = layout.ground
    mine = (ground.block == index) & (ground.kind == "band")
    plots = []
    for i, cut in enumerate(block.section.cuts):
        area = float(ground.area[mine & (ground.cut == i)].sum())
        if cut.band in bands and area > 0.0:
            plots.append((bands[cut.band].stand or "", area / cut.width))
    if len({name for name, _ in plots}) < 2:
        return None
    treatments, lengths = zip(*plots, strict=True)
    return _Trial(block.name, treatments, lengths)


def _is_plot(band: Band) -> bool:
    """Whether a band is called after its stand and a number, and laid whole."""
    number = band.name.removeprefix(f"{band.stand} ")
    return band.whole and number != band.name and number.isdigit()


def _replicates(trial: _Trial) -> Iterator[Caution]:
    """Return the warning of a trial with too few replicates."""
    count, names = trial.replicates, trial.different
    least = PAIRS if len(names) == 2 else REPLICATES
    if count >= least:
        return
    alone = "A strip that stands once proves nothing. " if count == 1 else ""
    yield Caution(
        key="trial-few-replicates",
        severity=WARNING,
        sentence=f"{alone}The trial of {listed(names)} has {count} replicate"
        f"{'s' if count > 1 else ''}; {least} are the least for {len(names)} treatments: what "
        "differs by chance looks like an effect.",
        remedy="Lay more replicates of fewer treatments, or count several fields as one trial.",
        source=REPLICATES_SOURCE,
        code="W31",
        value=float(count),
        threshold=float(least),
        unit="replicates",
    )


def _sole_crops(layout: Layout, trial: _Trial) -> Iterator[Caution]:
    """Return the warning of a mixture without the sole crop of each of its crops."""
    crops = {name: _crops(layout, name) for name in trial.different}
    sole = {next(iter(some)) for some in crops.values() if len(some) == 1}
    for name, some in crops.items():
        missing = sorted(some - sole)
        if len(some) > 1 and missing:
            yield Caution(
                key="trial-without-sole-crop",
                severity=WARNING,
                sentence=f"The trial has {name} and no plots of {listed(missing)} alone: nothing "
                "tells what the crops would have given by themselves.",
                remedy="Add a treatment of each crop alone, at the density that is best for it.",
                source=SOLE_SOURCE,
                code="W31",
                value=float(len(missing)),
                threshold=0.0,
                unit="crops",
            )


def _crops(layout: Layout, name: str) -> set[str]:
    """Return the crops of a stand that are harvested."""
    stand = layout.plan.stand(name)
    return {one.crop for one in stand.sowing if one.harvested} if stand is not None else set()


def _lengths(trial: _Trial) -> Iterator[Caution]:
    """Return the warning of plots of unequal length, and the note of short ones."""
    longest, shortest = max(trial.lengths), min(trial.lengths)
    if longest > UNEQUAL * shortest:
        yield Caution(
            key="trial-plots-differ",
            severity=WARNING,
            sentence=f"Plots of the trial are {shortest:.0f} to {longest:.0f} m long in the mean: "
            "what is weighed on them lies on unequal stretches of soil.",
            remedy="Weigh an equal length of each, or lay the trial where all plots are as long.",
            source=LENGTH_SOURCE,
            code="W31",
            value=longest / shortest,
            threshold=UNEQUAL,
            unit="times",
        )
    if shortest < SHORTEST:
        yield Caution(
            key="trial-short-plots",
            severity=NOTE,
            sentence=f"The shortest plot of the trial is {shortest:.0f} m long; short plots weigh "
            "their ends.",
            remedy="Lay them along the longer side, or weigh the middle alone and say its length.",
            source=LENGTH_SOURCE,
            code="W31",
            value=shortest,
            threshold=SHORTEST,
            unit="m",
        )
