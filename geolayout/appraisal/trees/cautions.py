"""What planting brings up: densities near a scheme's limits, ripping across what is buried."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.caution import HAZARD, NOTE, WARNING, Caution
from geolayout.appraisal.hazards.features import acknowledged
from geolayout.appraisal.places import place_of, place_words
from geolayout.appraisal.quantities.trees import tree_figures
from geolayout.appraisal.trees.order import ripped_lines
from geolayout.land.features import Feature
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.trees.planting import Planting

__all__ = ["planting_cautions"]

BURIED = ("buried pipe", "buried cable", "drain")

NEAR_LIMIT = 0.05
"""Densities so near a limit are named: a survey moves them. Our own choice. [-]"""


def planting_cautions(layout: Layout) -> list[Caution]:
    """
    Say where densities and ripping want a second look.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        None where there are no trees.
    """
    if not len(layout.trees):
        return []
    return acknowledged([*_densities(layout), *_ripping(layout)], layout.plan.acknowledged)


def _densities(layout: Layout) -> list[Caution]:
    """Return the classes of the scheme that the densities fall in, at planting and later."""
    said = layout.plan.planting
    if not said.density_bands:
        return []
    figures = tree_figures(layout)
    told = {
        "of the whole field": figures.trees_per_ha_of_field,
        "of the land the pattern is laid on": figures.trees_per_ha_of_pattern_land,
    }
    told |= {
        f"of the whole field from year {one.year:g}": one.trees_per_ha_of_field
        for one in figures.years
        if one.year
    }
    classes = {said.density_class(density) for density in told.values()}
    near = _near_limit(said, tuple(told.values()))
    return [_density_caution(said, told, near, crosses=len(classes) > 1 or near is not None)]


def _near_limit(said: Planting, densities: tuple[float, ...]) -> float | None:
    """Return the first limit that a density lies next to; None where there is none."""
    for limit in said.density_bands:
        if any(abs(density - limit) <= NEAR_LIMIT * limit for density in densities):
            return limit
    return None


def _class_words(said: Planting, density: float) -> str:
    """Return the class of a density in words."""
    limits, place = said.density_bands, said.density_class(density)
    if place == 0:
        return f"under {limits[0]:g}"
    if place == len(limits):
        return f"{limits[-1]:g} or more"
    return f"{limits[place - 1]:g} to under {limits[place]:g}"


def _density_caution(
    said: Planting, told: dict[str, float], near: float | None, *, crosses: bool
) -> Caution:
    """Return the warning of densities in several classes or next to a limit, else the note."""
    each = "; ".join(
        f"{density:.1f} trees/ha {of} ({_class_words(said, density)})"
        for of, density in told.items()
    )
    next_to = f"; a limit, {near:g}, is within 5 %" if near is not None else ""
    return Caution(
        key="tree-density",
        code="W29",
        severity=WARNING if crosses else NOTE,
        sentence=f"By the classes of {said.scheme or 'the plan'}: {each}{next_to}.",
        remedy=(
            "Ask which land and which year the rules count by, and read the version of the day; "
            "whoever runs the scheme decides."
        ),
        source="The plan's own density_bands; versions of one scheme's page were seen to differ.",
        value=next(iter(told.values())),
        threshold=near,
        unit="trees/ha",
    )


def _ripping(layout: Layout) -> list[Caution]:
    """Return where ripped rows cross what is buried."""
    depth = layout.plan.planting.rip_depth
    if depth is None:
        return []
    lines = ripped_lines(layout)
    found = []
    for feature in layout.field.features:
        if feature.kind not in BURIED:
            continue
        crossed = shapely.intersects(lines, feature.geometry)
        if crossed.any():
            found.append(_ripped_over(layout, feature, depth, lines[np.flatnonzero(crossed)]))
    return found


def _ripped_over(
    layout: Layout, feature: Feature, depth: float, lines: NDArray[np.object_]
) -> Caution:
    """Return the caution of ripped rows across one buried thing."""
    meets = shapely.union_all(shapely.intersection(lines, feature.geometry))
    place = place_of(meets, layout.field.land)
    rows = "a ripped tree row crosses" if len(lines) == 1 else f"{len(lines)} ripped rows cross"
    return Caution(
        key="ripping-over-service",
        severity=HAZARD,
        sentence=(
            f"{rows[0].upper()}{rows[1:]} the {feature.label}, ripped {depth:g} m deep, first "
            f"{place_words(layout.field, place)}: a tine can cut what lies there."
        ),
        remedy=(
            "Leave a gap in the rows, lift the ripper out well before and behind, and ask the "
            "owner of the service or the land, who decides."
        ),
        source="Common practice.",
        value=depth,
        unit="m",
        place=place,
        count=len(lines),
        hazard=KINDS[feature.kind].hazard,
    )
