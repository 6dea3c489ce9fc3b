"""Overhead lines: turning under them, trees that can come near them, gateways beside them."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.appraisal.near import WIRES, reach, turns_within
from geolayout.appraisal.places import place_of, place_words
from geolayout.land.features import Feature, kept_clear
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.pattern import BandTrees
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["distance_from", "wire_cautions"]

GATE_REACH = 10.0
"""Nothing is stacked, folded, tipped or lifted nearer to an overhead line than this. [m]"""

GATE_SOURCE = (
    "Welsh Farmer, Dangers of overhead power lines, restating HSE guidance (10 m beside the line); "
    "the line's operator decides."
)
CLASH_SOURCE = "HSE (UK), Working safely near overhead electricity power lines, AIS8."

Shapes = NDArray[np.object_]


def wire_cautions(layout: Layout) -> list[Caution]:
    """
    Say where turning, trees or gateways come near overhead lines and their poles.

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
    for feature in wires:
        found += [*_turns(layout, feature), *_trees(layout, feature), *_gates(layout, feature)]
    return found


def distance_from(feature: Feature, geometries: Shapes) -> NDArray[np.float64]:
    """
    Return how far geometries lie from a feature, as it is measured.

    Parameters
    ----------
    feature : Feature
        In the frame.
    geometries : ndarray of geometry, shape (n,)
        In the frame. [m]

    Returns
    -------
    distance : ndarray, shape (n,)
        From the centre line, the bank, the wire or the drawn edge; 0 inside. [m]
    """
    drawn = np.asarray(shapely.distance(feature.geometry, geometries), dtype=np.float64)
    return np.maximum(drawn - reach(feature, 0.0), 0.0)


def _turns(layout: Layout, feature: Feature) -> list[Caution]:
    """Return the caution of turning ground under wires, or within the distance kept from them."""
    distance = feature.keep_clear.turning
    zone = kept_clear(feature, distance) if distance else feature.geometry
    turns = turns_within(layout, zone)
    if turns.is_empty:
        return []
    place = place_of(turns, layout.field.land)
    within = f"within {distance:g} m of" if distance else "under"
    return [
        Caution(
            key="turning-near-wires",
            code="W30",
            severity=HAZARD,
            sentence=(
                f"Machines turn {within} the {feature.label}, "
                f"{place_words(layout.field, place)}: a boom, lid or auger that is raised or "
                "folded there can reach it, and electricity can jump the gap and kill."
            ),
            remedy=(
                "Turn, fold, fill and tip elsewhere, and mark the place in the cab; the line's "
                "operator tells the height and the distance."
            ),
            source=CLASH_SOURCE,
            value=float(turns.area or turns.length),
            threshold=0.0,
            unit="m2" if turns.area else "m",
            place=place,
            hazard=WIRES,
        )
    ]


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
    """Return the caution of trees that, grown and fallen, come too near to wires."""
    trees = layout.trees
    if not len(trees):
        return []
    distance = distance_from(feature, np.asarray(shapely.points(trees.xy), dtype=object))
    heights, kept = _height_by_tree(layout), feature.keep_clear.trees
    near = np.flatnonzero(distance < heights + kept - EDGE_SLACK)
    if not len(near):
        return []
    worst = int(near[np.argmin((distance - heights)[near])])
    height = heights[worst]
    grown = f"grown to {height:g} m" if height else "of a mature height that was not given"
    x, y = trees.xy[worst].tolist()
    return [
        Caution(
            key="trees-near-wires",
            code="W30",
            severity=HAZARD,
            sentence=(
                f"{len(near)} trees can come within {kept:g} m of the {feature.label} when they "
                f"are grown and fall; tree {trees.position[worst]} of row {trees.row[worst]}, "
                f"{grown}, stands {distance[worst]:.1f} m from it, "
                f"{place_words(layout.field, (x, y))}."
            ),
            remedy=(
                "Leave these trees out, plant lower ones, or agree the distance in writing with "
                "the line's operator, who decides."
            ),
            source=CLASH_SOURCE,
            value=float(distance[worst]),
            threshold=float(height + kept),
            unit="m",
            place=(x, y),
            count=len(near),
            hazard=WIRES,
        )
    ]


def _gates(layout: Layout, feature: Feature) -> list[Caution]:
    """Return the cautions of gateways near wires, where machines are folded and loads stand."""
    within = feature.keep_clear.turning or GATE_REACH
    found = []
    for gate in layout.field.features:
        away = float(distance_from(feature, np.array([gate.geometry], dtype=object))[0])
        if gate.kind != "gateway" or away >= within:
            continue
        place = place_of(gate.geometry, layout.field.land)
        found.append(
            Caution(
                key="gateway-near-wires",
                code="W30",
                severity=HAZARD,
                sentence=(
                    f"The {gate.label} lies {away:.1f} m from the {feature.label}, "
                    f"{place_words(layout.field, place)}: machines that are folded or unfolded, "
                    "filled or tipped there can reach it."
                ),
                remedy=(
                    "Fold, fill and tip away from it, and put a sign at the gate; the line's "
                    "operator tells the height and the distance."
                ),
                source=GATE_SOURCE,
                value=away,
                threshold=within,
                unit="m",
                place=place,
                hazard=WIRES,
            )
        )
    return found
