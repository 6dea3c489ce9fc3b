"""
From a trial to named whole bands: each treatment once in every replicate, in a shuffled order.

The order comes from our own shuffle, `geolayout.plan.shuffle`: each replicate is shuffled, one
after the other, from the same run of numbers.
"""

from collections.abc import Mapping

from geolayout.errors import LayoutError, PlanError
from geolayout.plan.pattern import Band, Pattern, Trial
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.section import Section
from geolayout.plan.shuffle import numbers, shuffled

__all__ = [
    "check_whole",
    "expand",
    "expand_trials",
    "order_words",
    "plot_name",
    "plot_order",
    "trial_width",
]

LONGEST_NAME = 80
"""Letters in a name of the plan. [-]"""


def expand(pattern: Pattern, trial: Trial) -> Pattern:
    """
    Turn a trial into a pattern of plots, laid once.

    Parameters
    ----------
    pattern : Pattern
        The pattern that the trial stands in.
    trial : Trial
        The trial.

    Returns
    -------
    pattern : Pattern
        One whole band a plot, such as "mix 1" for the treatment "mix" in replicate 1, and the
        trial's rest on the land that is left.

    Raises
    ------
    PlanError
        If a plot's name would be too long.
    """
    bands = tuple(
        _plot(trial, treatment, replicate)
        for replicate, treatments in enumerate(plot_order(trial), start=1)
        for treatment in treatments
    )
    return Pattern(
        name=pattern.name,
        bands=bands,
        remainder=pattern.remainder,
        close_with=pattern.close_with,
        repeats=1,
        rest=trial.rest,
    )


def expand_trials(plan: Plan) -> Plan:
    """
    Turn every trial of a plan into bands.

    A season that gives a treatment another stand gives it to every plot of that treatment.

    Parameters
    ----------
    plan : Plan
        A plan, with or without trials.

    Returns
    -------
    plan : Plan
        The same plan without trials.

    Raises
    ------
    PlanError
        If a plot's name would be too long.
    """
    if all(pattern.trial is None for pattern in plan.patterns):
        return plan
    patterns = tuple(expand(p, p.trial) if p.trial is not None else p for p in plan.patterns)
    plots = _plots_of(plan)
    kept = {band.name for pattern in plan.patterns for band in pattern.bands}
    seasons = tuple(_with_plots(season, plots, kept) for season in plan.seasons)
    return plan.model_copy(update={"patterns": patterns, "seasons": seasons})


def plot_order(trial: Trial) -> list[list[str]]:
    """
    Return the treatments of each replicate, in the order of their plots.

    Parameters
    ----------
    trial : Trial
        The trial; its seed fixes the order.

    Examples
    --------
    >>> plot_order(Trial(treatments=("a", "b", "c"), replicates=2, plot_width=6.0,
    ...     harvest_width=6.0, seed=7))
    [['b', 'c', 'a'], ['c', 'b', 'a']]
    """
    drawn = numbers(trial.seed)
    return [shuffled(trial.treatments, drawn) for _ in range(trial.replicates)]


def order_words(trial: Trial) -> list[str]:
    """Say the order of the plots, one line a replicate, with the seed that fixes it."""
    return [
        f"Replicate {i}, in order away from the near side: {', '.join(treatments)} "
        f"(seed {trial.seed})."
        for i, treatments in enumerate(plot_order(trial), start=1)
    ]


def check_whole(trial: Trial, section: Section) -> None:
    """
    Refuse a section in which a trial lacks plots: a treatment would be short of a replicate.

    Parameters
    ----------
    trial : Trial
        The trial.
    section : Section
        The section of its pattern on the land.

    Raises
    ------
    LayoutError
        If a plot does not find room.
    """
    plots = len(trial.treatments) * trial.replicates
    laid = sum(cut.grows and cut.index >= 0 for cut in section.cuts)
    if laid == plots:
        return
    across = section.cuts[-1].t1 - section.cuts[0].t0
    raise LayoutError(
        f"The trial has {plots} plots of {trial.plot_width:g} m, {trial_width(trial):g} m in all, "
        f"and the land, {across:.1f} m across, takes {laid} of them whole.",
        "Each treatment stands once in every replicate, or the replicates cannot be compared.",
        "Use fewer replicates, narrower plots, another bearing or a smaller start.",
    )


def plot_name(treatment: str, replicate: int) -> str:
    """Return the name of the band that a treatment has in a replicate."""
    return f"{treatment} {replicate}"


def trial_width(trial: Trial) -> float:
    """Return the width that all plots take together. [m]"""
    return len(trial.treatments) * trial.replicates * trial.plot_width


def _plot(trial: Trial, treatment: str, replicate: int) -> Band:
    """Return the band of one plot."""
    name = plot_name(treatment, replicate)
    if len(name) > LONGEST_NAME:
        raise PlanError(
            f"Plot {name!r} has a name of {len(name)} letters.",
            f"It is the treatment with its replicate, and a name has up to {LONGEST_NAME}.",
            "Give the stand a shorter name.",
        )
    return Band(name=name, width=trial.plot_width, stand=treatment, whole=True)


def _plots_of(plan: Plan) -> dict[str, list[str]]:
    """Return the plots of each treatment, by the treatment's name."""
    plots: dict[str, list[str]] = {}
    for pattern in plan.patterns:
        trial = pattern.trial
        for treatment in trial.treatments if trial is not None else ():
            replicates = range(1, trial.replicates + 1) if trial is not None else ()
            names = [plot_name(treatment, replicate) for replicate in replicates]
            plots[treatment] = [*plots.get(treatment, []), *names]
    return {treatment: list(dict.fromkeys(names)) for treatment, names in plots.items()}


def _with_plots(season: Season, plots: Mapping[str, list[str]], kept: set[str]) -> Season:
    """Return a season that speaks of plots where it spoke of treatments."""
    grows: dict[str, str] = {}
    for key, stand in season.grows.items():
        block, slash, name = key.rpartition("/")
        own = [key] if name in kept or name not in plots else []
        named = [f"{block}{slash}{plot}" for plot in plots.get(name, [])]
        grows |= dict.fromkeys([*own, *named], stand)
    return season.model_copy(update={"grows": grows})
