"""
What the heights of the land mean for a layout: slope, grade along rows, water across them.

Slopes are told and not judged: the maker's figure and today's ground decide what can be driven.
Limits of grade along rows are there for the soil. Water is led over bare ground; rain, soil and
drains are not known.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import place_of, place_words
from geolayout.appraisal.slope.grades import Grades, slopes_of
from geolayout.appraisal.slope.lengths import WATER_TAKERS, row_steps, tree_row_steps
from geolayout.land.boundary.finding import Finding
from geolayout.land.features import Feature
from geolayout.land.field import Field
from geolayout.land.terrain.flow import LEAST_UPSLOPE, FlowLine, flow_lines
from geolayout.land.terrain.grade import ANNUAL, PERENNIAL, GradeLimit
from geolayout.land.terrain.terrain import points_over
from geolayout.layout.build import Layout

__all__ = ["slope_caution", "slope_cautions"]

OUTLET_REACH = 15.0
"""How far from the end of a flow line its outlet may lie. Our own choice. [m]"""

LEAST_CROSSED = 1.0
"""Rows that share less than this with a flow line only touch it. [m]"""

DECIDES = "The maker's figure and today's ground decide; whoever drives walks it first."
NO_NUMBER = "HSE (UK) names gradient as a risk and gives no number."

UNKNOWN = Caution(
    key="slope",
    severity=NOTE,
    sentence=(
        "No slope was computed: a machine can slide or turn over on a bank or a wet slope that "
        "nobody drew."
    ),
    remedy=DECIDES,
    source=NO_NUMBER,
    hazard="slope",
)


def slope_caution(field: Field) -> Caution:
    """
    Say how steep a field is, or that nobody knows.

    Parameters
    ----------
    field : Field
        With its heights, if they were given.

    Returns
    -------
    caution : Caution
        A note that can be acknowledged and not silenced.
    """
    if field.terrain is None:
        return UNKNOWN
    xy = points_over(field.land, field.terrain.cell, 50)
    slope = field.terrain.slope(xy)
    known = np.isfinite(slope)
    if not known.any():
        return UNKNOWN
    worst = int(np.nanargmax(slope))
    place = (float(xy[worst, 0]), float(xy[worst, 1]))
    return Caution(
        key="slope",
        severity=NOTE,
        sentence=(
            f"By {field.terrain.source}, in cells of {field.terrain.cell:.1f} m, the ground falls "
            f"{float(slope[known].mean()):.1f} % on average and {slope[worst]:.1f} % "
            f"({np.degrees(np.arctan(slope[worst] / 100)):.1f} degrees) at the steepest, "
            f"{place_words(field, place)}. A machine can slide or turn over on a bank that such "
            "cells do not show, and on any slope when it is wet."
        ),
        remedy=DECIDES,
        source=NO_NUMBER,
        value=float(slope[worst]),
        unit="%",
        place=place,
        hazard="slope",
    )


def slope_cautions(layout: Layout) -> list[Caution]:
    """
    Say which rows run too steeply for the soil, and where water crosses them.

    Parameters
    ----------
    layout : Layout
        The layout; without heights of its field nothing is said.

    Returns
    -------
    cautions : list of Caution
    """
    terrain = layout.field.terrain
    if terrain is None:
        return []
    told = [_told(finding) for finding in layout.field.terrain_findings]
    graded = [
        _too_steep(layout, row_steps(layout), ANNUAL),
        _too_steep(layout, tree_row_steps(layout), PERENNIAL),
    ]
    water = flow_lines(terrain, layout.field.land)
    steep = [caution for caution in graded if caution is not None]
    return [*steep, *_crossed(layout, water), *told]


def _told(finding: Finding) -> Caution:
    """Return what is to be known of the heights as a note."""
    return Caution(
        key="heights",
        severity=NOTE,
        sentence=finding.sentence,
        remedy=finding.question or "Hold slopes against what you see before you rely on them.",
        source="The file of heights as read.",
    )


def _too_steep(layout: Layout, steps: Grades | None, limit: GradeLimit) -> Caution | None:
    """Return the caution of rows that are steeper than the limit of their kind."""
    found = slopes_of(steps, limit) if steps is not None else None
    if found is None or found.over_m == 0.0:
        return None
    return Caution(
        key="row-grade",
        code="W11",
        severity=WARNING,
        sentence=(
            f"{100 * found.over_share:.0f} % of the {limit.rows} ({found.over_m:,.0f} m) rise or "
            f"fall more than the {limit.most:g} %, or half the mean slope, that keep soil in "
            f"place; the steepest by {found.steepest:.1f} %, "
            f"{place_words(layout.field, found.place)}. Water runs along such rows."
        ),
        remedy=(
            "Try lines on the contour, shorter rows or grass across the slope; an adviser "
            "for soil decides. It is no limit for machines."
        ),
        source=limit.source,
        value=found.steepest,
        threshold=limit.most,
        unit="%",
        place=found.place,
    )


def _crossed(layout: Layout, water: tuple[FlowLine, ...]) -> Iterator[Caution]:
    """Yield the caution of flow lines over sown or planted land."""
    land = shapely.union_all([block.crop_land for block in layout.blocks])
    over = [line for line in water if shapely.intersection(line.line, land).length > LEAST_CROSSED]
    if not over:
        return
    largest = over[0]
    inside = shapely.intersection(largest.line, layout.field.land)
    place = place_of(inside, layout.field.land)
    end = shapely.get_point(largest.line, -1)
    outlet = _outlet(layout.field, end)
    ends = f"ends at the {outlet.label}" if outlet else "ends at nothing that was drawn to take it"
    lines = "1 line" if len(over) == 1 else f"{len(over)} lines"
    yield Caution(
        key="flow-line",
        severity=WARNING,
        sentence=(
            f"Water gathers along {lines} over sown land. The largest takes what falls on "
            f"{largest.upslope:.2f} ha, runs {inside.length:.0f} m through the field, "
            f"{place_words(layout.field, place)}, and {ends}."
        ),
        remedy=(
            "Look at it after heavy rain; keep it in grass, and lead rows neither along it nor "
            "steeply into it."
        ),
        source=(
            f"Heights alone, from {LEAST_UPSLOPE:g} ha upslope on; rain, soil and drains are not "
            "known."
        ),
        value=largest.upslope,
        threshold=LEAST_UPSLOPE,
        unit="ha",
        place=place,
        count=len(over),
    )


def _outlet(field: Field, end: shapely.Point) -> Feature | None:
    """Return the feature near the end of a flow line that can take its water."""
    near = [
        (shapely.distance(feature.geometry, end), i)
        for i, feature in enumerate(field.features)
        if feature.kind in WATER_TAKERS
    ]
    away, i = min(near, default=(np.inf, 0))
    return field.features[i] if away <= OUTLET_REACH else None
