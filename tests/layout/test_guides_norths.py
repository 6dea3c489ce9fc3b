"""Grid and magnetic bearings become true ones, where the bands begin."""

import numpy as np
import pytest
from pyproj import Transformer
from shapely import box
from strategies import ENDS, STRIPS, field_of, plan_of

from geolayout.errors import LayoutError, PlanError
from geolayout.land.frames.north import grid_convergence
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.guides.norths import grid_bearing, true_bearing
from geolayout.layout.resolve import guides_of, resolve_guides
from geolayout.plan.guide import Guide

RECTANGLE = box(0, 0, 200, 100)
GRID = 'north = "grid"\ngrid = "EPSG:25832"'
MAGNETIC = 'north = "magnetic"\ndeclination = -2.5\ndeclination_year = 2026'


def resolved(guide):
    field = field_of(RECTANGLE)
    return resolve_guides(plan_of(STRIPS, guide=guide), field, Drawn()).guide, field


def test_rows_by_a_grid_bearing_run_so_in_the_grid():
    """An independent route: the row's two ends, projected into the grid, lie on that bearing."""
    field = field_of(RECTANGLE)
    plan = plan_of(STRIPS, ENDS, guide=f'bearing = 30.0\n{GRID}\nfrom = "west"')
    layout = lay_out(field, resolve_guides(plan, field, Drawn()))
    lonlat = field.frame.lonlat(layout.rows.lines.xy[:2])
    there = Transformer.from_crs("EPSG:4326", "EPSG:25832", always_xy=True)
    x, y = there.transform(*lonlat.T)
    # a row of 100 m, its ends within a nanometre, the anchor up to 200 m away: 1e-4 degrees
    assert np.degrees(np.arctan2(np.diff(x), np.diff(y)))[0] == pytest.approx(30.0, abs=1e-3)
    # 10 degrees east, the meridian of the grid at 9: its north lies 0.79 degrees off
    assert layout.plan.guide.bearing == pytest.approx(30.788, abs=2e-3)


def test_a_magnetic_bearing_is_turned_by_its_declination():
    guide, _ = resolved(f'bearing = 1.0\n{MAGNETIC}\nfrom = "west"')
    assert guide.bearing == pytest.approx(358.5)  # 1.0 - 2.5
    assert (guide.north, guide.declination) == ("true", None)
    assert (guide.origin.north, guide.origin.bearing, guide.origin.declination) == (
        "magnetic",
        1.0,
        -2.5,
    )


def test_a_true_bearing_keeps_nothing_else():
    guide, _ = resolved('bearing = 1.0\nfrom = "west"')
    assert guide.origin is None


def test_a_grid_may_be_told_beside_a_true_bearing():
    guide, _ = resolved('bearing = 30.0\ngrid = "EPSG:25832"\nfrom = "west"')
    assert (guide.bearing, guide.grid, guide.origin) == (30.0, "EPSG:25832", None)
    off = grid_convergence("EPSG:25832", guide.anchor)
    assert grid_bearing(guide, guide.anchor) == pytest.approx(30.0 - off)


def test_an_anchor_and_a_grid_bearing_stand_together():
    keys = f'bearing = 30.0\n{GRID}\nfrom = "west"\nanchor = [10.0, 52.0]\nnumber_at_anchor = 4'
    guide, _ = resolved(keys)
    assert guide.anchor == (10.0, 52.0)
    assert guide.number_at_anchor == 4
    assert guide.bearing == pytest.approx(30.0 + grid_convergence("EPSG:25832", (10.0, 52.0)))


def test_resolving_again_turns_nothing_twice():
    field = field_of(RECTANGLE)
    plan = plan_of(STRIPS, guide=f'bearing = 1.0\n{MAGNETIC}\nfrom = "west"')
    once = resolve_guides(plan, field, Drawn())
    assert resolve_guides(once, field, Drawn()) == once


def test_the_side_is_looked_at_after_the_turn():
    # magnetic 20 turned by 60 is true 80: bands cannot be counted from the west
    turned = 'north = "magnetic"\ndeclination = 60.0\ndeclination_year = 2026'
    with pytest.raises(PlanError, match=r"bearing 80\.0 degrees"):
        resolved(f'bearing = 20.0\n{turned}\nfrom = "west"')


def test_an_unresolved_north_is_never_taken_for_true():
    guide = Guide(
        bearing=1.0, north="grid", grid="EPSG:25832", anchor=(10.0, 52.0), number_at_anchor=1
    )
    with pytest.raises(LayoutError, match="not resolved"):
        guides_of(guide, field_of(RECTANGLE))


def test_a_guide_without_bearing_has_no_north():
    with pytest.raises(LayoutError, match="no bearing"):
        true_bearing(Guide(near_edge="west"), (10.0, 52.0))
    assert grid_bearing(Guide(near_edge="west"), (10.0, 52.0)) is None


def test_an_unknown_grid_is_refused_plainly():
    with pytest.raises(PlanError, match="needs a map grid"):
        resolved('bearing = 1.0\nnorth = "grid"\ngrid = "EPSG:4326"\nfrom = "west"')
