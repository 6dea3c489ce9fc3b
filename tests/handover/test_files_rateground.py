"""Rates by ground: what a machine is set to, in zones that its products share."""

import pytest
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.handover.files.prescription import prescriptions
from geolayout.handover.files.rateground import operation_rates

# One stand on all of 60 m x 120 m but 10 m of headland at both ends, 0.6 ha. Invented.
CROSSED = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[headland]
where = "ends"
width = 10.0
stand = "beans"
[[stand]]
name = "beans"
sowing = [
  { crop = "field beans", spacing = 0.25, rate = { seeds_per_m2 = 40 }, operation = "drill" },
]
[[pattern]]
name = "all"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 5.0
[[operation]]
name = "drill"
machine = "drill"
over = "block"
crossed = 90.0
"""


def test_ground_that_is_sown_in_two_ways_has_half_the_rate_each_way():
    # 40 / m2 on 7,200 m2 are 288,000 seeds: 20 each way on the bands, 40 on the headland.
    (one,) = operation_rates(paper_layout(CROSSED))
    assert [zone.rate for zone in one.zones] == [(40.0,), (20.0,), (0.0,)]
    assert [zone.true.area for zone in one.zones] == pytest.approx([1200.0, 6000.0, 0.0], abs=0.01)
    assert one.totals == pytest.approx((288_000.0,), rel=1e-6)
    (written,) = prescriptions(paper_layout(CROSSED))
    assert [zone.rate for zone in written.zones] == [40.0, 20.0, 0.0]


def test_products_of_one_operation_share_their_zones():
    # Slough Quarter sows oats and peas in one operation, each band its own mixture.
    (one,) = operation_rates(sample_layout("slough_quarter"))
    assert len(one.products) == 2
    assert one.zones[-1].rate == (0.0, 0.0)
    assert len({zone.rate for zone in one.zones}) == len(one.zones)


def test_an_operation_that_sows_two_crops_takes_what_the_summary_says():
    # The drill sows beans, 40 / m2 on 0.3 ha, and grass with them, 20 kg/ha.
    beans = """sowing = [
  { crop = "field beans", spacing = 0.25, rate = { seeds_per_m2 = 40 }, operation = "drill" },
"""
    more = beans.splitlines()[1].replace("field beans", "grass").replace("spacing = 0.25, ", "")
    more = more.replace("seeds_per_m2 = 40", "kg_per_ha = 20").replace(
        "rate", 'place = "broadcast", rate'
    )
    assert beans in STRIPS
    (_, drilled) = operation_rates(paper_layout(STRIPS.replace(beans, f"{beans}{more}\n")))
    totals = dict(zip([one.name for one in drilled.products], drilled.totals, strict=True))
    assert totals == pytest.approx(
        {"field beans": 120_000.0, "grass": 6.0}, rel=2e-5
    )  # a field of 60.0003 m
    assert [zone.rate for zone in drilled.zones] == [(40.0, 20.0), (0.0, 0.0)]
