"""Rate zones on the field: a map put into classes and smoothed to a machine's width."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.zones.map import ZoneMap
from geolayout.layout.shapes.overlay import joined, on_grid
from geolayout.layout.zones.classes import class_areas, class_limits, class_of
from geolayout.layout.zones.smooth import Least, partition, smoothed_partition
from geolayout.layout.zones.thin import MANY_CORNERS, finest_step, thinned
from geolayout.plan.plan import Plan
from geolayout.plan.ratezones import RateZones

__all__ = ["ZoneClass", "Zones", "least_zone", "make_zones"]

UNCOVERED = 1e-9
"""Share of the field below which nothing is uncovered. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class ZoneClass:
    """
    One class of a map on the field.

    Attributes
    ----------
    name : str
        Its name.
    above, below : float or None
        Values it lies between, the lower one its own; None at the ends and where the map holds
        words.
    drawn : Polygon or MultiPolygon
        Its ground as the map has it. [m]
    geometry : Polygon or MultiPolygon
        Its ground after smoothing; empty where nothing is left. [m]
    """

    name: str
    above: float | None
    below: float | None
    drawn: BaseGeometry
    geometry: BaseGeometry

    @property
    def drawn_m2(self) -> float:
        """Its ground as the map has it. [m2]"""
        return float(self.drawn.area)

    @property
    def area_m2(self) -> float:
        """Its ground after smoothing. [m2]"""
        return float(self.geometry.area)


@dataclass(frozen=True, slots=True, eq=False)
class Zones:
    """
    The classes of a map on a field; together they are the field, without overlap.

    Attributes
    ----------
    classes : tuple of ZoneClass
        The lowest first.
    least : Least
        The least a zone may be.
    uncovered_m2 : float
        Ground that the map does not cover. [m2]
    notes : tuple of str
        What a person should know of the map and of what became of it.
    """

    classes: tuple[ZoneClass, ...]
    least: Least
    uncovered_m2: float
    notes: tuple[str, ...] = ()


def make_zones(mapped: ZoneMap, land: BaseGeometry, plan: Plan) -> Zones:
    """
    Class a map and smooth it to the machine that follows it.

    Parameters
    ----------
    mapped : ZoneMap
        The map, in the field's frame.
    land : Polygon or MultiPolygon
        The field. [m]
    plan : Plan
        Its rate zones say how.

    Returns
    -------
    zones : Zones

    Raises
    ------
    BoundaryError
        If values of the map are in no class, or its polygons overlap.
    LayoutError
        If quantiles part too few values, or the map leaves ground uncovered and the plan does not
        say which class that is.
    """
    asked = plan.rate_zones
    if asked is None:
        raise LayoutError("The plan has no rate zones.", "Nothing says what the map is for.")
    whole = on_grid(land)
    limits = class_limits(mapped, whole, asked)
    classes = class_of(mapped, limits, asked)
    read = partition(class_areas(mapped, classes, whole, asked.classes), whole)
    least = least_zone(asked, plan)
    fine = _is_fine(mapped, read, least)
    drawn = thinned(read, least.width) if fine else read
    zones = list(smoothed_partition(drawn, whole, least))
    notes = [*(finding.sentence for finding in mapped.findings), *_coarse(mapped, least)]
    notes += [_fine_note(mapped.source, least)] if fine else []
    gap = zones.pop()
    if gap.area > UNCOVERED * whole.area:
        k = _class_outside(gap, whole, mapped, asked)
        zones[k] = joined([zones[k], gap])
        notes.append(_gap_note(gap, read[-1], asked.classes[k], mapped.source))
    elif read[-1].area > UNCOVERED * whole.area:
        notes.append(_gap_note(gap, read[-1], "", mapped.source))
    if 0.0 < gap.area <= UNCOVERED * whole.area:
        largest = max(range(len(zones)), key=lambda k: zones[k].area)
        zones[largest] = joined([zones[largest], gap])
    notes += _gone(asked.classes, read, zones)
    ends = (None, *limits, None) if limits else (None,) * (len(zones) + 1)
    found = [
        ZoneClass(name, above, below, was, area)
        for name, above, below, was, area in zip(
            asked.classes, ends[:-1], ends[1:], read[:-1], zones, strict=True
        )
    ]
    return Zones(tuple(found), least, float(read[-1].area), tuple(notes))


def least_zone(asked: RateZones, plan: Plan) -> Least:
    """Return the least a zone may be, from the plan."""
    width = asked.narrowest
    if width is None:
        width = plan.machine(asked.machine or "").working_width
    return Least(width, asked.smallest if asked.smallest is not None else width**2)


def _coarse(mapped: ZoneMap, least: Least) -> list[str]:
    """Say where cells are so large that the map cannot tell where a zone ends."""
    if mapped.cell is None or mapped.cell <= least.width:
        return []
    sentence = (
        f"Cells of {mapped.source} are {mapped.cell:.1f} m wide, more than the {least.width:g} m "
        "of a pass: a zone's edge may lie half a cell from where the ground changes."
    )
    return [sentence]


def _is_fine(mapped: ZoneMap, zones: Sequence[BaseGeometry], least: Least) -> bool:
    """Whether a map of polygons has so many corners that its steps are drawn straight."""
    corners = sum(int(shapely.get_num_coordinates(zone)) for zone in zones)
    return mapped.cell is None and least.width > 0.0 and corners >= MANY_CORNERS


def _fine_note(source: str, least: Least) -> str:
    """Say that steps finer than a machine follows were drawn straight."""
    return (
        f"Steps of {source} up to {finest_step(least.width):.2f} m were drawn straight before it "
        "was smoothed."
    )


def _class_outside(gap: BaseGeometry, land: BaseGeometry, mapped: ZoneMap, asked: RateZones) -> int:
    """Return the class of land that the map does not cover."""
    if asked.outside is None:
        raise LayoutError(
            f"{mapped.source} leaves {gap.area / 1e4:.3f} ha of the field without a value, "
            f"{100 * gap.area / land.area:.1f} % of it.",
            "Nothing says what is sown there.",
            f'Take a map that covers the field, or say outside = "{asked.classes[0]}".',
        )
    return asked.classes.index(asked.outside)


def _gap_note(gap: BaseGeometry, read: BaseGeometry, name: str, source: str) -> str:
    """Say what became of land without a value."""
    closed = (read.area - gap.area) / 1e4
    begin = f"{source} leaves {read.area / 1e4:.3f} ha of the field without a value"
    if not name:
        return f"{begin}; they are narrow or small and went to the class beside them."
    if closed < 5e-4:
        return f"{begin}; they are in class {name}, as the plan says."
    return (
        f"{begin}; {gap.area / 1e4:.3f} ha are in class {name}, as the plan says, and the rest, "
        "narrow or small, in the class beside it."
    )


def _gone(
    names: Sequence[str], read: Sequence[BaseGeometry], zones: Sequence[BaseGeometry]
) -> list[str]:
    """Say which classes have no ground."""
    notes = []
    for name, was, area in zip(names, read, zones, strict=False):
        if area.is_empty and was.area > 0.0:
            notes.append(
                f"Class {name} has {was.area / 1e4:.3f} ha on the map and none after smoothing: "
                "nowhere is it as wide and as large as a zone must be."
            )
        elif area.is_empty:
            notes.append(f"Class {name} has no ground on the field.")
    return notes
