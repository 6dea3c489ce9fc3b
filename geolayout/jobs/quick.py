"""
Rows, strips or alleys of one field without a plan file.

A quick wish is a small plan all the same: it is written as the text of one, read, laid out and
told like any other, so that `plan-out` can hand that very text on.
"""

from collections.abc import Mapping
from dataclasses import astuple, dataclass, field
from math import ceil, hypot
from pathlib import Path
from string import ascii_uppercase
from typing import Any, Protocol

import numpy as np
import tomli_w

from geolayout.errors import LayoutError, MeasureError, PlanError
from geolayout.handover.files.fieldfeatures import (
    Features,
    band_features,
    row_features,
    tree_features,
    tree_row_features,
)
from geolayout.jobs.job import Job, lay
from geolayout.land.field import Field, make_field
from geolayout.land.readers import DrawnBoundary
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout
from geolayout.plan.parse import parse_plan
from geolayout.plan.units import Units

__all__ = [
    "AlleyWish",
    "Ground",
    "RowWish",
    "StripWish",
    "Tally",
    "Wish",
    "alley_wish",
    "check_wish",
    "field_features",
    "lay_quickly",
    "place_of",
    "quick_plan",
    "reach_of",
    "tally",
]

LEAST_REACH = 1.0
"""So that rows have a band on the smallest field. [m]"""

LEAST_ALLEY = 0.5
"""Share of an alley's width that the last one may shrink to. Our own choice. [-]"""

_PLAN = Path("quick.toml")

_HEAD = """\
# {title} on {name}: a plan to go on from.
# Say here what stands in the field, one [[feature]] table each: ditch, pond, hedge, pole, wire,
# pipe, right of way. No command knows of them otherwise. Then: geolayout lay THIS FILE --out DIR
"""


@dataclass(frozen=True, slots=True)
class Ground:
    """
    Which way the lines run, and what is left free around them.

    Attributes
    ----------
    bearing : float, optional
        Of the lines, from true north. [degrees]
    along : str, optional
        Side of the field whose edge they follow; the longest edge if neither is said.
    from_ : str, optional
        Side they are counted from.
    start : float
        From that side to the first of them. [m]
    headland : float
        Width of the headland; 0 for none. [m]
    where : {"ends", "all round"}
        Where it lies.
    margin : float
        Width left along every outer edge. [m]
    """

    bearing: float | None = None
    along: str | None = None
    from_: str | None = None
    start: float = 0.0
    headland: float = 0.0
    where: str = "ends"
    margin: float = 0.0

    def tables(self) -> dict[str, Any]:
        """Return the tables of the plan that say so."""
        wishes = {
            "bearing": self.bearing,
            "near_edge": self.along,
            "from": self.from_,
            "start": self.start or None,
        }
        guide = {key: value for key, value in wishes.items() if value is not None}
        if self.bearing is None and self.along is None:
            guide["choose"] = "longest edge"
        tables: dict[str, Any] = {"guide": guide}
        if self.headland > 0:
            tables["headland"] = {"where": self.where, "width": self.headland}
        if self.margin > 0:
            tables["margin"] = {"width": self.margin}
        return tables


class Wish(Protocol):
    """What is wanted on a field."""

    @property
    def title(self) -> str:
        """What it is called."""

    def tables(self, reach: float) -> dict[str, Any]:
        """Return the stands and the pattern of the plan, for land no wider than `reach`. [m]"""

    def features(self, layout: Layout) -> list[Features]:
        """Return what is shown of a layout."""

    def told(self, total: "Tally", units: Units) -> str:
        """Say what was laid in one sentence."""


@dataclass(frozen=True, slots=True)
class RowWish:
    """
    Rows, evenly spaced over the whole field.

    Attributes
    ----------
    spacing : float
        Between neighbouring rows; the first is half of it from the land's edge. [m]
    crop : str
        What grows in them.
    """

    spacing: float
    crop: str = "crop"
    title: str = field(default="Rows", init=False)

    def tables(self, reach: float) -> dict[str, Any]:
        """Return one band that is wider than the field, so that rows keep their place in it."""
        width = round(ceil(reach / self.spacing) * self.spacing, 6)
        sowing = {"crop": self.crop, "spacing": self.spacing}
        band = {"name": "rows", "width": width, "stand": self.crop}
        return {
            "stand": [{"name": self.crop, "sowing": [sowing]}],
            "pattern": [{"name": "rows", "bands": [band]}],
        }

    def features(self, layout: Layout) -> list[Features]:
        """Return the rows."""
        return [row_features(layout)]

    def told(self, total: "Tally", units: Units) -> str:
        """Say how many rows, and how long they are together."""
        length = units.distance.said(total.length)
        return f"{total.where(units)}: {_counted(total.rows, 'row')} of {length} together."


@dataclass(frozen=True, slots=True)
class StripWish:
    """
    Strips side by side, over and over.

    Attributes
    ----------
    widths : tuple of float
        Width of each strip of one repeat. [m]
    names : tuple of str
        What each is called; A, B, C and so on if nothing is said.
    """

    widths: tuple[float, ...]
    names: tuple[str, ...] = ()
    title: str = field(default="Strips", init=False)

    def tables(self, reach: float) -> dict[str, Any]:  # noqa: ARG002  (strips repeat)
        """
        Return the bands, bare until somebody says what grows there.

        Raises
        ------
        PlanError
            If there are not as many names as widths.
        """
        names = self.names or tuple(ascii_uppercase[: len(self.widths)])
        if len(names) != len(self.widths):
            raise PlanError(
                f"{len(self.widths)} widths of strips come with {len(names)} names.",
                "Each strip of a repeat has one width and one name.",
                "Give as many names as widths, with commas between.",
            )
        bands = [
            {"name": name, "width": width, "stand": "none"}
            for name, width in zip(names, self.widths, strict=True)
        ]
        return {"pattern": [{"name": "strips", "bands": bands}]}

    def features(self, layout: Layout) -> list[Features]:
        """Return the strips."""
        return [band_features(layout)]

    def told(self, total: "Tally", units: Units) -> str:
        """Say how many strips."""
        return f"{total.where(units)}: {_counted(total.bands, 'strip')}."


@dataclass(frozen=True, slots=True)
class AlleyWish:
    """
    Alleys with tree strips between them.

    Attributes
    ----------
    alley_width, tree_strip : float
        Width of the cropped land, and of the strip the trees stand in. [m]
    in_row_spacing : float
        Between neighbouring trees of a row. [m]
    setback : float
        How far trees stay from the field's edge. [m]
    what : {"bands", "rows", "trees", "all"}
        What is shown.
    """

    alley_width: float
    tree_strip: float
    in_row_spacing: float
    setback: float = 0.0
    what: str = "all"
    title: str = field(default="Alleys", init=False)

    def tables(self, reach: float) -> dict[str, Any]:  # noqa: ARG002  (alleys repeat)
        """Return the bands, bare but for the trees, closed with an alley at both sides."""
        alley = {
            "name": "alley",
            "width": self.alley_width,
            "stand": "none",
            "min_width": round(self.alley_width * LEAST_ALLEY, 6),
        }
        trees: dict[str, Any] = {"in_row_spacing": self.in_row_spacing}
        if self.setback > 0:
            trees["setback"] = {"boundary": self.setback}
        strip = {"name": "trees", "width": self.tree_strip, "whole": True, "trees": trees}
        pattern = {"name": "alleys", "close_with": "alley", "bands": [alley, strip]}
        return {"pattern": [pattern]}

    def features(self, layout: Layout) -> list[Features]:
        """Return bands, tree rows and trees, or those that were asked for."""
        shown = {"bands": band_features, "rows": tree_row_features, "trees": tree_features}
        return [make(layout) for what, make in shown.items() if self.what in (what, "all")]

    def told(self, total: "Tally", units: Units) -> str:
        """Say how many trees."""
        trees, rows = _counted(total.trees, "tree"), _counted(total.tree_rows, "row")
        return f"{total.where(units)}: {trees} in {rows}."


def alley_wish(
    width: tuple[float | None, float | None],
    *,
    tree_strip: float,
    in_row_spacing: float,
    setback: float = 0.0,
    what: str = "all",
) -> AlleyWish:
    """
    Make the wish for alleys of the alley's width, or of the pitch.

    Parameters
    ----------
    width : (float or None, float or None)
        Width of the alley, and the pitch: alley and tree strip together. One of them. [m]
    tree_strip, in_row_spacing, setback : float
        As ``AlleyWish`` has them. [m]
    what : str
        As ``AlleyWish`` has it.

    Returns
    -------
    wish : AlleyWish

    Raises
    ------
    PlanError
        If neither width or both are given.
    MeasureError
        If the tree strip takes the whole pitch.
    """
    alley_width, pitch = width
    if (alley_width is None) == (pitch is None):
        found = "is given neither" if pitch is None else "is given both"
        raise PlanError(
            f"The alley {found} by its width and by the pitch.",
            "The pitch is alley and tree strip together, so one of the two says both.",
            "Give either --alley-width or --pitch.",
        )
    if alley_width is None:
        alley_width = round((pitch or 0.0) - tree_strip, 6)
    if alley_width <= 0:
        raise MeasureError(
            f"A pitch of {pitch:g} m holds a tree strip of {tree_strip:g} m.",
            "Nothing is left for the alley.",
            "Make the pitch wider, or the tree strip narrower.",
        )
    return AlleyWish(alley_width, tree_strip, in_row_spacing, setback, what)


def quick_plan(
    wish: Wish,
    ground: Ground,
    name: str,
    reach: float,
    source: Mapping[str, str] | None = None,
) -> str:
    """
    Write the plan that a quick wish amounts to.

    Parameters
    ----------
    wish : Wish
        What is wanted.
    ground : Ground
        Which way, and what is left free.
    name : str
        What the field is called.
    reach : float
        No less than the field is wide in any direction, its start included. [m]
    source : mapping, optional
        Keys that say where its boundary is.

    Returns
    -------
    text : str
        A plan file.

    Raises
    ------
    PlanError
        If names and widths do not pair.
    """
    tables = {
        "schema": 1,
        "field": {"name": name[:80], **(source or {})},
        **ground.tables(),
        **wish.tables(reach),
    }
    head = _HEAD.format(title=wish.title, name=" ".join(name[:80].split()))
    return f"{head}\n{tomli_w.dumps(tables)}"


def check_wish(wish: Wish, ground: Ground) -> None:
    """
    Look at a wish before any field is.

    Raises
    ------
    PlanError
        If a figure or name cannot be on any field.
    """
    parse_plan(quick_plan(wish, ground, "field", LEAST_REACH))


def reach_of(land: Field, ground: Ground) -> float:
    """Return how wide a field is at most across any lines, with its start. [m]"""
    west, south, east, north = land.land.bounds
    return max(LEAST_REACH, hypot(east - west, north - south)) + abs(ground.start)


def lay_quickly(wish: Wish, ground: Ground, drawn: DrawnBoundary) -> Layout:
    """
    Lay a quick wish out on one field.

    Parameters
    ----------
    wish : Wish
        What is wanted.
    ground : Ground
        Which way, and what is left free.
    drawn : DrawnBoundary
        The field's boundary.

    Returns
    -------
    layout : Layout

    Raises
    ------
    GeolayoutError
        If the boundary cannot be used, a figure cannot be, or nothing fits.
    """
    land = make_field(drawn.geometry, name=drawn.name, findings=drawn.findings)
    text = quick_plan(wish, ground, land.name, reach_of(land, ground))
    return lay(Job(_PLAN, text, parse_plan(text), land, Drawn()))


def place_of(drawn: DrawnBoundary, number: int) -> dict[str, object]:
    """Return the properties that say which field a feature is of: name, place, and own id."""
    known = {str(key).casefold(): value for key, value in drawn.properties.items()}
    own = known.get("field_id", known.get("id"))
    return {
        "field": drawn.name,
        "field_number": number,
        "field_id": None if own is None else str(own),
    }


def field_features(
    wish: Wish, layout: Layout, place: Mapping[str, object], first: int
) -> list[str]:
    """
    Return what a wish came to on one field as GeoJSON features.

    Parameters
    ----------
    wish : Wish
        What was wanted.
    layout : Layout
        The layout.
    place : mapping
        Properties that say which field it is; they stand first in every feature.
    first : int
        Id of the first feature.

    Returns
    -------
    lines : list of str
        Each feature on one line, without its end.

    Raises
    ------
    LayoutError
        If there is none.
    """
    lines: list[str] = []
    for features in wish.features(layout):
        lines += features.lines(place, first + len(lines))
    if not lines:
        raise LayoutError(
            f"Nothing was laid on {layout.field.name}.",
            "No row, strip or tree finds room on it.",
            "Use a smaller spacing, width, headland or setback.",
        )
    return lines


@dataclass(frozen=True, slots=True)
class Tally:
    """
    What was laid on one field or several.

    Attributes
    ----------
    fields : int
        Fields.
    area : float
        Their area of record. [m2]
    rows, length
        Crop rows, and how long they are together. [m]
    bands : int
        Bands, tree bands among them.
    trees, tree_rows : int
        Trees, and the rows they stand in.
    """

    fields: int = 0
    area: float = 0.0
    rows: int = 0
    length: float = 0.0
    bands: int = 0
    trees: int = 0
    tree_rows: int = 0

    def where(self, units: Units) -> str:
        """Say how many fields, and how large they are together."""
        return f"{_counted(self.fields, 'field')} of {units.ground.said(self.area)}"

    def __add__(self, other: "Tally") -> "Tally":
        """Return both together."""
        return Tally(*(a + b for a, b in zip(astuple(self), astuple(other), strict=True)))


def _counted(count: int, noun: str) -> str:
    """Return a number of things."""
    return f"{count} {noun}{'s' * (count != 1)}"


def tally(layout: Layout) -> Tally:
    """Return what was laid on a field; pieces of row under a metre do not count."""
    rows = layout.rows
    return Tally(
        fields=1,
        area=layout.field.area,
        rows=len(np.unique(rows.t[rows.counts])),
        length=float(rows.length[rows.counts].sum()),
        bands=len(np.unique(layout.ground.number[layout.ground.number > 0])),
        trees=len(layout.trees),
        tree_rows=len(np.unique(layout.trees.row)),
    )
