"""
How one operation reaches each strip of a section: its width, sections, rows, wheels and trees.

What is told is geometry. Whether the crop beside bears what reaches it, the label and the person
who drives decide.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.fit.passes import HEADER_LIMIT
from geolayout.appraisal.fit.row_units import (
    COULTER_LIMIT,
    GUESS_LIMIT,
    bound_to_rows,
    gathers,
    guess_gap,
    header_fit,
    off_coulters,
    stands_already,
)
from geolayout.appraisal.works import Work
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import PassPlaces
from geolayout.plan.section.profile import Profile
from geolayout.plan.section.section import Cut
from geolayout.plan.section.tracks import tracks_beside
from geolayout.plan.slack import ACROSS_SLACK, EDGE_SLACK
from geolayout.plan.stand import Stand

__all__ = ["Cause", "Doing", "Found", "Reach", "RowsUnder", "each_cut", "taken"]


class Reach(StrEnum):
    """How an operation reaches a strip."""

    ALONE = "alone"
    TOGETHER = "only together"
    NOT_POSSIBLE = "not possible"


@dataclass(frozen=True, slots=True)
class Cause:
    """
    One reason, with its figures.

    Attributes
    ----------
    kind : str
        wider, no sections, sections off, sections fit, sows both, coulters, header rows, part
        rows, header passes, other rows, tree row, wheels on rows, guess row, overhang, trailer.
    crop : str
        The crop it speaks of, "" where it speaks of none.
    figures : tuple of float
        What was found and what it is held against, by the kind.
    """

    kind: str
    crop: str = ""
    figures: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class RowsUnder:
    """Rows of one crop under wheels of one operation: how many of how many, and their spacing."""

    crop: str
    under: int
    rows: int
    spacing: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Doing:
    """One operation on a section: its passes, near side first, and what it works."""

    profile: Profile
    plan: Plan
    operation: Operation
    machine: Machine
    work: Work
    passes: PassPlaces
    cuts: tuple[int, ...]

    @property
    def limit(self) -> float:
        """How far it may reach beyond a strip. [m]"""
        return HEADER_LIMIT if self.work is Work.HARVEST else ACROSS_SLACK

    @property
    def own_stands(self) -> set[str]:
        """Names of the stands it works."""
        stands = (self.profile.stands[i] for i in self.cuts)
        return {stand.name for stand in stands if stand is not None}


@dataclass(frozen=True, slots=True)
class Found:
    """How one operation reaches one cut."""

    cut: Cut
    stand: str
    reach: Reach
    others: tuple[str, ...]
    passes: int
    causes: tuple[Cause, ...]
    rows_under: tuple[RowsUnder, ...]
    wheels_in: tuple[str, ...]


def each_cut(doing: Doing) -> Iterator[Found]:
    """Yield how an operation reaches each cut it works."""
    passes = doing.passes
    if not len(passes.t0):
        return
    extra = _beyond_width(doing.machine) if doing.work is Work.HARVEST else 0.0
    for i in doing.cuts:
        cut, stand = doing.profile.section.cuts[i], doing.profile.stands[i]
        if stand is None or (doing.work is Work.HARVEST and not taken(stand)):
            continue
        first = int(np.searchsorted(passes.t1, cut.t0 + ACROSS_SLACK, "right"))
        last = int(np.searchsorted(passes.t0, cut.t1 - ACROSS_SLACK, "left"))
        here = slice(first, last)
        if first < last:
            reach = passes.reach0[here] - extra, passes.reach1[here] + extra
            yield _reaching(doing, i, stand, reach)


def _beyond_width(machine: Machine) -> float:
    """Return how far a header stands out beyond the working width, each side. [m]"""
    header = machine.header.width if machine.header is not None else 0.0
    return max(0.0, (header - machine.working_width) / 2)


Edges = tuple[NDArray[np.float64], NDArray[np.float64]]
"""Near and far edge of the machine in some passes. [m]"""


def _reaching(doing: Doing, i: int, stand: Stand, reach: Edges) -> Found:
    """Return how an operation reaches one cut."""
    others = _others(doing, i, stand, reach)
    causes = [*_tree_rows(doing, i, reach), *_rows_fail(doing, stand)]
    verdict = Reach.NOT_POSSIBLE if causes else Reach.ALONE
    if others and verdict is Reach.ALONE:
        verdict, causes = _beside(doing, i, others, reach)
    tracks = tracks_beside((reach[0] + reach[1]) / 2, doing.machine)
    under = tuple(_rows_under(doing, i, stand, tracks))
    if doing.work is Work.HOE and any(hit.under for hit in under):
        verdict, causes = Reach.NOT_POSSIBLE, [*causes, Cause("wheels on rows")]
    causes += _notes(doing, i, stand, len(reach[0]))
    return Found(
        doing.profile.section.cuts[i],
        stand.name,
        verdict,
        tuple(others),
        len(reach[0]),
        tuple(causes),
        under,
        tuple(_wheels_in(doing, i, stand, tracks)),
    )


def _others(doing: Doing, i: int, stand: Stand, reach: Edges) -> list[str]:
    """Return the other stands that lie within reach, by more than the limit."""
    low, high = float(reach[0].min()) + doing.limit, float(reach[1].max()) - doing.limit
    cuts, stands = doing.profile.section.cuts, doing.profile.stands
    near = range(i - 1, -1, -1)
    names: list[str] = []
    for side in (near, range(i + 1, len(cuts))):
        for j in side:
            if cuts[j].t1 <= low or cuts[j].t0 >= high:
                break
            beside = stands[j]
            if beside is not None and beside.name != stand.name:
                names.append(beside.name)
    return list(dict.fromkeys(names))


def _tree_rows(doing: Doing, i: int, reach: Edges) -> list[Cause]:
    """Return the cause of tree rows of another band that the machine would meet."""
    trees = doing.profile.tree_rows
    stand_out = doing.machine.overhang or 0.0
    low, high = float(reach[0].min()) - stand_out, float(reach[1].max()) + stand_out
    met = (trees.t > low) & (trees.t < high) & (trees.cut != i)
    return [Cause("tree row")] if met.any() else []


def _rows_fail(doing: Doing, stand: Stand) -> list[Cause]:
    """Return the causes of rows that the machine's own rows cannot keep."""
    header = doing.machine.header
    if doing.work is Work.HARVEST:
        bound = header is not None and header.rows is not None
        return list(_ungathered(doing, stand, "header rows")) if bound else []
    step = doing.machine.row_spacing
    if step is None or doing.work not in (Work.SOW, Work.HOE):
        return []
    crops = [
        crop
        for crop in stand.sowing
        if crop.spacing is not None and (crop.operation == doing.operation.name) is _sows(doing)
    ]
    return [
        Cause("coulters", crop.label, (crop.spacing or 0.0, step))
        for crop in crops
        if off_coulters(crop.spacing or 0.0, step) > COULTER_LIMIT
    ]


def _ungathered(doing: Doing, stand: Stand, kind: str) -> Iterator[Cause]:
    """Yield a cause of a kind for each crop whose rows the header does not gather whole."""
    header = doing.machine.header
    for crop in stand.sowing:
        if header is None or not crop.harvested or crop.spacing is None:
            continue
        if not gathers(header, crop.spacing):
            yield Cause(kind, crop.label, (header.width, crop.spacing))


def _sows(doing: Doing) -> bool:
    """Whether the operation puts something into the ground."""
    return doing.work is Work.SOW


def _beside(doing: Doing, i: int, others: Sequence[str], reach: Edges) -> tuple[Reach, list[Cause]]:
    """Return what it means that an operation reaches other stands."""
    machine, wider = (
        doing.machine,
        Cause("wider", "", (round(float(reach[1][0] - reach[0][0]), 6),)),
    )
    if doing.work is Work.SOW and set(others) <= doing.own_stands:
        return Reach.TOGETHER, [wider, Cause("sows both")]
    if doing.work in (Work.SOW, Work.SPRAY, Work.SPREAD) and machine.sections is not None:
        part = machine.working_width / machine.sections
        if _ends_on(_inner_edges(doing, i), reach, part):
            return Reach.ALONE, [wider, Cause("sections fit", "", (part,))]
        shut = Cause("sections off", "", (part,))
    else:
        shut = Cause("no sections")
    if doing.work is Work.SOW and _in_rows(doing):
        return Reach.NOT_POSSIBLE, [wider, shut]
    if doing.work is Work.HOE and not _rows_alike(doing, others):
        return Reach.NOT_POSSIBLE, [wider, Cause("other rows")]
    sheds = doing.work in (Work.SOW, Work.SPRAY, Work.SPREAD)
    return Reach.TOGETHER, [wider, shut] if sheds else [wider]


def _inner_edges(doing: Doing, i: int) -> list[float]:
    """Return the edges of a cut that have other land beside them. [m]"""
    cuts = doing.profile.section.cuts
    return [*([cuts[i].t0] if i > 0 else []), *([cuts[i].t1] if i < len(cuts) - 1 else [])]


def _ends_on(edges: Sequence[float], reach: Edges, part: float) -> bool:
    """Whether parts of the machine end on those edges of a strip that it reaches across."""
    for edge in edges:
        across = (reach[0] < edge - ACROSS_SLACK) & (reach[1] > edge + ACROSS_SLACK)
        from_near = edge - reach[0][across]
        off = np.abs(from_near - np.round(from_near / part) * part)
        if (off > ACROSS_SLACK).any():
            return False
    return True


def _in_rows(doing: Doing) -> bool:
    """Whether a sowing operation sows in rows, and does not throw."""
    own = doing.operation.name
    sowings = (sowing for stand in doing.plan.stands for sowing in stand.sowing)
    return doing.machine.rows is not None or any(
        sowing.in_rows for sowing in sowings if sowing.operation == own
    )


def _rows_alike(doing: Doing, names: Sequence[str]) -> bool:
    """Whether a hoe's rows are those of other stands too, or it has none of its own."""
    if doing.machine.row_spacing is None:
        return True
    stands = [stand for name in names if (stand := doing.plan.stand(name)) is not None]
    in_rows = all(any(crop.spacing is not None for crop in stand.sowing) for stand in stands)
    return in_rows and not any(_rows_fail(doing, stand) for stand in stands)


def _notes(doing: Doing, i: int, stand: Stand, passes: int) -> list[Cause]:
    """Return what else to know: gaps between passes, rows a header takes, what stands out."""
    if doing.work is Work.SOW:
        return _guess_row(doing, passes)
    if doing.work is not Work.HARVEST:
        return []
    found = [note for j in range(len(stand.sowing)) for note in _header_passes(doing, i, stand, j)]
    if doing.machine.header is not None and doing.machine.header.rows is None:
        found += _ungathered(doing, stand, "part rows")
    if doing.machine.overhang:
        found.append(Cause("overhang", "", (doing.machine.overhang,)))
    if passes == 1 and doing.operation.over == "band" and _beside_grows(doing, i, stand):
        found.append(Cause("trailer"))
    return found


def _guess_row(doing: Doing, passes: int) -> list[Cause]:
    """Return the cause of a gap between two passes unlike the gap between two rows."""
    gap, spacing = guess_gap(doing.machine), doing.machine.row_spacing
    adjoin = passes > 1 or doing.operation.over != "band"
    if gap is None or spacing is None or not adjoin or abs(gap - spacing) <= GUESS_LIMIT:
        return []
    return [Cause("guess row", "", (gap, spacing))]


def _beside_grows(doing: Doing, i: int, stand: Stand) -> bool:
    """Whether other stands grow on both sides of a cut, so that nothing can drive beside it."""
    stands = doing.profile.stands
    beside = [stands[j] for j in (i - 1, i + 1) if 0 <= j < len(stands)]
    return bool(beside) and all(other is not None and other.name != stand.name for other in beside)


def _header_passes(doing: Doing, i: int, stand: Stand, j: int) -> list[Cause]:
    """Return the cause of rows that fill the header in all passes of a strip but the last."""
    header, crop, rows = doing.machine.header, stand.sowing[j], doing.profile.rows
    if header is None or not crop.harvested or crop.spacing is None:
        return []
    count = int(((rows.cut == i) & (rows.sowing == j)).sum())
    bound = bound_to_rows(header, crop.spacing) and gathers(header, crop.spacing)
    if not count or not bound:
        return []
    fit = header_fit(header.width, crop.spacing, count)
    if not fit.whole or fit.passes == 1 or fit.last == round(fit.rows_a_pass):
        return []
    figures = (fit.rows_a_pass, float(count), float(fit.passes), float(fit.last))
    return [Cause("header passes", crop.label, figures)]


def _rows_under(
    doing: Doing, i: int, stand: Stand, tracks: NDArray[np.float64]
) -> Iterator[RowsUnder]:
    """Yield the crops of a cut that stand already, with their rows under wheels."""
    half = (doing.machine.tyre_width or 0.0) / 2
    if not len(tracks) or half == 0.0:
        return
    rows = doing.profile.rows
    for j, crop in enumerate(stand.sowing):
        if not crop.in_rows or not stands_already(doing.plan, doing.operation, crop):
            continue
        t = rows.t[(rows.cut == i) & (rows.sowing == j)]
        near = np.abs(t[:, None] - tracks[None, :]).min(axis=1) if len(t) else t
        yield RowsUnder(crop.label, int((near < half - EDGE_SLACK).sum()), len(t), crop.spacing)


def _wheels_in(doing: Doing, i: int, stand: Stand, tracks: NDArray[np.float64]) -> Iterator[str]:
    """Yield the stands of neighbouring strips that wheels of a pass run in."""
    cuts, stands = doing.profile.section.cuts, doing.profile.stands
    half = (doing.machine.tyre_width or 0.0) / 2
    if not len(tracks) or doing.operation.over != "band":
        return
    low, high = float(tracks.min()) - half, float(tracks.max()) + half
    for j in (i - 1, i + 1):
        if not 0 <= j < len(cuts):
            continue
        beside = stands[j]
        if beside is None or beside.name == stand.name:
            continue
        if low < cuts[j].t1 - ACROSS_SLACK and high > cuts[j].t0 + ACROSS_SLACK:
            yield beside.name


def taken(stand: Stand) -> bool:
    """Whether something sown in rows or broadcast on it is taken to market."""
    return any(sowing.harvested and sowing.place != "standing" for sowing in stand.sowing)
