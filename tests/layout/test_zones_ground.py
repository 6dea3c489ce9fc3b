"""Ground crossed with rate zones: sums over zones are sums over bands."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_layouts import paper_layout, sample_layout
from shapely import box

from geolayout.errors import LayoutError
from geolayout.layout.zones.field import ZoneClass, Zones
from geolayout.layout.zones.ground import cross
from geolayout.layout.zones.smooth import Least, smoothed


def zones_of(*shapes):
    classes = [ZoneClass(f"class {k}", None, None, area, area) for k, area in enumerate(shapes)]
    return Zones(tuple(classes), Least(0.0, 0.0), 0.0)


def test_a_band_across_two_zones_is_two_parts():
    ground = paper_layout().ground
    # the paper field is 60 m x 120 m about its middle: west of x = 3 is class 0
    crossed = cross(ground, zones_of(box(-30, -60, 3, 60), box(3, -60, 30, 60)))
    sixth = np.flatnonzero((ground.kind == "band") & (ground.number == 6))
    parts = np.isin(crossed.piece, sixth)
    # band 6 lies from x = 0 to x = 6, 100 m between headlands of 10 m: 3 m on either side
    assert crossed.zone[parts].tolist() == [0, 1]
    assert crossed.area[parts] == pytest.approx([300.0, 300.0], abs=0.05)


@given(
    name=st.sampled_from(["windy_bank", "pond_piece", "crooked_hedge", "church_close"]),
    seed=st.integers(0, 2**32 - 1),
    width=st.sampled_from([0.0, 6.0, 24.0]),
)
@settings(max_examples=12, deadline=None)
def test_zones_and_ground_balance_on_sample_fields(name, seed, width):
    layout = sample_layout(name)
    ground, land = layout.ground, layout.field.land
    rng = np.random.default_rng(seed)
    west, south, east, north = land.bounds
    seeds = shapely.multipoints(rng.uniform((west, south), (east, north), (12, 2)))
    shares = shapely.get_parts(shapely.voronoi_polygons(seeds, extend_to=land))
    classes = [shapely.union_all(shares[k::3]) for k in range(3)]
    zones = zones_of(*smoothed(classes, land, Least(width, width**2)))
    crossed = cross(ground, zones)
    by_piece = np.bincount(crossed.piece, crossed.area, minlength=len(ground))
    assert np.abs(by_piece - ground.area).max() <= 1e-9 * land.area
    by_zone = np.bincount(crossed.zone, crossed.area, minlength=4)
    assert by_zone == pytest.approx([one.area_m2 for one in zones.classes], abs=1e-9 * land.area)
    assert crossed.area.sum() == pytest.approx(land.area, rel=1e-9)


def test_zones_that_leave_ground_out_are_refused():
    with pytest.raises(LayoutError, match=r"miss each other by 360\.0"):
        cross(paper_layout().ground, zones_of(box(-30, -60, 27, 60)))
