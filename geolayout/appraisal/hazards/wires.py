"""Overhead lines: turning under them, and trees that can come near them."""

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.appraisal.hazards.near import (
    WIRES,
    distance_from,
    ends_within,
    headland_within,
    reach,
)
from geolayout.appraisal.hazards.standing import LINE_REACH
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.land.features import Feature, kept_clear
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.pattern import BandTrees
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["wire_cautions"]

UNKNOWN = "tree-height-not-given"

TALLEST = 50.0
"""Trees farther from wires are not asked for their height. Our own choice, above any tree that
is planted in rows. [m]"""

CLASH_SOURCE = "HSE (UK), Working safely near overhead electricity power lines, AIS8."

Shapes = NDArray[np.object_]


def wire_cautions(layout: Layout) -> list[Caution]:
    """
    Say where turning or trees come near overhead lines, their poles and their stay wires.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        Not yet acknowledged.
    """
    wires = [f for f in layout.field.features if KINDS[f.kind].hazard == WIRES]
    found: list[Caution] = []
    unknown: list[tuple[Feature, Caution]] = []
    for feature in wires:
        found += _turns(layout, feature)
        for caution in _trees(layout, feature):
            if caution.key == UNKNOWN:
                unknown.append((feature, caution))
            else:
                found.append(caution)
    return [*found, *_told_once(unknown)]


def _kept(feature: Feature) -> float:
    """Return how far the plan keeps trees from wires. [m]"""
    return max(feature.keep_clear.all, feature.keep_clear.trees)


def _told_once(unknown: list[tuple[Feature, Caution]]) -> list[Caution]:
    """Return one caution for a height that is missing beside several wires: the least room."""
    if not unknown:
        return []
    first, worst = min(unknown, key=lambda one: (one[1].value or 0.0) - _kept(one[0]))
    others = [f"the {feature.label}" for feature, _ in unknown if feature is not first]
    if not others:
        return [worst]
    count = max(caution.count for _, caution in unknown)
    more = f" It is missing beside {listed(others)} too."
    return [replace(worst, sentence=worst.sentence + more, count=count)]


def _turns(layout: Layout, feature: Feature) -> list[Caution]:
    """
    Return the caution of turning ground under wires, or within the distance kept from them.

    Where the plan keeps no distance, passes without headland must not end within `LINE_REACH`: the
    machine turns beyond their ends, nobody knows how far.
    """
    distance = feature.keep_clear.turning
    headland = headland_within(
        layout, kept_clear(feature, distance) if distance else _wires(feature)
    )
    if not headland.is_empty:
        size = (headland.area, "m2") if headland.area else (headland.length, "m")
        return [_turns_near(layout, feature, distance, headland, size)]
    within = distance or LINE_REACH
    ends = ends_within(layout, kept_clear(feature, within))
    if ends.is_empty:
        return []
    size = (float(len(shapely.get_parts(ends))), "ends of passes")
    return [_turns_near(layout, feature, within, ends, size)]


def _wires(feature: Feature) -> BaseGeometry:
    """Return what hangs over the ground: the strip between the outer wires where it is known."""
    half = reach(feature, 0.0)
    return shapely.buffer(feature.geometry, half) if half else feature.geometry


def _turns_near(
    layout: Layout,
    feature: Feature,
    distance: float,
    turns: BaseGeometry,
    size: tuple[float, str],
) -> Caution:
    """Return the caution of one stretch of wires over ground where machines turn."""
    place = place_of(turns, layout.field.land)
    within = f"within {distance:g} m of" if distance else "under"
    return Caution(
        key="turning-near-wires",
        code="W30",
        severity=HAZARD,
        sentence=(
            f"Machines turn {within} the {feature.label}, {place_words(layout.field, place)}: a "
            "boom, lid or auger that is raised or folded there can reach it, and electricity can "
            "jump the gap and kill."
        ),
        remedy=(
            "Turn, fold, fill and tip elsewhere, and mark the place in the cab; the line's "
            "operator tells the height and the distance."
        ),
        source=CLASH_SOURCE,
        value=float(size[0]),
        threshold=0.0,
        unit=size[1],
        place=place,
        hazard=WIRES,
    )


def _height_by_tree(layout: Layout) -> NDArray[np.float64]:
    """Return the mature height of each tree, 0 where it was not given. [m]"""
    trees = layout.trees
    heights = np.zeros(len(trees))
    for b, c in np.unique(np.stack([trees.block, trees.cut], axis=1), axis=0):
        block = layout.blocks[b]
        band: BandTrees | None = block.pattern.bands[block.section.cuts[c].index].trees
        height = band.mature_height if band is not None else None
        heights[(trees.block == b) & (trees.cut == c)] = height or 0.0
    return heights


def _trees(layout: Layout, feature: Feature) -> list[Caution]:
    """Return the cautions of trees that, grown and fallen, come or may come too near to wires."""
    trees = layout.trees
    if not len(trees):
        return []
    distance = distance_from(feature, np.asarray(shapely.points(trees.xy), dtype=object))
    heights = _height_by_tree(layout)
    kept = _kept(feature)
    known = heights > 0.0
    near = np.flatnonzero(known & (distance < heights + kept - EDGE_SLACK))
    unknown = np.flatnonzero(~known & (distance < TALLEST + kept))
    found = []
    if len(near):
        worst = int(near[np.argmin((distance - heights)[near])])
        found.append(_can_fall(layout, feature, (worst, len(near)), distance, heights[worst]))
    if len(unknown):
        worst = int(unknown[np.argmin(distance[unknown])])
        found.append(_of_unknown_height(layout, feature, (worst, len(unknown)), distance))
    return found


def _reaches(feature: Feature) -> str:
    """Return what fallen trees must not do, in the words of the distance kept."""
    kept = _kept(feature)
    return (
        f"come within {kept:g} m of the {feature.label}" if kept else f"reach the {feature.label}"
    )


def _can_fall(
    layout: Layout,
    feature: Feature,
    worst_of: tuple[int, int],
    distance: NDArray[np.float64],
    height: float,
) -> Caution:
    """Return the caution of trees whose height is known and reaches too far."""
    (worst, count), trees = worst_of, layout.trees
    x, y = trees.xy[worst].tolist()
    return Caution(
        key="trees-near-wires",
        code="W30",
        severity=HAZARD,
        sentence=(
            f"{count} {'tree' if count == 1 else 'trees'} can {_reaches(feature)} when grown and "
            f"fallen; tree {trees.position[worst]} of row {trees.row[worst]}, grown to "
            f"{height:g} m, stands {distance[worst]:.1f} m from it, "
            f"{place_words(layout.field, (x, y))}."
        ),
        remedy=(
            "Leave these trees out, plant lower ones, or agree the distance in writing with the "
            "line's operator, who decides."
        ),
        source=CLASH_SOURCE,
        value=float(distance[worst]),
        threshold=float(height + _kept(feature)),
        unit="m",
        place=(x, y),
        count=count,
        hazard=WIRES,
    )


def _of_unknown_height(
    layout: Layout, feature: Feature, worst_of: tuple[int, int], distance: NDArray[np.float64]
) -> Caution:
    """Return the caution of trees near wires whose grown height nobody gave."""
    (worst, count), trees = worst_of, layout.trees
    x, y = trees.xy[worst].tolist()
    kept = _kept(feature)
    room = max(float(distance[worst]) - kept, 0.0)
    return Caution(
        key=UNKNOWN,
        code="W30",
        severity=HAZARD,
        sentence=(
            f"No mature height was given for {count} {'tree' if count == 1 else 'trees'} within "
            f"{TALLEST + kept:g} m of the {feature.label}: grown above {room:.1f} m and fallen, "
            f"tree {trees.position[worst]} of row {trees.row[worst]} can {_reaches(feature)}; it "
            f"stands {distance[worst]:.1f} m from it, {place_words(layout.field, (x, y))}."
        ),
        remedy=(
            "Give mature_height for these trees, and ask the line's operator, who decides about "
            "distances."
        ),
        source=CLASH_SOURCE,
        value=float(distance[worst]),
        unit="m",
        place=(x, y),
        count=count,
        hazard=WIRES,
    )
