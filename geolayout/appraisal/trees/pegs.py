r"""
Pegs: where to set them out with a tape, and how to find a mistake before a tree goes in.

A pegging line runs square across the rows. On it each row has a peg, told by its distance from the
corner peg; from there the row is taped, each peg told by its distance from the pegging line. Two
pegging lines and two rows make a rectangle, and its diagonals prove the right angles.

```
        far pegging line   +-----+-----+-----+
                           |  \  |     |  /  |        w across, l along:
        rows               |     |     |     |        both diagonals sqrt(w^2 + l^2)
                           |  /  |     |  \  |
        pegging line       C-----+-----+-----+        C: corner peg
```

Rows that bend have no such line: their pegs have coordinates and distances along the row.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import chords_along
from geolayout.layout.guides.guide import Straight

__all__ = ["BEND_STEP", "Check", "PegBlock", "PegLine", "border_pegs", "tree_pegs"]

BEND_STEP = 20.0
"""Pegs along a border that bends stand no farther apart; common practice, no source. [m]"""

LEAST_TOLERANCE = 0.10
"""A tape is not read nearer; common practice, no source. [m]"""

SHARE_TOLERANCE = 1e-3
"""Of a taped distance, where that is more; common practice, no source. [-]"""

MOST_LINES = 60
"""Places looked at for a pegging line. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PegLine:
    """
    Pegs along one tree row or one border.

    Attributes
    ----------
    name : str
        "tree row 3", or what lies on both sides of a border.
    across : float
        From the corner peg along the pegging line; of rows that bend, from the first row. [m]
    chainage : ndarray, shape (n,)
        From the pegging line along the row, growing, negative behind it; of rows that bend, from
        the row's first peg. [m]
    xy : ndarray, shape (n, 2)
        In the field's frame. [m]
    trees : ndarray of int, shape (n,)
        Index of the tree of each peg; -1 on borders.
    """

    name: str
    across: float
    chainage: Floats
    xy: Floats
    trees: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Check:
    """
    A rectangle between two pegging lines and two rows.

    Attributes
    ----------
    first, last : str
        The two rows.
    width, length : float
        Between them, and between the pegging lines. [m]
    corners : tuple of (float, float)
        Near end of the first row, of the last, far end of the last, of the first. [m]
    """

    first: str
    last: str
    width: float
    length: float
    corners: tuple[tuple[float, float], ...]

    @property
    def diagonal(self) -> float:
        """What both diagonals must measure. [m]"""
        return hypot(self.width, self.length)

    @property
    def tolerance(self) -> float:
        """How far a measured diagonal may be off before all is measured again. [m]"""
        return max(LEAST_TOLERANCE, SHARE_TOLERANCE * self.diagonal)


@dataclass(frozen=True, slots=True, eq=False)
class PegBlock:
    """
    Everything to peg in one block.

    Attributes
    ----------
    block : str
        Its name.
    bearing : float
        Of the rows at the corner peg, true. [degrees]
    straight : bool
        Whether the rows are straight, so that there is a pegging line.
    corner, far : (float, float)
        The corner peg, and the last peg of the pegging line. [m]
    outside : tuple of str
        Lines whose peg on the pegging line lies off the field.
    lines : tuple of PegLine
        Row by row, away from the near side.
    check : Check or None
        None where fewer than two rows lie beside each other.
    """

    block: str
    bearing: float
    straight: bool
    corner: tuple[float, float]
    far: tuple[float, float]
    outside: tuple[str, ...]
    lines: tuple[PegLine, ...]
    check: Check | None


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    """A line with its pegs, as t, and s along it on the ground."""

    name: str
    t: float
    run: Floats
    xy: Floats
    trees: NDArray[np.int64]


def tree_pegs(layout: Layout) -> tuple[PegBlock, ...]:
    """
    Return a peg for every tree, block by block.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    blocks : tuple of PegBlock
        Blocks with trees.
    """
    found = []
    for b, block in enumerate(layout.blocks):
        lines = _tree_lines(layout, b, block)
        if lines:
            found.append(_pegged(layout, block, lines))
    return tuple(found)


def border_pegs(layout: Layout) -> tuple[PegBlock, ...]:
    """
    Return pegs where the borders of bands begin and end, block by block.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    blocks : tuple of PegBlock
        Blocks with bands. Borders that bend have pegs along them too.
    """
    found = []
    for block in layout.blocks:
        lines = _border_lines(block) if not block.crossed_by else []
        if lines:
            found.append(_pegged(layout, block, lines))
    return tuple(found)


def _tree_lines(layout: Layout, index: int, block: Block) -> list[_Line]:
    """Return the tree rows of a block."""
    trees, found = layout.trees, []
    for row in np.unique(trees.row[trees.block == index]).tolist():
        mine = np.flatnonzero((trees.block == index) & (trees.row == row))
        mine = mine[np.argsort(trees.position[mine])]
        t = float(block.tree_rows.t[row - 1])
        s = block.guides.to_turned(trees.xy[mine])[:, 1]
        run = block.guides.run(np.full(len(s), t), s)
        found.append(_Line(f"tree row {row}", t, run, trees.xy[mine], mine))
    return found


def _border_lines(block: Block) -> list[_Line]:
    """Return the borders of a block, each with the pegs of every piece that it runs along."""
    names: dict[float, list[str]] = {}
    for cut in block.section.cuts:
        label = f"{cut.band} {cut.number}".strip() if cut.grows else cut.kind.value
        names.setdefault(round(cut.t0, 6), []).append(label)
        names.setdefault(round(cut.t1, 6), []).append(label)
    t = np.array(sorted(names))
    chords, _ = chords_along(block.guides, block.crop_land, t)
    at = t[chords.line]
    ends = (block.guides.run(at, chords.s0), block.guides.run(at, chords.s1))
    found = []
    for i in np.unique(chords.line).tolist():
        mine = chords.line == i
        pieces = zip(ends[0][mine].tolist(), ends[1][mine].tolist(), strict=True)
        run = np.concatenate([_along(block, *piece) for piece in pieces])
        across = np.full(len(run), t[i])
        s = block.guides.from_run(across, run)
        xy = block.guides.from_turned(np.stack([across, s], axis=1))
        name = " | ".join(dict.fromkeys(names[float(t[i])]))
        found.append(_Line(name, float(t[i]), run, xy, np.full(len(run), -1)))
    return found


def _along(block: Block, low: float, high: float) -> Floats:
    """Return the pegs of one piece of border: its ends, and more of them where it bends."""
    if high - low < LEAST_TOLERANCE:
        return np.array([(low + high) / 2.0])
    steps = 1 if isinstance(block.guides, Straight) else int(np.ceil((high - low) / BEND_STEP))
    return np.linspace(low, high, max(steps, 1) + 1)


def _pegged(layout: Layout, block: Block, lines: Sequence[_Line]) -> PegBlock:
    """Return the pegs of one block, from a pegging line where rows are straight."""
    straight = isinstance(block.guides, Straight)
    near, far = _pegging_lines(lines) if straight else (0.0, 0.0)
    ends = [(lines[0].t, near), (lines[-1].t, near)]
    corner, last = (_point(block, *end) if straight else None for end in ends)
    corner = corner or (float(lines[0].xy[0, 0]), float(lines[0].xy[0, 1]))
    last = last or (float(lines[-1].xy[0, 0]), float(lines[-1].xy[0, 1]))
    frame_bearing = float(block.guides.direction(np.array([corner]))[0])
    return PegBlock(
        block.name,
        layout.field.frame.true_bearing(corner, frame_bearing),
        straight,
        corner,
        last,
        _off_the_field(layout, block, lines, near) if straight else (),
        tuple(_peg_line(line, lines[0].t, near if straight else None) for line in lines),
        _check(block, lines, (near, far)) if straight else None,
    )


def _peg_line(line: _Line, first: float, near: float | None) -> PegLine:
    """Return a line with its distances."""
    begin = float(line.run[0]) if near is None else near
    return PegLine(line.name, line.t - first, line.run - begin, line.xy, line.trees)


def _pegging_lines(lines: Sequence[_Line]) -> tuple[float, float]:
    """
    Return the s of two lines across the rows that make the greatest rectangle with two rows.

    Where no two rows lie beside each other, the start and the end of the first.
    """
    t = np.array([line.t for line in lines])
    low = np.array([line.run[0] for line in lines])
    high = np.array([line.run[-1] for line in lines])
    best, found = 0.0, (float(low[0]), float(high[0]))
    for near in _few(low):
        for far in _few(high[high > near]):
            both = np.flatnonzero((low <= near + 1e-6) & (high >= far - 1e-6))
            if len(both) < 2:
                continue
            size = float((t[both[-1]] - t[both[0]]) * (far - near))
            if size > best + 1e-6:
                best, found = size, (float(near), float(far))
    return found


def _few(values: Floats) -> Floats:
    """Return some of many values, the least and the greatest among them."""
    several: Floats = np.unique(values)
    if len(several) <= MOST_LINES:
        return several
    chosen: Floats = several[np.linspace(0, len(several) - 1, MOST_LINES).astype(int)]
    return chosen


def _point(block: Block, t: float, s: float) -> tuple[float, float]:
    """Return the point of the frame at t and s."""
    x, y = block.guides.from_turned(np.array([t, s])).tolist()
    return x, y


def _off_the_field(
    layout: Layout, block: Block, lines: Sequence[_Line], near: float
) -> tuple[str, ...]:
    """Name the lines whose peg on the pegging line lies off the field."""
    at = np.array([[line.t, near] for line in lines])
    points = shapely.points(block.guides.from_turned(at))
    off = ~shapely.dwithin(layout.field.land, points, LEAST_TOLERANCE)
    return tuple(line.name for line, out in zip(lines, off.tolist(), strict=True) if out)


def _check(block: Block, lines: Sequence[_Line], ends: tuple[float, float]) -> Check | None:
    """Return the rectangle of the outermost rows that reach over both pegging lines."""
    near, far = ends
    both = [one for one in lines if one.run[0] <= near + 1e-6 and one.run[-1] >= far - 1e-6]
    if len(both) < 2:
        return None
    first, last = both[0], both[-1]
    corners = [(first.t, near), (last.t, near), (last.t, far), (first.t, far)]
    return Check(
        first.name,
        last.name,
        last.t - first.t,
        far - near,
        tuple(_point(block, *corner) for corner in corners),
    )
