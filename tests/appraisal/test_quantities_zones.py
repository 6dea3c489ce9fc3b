"""Seed over rate zones; rates and zones are invented."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_layouts import STRIPS, paper_layout
from shapely import box

from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.quantities.zones import zone_figures
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.appraisal.seed.need import seed_needs
from geolayout.handover.files.prescription import prescriptions
from geolayout.handover.files.rateground import operation_rates
from geolayout.layout.zones.field import ZoneClass, Zones
from geolayout.layout.zones.ground import cross
from geolayout.layout.zones.smooth import Least

TABLE = """
[rate_zones]
source = "soil.tif"
classes = ["low", "high"]
limits = [5.0]
narrowest = 6.0
rate = [
  {{ sowing = "maize", plants_per_ha = {{ low = {low}, high = {high} }} }},
  {{ sowing = "grass", factor = {{ low = 0.5, high = 2.0 }} }},
]
"""


def zoned(edge=0.0, low=70000, high=90000):
    """Lay strips out on the paper field, class low south of an edge, high north of it."""
    layout = paper_layout(STRIPS + TABLE.format(low=low, high=high))
    shapes = box(-30, -60, 30, edge), box(-30, edge, 30, 60)
    ends = ((None, 5.0), (5.0, None))
    classes = [
        ZoneClass(name, *between, area, area)
        for name, between, area in zip(("low", "high"), ends, shapes, strict=True)
    ]
    zones = Zones(tuple(classes), Least(6.0, 36.0), 0.0)
    return replace(layout, zones=cross(layout.ground, zones))


def amount(layout, crop):
    return sum(one.amount for one in seed_amounts(layout) if one.crop == crop)


def test_seed_is_the_sum_of_rates_times_ground_over_zones():
    # five bands of 6 m by 100 m are 0.3 ha, half in each class: 0.15 x 70,000 + 0.15 x 90,000
    assert amount(zoned(), "maize") == pytest.approx(24_000, abs=1)
    # a quarter of it north: edge at y = 25, 75 m and 25 m of 100 m: 0.225 x 70,000 + 0.075 x 90,000
    assert amount(zoned(edge=25.0), "maize") == pytest.approx(22_500, abs=1)


def test_a_crop_without_rates_by_class_is_sown_as_the_plan_says():
    assert amount(zoned(), "field beans") == pytest.approx(amount(paper_layout(), "field beans"))


def test_the_headland_has_its_classes_too():
    # two headlands of 60 m x 10 m, one in each class: 0.06 ha x 25 kg/ha x (0.5 + 2)
    assert amount(zoned(), "grass") == pytest.approx(3.75, abs=0.001)


def test_the_same_rate_everywhere_is_no_zone_at_all():
    same = zoned(low=80000, high=80000)
    assert amount(same, "maize") == pytest.approx(amount(paper_layout(), "maize"))


def test_the_figures_tell_classes_and_rates():
    told = zone_figures(zoned())
    assert [(one.name, one.above, one.below) for one in told.classes] == [
        ("low", None, 5.0),
        ("high", 5.0, None),
    ]
    maize = next(one for one in told.sowings if one.crop == "maize")
    assert [one.rate for one in maize.classes] == pytest.approx([70000, 90000])
    assert [one.ground_m2 for one in maize.classes] == pytest.approx([1500, 1500], abs=0.05)
    assert "field beans" not in {one.crop for one in told.sowings}


def test_without_rate_zones_there_are_no_figures():
    assert zone_figures(paper_layout()) is None
    assert figures(paper_layout()).to_dict()["rate_zones"] is None


rates = st.integers(20_000, 200_000)


@given(edge=st.floats(-50, 50), low=rates, high=rates)
@settings(max_examples=15, deadline=None)
def test_zones_bands_products_and_files_add_up_to_one_amount(edge, low, high):
    layout = zoned(edge, low, high)
    by_zone = {}
    for one in zone_figures(layout).sowings:
        by_zone[one.crop] = by_zone.get(one.crop, 0) + sum(part.amount for part in one.classes)
    for crop, total in by_zone.items():
        assert total == pytest.approx(amount(layout, crop), rel=1e-9)
    files = {one.product: one for one in prescriptions(layout)}
    sown = sum(zone.rate * zone.true.area for zone in files["maize"].zones) / 1e4
    assert sown == pytest.approx(by_zone["maize"], rel=1e-6)  # rates of a file have 3 decimals
    task = next(one for one in operation_rates(layout) if one.operation == "plant")
    assert task.totals[0] == pytest.approx(by_zone["maize"], rel=1e-9)


@given(edge=st.floats(-50, 50))
@settings(max_examples=10, deadline=None)
def test_ground_of_the_classes_adds_up_to_the_ground_of_the_bands(edge):
    layout = zoned(edge)
    for one in zone_figures(layout).sowings:
        (whole,) = [
            amount.ground_m2
            for amount in seed_amounts(layout)
            if (amount.crop, amount.stand, amount.place) == (one.crop, one.stand, one.place)
        ]
        assert sum(part.ground_m2 for part in one.classes) == pytest.approx(whole, rel=1e-9)


def test_the_seed_order_follows_the_zones():
    plain = {n.crop: n for n in seed_needs(paper_layout().plan, seed_amounts(paper_layout()))}
    more = zoned(low=88000, high=88000)  # a tenth more everywhere
    needs = {n.crop: n for n in seed_needs(more.plan, seed_amounts(more))}
    assert needs["maize"].seeds.low == pytest.approx(1.1 * plain["maize"].seeds.low)
    assert needs["maize"].ground_m2 == pytest.approx(plain["maize"].ground_m2)


def test_a_prescription_has_one_zone_a_rate():
    (maize,) = [one for one in prescriptions(zoned()) if one.product == "maize"]
    assert [zone.rate for zone in maize.zones] == [90000.0, 70000.0, 0.0]
    assert [zone.true.area for zone in maize.zones] == pytest.approx([1500, 1500, 4200], abs=0.05)
    assert np.isclose(sum(zone.wide.area for zone in maize.zones), 7200.0)
