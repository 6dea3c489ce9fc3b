"""Do the widths fit: passes in their strips, headers, booms and alleys."""

from itertools import pairwise
from math import ceil

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import Strips, listed, strips_of, strips_words
from geolayout.appraisal.roles import Role, role_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.pattern import Pattern
from geolayout.plan.section.passes import strips_across
from geolayout.plan.section.section import CutKind
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["fit_cautions", "misfit"]

STRIP_LIMIT = ACROSS_SLACK
"""Remainder of a strip that no pass is for. [m]"""

HEADER_LIMIT = 0.1
"""Remainder of a strip at harvest (common practice, no source). [m]"""

LEAST_TREE_ROOM = 1.0
"""Between a tree's guard and what drives past it (common practice, no source). [m]"""

MULTIPLES = "Agridea, Reihenabstand, after Bender et al. 2009: widths are multiples of the machine."
MATCHED = "GRDC Update Paper, Controlled traffic farming, 2016; limit common practice, no source."
BOOMS = "GRDC Update Paper, 2016; SARE FNC94-082, Weed Management Methods for Strip Intercropping."
ALLEYS = "Wakelyns, Far Field page; 1 m of room common practice, no source."


def misfit(width: float, machine: float) -> float:
    """
    Return how far a width is from the nearest whole number of passes, at least one.

    Parameters
    ----------
    width, machine : float
        Width of the strip and of one pass. [m]

    Returns
    -------
    misfit : float
        [m]

    Examples
    --------
    >>> misfit(24.0, 3.0), misfit(7.0, 3.0), misfit(2.0, 3.0)
    (0.0, 1.0, 1.0)
    """
    return abs(width - max(1, round(width / machine)) * machine)


def fit_cautions(layout: Layout) -> list[Caution]:
    """
    Hold every operation's width against the strips it works.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    found: list[Caution] = []
    for operation in layout.plan.operations:
        machine = layout.plan.machine(operation.machine)
        role = role_of(layout.plan, operation)
        for strips in _strips(layout, operation):
            found += _narrow(layout, operation, machine, strips)
            if role is Role.SPRAYS:
                found += _boom(layout, operation, machine, strips)
            elif role is Role.HARVESTS:
                found += _header(layout, operation, machine, strips)
            else:
                found += _width(layout, operation, machine, strips)
            found += _parity(layout, operation, machine, strips)
        for strips in _crossed(layout, operation, role):
            found += _boom(layout, operation, machine, strips)
        if role is Role.HARVESTS and machine.overhang:
            found.append(_overhang(operation, machine))
    return [*found, *_tree_room(layout), *_alleys(layout)]


def _strips(layout: Layout, operation: Operation) -> list[Strips]:
    """Return the widths whose passes an operation counts: bands, or whole repeats."""
    if operation.over == "band":
        return list(strips_of(layout, operation))
    if operation.over == "block":
        return []
    patterns: dict[str, Pattern] = {
        block.pattern.name: block.pattern
        for block in layout.blocks
        if not block.pattern.laid_once and block.pattern.bands
    }
    return [_repeats(layout, pattern) for pattern in patterns.values()]


def _crossed(layout: Layout, operation: Operation, role: Role) -> list[Strips]:
    """Return the strips under a boom that goes across a block, where their stands differ."""
    if role is not Role.SPRAYS or operation.over != "block":
        return []
    strips = [strips for strips in strips_of(layout, operation) if not strips.at_edge]
    stands = [layout.blocks[b].stands[c] for one in strips for b, c in one.cuts]
    return strips if len({stand.name for stand in stands if stand is not None}) > 1 else []


def _repeats(layout: Layout, pattern: Pattern) -> Strips:
    """Return the repeats of a pattern as strips of its width."""
    firsts: dict[tuple[int, int], tuple[int, int]] = {}
    for b, block in enumerate(layout.blocks):
        if block.pattern is not pattern:
            continue
        for c, cut in enumerate(block.section.cuts):
            if cut.grows and cut.index >= 0:
                firsts.setdefault((b, cut.repeat), (b, c))
    label = f"of one repeat of {pattern.name}"
    return Strips(round(pattern.repeat_width, 2), (label,), tuple(firsts.values()), False)


def _narrow(
    layout: Layout, operation: Operation, machine: Machine, strips: Strips
) -> list[Caution]:
    """Return the caution of an edge strip narrower than one pass."""
    over = machine.working_width - strips.width
    if not (strips.at_edge and over > STRIP_LIMIT):
        return []
    return [
        Caution(
            key="edge-strip-too-narrow",
            code="W08",
            severity=WARNING,
            sentence=(
                f"{strips_words(layout, strips)} at the edge, narrower than one pass of "
                f"{operation.name} ({machine.working_width:.2f} m)."
            ),
            remedy="Give the band min_width, or let the strip beside it take the ground.",
            source="Plain geometry.",
            value=strips.width,
            threshold=machine.working_width,
            unit="m",
            count=len(strips.cuts),
        )
    ]


def _width(layout: Layout, operation: Operation, machine: Machine, strips: Strips) -> list[Caution]:
    """Return the caution of strips that are no whole number of passes."""
    off = misfit(strips.width, machine.working_width)
    too_wide = machine.working_width > strips.width
    if off <= STRIP_LIMIT or (too_wide and strips.at_edge):
        return []
    return [
        Caution(
            key="strip-width",
            code="W01",
            severity=WARNING,
            sentence=(
                f"{strips_words(layout, strips)}, no whole number of passes of {operation.name} "
                f"({machine.working_width:.2f} m): {_doubled(strips.width, machine)}."
            ),
            remedy=_multiples(strips.width, machine.working_width),
            source=MULTIPLES,
            value=off,
            threshold=STRIP_LIMIT,
            unit="m",
            count=len(strips.cuts),
        )
    ]


def _doubled(width: float, machine: Machine) -> str:
    """Return what a pass does that does not fill its width."""
    last = strips_across(0.0, width, machine.working_width)[-1]
    if last.reach0 < 0.0:
        return f"it reaches {-last.reach0:.2f} m beyond the strip on each side"
    return f"the last pass works {last.t0 - last.reach0:.2f} m a second time"


def _multiples(width: float, machine: float) -> str:
    """Return the widths that would fit."""
    passes = int(width / machine)
    wide = [f"{k * machine:.2f}" for k in (passes, passes + 1) if k]
    return f"Make the strips {' or '.join(wide)} m wide, or use another machine."


def _parity(
    layout: Layout, operation: Operation, machine: Machine, strips: Strips
) -> list[Caution]:
    """Return the caution of an odd number of passes, which ends at the far side."""
    passes = max(1, ceil((strips.width - ACROSS_SLACK) / machine.working_width))
    if passes % 2 == 0 or machine.far_side_access:
        return []
    return [
        Caution(
            key="odd-passes",
            code="W02",
            severity=WARNING,
            sentence=(
                f"{strips_words(layout, strips)}: {passes} "
                f"{'pass' if passes == 1 else 'passes'} of {operation.name} in each, an odd "
                f"number, so the {machine.name} ends at the far end."
            ),
            remedy=(
                "Come back in the next strip of the same crop, use an even number of passes, or "
                "give far_side_access = true if there is a way out."
            ),
            source=MULTIPLES,
            value=float(passes),
            unit="passes",
            count=len(strips.cuts),
        )
    ]


def _header(
    layout: Layout, operation: Operation, machine: Machine, strips: Strips
) -> list[Caution]:
    """Return the caution of strips that the header does not fit."""
    width = machine.header.width if machine.header is not None else machine.working_width
    over = width - strips.width
    if over > HEADER_LIMIT and not strips.at_edge:
        value = over
        what = f"the header of {width:.2f} m reaches {over:.2f} m into the strips beside"
    elif over <= HEADER_LIMIT < misfit(strips.width, width):
        value = misfit(strips.width, width)
        what = f"no whole number of headers of {width:.2f} m"
    else:
        return []
    return [
        Caution(
            key="header-width",
            code="W03",
            severity=WARNING,
            sentence=f"{strips_words(layout, strips)}; {operation.name}: {what}.",
            remedy=_multiples(strips.width, width),
            source=MATCHED,
            value=value,
            threshold=HEADER_LIMIT,
            unit="m",
            count=len(strips.cuts),
        )
    ]


def _overhang(operation: Operation, machine: Machine) -> Caution:
    """Return the note that a harvester stands out beyond its width."""
    return Caution(
        key="overhang",
        code="W03",
        severity=NOTE,
        sentence=(
            f"In {operation.name} the {machine.name} stands out {machine.overhang:.2f} m beyond "
            "its working width on each side, over the strips beside."
        ),
        remedy="Harvest the strip beside first, or leave a gap of that width.",
        source="The plan's own figure.",
        value=machine.overhang,
        threshold=0.0,
        unit="m",
    )


def _boom(layout: Layout, operation: Operation, machine: Machine, strips: Strips) -> list[Caution]:
    """Return the caution of a boom that neither matches strips nor shuts off along them."""
    boom = machine.working_width
    if _boom_fits(boom, machine.sections, strips.width):
        return []
    return [
        Caution(
            key="boom-width",
            code="W04",
            severity=WARNING,
            sentence=(
                f"{strips_words(layout, strips)}; the boom of {operation.name} is {boom:.2f} m, "
                f"and {_sections_words(machine)}."
            ),
            remedy="Use sections that divide the strip, or strips that the boom covers whole.",
            source=BOOMS,
            value=boom,
            threshold=strips.width,
            unit="m",
            count=len(strips.cuts),
        )
    ]


def _sections_words(machine: Machine) -> str:
    """Say why a boom cannot shut off along a strip."""
    if not machine.sections:
        return "it has no sections to shut off"
    part = machine.working_width / machine.sections
    return f"its {machine.sections} sections of {part:.2f} m do not end on the strip's edges"


def _boom_fits(boom: float, sections: int | None, strip: float) -> bool:
    """Whether a strip is whole booms wide, or a whole number of sections that shut off."""
    part = boom if sections is None else boom / sections
    grid = part <= strip + STRIP_LIMIT and misfit(strip, part) <= STRIP_LIMIT
    return misfit(strip, boom) <= STRIP_LIMIT or grid


def _tree_room(layout: Layout) -> list[Caution]:
    """Return the cautions of tree rows too near to the edge of their band."""
    found: dict[tuple[str, int], Caution] = {}
    overhangs = (layout.plan.machine(op.machine).overhang or 0.0 for op in layout.plan.operations)
    room = max([LEAST_TREE_ROOM, *overhangs])
    for block in layout.blocks:
        for place, i in zip(block.tree_rows.t.tolist(), block.tree_rows.cut.tolist(), strict=True):
            cut = block.section.cuts[i]
            trees = block.pattern.bands[cut.index].trees
            guard = (trees.guard_radius if trees is not None else None) or 0.0
            have = min(place - cut.t0, cut.t1 - place)
            if have < guard + room - STRIP_LIMIT:
                key = (cut.band, round(have * 100))
                known = found[key].count if key in found else 0
                found[key] = _near_edge(cut.band, (have, guard, room), known + 1)
    return list(found.values())


def _near_edge(band: str, lengths: tuple[float, float, float], count: int) -> Caution:
    """Return the caution of tree rows near the edge of their band."""
    have, guard, room = lengths
    return Caution(
        key="tree-room",
        code="W15",
        severity=WARNING,
        sentence=(
            f"{count} tree {'row' if count == 1 else 'rows'} of band {band} stand {have:.2f} m "
            f"from the edge of the band; the guard of {guard:.2f} m and {room:.2f} m of room for "
            f"what drives past take {guard + room:.2f} m."
        ),
        remedy="Widen the tree band, or move the tree rows towards its middle.",
        source=ALLEYS,
        value=have,
        threshold=guard + room,
        unit="m",
        count=count,
    )


def _alleys(layout: Layout) -> list[Caution]:
    """Return the cautions of alleys that are no whole number of passes of a boom."""
    widths: dict[float, int] = {}
    for block in layout.blocks:
        for width in _alley_widths([(cut.kind, cut.width, cut.note) for cut in block.section.cuts]):
            widths[width] = widths.get(width, 0) + 1
    return [
        _alley(operation, layout.plan.machine(operation.machine), width, count)
        for operation in layout.plan.operations
        if operation.over == "block"
        for width, count in widths.items()
        if misfit(width, layout.plan.machine(operation.machine).working_width) > STRIP_LIMIT
    ]


def _alley_widths(cuts: list[tuple[CutKind, float, str]]) -> list[float]:
    """Return the widths between neighbouring tree bands. [m]"""
    kinds = [kind for kind, _, _ in cuts]
    places = [i for i, kind in enumerate(kinds) if kind is CutKind.TREE_BAND]
    sums = [round(sum(cut[1] for cut in cuts[a + 1 : b]), 2) for a, b in pairwise(places)]
    return [width for width in sums if width > 0.0]


def _alley(operation: Operation, machine: Machine, width: float, count: int) -> Caution:
    """Return the caution of alleys of one width that a boom does not fit."""
    return Caution(
        key="alley-width",
        code="W15",
        severity=WARNING,
        sentence=(
            f"{count} {'alley is' if count == 1 else 'alleys are'} {width:.2f} m wide, no whole "
            f"number of passes of {listed([operation.name])} ({machine.working_width:.2f} m): "
            f"{_doubled(width, machine)}."
        ),
        remedy=_multiples(width, machine.working_width),
        source=ALLEYS,
        value=misfit(width, machine.working_width),
        threshold=STRIP_LIMIT,
        unit="m",
        count=count,
    )
