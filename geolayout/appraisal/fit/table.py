"""
Which operation reaches which strip: alone, only together with what grows beside it, or not.

Asked of the section alone, before anything is drawn. Every operation of the plan is held against
every strip it works, and so is a work that the plan does not name where one of its machines could
do it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from geolayout.appraisal.fit.reach import Cause, Doing, Found, Reach, RowsUnder, each_cut, taken
from geolayout.appraisal.works import SUPPOSED, Work, supposed_operations, work_of
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.section.passes import place_passes, worked_cuts
from geolayout.plan.section.profile import Profile
from geolayout.plan.stand import Sowing

__all__ = ["StripLine", "strip_table", "unsaid_works"]


@dataclass(frozen=True, slots=True)
class StripLine:
    """
    One operation on the strips of one stand that it reaches alike.

    Attributes
    ----------
    operation : Operation
        The operation; one that is supposed ends with a question mark.
    machine : Machine
        Its machine.
    work : Work
        What it does.
    stand : str
        What grows on the strips.
    bands : tuple of str
        Names of their bands, each once.
    widths : tuple of float
        The narrowest and the widest. [m]
    strips : int
        How many they are in the section.
    reach : Reach
        How it reaches them.
    others : tuple of str
        Stands beside that it reaches too.
    passes : tuple of int
        Passes within one strip, each count once; none where passes go across strips.
    causes : tuple of Cause
        Why.
    rows_under : tuple of RowsUnder
        Rows that stand when it drives, and how many of them its wheels run on.
    wheels_in : tuple of str
        Stands beside that its wheels run in while it works these strips.
    """

    operation: Operation
    machine: Machine
    work: Work
    stand: str
    bands: tuple[str, ...]
    widths: tuple[float, float]
    strips: int
    reach: Reach
    others: tuple[str, ...]
    passes: tuple[int, ...]
    causes: tuple[Cause, ...]
    rows_under: tuple[RowsUnder, ...]
    wheels_in: tuple[str, ...]

    @property
    def said(self) -> bool:
        """Whether the plan names the operation."""
        return not self.operation.name.endswith(SUPPOSED)

    @property
    def back(self) -> bool | None:
        """Whether the machine ends where it began; None where passes are not counted by strip."""
        odd = {count % 2 for count in self.passes}
        return None if not self.passes else odd == {0}


def strip_table(profile: Profile, shift: float = 0.0) -> list[StripLine]:
    """
    Hold every operation of a plan against every strip of a section.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    shift : float, default 0
        How far the season moved it from the anchor. [m]

    Returns
    -------
    lines : list of StripLine
        By operation as the plan has them, then those that are supposed; none for an operation
        that works no strip of this section.
    """
    operations = (*profile.plan.operations, *supposed_operations(profile.plan))
    plan = profile.plan.model_copy(update={"operations": operations})
    section, stands = profile.section, profile.stands
    passes = place_passes(plan, profile.pattern, section, stands, shift)
    lines: list[StripLine] = []
    for i, operation in enumerate(operations):
        work = work_of(plan, operation)
        cuts = tuple(worked_cuts(plan, operation, section, stands))
        machine = plan.machine(operation.machine)
        doing = Doing(profile, plan, operation, machine, work, passes.of(i), cuts)
        lines += _merged(doing, list(each_cut(doing)))
    return lines


def unsaid_works(
    profile: Profile, lines: Sequence[StripLine]
) -> list[tuple[Work, tuple[str, ...]]]:
    """
    Return the works that nothing is said of: no operation does them and no machine is there.

    Parameters
    ----------
    profile : Profile
        The section.
    lines : sequence of StripLine
        Its table.

    Returns
    -------
    works : list of (Work, tuple of str)
        In the order of a season; sowing with the crops, and harvest with the stands, that are
        left without an operation.
    """
    stands = {stand.name: stand for stand in profile.stands if stand is not None}
    reaped = {line.stand for line in lines if line.work is Work.HARVEST}
    left = {
        Work.SOW: [s.label for stand in stands.values() for s in stand.sowing if _unsown(s)],
        Work.HARVEST: [s.name for s in stands.values() if s.name not in reaped and taken(s)],
    }
    told = {Work.OTHER, *(line.work for line in lines)}
    named = {work: _once(names) for work, names in left.items()}
    return [
        (work, named.get(work, ()))
        for work in Work
        if named.get(work) or (work not in named and work not in told)
    ]


def _unsown(sowing: Sowing) -> bool:
    """Whether it must be sown, and no operation is said to do it."""
    return sowing.place != "standing" and sowing.operation is None


def _merged(doing: Doing, found: Sequence[Found]) -> list[StripLine]:
    """Return one line for all cuts of a stand that an operation reaches alike."""
    groups: dict[tuple[object, ...], list[Found]] = {}
    for one in found:
        groups.setdefault((one.stand, one.reach, one.causes), []).append(one)
    return [_line(doing, str(key[0]), members) for key, members in groups.items()]


def _line(doing: Doing, stand: str, members: Sequence[Found]) -> StripLine:
    """Return the line of cuts that are reached alike."""
    widths = [round(one.cut.width, 6) for one in members]
    by_band = doing.operation.over == "band"
    return StripLine(
        doing.operation,
        doing.machine,
        doing.work,
        stand,
        _once(one.cut.band for one in members),
        (min(widths), max(widths)),
        len(members),
        members[0].reach,
        _once(name for one in members for name in one.others),
        tuple(sorted({one.passes for one in members})) if by_band else (),
        members[0].causes,
        tuple(_summed(members)),
        _once(name for one in members for name in one.wheels_in),
    )


def _once(names: Iterable[str]) -> tuple[str, ...]:
    """Return names, each once, in their order."""
    return tuple(dict.fromkeys(names))


def _summed(members: Sequence[Found]) -> Iterator[RowsUnder]:
    """Yield the rows under wheels by crop, over all cuts."""
    for crop in _once(hit.crop for one in members for hit in one.rows_under):
        hits = [hit for one in members for hit in one.rows_under if hit.crop == crop]
        under, rows = (
            sum(column) for column in zip(*((h.under, h.rows) for h in hits), strict=True)
        )
        yield RowsUnder(crop, under, rows, hits[0].spacing)
