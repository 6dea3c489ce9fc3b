"""Invented fields and plans that tests share, and where the real fields lie, if anywhere."""

import functools
import os
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import strategies as st
from shapely import Polygon, affinity

from geolayout.errors import GeolayoutError
from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.field import Field, make_field
from geolayout.land.frames.frame import Frame
from geolayout.land.readers import DrawnBoundary, read_boundaries
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

PLACE = (10.0, 52.0)
"""Longitude and latitude of every invented field: nowhere in particular. [degrees]"""

# Invented crops; spacings are common practice, no source.
STANDS = """
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[stand]]
name = "beans"
sowing = [ { crop = "field beans", spacing = 0.5 } ]
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "broadcast" } ]
"""
STRIPS = """
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
"""
ALLEYS = """
[[pattern]]
name = "alleys"
bands = [
  { name = "C", width = 24.0, stand = "beans", min_width = 12.0 },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } },
]
close_with = "C"
"""
GROWN = "growth = { height = [[10, 5.0], [20, 10.0]] }"
BELT = (
    '[[pattern]]\nname = "belt"\nbands = [\n'
    '  { name = "T", width = 4.0, whole = true, trees = { in_row_spacing = 2.0, '
    f'species = ["poplar"], {GROWN} }} }},\n'
    '  { name = "C", width = "rest", stand = "maize" },\n]\n'
)
ENDS = """
[headland]
where = "ends"
width = 12.0
"""


GRID = 1e-9
"""Grid of the overlays that judge a layout. [m]"""


# Fields and plans


def centred(land):
    """Move land so that its bounds are centred on the origin, where the field's frame will be."""
    west, south, east, north = land.bounds
    return affinity.translate(land, -(west + east) / 2, -(south + north) / 2)


def field_of(land, features: Iterable[DrawnFeature] = ()) -> Field:
    """Make a field whose land in its own frame is the land given, moved by `centred`."""
    field = make_field(Frame(*PLACE).to_geographic(centred(land)), features=features)
    assert (field.frame.lon, field.frame.lat) == PLACE
    return field


def feature_beside(land, kind, shape, *, measured_from="drawn edge", half_width=0.0, **keep_clear):
    """Draw a feature in the same metres as the land that is given to `field_of`."""
    west, south, east, north = land.bounds
    moved = affinity.translate(shape, -(west + east) / 2, -(south + north) / 2)
    lonlat = Frame(*PLACE).to_geographic(moved)
    return DrawnFeature(
        kind, "invented", lonlat, measured_from, half_width, KeepClear(**keep_clear)
    )


def plan_of(*parts: str, guide: str = 'near_edge = "south"') -> Plan:
    """Parse a plan of a guide and further parts; the stands above are always there."""
    return parse_plan("\n".join(["schema = 1", "[guide]", guide, *parts, STANDS]))


def laid(
    field: Field,
    plan: Plan,
    *,
    year: int | None = None,
    drawn: Drawn | None = None,
    rounds: bool = True,
) -> Layout:
    """Resolve a plan on a field and lay it out; on thousands of fields without rounds."""
    drawn = drawn or Drawn()
    resolved = resolve_guides(plan, field, drawn)
    return lay_out(field, resolved, resolved.season(year), drawn, rounds=rounds)


def counts(layout: Layout) -> dict[str, int]:
    """Give the counts that rounding must never change."""
    return {
        "bands": layout.ground.bands,
        "rows": layout.rows.rows,
        "trees": len(layout.trees),
        "passes": layout.passes.passes,
    }


def area_of(layout: Layout, **columns) -> float:
    """Add up the ground whose columns have these values. [m2]"""
    ground = layout.ground
    mine = np.ones(len(ground), dtype=bool)
    for name, value in columns.items():
        mine &= getattr(ground, name) == value
    return float(ground.area[mine].sum())


# Invariants 1 and 3, found by another road than the layout's own


def faults_of_ground(layout: Layout) -> list[str]:
    """Say how the ground fails to be a partition of the field into valid pieces."""
    ground, land = layout.ground, layout.field.land
    allowed = 1e-9 * land.area
    pieces = ground.geometry
    one, other = shapely.STRtree(pieces).query(pieces)
    pairs = one < other
    # On a grid, for edges that lie a rounding apart mislead an overlay of floating numbers.
    shared = shapely.area(
        shapely.intersection(pieces[one[pairs]], pieces[other[pairs]], grid_size=GRID)
    ).sum()
    outside = shapely.area(shapely.difference(pieces, land, grid_size=GRID)).sum()
    faults = {
        "a piece is no valid polygon": not _all_sound(pieces),
        f"areas are {ground.area.sum() - land.area:.3g} m2 off": abs(ground.area.sum() - land.area)
        > allowed,
        f"pieces share {shared:.3g} m2": shared > allowed,
        f"{outside:.3g} m2 lie outside": outside > allowed,
    }
    return [fault for fault, is_so in faults.items() if is_so]


def _all_sound(pieces) -> bool:
    polygons = shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON
    return bool(polygons.all() and shapely.is_valid(pieces).all())


def faults_of_rows_and_trees(layout: Layout) -> list[str]:
    """Say which rows and trees stand off their own ground by more than a centimetre."""
    faults = []
    for i, cut in _own_cuts(layout):
        own = _own_ground(layout, i, cut)
        rows = layout.rows.lines.geometry[(layout.rows.block == i) & (layout.rows.cut == cut)]
        trees = layout.trees.xy[(layout.trees.block == i) & (layout.trees.cut == cut)]
        # A centimetre square to each edge: at a sharp corner that is farther from the corner.
        near = shapely.buffer(own, 0.0101, join_style="mitre", mitre_limit=1000.0)
        beyond = shapely.length(shapely.difference(rows, near)).sum() if len(rows) else 0.0
        if beyond > 1e-6:
            faults.append(f"rows of cut {cut} run {beyond:.3g} m off their ground")
        if len(trees) and not shapely.covers(near, shapely.points(trees)).all():
            faults.append(f"trees of cut {cut} stand off their ground")
    return faults


def _own_cuts(layout: Layout):
    """Every block and cut that has rows or trees."""
    rows, trees = layout.rows, layout.trees
    pairs = np.concatenate(
        [np.stack([rows.block, rows.cut], axis=1), np.stack([trees.block, trees.cut], axis=1)]
    )
    return np.unique(pairs, axis=0).tolist()


def _own_ground(layout: Layout, block: int, cut: int):
    ground = layout.ground
    return shapely.union_all(ground.geometry[(ground.block == block) & (ground.cut == cut)])


# Invented shapes


@st.composite
def stars(draw) -> Polygon:
    """A field of 5 to 12 corners seen from its middle, often concave, 1 to 15 ha."""
    count = draw(st.integers(5, 12))
    size = draw(st.floats(60.0, 200.0))
    radii = draw(st.lists(st.floats(0.35, 1.0), min_size=count, max_size=count))
    angles = np.linspace(0.0, 2 * np.pi, count, endpoint=False) + draw(st.floats(0.0, 6.0))
    ring = np.stack([np.cos(angles), np.sin(angles)], axis=1) * np.array(radii)[:, None] * size
    return Polygon(ring)


@st.composite
def notched(draw) -> Polygon:
    """A rectangle with a bite out of its edge and perhaps a hole, turned somehow."""
    length, width = draw(st.floats(80.0, 300.0)), draw(st.floats(40.0, 150.0))
    at, depth = draw(st.floats(0.2, 0.7)), draw(st.floats(0.1, 0.7))
    land = shapely.box(0.0, 0.0, length, width) - shapely.box(
        at * length, width * (1 - depth), at * length + 0.15 * length, width + 1.0
    )
    if draw(st.booleans()):
        land -= shapely.Point(0.1 * length, 0.5 * width).buffer(draw(st.floats(0.5, 0.08 * length)))
    return affinity.rotate(land, draw(st.floats(0.0, 360.0)))


lands = st.one_of(stars(), notched())
bearings = st.floats(0.0, 359.0).map(lambda bearing: round(bearing, 3))


# Real fields, which stay where they are: no copy, picture or extract of one is kept here.


def real_folder() -> Path | None:
    """Find the folder of real fields that may lie beside the repository."""
    given = os.environ.get("GEOLAYOUT_FIELDS")
    if given:
        return Path(given) if Path(given).is_dir() else None
    for parent in Path(__file__).resolve().parents:
        if (parent / "shared" / "fields").is_dir():
            return parent / "shared" / "fields"
    return None


def _is_boundary_file(path: Path) -> bool:
    """Every file of fields is named by country and year; the others hold something else."""
    return path.suffix in (".gpkg", ".geojson") and path.stem[-4:].isdigit()


@functools.cache
def real_boundaries() -> tuple[tuple[str, DrawnBoundary], ...]:
    """Read every real boundary, or skip the test that asks."""
    folder = real_folder()
    if folder is None:
        pytest.skip("no folder of real fields beside the repository; set GEOLAYOUT_FIELDS to one")
    found = []
    for path in sorted(path for path in folder.iterdir() if _is_boundary_file(path)):
        drawn = read_boundaries(path)
        found += [(f"{path.stem} {number}", boundary) for number, boundary in enumerate(drawn)]
    return tuple(found)


def real_fields(count: int, seed: int) -> list[Field]:
    """Make fields of a seeded sample of the real boundaries; the same ones in every process."""
    every = real_boundaries()
    chosen = np.random.default_rng(seed).permutation(len(every))[:count]
    return [make_field(every[i][1].geometry, name=every[i][0]) for i in chosen]


def no_faults_on(fields, plan, folder: Path, faults) -> None:
    """Lay a plan on every field that it fits on; what is wrong with its files must be nothing."""
    wrong = {}
    for i, field in enumerate(fields):
        try:
            layout = laid(field, plan)
        except GeolayoutError:
            continue
        own = folder / str(i)
        own.mkdir()
        wrong[field.name] = faults(layout, own)
    assert wrong
    assert {name: words for name, words in wrong.items() if words} == {}


def refused(call, *arguments) -> GeolayoutError | None:
    """Return the refusal that a call ends in, None where it goes through."""
    try:
        call(*arguments)
    except GeolayoutError as error:
        return error
    return None
