"""Bends too tight to follow: the land is split at their middle, and the wedge is named."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Polygon, box

from geolayout.layout.guides.bends import smoothed
from geolayout.layout.guides.split import stretches_of, tight_bends, wedge_of

# An edge that runs north for 200 m, then bends by 45 degrees to the right; land on its right.
KNEE = smoothed(LineString([(0, 0), (0, 200), (150, 350)]), 1.0)
LAND = Polygon([(0, 0), (0, 200), (150, 350), (350, 150), (200, 0)])


def test_a_bend_whose_inside_is_deep_is_tight():
    # 0.5 m rounds 45 degrees: back 0.5 / tan(11.25) = 2.514 m, radius 2.514 / tan(22.5) = 6.07 m.
    (tight,) = tight_bends(KNEE, LAND, least=6.5)
    assert tight.radius == pytest.approx(6.07, abs=0.01)
    assert tight.corner == pytest.approx((0, 200), abs=1e-6)
    # Half way between the two edges: square to 22.5 degrees, to the south-east.
    assert tight.inward == pytest.approx((np.cos(np.radians(22.5)), -np.sin(np.radians(22.5))))


@pytest.mark.parametrize(
    ("land", "least", "count"),
    [
        pytest.param(LAND, 0.5, 1, id="even a scythe folds beyond the middle of the arc"),
        pytest.param(box(-200, 0, -1, 400), 6.5, 0, id="on the outside lines only get wider"),
        pytest.param(box(0, 0, 3, 100), 6.5, 0, id="no land on the inside of the bend"),
    ],
)
def test_only_the_inside_can_be_tight(land, least, count):
    assert len(tight_bends(KNEE, land, least)) == count


def test_a_wide_curve_is_followed_until_its_middle():
    angle = np.radians(np.arange(0, 91, 5))
    curve = smoothed(LineString(300 * np.stack([np.sin(angle), np.cos(angle)], axis=1)), 0.5)
    ring = shapely.Point(0, 0).buffer(300, 64) - shapely.Point(0, 0).buffer(100, 64)
    part = shapely.intersection(ring, box(0, 0, 400, 400))
    assert tight_bends(curve, part, least=20.0) == ()
    whole = shapely.intersection(shapely.Point(0, 0).buffer(300, 64), box(0, 0, 400, 400))
    assert len(tight_bends(curve, whole, least=20.0)) > 0


def test_land_is_split_along_the_middle_of_the_bend():
    tight = tight_bends(KNEE, LAND, least=6.5)
    first, second = stretches_of(KNEE, tight, LAND)
    assert first.land.area + second.land.area == pytest.approx(LAND.area, rel=1e-9)
    assert shapely.intersection(first.land, second.land).area < 1e-6
    # The land mirrors itself about the split: (0, 200) to the south-east at 22.5 degrees.
    assert shapely.intersects(first.land, shapely.Point(20, 20))
    assert shapely.intersects(second.land, shapely.Point(150, 330))
    assert first.xy[0] == pytest.approx((0, 0))
    assert second.xy[-1] == pytest.approx((150, 350))
    # Neither turns any more: each runs straight on to the split.
    for stretch in (first, second):
        chain = LineString(stretch.xy)
        assert chain.length == pytest.approx(np.hypot(*(stretch.xy[-1] - stretch.xy[0])), abs=1e-9)


def test_the_wedge_lies_on_both_sides_of_the_split_and_only_inside():
    (tight,) = tight_bends(KNEE, LAND, least=6.5)
    wedge = wedge_of(tight, LAND, 10.0)
    ray = LineString([tight.corner, np.array(tight.corner) + 1000 * np.array(tight.inward)])
    inside = shapely.intersection(ray, LAND)
    assert shapely.hausdorff_distance(wedge, inside) == pytest.approx(10.0, abs=0.5)
    # 20 m wide, less the corner cut off at each end by at most 10 x 10 m.
    assert 20 * inside.length - 200 < wedge.area < 20 * inside.length
    assert wedge_of(tight, box(-100, 300, -90, 310), 10.0).is_empty
