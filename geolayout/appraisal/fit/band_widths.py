"""
Widths that fit every machine, for the bands of a plan in all its seasons.

Tree bands are left aside: what is asked of an alley is asked of the crop in it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geolayout.appraisal.fit.passes import HEADER_LIMIT
from geolayout.appraisal.fit.reach import taken
from geolayout.appraisal.fit.rows import SPACING_SHARE
from geolayout.appraisal.fit.tramlines import best_phase, tramlines_of
from geolayout.appraisal.fit.widths import Asked, Demand, WidthChoice, width_choices
from geolayout.appraisal.works import SUPPOSED, Work, supposed_operations, work_of
from geolayout.plan.grows import stand_on
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.section.profile import Profile
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing, Stand

__all__ = ["BandWidths", "band_widths"]

MOST_CHOICES = 5
"""Widths that are told. Our own choice. [-]"""

SAME = 1e-3
"""Widths nearer than this to each other are one. [m]"""


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
            found.append(_told(profile, names, demands, wish))
    return found


def _told(
    profile: Profile, names: tuple[str, ...], demands: tuple[Demand, ...], wish: float
) -> BandWidths:
    """Return the widths told for some bands, with the tramlines on each."""
    ranked = width_choices(demands, wish)
    fitting = [choice for choice in ranked if not choice.misfits]
    as_wished = next(choice for choice in ranked if abs(choice.width - wish) < SAME)
    nearest = min(fitting, key=lambda choice: abs(choice.width - wish), default=None)
    shown = (as_wished, *(fitting or ranked)[:MOST_CHOICES], *([nearest] if nearest else []))
    phased = {choice: _with_phases(profile, names, choice) for choice in shown}
    return BandWidths(
        names,
        phased[as_wished],
        tuple(phased[choice] for choice in (fitting or ranked)[:MOST_CHOICES]),
        phased[nearest] if nearest is not None else None,
        demands,
    )


def _with_phases(profile: Profile, names: tuple[str, ...], choice: WidthChoice) -> WidthChoice:
    """Return a choice with how tramlines lie best if all these bands had its width."""
    pattern = profile.pattern
    bands = [(b.name, b.width) for b in pattern.bands if b.width != "rest"]
    widths = [choice.width if name in names else float(width) for name, width in bands]
    if pattern.has_trees or pattern.laid_once or len(widths) < 2:
        return choice
    phases = tuple(
        (lines.operation.name, lines.needed, best_phase(widths, lines.machine.working_width, 99))
        for lines in tramlines_of(profile)
    )
    return replace(choice, phases=phases)


def _demands(plan: Plan, profile: Profile, block: str, members: set[int]) -> tuple[Demand, ...]:
    """Return what every season's machines and rows ask of some bands, each thing once."""
    found: list[Demand] = []
    cuts = profile.section.cuts
    for season in plan.seasons or (None,):
        stands = tuple(stand_on(plan, season, block, profile.pattern, cut) for cut in cuts)
        worked = {o: worked_cuts(plan, o, profile.section, stands) for o in plan.operations}
        seen = set()
        for i, (cut, stand) in enumerate(zip(cuts, stands, strict=True)):
            if cut.index not in members or stand is None or (cut.index, stand.name) in seen:
                continue
            seen.add((cut.index, stand.name))
            mine = [operation for operation in plan.operations if i in worked[operation]]
            found += _of_stand(plan, profile.pattern, mine, (stand, stands))
            found += [
                _of_repeat(plan, profile.pattern, one, members) for one in mine if _straddles(one)
            ]
    return tuple(dict.fromkeys(found))


def _straddles(operation: Operation) -> bool:
    """Whether passes are counted over whole repeats."""
    return operation.over == "pattern"


def _of_repeat(plan: Plan, pattern: Pattern, operation: Operation, members: set[int]) -> Demand:
    """Return the whole number of passes that an operation asks of a repeat."""
    machine = plan.machine(operation.machine)
    bands = enumerate(pattern.bands)
    plus = sum(float(b.width) for k, b in bands if k not in members and b.width != "rest")
    return Demand(
        Asked.PASSES,
        operation.name,
        machine.working_width,
        ACROSS_SLACK,
        machine.far_side_access,
        len(members),
        plus,
    )


def _of_stand(
    plan: Plan,
    pattern: Pattern,
    operations: Sequence[Operation],
    stands: tuple[Stand, Sequence[Stand | None]],
) -> Iterator[Demand]:
    """Yield what is asked of a strip that grows the first of the stands, among all of them."""
    own, every = stands
    for sowing in own.sowing:
        yield from _rows(sowing)
    alone = len({stand.name for stand in every if stand is not None}) == 1
    for operation in operations:
        work, machine = work_of(plan, operation), plan.machine(operation.machine)
        if alone and not pattern.has_trees and operation.name.endswith(SUPPOSED):
            continue  # it would go on into the same crop
        if _straddles(operation):
            continue
        if work in (Work.SPRAY, Work.SPREAD):
            if pattern.has_trees or operation.over == "band" or not alone:
                yield _of_boom(operation, machine, between_trees=pattern.has_trees)
        elif operation.over == "band" and (work is not Work.HARVEST or taken(own)):
            yield _of_passes(operation, machine, work)


def _rows(sowing: Sowing) -> Iterator[Demand]:
    """Yield the whole number of rows, or of motifs, that fill a band."""
    step = sowing.spacing if sowing.between is None else None
    step = sowing.every if step is None else step
    if step is not None:
        yield Demand(Asked.ROWS, sowing.label, step, SPACING_SHARE * step)


def _of_passes(operation: Operation, machine: Machine, work: Work) -> Demand:
    """Return the whole number of passes, or of headers, that an operation asks of a strip."""
    far = machine.far_side_access
    if work is not Work.HARVEST:
        width = machine.working_width
        return Demand(Asked.PASSES, operation.name, width, ACROSS_SLACK, far)
    width = machine.header.width if machine.header is not None else machine.working_width
    return Demand(Asked.HEADERS, operation.name, width, HEADER_LIMIT, far)


def _of_boom(operation: Operation, machine: Machine, *, between_trees: bool) -> Demand:
    """Return what a boom asks: whole booms between trees, else parts that shut off at borders."""
    if between_trees or machine.sections is None:
        return Demand(Asked.BOOMS, operation.name, machine.working_width, ACROSS_SLACK)
    part = machine.working_width / machine.sections
    return Demand(Asked.SECTIONS, operation.name, part, ACROSS_SLACK)
