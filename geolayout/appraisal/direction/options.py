"""
The best few ways to lay a block, laid out and measured, the fewest hours first.

The sweep looks at thousands of bearings by formulas; what it finds best is laid out, with the true
headland and the remainders at the far side, and measured. Bent edges and the contour have no
bearing: they are laid out straight away. Hours are compared for each hectare that an operation
works, for a way that leaves ground over has less to do.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.direction.candidates import APART, SAME, look_everywhere
from geolayout.appraisal.direction.landmarks import to_an_edge
from geolayout.appraisal.direction.look import Look, steep_shares, weighed
from geolayout.appraisal.direction.measured import Measured, measured
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.site import Site, site_of
from geolayout.appraisal.direction.tries import Try, bent_tries, straight_tries
from geolayout.appraisal.slope.grades import Slopes, grades_of
from geolayout.errors import GeolayoutError
from geolayout.land.field import Field
from geolayout.land.terrain.grade import ANNUAL, PERENNIAL
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.ground import block_lands, layers_of
from geolayout.layout.guides.guide import Straight
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.ground import Block
from geolayout.plan.guide import Guide
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan

__all__ = ["Compared", "Option", "Share", "compare"]

HECTARE = 1e4
"""[m2]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Share:
    """
    How much of the bands' ground a stand was to have, and has.

    Attributes
    ----------
    stand : str
        Its name, "" for bare ground.
    wanted : float or None
        By the pattern; None where a band takes the rest. [-]
    got : float
        As laid out. [-]
    """

    stand: str
    wanted: float | None
    got: float


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """
    One way to lay a block, laid out and measured.

    Attributes
    ----------
    kind : {"straight", "along", "contour"}
        Family of its lines.
    side : str
        Side whose bent edge the lines follow; "" for others.
    bearing : float or None
        Of straight lines, from the frame's north, 0 to 180; None for others. [degrees]
    layout : Layout
        The block, laid out.
    found : Measured
        Hours and counts.
    cost : float
        The usual hours, and what else was weighed, in hours. [h]
    slopes : Slopes or None
        How the rows lie on the slope; None without heights.
    shares : tuple of Share
        Of the bands' ground, by stand.
    """

    kind: str
    side: str
    bearing: float | None
    layout: Layout
    found: Measured
    cost: float
    slopes: Slopes | None
    shares: tuple[Share, ...]

    @property
    def guide(self) -> Guide:
        """Its guide, resolved."""
        plan = self.layout.plan
        return plan.guide_of(plan.blocks[0] if plan.blocks else None)

    @property
    def rate(self) -> float:
        """What it costs for each hectare that an operation works. [h/ha]"""
        return self.cost * HECTARE / self.found.work


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    """
    The ways of laying a block that were compared.

    Attributes
    ----------
    site : Site
        The block as the sweep sees it.
    land : Polygon or MultiPolygon
        Its land. [m]
    look : Look
        What the sweep found at every bearing.
    options : tuple of Option
        Laid out, the least cost for each hectare first; the plan's own lines before their equals.
    written : Option or None
        The plan's own lines, where it says them and they can be laid; no option where straight rows
        of nearly their bearing are better.
    not_laid : tuple of str
        Ways that cannot be laid here, and why.
    edges : tuple of Option or None
        For each of the options the straight rows along a long edge that they all but follow, for
        little more; None where there are none.
    """

    site: Site
    land: BaseGeometry
    look: Look
    options: tuple[Option, ...]
    written: Option | None
    not_laid: tuple[str, ...]
    edges: tuple[Option | None, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Alone:
    """One block of a plan, to be laid by itself under one guide after another."""

    plan: Plan
    block: Block | None
    field: Field
    drawn: Drawn
    site: Site

    def laid(self, guide: Guide) -> Layout:
        """Lay it out under a guide, but for the rounds, which no figure here is of."""
        changed: dict[str, object] = {"guide": guide}
        if self.block is not None:
            changed = {"blocks": (self.block.model_copy(update=changed),)}
        plan = resolve_guides(self.plan.model_copy(update=changed), self.field, self.drawn)
        return lay_out(self.field, plan, plan.season(), self.drawn, rounds=False)

    @property
    def pattern(self) -> Pattern:
        """Its pattern."""
        return self.plan.pattern(self.block.pattern if self.block is not None else None)


def compare(
    plan: Plan, block: Block | None, field: Field, drawn: Drawn, *, bent: bool = True
) -> Compared:
    """
    Compare the ways of laying a block.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    block : plan.ground.Block or None
        The block; None where the field is one.
    field : Field
        The field.
    drawn : Drawn
        Lands and lines that the plan names by file.
    bent : bool
        Whether bent edges and the contour are compared too.

    Returns
    -------
    compared : Compared

    Raises
    ------
    GeolayoutError
        If nothing can be laid here in any direction, or nothing is driven.
    """
    layers = layers_of(field, plan.margin)
    lands = block_lands(field, plan, layers.drivable, drawn)
    land = lands[plan.blocks.index(block)] if block is not None else lands[0]
    site = site_of(plan, block, (layers.drivable, land), field.terrain)
    own = (block.guide if block is not None else None) or plan.guide
    given = own if own is not None and own.choose == "fewest hours" else Guide(bearing=0.0)
    if block is not None:
        drawn = replace(drawn, lands={**drawn.lands, block.name: land})
        block = _by_itself(block)
    alone = _Alone(plan, block, field, drawn, site)
    look = look_everywhere(site, given.from_)
    tries = list(straight_tries(site, look, field, given))
    tries += bent_tries(land, field, own) if bent else []
    return _compared(alone, (land, look), tries, _written(alone, own) if bent else None)


def _by_itself(block: Block) -> Block:
    """Return a block whose land is known by its name, its tiers not yet placed along any line."""
    tiers = block.tiers.model_copy(update={"places": ()}) if block.tiers is not None else None
    land = {"land": block.name, "part": None, "piece": None, "rest": False}
    return block.model_copy(update={**land, "tiers": tiers})


def _compared(
    alone: _Alone, seen: tuple[BaseGeometry, Look], tries: list[Try], written: Option | None
) -> Compared:
    """Lay out every try, and put those that can be laid in order."""
    land, look = seen
    options = [written] if written is not None else []
    not_laid: list[str] = []
    refusal: GeolayoutError | None = None
    for one in tries:
        try:
            options.append(_option(alone, one))
        except GeolayoutError as error:
            refusal = refusal or error
            not_laid.append(f"{one.words}: {error.found}")
    if not options and refusal is not None:
        raise refusal
    ranked = sorted(options, key=lambda option: option.rate * (1.0 - SAME * (option is written)))
    kept = _apart(ranked)
    edges = tuple(_along_an_edge(option, ranked, alone.site.rings) for option in kept)
    return Compared(alone.site, land, look, kept, written, tuple(not_laid), edges)


def _apart(ranked: list[Option]) -> tuple[Option, ...]:
    """Leave out straight rows that are all but those of a better option."""
    kept: list[Option] = []
    for option in ranked:
        near = [
            other
            for other in kept
            if option.bearing is not None
            and other.bearing is not None
            and abs((option.bearing - other.bearing + 90.0) % 180.0 - 90.0) < APART
        ]
        kept += [] if near else [option]
    return tuple(kept)


def _along_an_edge(option: Option, laid: list[Option], rings: Rings) -> Option | None:
    """Return the rows along a long edge that straight rows all but follow, if they cost little."""
    if option.bearing is None:
        return None
    straight = [(other, other.bearing) for other in laid if other.bearing is not None]
    bearings = np.array([bearing for _, bearing in straight])
    more = np.array([other.rate for other, _ in straight]) / option.rate - 1.0
    place = to_an_edge(rings, option.bearing, bearings, more)
    return straight[place][0] if place is not None else None


def _written(alone: _Alone, own: Guide | None) -> Option | None:
    """Return the plan's own lines, measured like the others."""
    if own is None or own.choose == "fewest hours":
        return None
    try:
        return _option(alone, Try(own, "as written", own.near_edge or ""))
    except GeolayoutError:
        return None


def _option(alone: _Alone, one: Try) -> Option:
    """Lay a try out and measure it."""
    layout = alone.laid(one.guide)
    site, found, slopes = alone.site, measured(layout, alone.site), _slopes(layout)
    guides = layout.blocks[0].guides
    bearing = guides.bearing % 180.0 if isinstance(guides, Straight) else None
    if bearing is not None:
        steep = steep_shares(site.gradient, np.array([bearing]))
    else:
        steep = np.array([slopes.over_share if slopes is not None else 0.0])
    short, headland, double = np.array([[found.short], [found.headland], [found.double]])
    extra = weighed(site.weigh, (short, headland, double), steep * site.rings.area)
    return Option(
        one.guide.kind,
        one.side if bearing is None else "",
        bearing,
        layout,
        found,
        found.hours.usual + float(extra[0]),
        slopes,
        _shares(layout, alone.pattern),
    )


def _slopes(layout: Layout) -> Slopes | None:
    """Return how the rows lie on the slope, by the limit for the rows there are."""
    terrain = layout.field.terrain
    if terrain is None:
        return None
    trees = any(block.pattern.has_trees for block in layout.blocks)
    return grades_of(terrain, layout.passes.lines, PERENNIAL if trees else ANNUAL)


def _shares(layout: Layout, pattern: Pattern) -> tuple[Share, ...]:
    """Return the share of every stand on the bands' ground."""
    ground = layout.ground
    bands = np.isin(ground.kind, ["band", "tree band"])
    total = float(ground.area[bands].sum())
    wanted = _wanted(layout, pattern)
    stands = dict.fromkeys([*wanted, *ground.stand[bands].tolist()])
    return tuple(
        Share(
            stand,
            wanted.get(stand) if wanted else None,
            float(ground.area[bands & (ground.stand == stand)].sum()) / total,
        )
        for stand in stands
    )


def _wanted(layout: Layout, pattern: Pattern) -> dict[str, float]:
    """Return the share of every stand by the widths of one repeat; empty for bands laid once."""
    if pattern.laid_once or pattern.repeats is not None:
        return {}
    grows = layout.season.grows if layout.season is not None else {}
    part_of = layout.blocks[0].part_of
    shares: dict[str, float] = {}
    for band in pattern.bands:
        name = grows.get(f"{part_of}/{band.name}", grows.get(band.name, band.stand))
        own = "" if name in (None, "none") else str(name)
        shares[own] = shares.get(own, 0.0) + float(band.width) / pattern.repeat_width
    return shares
