"""
Guidance of task data: one group for each operation on each block, and the block's own line.

Where the passes of straight rows lie one working width, or several, from each other, one A-B line
says them all, and how many swaths lie beside it. Some fields need a second or third such line, as
where the last band is narrower. Where more would be needed, as when the last pass of every band is
moved inwards, every pass is a line of its own that is not to be repeated::

    1   2       3   4       one line: drive 0, 1, 3 and 4 to the right
    |   |       |   |

    1   2  3   4   5  6     six lines, propagation "none"
    |   |  |   |   |  |
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.handover.files.vertices import lonlat_lines
from geolayout.handover.tables import pass_title, round_title
from geolayout.handover.taskdata.elements import (
    Ids,
    LineKind,
    PlaceKind,
    element,
    line,
    short,
)
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.guide import Straight

__all__ = ["Group", "guidance_groups"]

LATTICE = 0.01
"""Passes that miss whole working widths by less are on them. [m]"""

MOST_SHARED = 3
"""Lines of an operation that stand for several passes: with more, nobody finds the right one."""

LONGEST_REPEAT = 24
"""Lines after which the same choice of lines may begin anew and still be told as one. [-]"""

A_B, A_PLUS, CURVE, SPIRAL = 1, 2, 3, 5
"""Kinds of pattern, by the schema V4-3."""

BOTH, NONE = 1, 4
"""How far a pattern is repeated, and how far its ends are prolonged, by the schema V4-3."""

DESKTOP = 16
"""How a pattern was surveyed: generated on a desktop, by the schema V4-3."""

HEADING_DECIMALS = 6

WIDTH_DECIMALS = 3

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """
    A group of guidance patterns.

    Attributes
    ----------
    operation : str
        Whose passes they are, "" for the lines of the blocks themselves.
    element : Element
        The group.
    told : tuple of str
        For each line that stands for several passes, which of them to drive.
    """

    operation: str
    element: Element
    told: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Pattern:
    """A pattern, before it has an id."""

    name: str
    kind: int
    lonlat: Points
    width: float | None = None
    repeated: int = NONE
    prolonged: int = BOTH
    heading: float | None = None
    steps: tuple[int, ...] = ()

    @property
    def told(self) -> str:
        """Which swaths to drive, counted from the line."""
        sides = [
            f"{_listed([0, *sorted(step * side for step in self.steps if step * side > 0)])} {word}"
            for side, word in ((-1, "to the left"), (1, "to the right"))
            if any(step * side > 0 for step in self.steps)
        ]
        return f"{self.name} is line 0: drive {', and '.join(sides)}."


def guidance_groups(layout: Layout, ids: Ids) -> tuple[Group, ...]:
    """
    Return all guidance of a field.

    Parameters
    ----------
    layout : Layout
        A layout.
    ids : Ids
        Of the document.

    Returns
    -------
    groups : tuple of Group
        The lines of the blocks, then each operation's passes and headland rounds.
    """
    names = (layout.field.name, "lines of the plan")
    groups = [
        _group(ids, names, "", [_reference(layout, one) for one in layout.blocks if one.leads])
    ]
    for i, operation in enumerate(layout.plan.operations):
        for block, patterns in _of_operation(layout, i):
            title = f"{block} {operation.name}".strip()
            groups.append(_group(ids, (layout.field.name, title), operation.name, patterns))
    return tuple(groups)


def _group(ids: Ids, names: tuple[str, str], operation: str, patterns: Sequence[_Pattern]) -> Group:
    """Return patterns as a group."""
    told = {"A": ids.of("GGP", *names), "B": short(names[1])}
    drawn = [_drawn(one, ids.of("GPN", *names, one.name, str(k))) for k, one in enumerate(patterns)]
    shared = tuple(one.told for one in patterns if len(one.steps) > 1)
    return Group(operation, element("GGP", told, drawn), shared)


def _drawn(pattern: _Pattern, number: str) -> Element:
    """Return a pattern as an element."""
    heading = pattern.heading
    told = {
        "A": number,
        "B": short(pattern.name),
        "C": pattern.kind,
        "E": pattern.repeated,
        "F": pattern.prolonged,
        "G": f"{heading:.{HEADING_DECIMALS}f}" if heading is not None else None,
        "I": DESKTOP,
        "N": max(-min(pattern.steps), 0) if pattern.steps else None,
        "O": max(*pattern.steps, 0) if pattern.steps else None,
    }
    between = [PlaceKind.GUIDE_POINT] * (len(pattern.lonlat) - 2)
    kinds = [PlaceKind.GUIDE_A, *between, PlaceKind.GUIDE_B][: len(pattern.lonlat)]
    return element(
        "GPN",
        told,
        [line(pattern.lonlat, LineKind.GUIDANCE, pattern.name, width=pattern.width, kinds=kinds)],
    )


def _reference(layout: Layout, block: Block) -> _Pattern:
    """Return the line t = 0 of a block: a point and a heading, or the points of a bent one."""
    frame = layout.field.frame
    name = f"{block.line_name} line 0".strip()
    if isinstance(block.guides, Straight):
        lonlat = frame.lonlat(np.array([block.anchor]))
        heading = round(frame.true_bearing(block.anchor, block.bearing), HEADING_DECIMALS) % 360.0
        return _Pattern(name, A_PLUS, lonlat, repeated=BOTH, heading=heading)
    (drawn,) = block.guides.lines(np.zeros(1), block.land)
    longest = max(shapely.get_parts(drawn), key=shapely.length)
    return _Pattern(name, CURVE, _bent(layout, longest), repeated=BOTH)


def _bent(layout: Layout, drawn: shapely.LineString) -> Points:
    """Return the points of a bent line. [degrees]"""
    (moved,) = lonlat_lines(np.array([drawn], dtype=object), layout.field.frame)
    return np.asarray(shapely.get_coordinates(moved))


def _of_operation(layout: Layout, operation: int) -> Iterator[tuple[str, list[_Pattern]]]:
    """Return the patterns of an operation, block by block, then those of its headland rounds."""
    passes = layout.passes
    mine = passes.operation == operation
    for i in np.unique(passes.block[mine]).tolist():
        block = layout.blocks[i]
        which = np.flatnonzero(mine & (passes.block == i))
        straight = isinstance(block.guides, Straight)
        yield block.name, list((_straight if straight else _curved)(layout, block, which))
    which = np.flatnonzero(layout.rounds.operation == operation)
    if len(which):
        yield "headland", [_round(layout, int(i)) for i in which]


def _straight(layout: Layout, block: Block, which: NDArray[np.int64]) -> Iterator[_Pattern]:
    """Return straight passes, as few lines where they lie on whole working widths."""
    passes = layout.passes
    number, first = np.unique(passes.number[which], return_index=True)
    one = which[first]
    centre = (passes.reach0[one] + passes.reach1[one]) / 2
    # A terminal repeats the line by the width that the file has, in whole millimetres.
    width = round(float(passes.reach1[one[0]] - passes.reach0[one[0]]), WIDTH_DECIMALS)
    s = block.guides.along(passes.lines.ends(which).reshape(-1, 2)).reshape(-1, 2)
    side = round(getattr(block.guides, "side", 1.0))
    for leader, members in _shared(centre, width):
        steps = np.round((centre[members] - centre[leader]) / width).astype(int) * side
        reach = s if len(members) > 1 else s[passes.number[which] == number[leader]]
        i = int(one[leader])
        yield _Pattern(
            pass_title(layout, _operation(layout, i), i),
            A_B,
            _ends(layout, block, float(centre[leader]), reach),
            width,
            BOTH if len(members) > 1 else NONE,
            steps=tuple(steps.tolist()) if len(members) > 1 else (),
        )


def _shared(centre: Points, width: float) -> list[tuple[int, NDArray[np.int64]]]:
    """Return passes by the line that stands for them: the first, and all that it stands for."""
    left = np.arange(len(centre))
    found: list[tuple[int, NDArray[np.int64]]] = []
    while len(left) and len(found) <= MOST_SHARED:
        steps = (centre[left] - centre[left[0]]) / width
        on = np.abs(steps - np.round(steps)) * width < LATTICE
        found.append((int(left[0]), left[on]))
        left = left[~on]
    if len(found) > MOST_SHARED:
        return [(i, np.array([i])) for i in range(len(centre))]
    return found


def _listed(steps: Sequence[int]) -> str:
    """
    Return whole numbers from 0 in words, shorter where they repeat themselves.

    Examples
    --------
    >>> _listed([0, 1, 2, 3, 4, 5]), _listed([0, 2, 4, 6, 8]), _listed([0, 1, 4, 5, 8, 9, 12])
    ('all lines up to 5', 'line 0 of every 2 up to 8', 'lines 0, 1 of every 4 up to 12')
    >>> _listed([0, 1, 5])
    'lines 0, 1, 5'
    """
    last = steps[-1]
    for period in range(1, min(LONGEST_REPEAT, last // 2) + 1):
        first = [step for step in steps if step < period]
        if list(steps) == [k for k in range(last + 1) if k % period in first]:
            if period == 1:
                return f"all lines up to {last}"
            return f"{_lines(first)} of every {period} up to {last}"
    return _lines(steps)


def _lines(steps: Sequence[int]) -> str:
    """Return numbers of lines in words."""
    word = "line" if len(steps) == 1 else "lines"
    return f"{word} {', '.join(map(str, steps))}"


def _ends(layout: Layout, block: Block, t: float, s: Points) -> Points:
    """Return both ends of a straight line that reaches as far as pieces do. [degrees]"""
    path = block.guides.paths(np.array([t]), np.array([s.min()]), np.array([s.max()]))
    return layout.field.frame.lonlat(path.xy)


def _operation(layout: Layout, i: int) -> str:
    """Return the name of the operation that a piece of a pass belongs to."""
    return layout.plan.operations[int(layout.passes.operation[i])].name


def _curved(layout: Layout, block: Block, which: NDArray[np.int64]) -> Iterator[_Pattern]:
    """Return each piece of bent passes."""
    passes = layout.passes
    for i, drawn in zip(which.tolist(), passes.lines.geometry[which], strict=True):
        title = pass_title(layout, _operation(layout, i), i)
        width = float(passes.reach1[i] - passes.reach0[i])
        kind = SPIRAL if block.guide.spiral and not drawn.is_closed else CURVE
        ends = NONE if drawn.is_closed or kind == SPIRAL else BOTH
        yield _Pattern(title, kind, _bent(layout, drawn), width, prolonged=ends)


def _round(layout: Layout, i: int) -> _Pattern:
    """Return a piece of a round on a headland."""
    rounds = layout.rounds
    title = round_title(layout, layout.plan.operations[int(rounds.operation[i])].name, i)
    points = _bent(layout, rounds.lines.geometry[i])
    return _Pattern(title, CURVE, points, float(rounds.width[i]), prolonged=NONE)
