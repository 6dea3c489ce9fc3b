"""
Chains of dimensions on the map: the band edges of each block, in metres from its anchor.

A chain stands beside its own block, at the near or the far end of the rows, where neither land
nor another chain lies; where a block has neighbours at both ends, beyond the edge of the field.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from matplotlib.axes import Axes
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.handover.pictures.paper import View
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings
from geolayout.plan.units import METRIC, Scale

__all__ = ["LETTER", "Chain", "chain_room", "chains_of", "draw_chain", "reading", "spaced"]

GAP, TEXT = 3.0, 11.0
"""From the land to a chain, and room for its figures, on paper. [mm]"""

CAPTION = 1.5
"""Farther from the land where a name stands between, on paper. [mm]"""

LETTER = 2.0
"""Height that one line of small letters needs, on paper. [mm]"""

TRIES = 4
"""How often a chain moves out by its own height before it stands on something. [-]"""

LETTER_WIDTH = 1.0
"""Width that one small letter takes, on paper. [mm]"""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """
    Where the dimensions of a block stand.

    Attributes
    ----------
    block : Block
        The block, or the first of its tiers.
    edges : ndarray, shape (n,)
        Its band edges from the anchor, increasing. [m]
    s : float
        Place of the chain along the rows. [m]
    outward : float
        -1 where its figures stand before the rows begin, 1 behind their end.
    caption : str
        Whose it is, "" where there is only one.
    """

    block: Block
    edges: Points
    s: float
    outward: float
    caption: str

    def box(self, view: View) -> Polygon:
        """Return the ground under the chain and its figures. [m]"""
        far = self.s + self.outward * view.metres(TEXT)
        near = self.s - self.outward * view.metres(GAP / 2)
        a, b = self.edges[0], self.edges[-1]
        corners = np.array([[a, near], [b, near], [b, far], [a, far]])
        return Polygon(self.block.guides.from_turned(corners))


def chains_of(layout: Layout, view: View) -> list[Chain]:
    """
    Place the chains of a layout on a sheet.

    Parameters
    ----------
    layout : Layout
        A layout.
    view : View
        Scale and sheet.

    Returns
    -------
    chains : list of Chain
        One for each block with bands, its tiers together; none for rings, which have no ends.
    """
    leads = [
        one
        for one in layout.blocks
        if one.leads and len(_band_edges(layout, one)) and not isinstance(one.guides, Rings)
    ]
    placed: list[Chain] = []
    taken: BaseGeometry = layout.field.land
    for block in leads:
        caption = block.line_name if len(leads) > 1 else ""
        chain = _placed(layout, block, caption, view, taken)
        placed.append(chain)
        taken = shapely.union_all([taken, chain.box(view)])
    return placed


def _placed(layout: Layout, block: Block, caption: str, view: View, taken: BaseGeometry) -> Chain:
    """Return the chain of a block where least is covered, the nearest place first."""
    edges = _band_edges(layout, block)
    clear = view.metres(GAP + (CAPTION if caption else 0.0))
    best, least = None, np.inf
    for s, outward in _places(layout, block, edges, clear, view.metres(TEXT)):
        chain = Chain(block, edges, s, outward, caption)
        covered = shapely.intersection(chain.box(view), taken).area
        if best is None or covered < least - 1e-6:
            best, least = chain, covered
        if covered <= 1e-6:
            return chain
    if best is None:
        message = "a chain has no place"
        raise RuntimeError(message)
    return best


def _places(
    layout: Layout, block: Block, edges: Points, gap: float, text: float
) -> Iterator[tuple[float, float]]:
    """Yield where a chain may stand along the rows and to which side, the best first. [m]"""
    own = [one.land for one in layout.blocks if one is block or _same_lines(one, block)]
    first, last = _reach(block, shapely.union_all(own), (-np.inf, np.inf))
    yield first - gap, -1.0
    yield last + gap, 1.0
    first, last = _reach(block, layout.field.land, (float(edges[0]), float(edges[-1])))
    for k in range(TRIES):
        yield first - gap - k * (gap + text), -1.0
        yield last + gap + k * (gap + text), 1.0


def _same_lines(one: Block, block: Block) -> bool:
    """Whether a block is another tier of the same."""
    return bool(one.tier and block.tier and one.part_of == block.part_of)


def _reach(block: Block, land: BaseGeometry, across: tuple[float, float]) -> tuple[float, float]:
    """Return where land begins and ends along the rows, between two distances across. [m]"""
    turned = block.guides.turn(land)
    west, south, east, north = turned.bounds
    low, high = max(across[0], west), min(across[1], east)
    within = shapely.clip_by_rect(turned, low, south - 1.0, high, north + 1.0)
    bounds = turned.bounds if within.is_empty else within.bounds
    return float(bounds[1]), float(bounds[3])


def chain_room(layout: Layout, view: View) -> BaseGeometry:
    """Return the ground that the chains of a layout take on a sheet. [m]"""
    return shapely.union_all([chain.box(view) for chain in chains_of(layout, view)])


def draw_chain(axes: Axes, chain: Chain, view: View, unit: Scale = METRIC.width) -> None:
    """Draw a chain: its line, a tick at each band edge, and the figures that have room."""
    guides, s = chain.block.guides, chain.s
    tick = view.metres(1.0)
    base = guides.from_turned(np.array([[chain.edges[0], s], [chain.edges[-1], s]]))
    axes.plot(*base.T, color="black", lw=0.5, zorder=3)
    for t in chain.edges:
        ends = guides.from_turned(np.array([[t, s - tick], [t, s + tick]]))
        axes.plot(*ends.T, color="black", lw=0.5, zorder=3)
    rotation, align = reading(chain.block, chain.outward)
    for t in spaced(chain.edges, view.metres(LETTER)):
        x, y = guides.from_turned(np.array([t, s + chain.outward * 1.6 * tick]))
        axes.text(
            x,
            y,
            _figure(unit.of(t)),
            rotation=rotation,
            rotation_mode="anchor",
            ha=align,
            va="center",
            fontsize=5,
        )
    _draw_caption(axes, chain, base, view)


def _draw_caption(axes: Axes, chain: Chain, base: Points, view: View) -> None:
    """Write whose chain it is along its inner side, where it is long enough."""
    length = view.millimetres(float(np.hypot(*(base[1] - base[0]))))
    if not chain.caption or length < LETTER_WIDTH * len(chain.caption):
        return
    middle = (chain.edges[0] + chain.edges[-1]) / 2
    s = chain.s - chain.outward * view.metres(1.9)
    x, y = chain.block.guides.from_turned(np.array([middle, s]))
    east, north = base[1] - base[0]
    axes.text(
        x,
        y,
        chain.caption,
        rotation=upright(float(np.degrees(np.arctan2(north, east)))),
        rotation_mode="anchor",
        ha="center",
        va="center",
        fontsize=5,
        fontweight="bold",
    )


def _band_edges(layout: Layout, block: Block) -> Points:
    """Return the edges of the bands of a block, or of all its tiers, from the anchor. [m]"""
    own = [one for one in layout.blocks if one is block or _same_lines(one, block)]
    cuts = [cut for one in own for cut in one.section.cuts if cut.grows]
    return np.unique(np.round([t for cut in cuts for t in (cut.t0, cut.t1)], 3))


def _figure(t: float) -> str:
    """Return a distance with as many decimals as it needs, two at most."""
    return f"{round(t, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def spaced(places: Points, least: float) -> list[float]:
    """
    Return the places that can be written without touching, first and last among them.

    Examples
    --------
    >>> spaced(np.array([0.0, 1.0, 2.0, 3.0, 3.5]), 2.0)
    [0.0, 3.5]
    """
    chosen = [float(places[0])]
    last = float(places[-1])
    for place in places[1:-1].tolist():
        if place - chosen[-1] >= least and last - place >= least:
            chosen.append(place)
    return chosen if len(places) == 1 else [*chosen, last]


def reading(block: Block, outward: float = -1.0) -> tuple[float, str]:
    """Return how letters along the rows are turned, and their side that is nearer to the field."""
    rotation = upright(90.0 - block.bearing)
    forward = np.array([np.sin(np.radians(block.bearing)), np.cos(np.radians(block.bearing))])
    reads = np.array([np.cos(np.radians(rotation)), np.sin(np.radians(rotation))])
    return rotation, "left" if reads @ (outward * forward) > 0 else "right"


def upright(angle: float) -> float:
    """Return an angle along the same line at which letters do not stand on their heads."""
    return (angle + 89.999) % 180.0 - 89.999
