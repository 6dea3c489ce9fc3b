"""
What lies too near to a feature, measured afresh from the feature as it was drawn.

The layout takes kept ground away before anything is laid, so rows, trees and ground should never
be found here. They are looked for all the same, by distance and not by the ground that was taken.
Passes may be found: their lines reach across.
"""

from collections.abc import Mapping, Sequence
from math import cos, pi

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import HAZARD, WARNING, Caution
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.land.features import QUARTER_SEGMENTS, Feature, edge, kept_clear
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["WATER", "WIRES", "distance_from", "ends_within", "headland_within", "near_cautions"]
__all__ += ["reach"]

ARC_SAG = 1.0 - cos(pi / (4 * QUARTER_SEGMENTS))
"""How far an arc drawn in chords lies inside the true one, of its radius. [-]"""

CROSSING = 0.05
"""A line that runs less than this through kept ground only touches it. [m]"""

OVERLAP = 1.0
"""Turning ground that is less than this on kept ground only touches it. [m2]"""

STRIP_SOURCE = "USDA NRCS (Tennessee), Filter Strip, Code 393: no turning on it."

WATER = ("water", "bank")
WIRES = "overhead line"
"""Hazard of lines and poles, whose turning ground and trees are looked at in `wires`."""

Shapes = NDArray[np.object_]


def reach(feature: Feature, distance: float) -> float:
    """Return how far a distance to keep reaches from the shape as drawn, half width added. [m]"""
    own = max(feature.half_width, feature.radius) if KINDS[feature.kind].occupies else 0.0
    return max(distance + edge(feature), own)


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


def near_cautions(layout: Layout) -> list[Caution]:
    """
    Say what lies inside a distance the plan keeps, and where turning meets water.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        Not yet acknowledged.
    """
    found: list[Caution] = []
    laid = _laid(layout) if layout.field.features else {}
    for feature in layout.field.features:
        found += _inside(layout, feature, laid)
        if KINDS[feature.kind].hazard != WIRES:
            found += _turning(layout, feature)
    return [*found, *_driven_into(layout, laid)]


def _laid(layout: Layout) -> dict[str, Shapes]:
    """Return what was laid, by the word for it."""
    ground = layout.ground
    sown = ~np.isin(ground.kind, ["obstacle", "keep-clear"])
    return {
        "pieces of row": layout.rows.lines.geometry,
        "pieces of ground": ground.geometry[sown],
        "trees": np.asarray(shapely.points(layout.trees.xy), dtype=object),
        "pieces of passes": layout.passes.lines.geometry,
    }


def _inside(layout: Layout, feature: Feature, laid: Mapping[str, Shapes]) -> list[Caution]:
    """Return what was laid inside the ground kept for a feature."""
    everything = feature.keep_clear.all
    distances = {
        "pieces of row": everything,
        "pieces of ground": everything,
        "trees": max(everything, feature.keep_clear.trees),
    }
    found = []
    for what, distance in distances.items():
        parts = _parts(_zone(feature, distance), laid[what])
        if len(parts):
            found.append(_laid_inside(layout, what, (feature, distance), parts))
    return found


def _zone(feature: Feature, distance: float) -> BaseGeometry:
    """Return ground within a distance of a feature, less what rounding and slack may take."""
    if distance == 0.0 and not KINDS[feature.kind].occupies:
        return shapely.Polygon()
    inside = reach(feature, distance) * (1.0 - ARC_SAG) - 2.0 * EDGE_SLACK
    return shapely.buffer(feature.geometry, inside, quad_segs=64)


def _parts(zone: BaseGeometry, geometries: Shapes) -> Shapes:
    """Return the parts of geometries inside a zone, those that only touch it left out."""
    if zone.is_empty or not len(geometries):
        return np.empty(0, dtype=object)
    shapely.prepare(zone)
    meeting = geometries[shapely.intersects(zone, geometries)]
    parts = np.asarray(shapely.intersection(zone, meeting), dtype=object)
    return parts[_sizes(parts) > CROSSING]


def _sizes(parts: Shapes) -> NDArray[np.float64]:
    """Return area, or length, or 1 for a point, of each part. [m2], [m] or [-]"""
    sizes = np.where(shapely.area(parts) > 0.0, shapely.area(parts), shapely.length(parts))
    return np.where(shapely.get_dimensions(parts) == 0, 1.0, sizes)


def _laid_inside(layout: Layout, what: str, kept: tuple[Feature, float], parts: Shapes) -> Caution:
    """Return the caution of what lies inside kept ground."""
    feature, distance = kept
    hazard = _hazard_key(feature)
    place = place_of(parts[int(np.argmax(_sizes(parts)))], layout.field.land)
    return Caution(
        key="inside-kept-ground",
        code="W16",
        severity=HAZARD if hazard else WARNING,
        sentence=(
            f"{len(parts)} {what} lie within the {distance:g} m kept from the {feature.label}, or "
            f"on it; the largest {place_words(layout.field, place)}."
        ),
        remedy="Do not drill or plant here; say so to whoever keeps the plan.",
        source="The plan's own distance.",
        value=float(_sizes(parts).sum()),
        threshold=0.0,
        unit={"pieces of ground": "m2", "trees": "trees"}.get(what, "m"),
        place=place,
        count=len(parts),
        hazard=hazard,
    )


def _hazard_key(feature: Feature) -> str:
    """Return the key by which breaking into kept ground is acknowledged, "" if it is no hazard."""
    kind = KINDS[feature.kind]
    return kind.hazard or (feature.kind if kind.protected else "")


def _driven_into(layout: Layout, laid: Mapping[str, Shapes]) -> list[Caution]:
    """
    Return the cautions of pass lines over features, and into what is kept from them.

    A line reaches the farthest ground of its strip, so beside a slanting edge its end may lie in
    kept ground by design; over a pond or a ditch it must never be followed. What is said of
    several features of one kind is said once.
    """
    met: dict[tuple[str, bool, float], list[tuple[Feature, Shapes]]] = {}
    for feature in layout.field.features:
        drives, distance = laid["pieces of passes"], feature.keep_clear.all
        over = _parts(_zone(feature, 0.0), drives)
        into = over if len(over) else _parts(_zone(feature, distance), drives)
        if len(into):
            kept = 0.0 if len(over) else distance
            met.setdefault((feature.kind, len(over) > 0, kept), []).append((feature, into))
    return [_driven(layout, over, kept, those) for (_, over, kept), those in met.items()]


def _driven(
    layout: Layout, over: bool, kept: float, those: Sequence[tuple[Feature, Shapes]]
) -> Caution:
    """Return the caution of pass lines where nobody should drive."""
    features = [feature for feature, _ in those]
    parts = np.concatenate([parts for _, parts in those])
    longest = int(np.argmax(shapely.length(parts)))
    place = place_of(parts[longest], layout.field.land)
    named = _together(features)
    where = f"over the {named} itself" if over else f"into the {kept:g} m kept from the {named}"
    where = where.replace(" itself", " themselves") if len(features) > 1 else where
    pieces = (
        "line of 1 piece of a pass runs"
        if len(parts) == 1
        else (f"lines of {len(parts)} pieces of passes run")
    )
    hazard = _hazard_key(features[0]) if over else ""
    return Caution(
        key="pass-into-kept-ground",
        code="W16",
        severity=HAZARD if hazard else WARNING,
        sentence=(
            f"The {pieces} {where}, the longest stretch {parts[longest].length:.1f} m, "
            f"{place_words(layout.field, place)}; whoever follows them on a screen drives there."
        ),
        remedy="Stop before it, lift out and drive round; whoever drives decides where.",
        source="The plan's own distance.",
        value=float(parts[longest].length),
        threshold=0.0,
        unit="m",
        place=place,
        count=len(parts),
        hazard=hazard,
    )


def _together(features: Sequence[Feature]) -> str:
    """Return what features of one kind are called: one by its label, several by their names."""
    if len(features) == 1:
        return features[0].label
    names = listed([feature.name for feature in features if feature.name != feature.kind])
    return f"{len(features)} features of kind {features[0].kind}{f' ({names})' if names else ''}"


def headland_within(layout: Layout, zone: BaseGeometry) -> BaseGeometry:
    """Return the headland inside a zone; what only touches it is left out."""
    parts = np.array([block.headland for block in layout.blocks], dtype=object)
    shared = np.asarray(shapely.intersection(parts, zone), dtype=object)
    inside = shapely.get_dimensions(shared) == min(2, int(shapely.get_dimensions(zone)))
    return shapely.union_all(shared[inside & ~shapely.is_empty(shared)])


def ends_within(layout: Layout, zone: BaseGeometry) -> BaseGeometry:
    """Return the ends of passes inside a zone, of blocks without headland to turn on."""
    bare = [i for i, block in enumerate(layout.blocks) if block.headland.is_empty]
    passes = layout.passes
    ends = passes.lines.ends(np.flatnonzero(np.isin(passes.block, bare))).reshape(-1, 2)
    return shapely.intersection(shapely.multipoints(ends), zone)


def _turning(layout: Layout, feature: Feature) -> list[Caution]:
    """Return the caution of headland or tree strips on ground where nobody turns."""
    distance = feature.keep_clear.turning
    if distance == 0.0:
        return []
    zone = kept_clear(feature, distance)
    ground = layout.ground
    shared = {
        "headland": headland_within(layout, zone),
        "tree strips": shapely.union_all(
            shapely.intersection(ground.geometry[ground.kind == "tree band"], zone)
        ),
        "ends of passes": ends_within(layout, zone),
    }
    there = {
        what: shape
        for what, shape in shared.items()
        if shape.area > OVERLAP or (what == "ends of passes" and not shape.is_empty)
    }
    return [_turned_on(layout, feature, there)] if there else []


def _turned_on(layout: Layout, feature: Feature, there: Mapping[str, BaseGeometry]) -> Caution:
    """Return the caution of what lies where nobody turns, by the word for it."""
    area = float(sum(shape.area for shape in there.values()))
    what = listed(list(there)).capitalize()
    verb = "lies" if list(there) == ["headland"] else "lie"
    shared = f", {area:.0f} m2 of it" if area else ""
    place = place_of(next(iter(there.values())), layout.field.land)
    return Caution(
        key="turning-on-kept-ground",
        code="W28",
        severity=WARNING,
        sentence=(
            f"{what} {verb} within the {feature.keep_clear.turning:g} m from the {feature.label} "
            f"on which nobody turns{shared}, {place_words(layout.field, place)}."
        ),
        remedy="Turn elsewhere along it, or make this the distance kept for everything.",
        source=STRIP_SOURCE if KINDS[feature.kind].hazard in WATER else "The plan's own distance.",
        value=area if area else float(len(shapely.get_parts(there["ends of passes"]))),
        threshold=OVERLAP if area else 0.0,
        unit="m2" if area else "ends of passes",
        place=place,
    )
