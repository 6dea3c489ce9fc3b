"""
Widths of strips and alleys that fit every machine, ranked, with what each would cost.

A machine asks that a strip is a whole number of something: of its passes, of a crop's rows, of
headers, of parts of a boom that shut off. Every width that is such a number for one of them is
tried against all; common multiples come out of that by themselves, within the limits of the
warnings. Tree bands are left aside: what is asked of an alley is asked of the crop in it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.row_units import bound_to_rows
from geolayout.appraisal.strip_reach import HEADER_LIMIT, taken
from geolayout.appraisal.works import Work, supposed_operations, work_of
from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.passplaces import worked_cuts
from geolayout.plan.plan import Plan
from geolayout.plan.profile import Profile
from geolayout.plan.section import Section, shifted
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing, Stand

__all__ = ["Asked", "BandWidths", "Demand", "Misfit", "WidthChoice", "band_widths", "width_choices"]

WIDEST = 120.0
"""Strips wider than this are not looked for. Our own choice. [m]"""

TIMES_WISH = 3.0
"""Nor those wider than so many times the wish, or two passes of the widest machine. [-]"""

MOST_CHOICES = 5
"""Widths that are told. Our own choice. [-]"""

ROW_SHARE = 0.01
"""Of a row spacing: rows that miss their band by less fill it. [-]"""


class Asked(StrEnum):
    """What a width must be a whole number of."""

    PASSES = "passes"
    ROWS = "rows"
    HEADERS = "headers"
    SECTIONS = "sections"
    BOOMS = "booms"


@dataclass(frozen=True, slots=True)
class Demand:
    """
    A whole number of steps that a strip must be wide.

    Attributes
    ----------
    asked : Asked
        What of.
    who : str
        The operation, or the crop where it is rows.
    step : float
        Width of one. [m]
    limit : float
        How far a width may be off. [m]
    far_side : bool
        Whether an odd number of passes is no matter.
    """

    asked: Asked
    who: str
    step: float
    limit: float
    far_side: bool = True


@dataclass(frozen=True, slots=True)
class Misfit:
    """
    A demand that a width does not meet.

    Attributes
    ----------
    demand : Demand
        The demand.
    steps : int
        Whole steps that would be driven, or rows that would be laid.
    over : float
        What they are wider than the strip; under 0 what they leave of it. [m]
    """

    demand: Demand
    steps: int
    over: float

    @property
    def share(self) -> float:
        """What is wider or left, as a share of the strip, whichever its sign."""
        return abs(self.over) / max(self.steps * self.demand.step - self.over, 1e-9)

    @property
    def step_that_fits(self) -> float:
        """Width of a step that would fill the strip with so many. [m]"""
        return self.demand.step - self.over / self.steps


@dataclass(frozen=True, slots=True)
class WidthChoice:
    """
    One width held against every demand.

    Attributes
    ----------
    width : float
        [m]
    misfits : tuple of Misfit
        What it does not fit, none where it fits all.
    odd : tuple of Demand
        Operations with an odd number of passes, whose machine ends at the far side.
    """

    width: float
    misfits: tuple[Misfit, ...]
    odd: tuple[Demand, ...]

    @property
    def cost(self) -> float:
        """Shares of the strip that are worked twice, left, or laid beyond it, added up."""
        return sum(misfit.share for misfit in self.misfits)


@dataclass(frozen=True, slots=True)
class BandWidths:
    """
    Widths for the bands of one wished width.

    Attributes
    ----------
    bands : tuple of str
        Their names; they stay as wide as each other.
    wish : WidthChoice
        The width as the plan has it.
    choices : tuple of WidthChoice
        Best first; those that fit all machines where there are any.
    nearest : WidthChoice or None
        The nearest to the wish that fits all; None where none does.
    demands : tuple of Demand
        What was asked.
    """

    bands: tuple[str, ...]
    wish: WidthChoice
    choices: tuple[WidthChoice, ...]
    nearest: WidthChoice | None
    demands: tuple[Demand, ...]


def width_choices(demands: Sequence[Demand], wish: float) -> list[WidthChoice]:
    """
    Rank every width that meets a demand, and the wish, against all demands.

    Parameters
    ----------
    demands : sequence of Demand
        At least one.
    wish : float
        Width that is wanted. [m]

    Returns
    -------
    choices : list of WidthChoice
        Fewest demands missed first, then fewest operations that end at the far side, then the
        least ground worked twice or left, then the nearest to the wish.

    Examples
    --------
    >>> asked = [Demand(Asked.PASSES, "drill", 3.0, 0.05), Demand(Asked.PASSES, "roll", 4.5, 0.05)]
    >>> [choice.width for choice in width_choices(asked, 8.0)[:2]]
    [9.0, 18.0]
    """
    steps = np.array([demand.step for demand in demands])
    widths = _candidates(steps, wish)
    passes, over = _off(demands, steps, widths)
    limits = np.array([demand.limit for demand in demands])
    missed = np.abs(over) > limits + 1e-9
    strict = np.array([d.asked is Asked.PASSES and not d.far_side for d in demands])
    odd = strict & (passes % 2 == 1)
    share = np.where(missed, np.abs(over), 0.0).sum(axis=1) / widths
    keys = (np.abs(widths - wish), np.round(share, 4), odd.sum(axis=1), missed.sum(axis=1))
    return [
        WidthChoice(
            float(widths[k]),
            tuple(
                Misfit(demands[j], int(passes[k, j]), round(float(over[k, j]), 6))
                for j in np.flatnonzero(missed[k])
            ),
            tuple(demands[j] for j in np.flatnonzero(odd[k])),
        )
        for k in np.lexsort(keys)
    ]


def _candidates(steps: NDArray[np.float64], wish: float) -> NDArray[np.float64]:
    """Return every multiple of every step up to what is looked for, and the wish. [m]"""
    widest = min(WIDEST, max(TIMES_WISH * wish, 2 * float(steps.max())))
    multiples = [step * np.arange(1, int(widest / step + 1e-9) + 1) for step in steps]
    return np.unique(np.round(np.concatenate([*multiples, [wish]]), 4))


def _off(
    demands: Sequence[Demand], steps: NDArray[np.float64], widths: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Return the whole steps on each width, and by how much they are wider than it. [-], [m]"""
    ratio = widths[:, None] / steps[None, :]
    slack = ACROSS_SLACK / steps
    fewer = np.floor(ratio + slack)  # rows, and parts of a boom, stay within the strip
    more = np.ceil(ratio - slack)  # passes cover it
    within = np.array([demand.asked is Asked.ROWS for demand in demands])
    count = np.maximum(np.where(within, fewer, more), 1).astype(np.int64)
    return count, count * steps - widths[:, None]


def band_widths(profile: Profile, block: str = "") -> list[BandWidths]:
    """
    Return widths that fit all machines, for the bands of a pattern in all its seasons.

    Parameters
    ----------
    profile : Profile
        A section of the plan.
    block : str, default ""
        Name of its block, for seasons that speak of one block only.

    Returns
    -------
    widths : list of BandWidths
        For the bands of each width, those with trees and those that take the rest left out; none
        where no machine asks anything of them.
    """
    operations = (*profile.plan.operations, *supposed_operations(profile.plan))
    plan = profile.plan.model_copy(update={"operations": operations})
    groups: dict[float, list[int]] = {}
    for index, band in enumerate(profile.pattern.bands):
        if band.trees is None and band.width != "rest":
            groups.setdefault(float(band.width), []).append(index)
    found = []
    for wish, members in groups.items():
        demands = _demands(plan, profile, block, set(members))
        if demands:
            names = tuple(profile.pattern.bands[index].name for index in members)
            found.append(_told(names, demands, wish))
    return found


def _told(names: tuple[str, ...], demands: tuple[Demand, ...], wish: float) -> BandWidths:
    """Return the widths told for some bands."""
    ranked = width_choices(demands, wish)
    fitting = [choice for choice in ranked if not choice.misfits]
    as_wished = next(choice for choice in ranked if abs(choice.width - wish) < 1e-3)
    nearest = min(fitting, key=lambda choice: abs(choice.width - wish), default=None)
    return BandWidths(names, as_wished, tuple((fitting or ranked)[:MOST_CHOICES]), nearest, demands)


def _demands(plan: Plan, profile: Profile, block: str, members: set[int]) -> tuple[Demand, ...]:
    """Return what every season's machines and rows ask of some bands, each thing once."""
    found: list[Demand] = []
    for season in plan.seasons or (None,):
        shift = season_shift(profile.pattern, season)
        section = shifted(profile.section, shift)
        cuts = section.cuts
        stands = tuple(stand_on(plan, season, block, profile.pattern, cut) for cut in cuts)
        for i, cut in enumerate(cuts):
            stand = stands[i]
            if cut.index in members and not cut.note and stand is not None:
                found += _of_stand(plan, profile, (section, stands), (i, stand))
    return tuple(_sharpest(found))


def _of_stand(
    plan: Plan,
    profile: Profile,
    laid: tuple[Section, Sequence[Stand | None]],
    place: tuple[int, Stand],
) -> Iterator[Demand]:
    """Yield what is asked of a cut that grows one stand."""
    i, stand = place
    for sowing in stand.sowing:
        yield from _rows(sowing)
    for operation in plan.operations:
        if i in worked_cuts(plan, operation, *laid):
            work, machine = work_of(plan, operation), plan.machine(operation.machine)
            yield from _of_operation((operation, machine, work), profile, laid[1], stand)


def _rows(sowing: Sowing) -> Iterator[Demand]:
    """Yield the whole number of rows, or of motifs, that fill a band."""
    step = sowing.spacing if sowing.between is None else None
    step = sowing.every if step is None else step
    if step is not None:
        yield Demand(Asked.ROWS, sowing.label, step, ROW_SHARE * step)


def _of_operation(
    doing: tuple[Operation, Machine, Work],
    profile: Profile,
    stands: Sequence[Stand | None],
    stand: Stand,
) -> Iterator[Demand]:
    """Yield what one operation asks of a strip."""
    operation, machine, work = doing
    width = machine.working_width
    if work in (Work.SPRAY, Work.SPREAD) and operation.over != "pattern":
        yield from _of_boom(operation, machine, profile, stands)
    elif work is Work.HARVEST and operation.over == "band" and taken(stand):
        header = machine.header.width if machine.header is not None else width
        if machine.header is None or _header_takes(machine, stand):
            yield Demand(Asked.HEADERS, operation.name, header, HEADER_LIMIT)
        yield Demand(Asked.PASSES, operation.name, width, HEADER_LIMIT, machine.far_side_access)
    elif operation.over == "band":
        yield Demand(Asked.PASSES, operation.name, width, ACROSS_SLACK, machine.far_side_access)


def _header_takes(machine: Machine, stand: Stand) -> bool:
    """Whether a crop of a stand binds the header, so that its own width counts and not the pass."""
    header = machine.header
    return header is not None and any(
        crop.spacing is not None and bound_to_rows(header, crop.spacing) for crop in stand.sowing
    )


def _of_boom(
    operation: Operation, machine: Machine, profile: Profile, stands: Sequence[Stand | None]
) -> Iterator[Demand]:
    """Yield what a boom asks: whole booms between trees, else parts that shut off at borders."""
    names = {stand.name for stand in stands if stand is not None}
    if profile.pattern.has_trees or operation.over == "band":
        yield Demand(Asked.BOOMS, operation.name, machine.working_width, ACROSS_SLACK)
    elif len(names) > 1 and machine.sections is not None:
        part = machine.working_width / machine.sections
        yield Demand(Asked.SECTIONS, operation.name, part, ACROSS_SLACK)
    elif len(names) > 1:
        yield Demand(Asked.BOOMS, operation.name, machine.working_width, ACROSS_SLACK)


def _sharpest(demands: Sequence[Demand]) -> list[Demand]:
    """Return each demand once, headers left out that ask what passes of the operation ask."""
    once = list(dict.fromkeys(demands))
    passes = {replace(d, asked=Asked.HEADERS, far_side=True) for d in once}
    return [d for d in once if d.asked is not Asked.HEADERS or d not in passes - {d}]
