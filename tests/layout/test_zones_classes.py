"""Classes of a map: limits against numpy and pandas, and maps that do not go into classes."""

import numpy as np
import pandas as pd
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from geolayout.errors import BoundaryError, LayoutError
from geolayout.land.zones.map import ZoneMap
from geolayout.layout.zones.classes import class_areas, class_limits, class_of
from geolayout.plan.ratezones import RateZones

LAND = box(0, 0, 100, 50)


def zones(**keys):
    given_keys = {"source": "soil.tif", "classes": ["low", "high"], "narrowest": 0.0, **keys}
    rate = {"sowing": "maize", "factor": dict.fromkeys(given_keys["classes"], 1.0)}
    return RateZones.model_validate({**given_keys, "rate": [rate]})


def cells(values):
    """Return a map of cells side by side, all of one size, on the land."""
    count = len(values)
    edges = np.linspace(0, 100, count + 1)
    return ZoneMap(
        shapely.box(edges[:-1], 0, edges[1:], 50), np.array(values), "soil.tif", 100 / count
    )


def polygons(*shapes):
    found = np.empty(len(shapes), dtype=object)
    found[:] = [shape for shape, _ in shapes]
    return ZoneMap(found, np.array([value for _, value in shapes]), "soil.geojson")


def test_limits_of_the_plan_are_taken_as_they_are():
    assert class_limits(cells([1.0, 2.0]), LAND, zones(limits=[1.5])) == (1.5,)


def test_a_value_on_a_limit_is_in_the_higher_class():
    mapped = cells([1.0, 1.5, 2.0])
    assert class_of(mapped, (1.5,), zones(limits=[1.5])).tolist() == [0, 1, 1]


def test_half_of_the_ground_is_below_the_quantile_of_a_half():
    # four cells of a quarter each: 3 and 5 are the second and third, the limit midway
    assert class_limits(cells([9.0, 3.0, 1.0, 5.0]), LAND, zones(quantiles=[0.5])) == (4.0,)


def test_a_large_polygon_counts_for_its_ground():
    mapped = polygons((box(0, 0, 80, 50), 1.0), (box(80, 0, 90, 50), 2.0), (box(90, 0, 100, 50), 4))
    # 80 % of the ground holds 1, 10 % holds 2: half is reached within 1, so the limit is 1.5
    assert class_limits(mapped, LAND, zones(quantiles=[0.5])) == (1.5,)
    assert class_limits(mapped, LAND, zones(quantiles=[0.85])) == (3.0,)


def test_ground_of_the_map_beyond_the_field_does_not_count():
    mapped = polygons(
        (box(0, 0, 60, 50), 1.0), (box(60, 0, 100, 50), 2.0), (box(100, 0, 900, 50), 9)
    )
    assert class_limits(mapped, LAND, zones(quantiles=[0.5])) == (1.5,)


values_lists = st.lists(st.floats(-50, 50).map(lambda v: round(v, 1)), min_size=2, max_size=40)


@given(values=values_lists, part=st.floats(0.05, 0.95))
def test_the_limit_lies_just_above_the_quantile_of_numpy_and_pandas(values, part):
    """Equal cells: the limit is midway from numpy's stepped quantile to the next value."""
    known = np.quantile(values, part, method="inverted_cdf")
    higher = [value for value in values if value > known]
    if not higher:
        with pytest.raises(LayoutError, match="different values"):
            class_limits(cells(values), LAND, zones(quantiles=[part]))
        return
    (limit,) = class_limits(cells(values), LAND, zones(quantiles=[part]))
    assert limit == pytest.approx((known + min(higher)) / 2)
    classes = class_of(cells(values), (limit,), zones(quantiles=[part]))
    cut = pd.cut(pd.Series(values), [-np.inf, limit, np.inf], right=False, labels=False)
    assert classes.tolist() == cut.tolist()
    assert (classes == 0).mean() >= part - 1e-9


def test_words_of_the_map_are_classes_whatever_their_case():
    mapped = polygons((box(0, 0, 60, 50), "High "), (box(60, 0, 100, 50), "low"))
    asked = zones(column="soil")
    assert class_of(mapped, (), asked).tolist() == [1, 0]
    low, high = class_areas(mapped, class_of(mapped, (), asked), LAND, asked.classes)
    # 40 m x 50 m and 60 m x 50 m
    assert (low.area, high.area) == (2000.0, 3000.0)


@pytest.mark.parametrize(
    ("mapped", "asked", "match"),
    [
        pytest.param(
            polygons((LAND, "peat")), zones(column="soil"), "'peat' in column soil", id="no class"
        ),
        pytest.param(
            polygons((LAND, "peat")),
            zones(column="soil", limits=[3]),
            "has words in column soil",
            id="words where numbers are parted",
        ),
        pytest.param(cells([1.0, 2.0]), zones(), "have no limits", id="numbers without limits"),
    ],
)
def test_values_that_go_into_no_class_are_refused(mapped, asked, match):
    with pytest.raises(BoundaryError, match=match):
        class_of(mapped, asked.limits, asked)


def test_too_few_values_for_the_quantiles_are_refused():
    asked = zones(classes=["low", "middle", "high"], quantiles=[0.3, 0.6])
    with pytest.raises(LayoutError, match=r"holds 2 different values .* into 3 classes"):
        class_limits(cells([1.0, 1.0, 1.0, 2.0]), LAND, asked)


def test_polygons_of_two_classes_that_overlap_are_refused():
    mapped = polygons((box(0, 0, 60, 50), 1.0), (box(50, 0, 100, 50), 2.0))
    # 10 m x 50 m are in both
    with pytest.raises(BoundaryError, match=r"overlap on 0\.050 ha .* class low and in class high"):
        class_areas(mapped, np.array([0, 1]), LAND, ["low", "high"])


def test_polygons_of_one_class_may_overlap_and_so_may_hairs():
    mapped = polygons((box(0, 0, 60, 50), 1.0), (box(59.99, 0, 100, 50), 2.0))
    areas = class_areas(mapped, np.array([0, 1]), LAND, ["low", "high"])
    assert [area.area for area in areas] == pytest.approx([3000.0, 2000.5])
    both = class_areas(mapped, np.array([1, 1]), LAND, ["low", "high"])
    assert [area.area for area in both] == pytest.approx([0.0, 5000.0])
