"""Where turns fall on ground beside the land that is no headland: filter strips, margins, trees."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.hazards.near import OVERLAP, STRIP_SOURCE, WATER
from geolayout.appraisal.pass_ends import NEAR, PassEnd, pass_ends, piece_ends
from geolayout.appraisal.places import place_of, place_words
from geolayout.appraisal.turning import SHORTFALL, pass_steps
from geolayout.land.features import Feature, kept_clear
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.layout.headlands.edge_widths import OBSTACLE, EdgeWidths
from geolayout.plan.machines import Machine
from geolayout.plan.slanting import headland_needed_aslant

__all__ = ["buffer_cautions"]

STRIPS = ("filter strip", "grassed waterway")
"""Kinds that are themselves grass which takes up what runs off, and are driven on by nobody."""

FEWEST = 2
"""Ends between which a turn is made: a single pass that ends somewhere joins no other. [-]"""

MARGIN = "field margin"
TREES = "tree strips"

Shapes = NDArray[np.object_]


@dataclass(frozen=True, slots=True, eq=False)
class _Short:
    """
    An edge whose headland does not hold the turn of a machine.

    ``outside`` is the ground beyond the edge that the turn takes, ``inside`` the ground within
    that it would take instead.
    """

    machine: Machine
    side: str
    width: float
    need: float
    edge: BaseGeometry
    outside: BaseGeometry
    inside: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class _Inside:
    """Where passes of a machine end inside the land, as points, and the headland it turns on."""

    machine: Machine
    need: float
    places: Shapes


def buffer_cautions(layout: Layout) -> list[Caution]:
    """
    Say where turns fall on ground that is no headland.

    Along an edge whose headland is narrower than the turn of a machine, the rest of the turn lies
    beyond the edge. If a strip beside water, a filter strip or the field's margin lies there, it
    would carry the turn; and so would tree strips that end there, if the turn is made inside. Round
    a pond inside the field without a headland of its own, passes end at the strip itself.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        One for each strip, for the machine that takes most of it.
    """
    grounds = _grounds(layout)
    if not grounds:
        return []
    blocks = range(len(layout.blocks))
    short = [one for b in blocks for one in _short_edges(layout, b)]
    inside = [one for b in blocks for one in _ends_inside(layout, b)]
    found = [_on(layout, name, ground, short) for name, ground in grounds.items()]
    found += [
        _beside(layout, name, ground, inside)
        for name, ground in grounds.items()
        if name not in (MARGIN, TREES)
    ]
    return [caution for caution in found if caution is not None]


def _grounds(layout: Layout) -> Mapping[str, BaseGeometry]:
    """Return the field's ground that is no headland, by what it is called."""
    grounds: dict[str, list[BaseGeometry]] = {}
    for feature in layout.field.features:
        strip = _strip_of(feature)
        if not strip.is_empty:
            grounds.setdefault(_name(feature), []).append(strip)
    trees = layout.ground.geometry[layout.ground.kind == "tree band"]
    if not layout.layers.margin.is_empty:
        grounds[MARGIN] = [layout.layers.margin]
    if len(trees):
        grounds[TREES] = trees.tolist()
    return {
        name: shapely.intersection(shapely.union_all(those), layout.field.land)
        for name, those in grounds.items()
    }


def _strip_of(feature: Feature) -> BaseGeometry:
    """Return the strip that a feature is, or that is kept beside water; empty for all others."""
    if feature.kind in STRIPS or (
        KINDS[feature.kind].hazard in WATER and feature.keep_clear.all > 0.0
    ):
        return kept_clear(feature, feature.keep_clear.all)
    return shapely.Polygon()


def _name(feature: Feature) -> str:
    """Return what the strip of a feature is called."""
    own = feature.kind in STRIPS
    return feature.label if own else f"strip kept beside the {feature.label}"


def _short_edges(layout: Layout, block: int) -> list[_Short]:
    """Return the edges of a block that do not hold the turns of an operation, by machine."""
    edges = layout.blocks[block].edges
    found: list[_Short] = []
    if edges is None:
        return found
    for i, operation in enumerate(layout.plan.operations):
        machine = layout.plan.machine(operation.machine)
        steps = pass_steps(layout, block, i)
        by_edge: dict[int, list[PassEnd]] = {}
        for end in pass_ends(layout, block, i) if steps else ():
            by_edge.setdefault(end.edge, []).append(end)
        for edge, ends in by_edge.items():
            need = _need(machine, steps[0], min(end.angle for end in ends))
            if need > edges.width[edge] + SHORTFALL:
                found.append(_short(edges, edge, ends, (machine, need)))
    return found


def _need(machine: Machine, step: float, angle: float) -> float:
    """
    Return the headland that a machine's turn takes. [m]

    Where its radius is not known, one working width: it drives that far to lift out and swing.
    """
    if machine.turning_radius is None:
        return machine.working_width
    return headland_needed_aslant(machine.turning_radius, step, machine.working_width, angle)


def _short(
    edges: EdgeWidths, edge: int, ends: list[PassEnd], turning: tuple[Machine, float]
) -> _Short:
    """Return an edge as far as passes end at it, with the ground on both sides that turns take."""
    machine, need = turning
    start, along = edges.start[edge], edges.end[edge] - edges.start[edge]
    length = float(np.hypot(*along))
    unit = along / length
    inwards = np.array([-unit[1], unit[0]])
    at = (np.array([end.place for end in ends]) - start) @ unit
    half = machine.working_width / 2
    low, high = max(float(at.min()) - half, 0.0), min(float(at.max()) + half, length)
    first, last = start + unit * low, start + unit * max(high, low)
    width = float(edges.width[edge])

    def strip(depth: float) -> BaseGeometry:
        return shapely.Polygon([first, last, last + inwards * depth, first + inwards * depth])

    line = shapely.LineString([first, last])
    return _Short(
        machine, str(edges.side[edge]), width, need, line, strip(width - need), strip(need)
    )


def _on(layout: Layout, name: str, ground: BaseGeometry, short: list[_Short]) -> Caution | None:
    """Return the caution of turns that fall on one strip, None where none does."""
    taken = [shapely.intersection(_takes(name, one), ground) for one in short]
    hit = [i for i, shape in enumerate(taken) if shape.area > OVERLAP]
    if not hit:
        return None
    worst = short[max(hit, key=lambda i: short[i].need - short[i].width)]
    mine = [i for i in hit if short[i].machine.name == worst.machine.name]
    lines = shapely.union_all([short[i].edge for i in mine])
    area = float(shapely.union_all([taken[i] for i in mine]).area)
    place = place_of(lines, layout.field.land)
    have = f"the headland is {worst.width:.1f} m" if worst.width else "there is no headland"
    where = "would be turned on" if name == TREES else "falls on"
    whose = "them" if name == TREES else "it"
    return Caution(
        key="turn-on-buffer",
        code="W28",
        severity=NOTE if name == MARGIN else WARNING,
        sentence=(
            f"Passes end along {lines.length:.0f} m where {have}, "
            f"{place_words(layout.field, place)}; the turn of {worst.machine.name} takes "
            f"{worst.need:.1f} m, and what is missing "
            f"{where} the {name}, {area:.0f} m2 of {whose}."
        ),
        remedy=_remedy(name, worst),
        source=STRIP_SOURCE if name not in (MARGIN, TREES) else "Geometry of a turn.",
        value=area,
        threshold=OVERLAP,
        unit="m2",
        place=place,
    )


def _ends_inside(layout: Layout, block: int) -> list[_Inside]:
    """Return where passes of a block end inside the land and at no edge of it, by machine."""
    found = []
    for i, operation in enumerate(layout.plan.operations):
        machine = layout.plan.machine(operation.machine)
        mine = np.flatnonzero((layout.passes.block == block) & (layout.passes.operation == i))
        steps = pass_steps(layout, block, i)
        if not len(mine) or not steps:
            continue
        ends = piece_ends(layout, block, mine)
        need = _need(machine, steps[0], 90.0)
        found.append(_Inside(machine, need, shapely.points(ends.place[ends.edge < 0])))
    return found


def _beside(
    layout: Layout, name: str, ground: BaseGeometry, inside: list[_Inside]
) -> Caution | None:
    """Return the caution of passes that end at a strip inside the field, None where none does."""
    reach = [one.machine.working_width / 2 + NEAR for one in inside]
    at = [
        one.places[shapely.dwithin(one.places, ground, far)]
        for one, far in zip(inside, reach, strict=True)
    ]
    hit = [i for i, places in enumerate(at) if len(places) >= FEWEST]
    if not hit:
        return None
    worst = max(hit, key=lambda i: inside[i].need)
    machine, need = inside[worst].machine, inside[worst].need
    place = place_of(shapely.multipoints(at[worst]), layout.field.land)
    return Caution(
        key="turn-on-buffer",
        code="W28",
        severity=WARNING,
        sentence=(
            f"Passes of {machine.name} end {len(at[worst])} times at the {name}, "
            f"{place_words(layout.field, place)}, where there is no headland; its turn takes "
            f"{need:.1f} m."
        ),
        remedy=(
            "Set round_obstacles = true under a headland of that width, or lift out and drive "
            "round the strip without turning on it."
        ),
        source=STRIP_SOURCE,
        value=float(len(at[worst])),
        threshold=float(FEWEST),
        unit="ends",
        place=place,
    )


def _takes(name: str, short: _Short) -> BaseGeometry:
    """Return the ground of a turn that may be a strip's: tree strips lie inside the field."""
    return short.inside if name == TREES else short.outside


def _remedy(name: str, worst: _Short) -> str:
    """Return what can be done about turns on a strip."""
    if worst.side == OBSTACLE:
        return (
            f"Widen the headland to {worst.need:.1f} m, or turn elsewhere; a filter strip is no "
            "turning headland."
        )
    entry = f'edge = [ {{ side = "{worst.side}", width = {worst.need:.1f} }} ]'
    widen = f"Widen the headland there to {worst.need:.1f} m, such as by {entry}"
    if name == MARGIN:
        return f"{widen}, or ask whether the margin may be driven on."
    if name == TREES:
        return f"{widen}, or let the trees begin farther in."
    return f"{widen}, or turn elsewhere; a filter strip is no turning headland."
