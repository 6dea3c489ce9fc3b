"""Hours and capacities, against published tables and sums on paper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.hours import (
    Driven,
    Range,
    area_capacity,
    field_efficiency,
    hours_driven,
)
from geolayout.plan.machines import Machine

FOOT = 0.3048  # m
MILE = 1.609344  # km
ACRE = 0.40468564224  # ha
INCH = FOOT / 12.0

# Iowa State University Extension, Ag Decision Maker A3-24, table 1 (page read): ISU; the same,
# PM 696, April 2001, table: ISU01; Progressive Forage, "Farm field equipment: efficiency versus
# capacity": PF. All in acres an hour, to the tenth printed.
ACRES = [
    pytest.param(40 * FOOT, 6, 0.70, 20.4, id="ISU: fertiliser spreader, 40 ft"),
    pytest.param(60 * FOOT, 6, 0.68, 29.7, id="ISU: 60 ft"),
    pytest.param(80 * FOOT, 6, 0.68, 39.6, id="ISU: 80 ft"),
    pytest.param(20 * FOOT, 6, 0.63, 9.2, id="ISU: manure spreader, 20 ft"),
    pytest.param(36 * FOOT, 5, 0.60, 13.1, id="ISU: 36 ft"),
    pytest.param(15 * 30 * INCH, 6, 0.65, 17.7, id="ISU: 15 knives on 30 in"),
    pytest.param(17 * 30 * INCH, 6, 0.63, 19.5, id="ISU: 17 knives on 30 in"),
    pytest.param(13 * 30 * INCH, 5, 0.65, 12.8, id="ISU01: 13 knives on 30 in"),
    pytest.param(7 * 16 * INCH, 5, 0.85, 4.8, id="ISU01: plough, 7 x 16 in"),
    # 9.05 exactly, printed as 9.1
    pytest.param(12 * 18 * INCH, 5, 0.83, 9.1, id="ISU01: plough, 12 x 18 in"),
    pytest.param(30 * FOOT, 5, 1.00, 18.2, id="PF: 30 ft without losses"),
]


@pytest.mark.parametrize(("width", "mph", "efficiency", "acres"), ACRES)
def test_capacity_matches_published_tables(width, mph, efficiency, acres):
    found = area_capacity(width, mph * MILE, efficiency) / ACRE
    assert found == pytest.approx(acres, abs=0.055)


@pytest.mark.parametrize(
    ("width", "speed", "efficiency", "hectares"),
    [
        # Mathix, "Machine capacity" (solved student problem): 100 m in 52 s are 6.923 km/h
        pytest.param(3.0, 100.0 / 52.0 * 3.6, 1.0, 2.08, id="mower, 3 m"),
        pytest.param(4.0, 4.5, 0.70, 1.26, id="4 m at 70 %"),
    ],
)
def test_capacity_in_hectares_matches_published_sums(width, speed, efficiency, hectares):
    assert area_capacity(width, speed, efficiency) == pytest.approx(hectares, abs=0.005)


def test_hours_on_paper():
    drill = Machine(name="drill", working_width=3.0, speed=8.0)
    hours = hours_driven(drill, Driven(16_000.0, 4_000.0, 2_500.0, 800.0, 36, 3))
    # 20 km at 8 km/h; at 7.2 and 8.8 the most and the least
    assert hours.working.usual == pytest.approx(2.5)
    assert hours.working.most == pytest.approx(20.0 / 7.2)
    assert hours.working.least == pytest.approx(20.0 / 8.8)
    # 2.5 km at 5 km/h and 36 stops of 5 s
    assert hours.turning.usual == pytest.approx(0.5 + 0.05)
    # 0.8 km at 8 km/h, 3 x 10 minutes
    assert hours.carting.usual == pytest.approx(0.1)
    assert hours.filling.usual == pytest.approx(0.5)
    assert hours.total.usual == pytest.approx(3.65)
    assert hours.turning_share == pytest.approx(0.55 / 3.65)


def test_efficiency_is_what_hours_leave_of_full_capacity():
    drill = Machine(name="drill", working_width=3.0, speed=8.0)
    # 3 m at 8 km/h are 2.4 ha/h; 12 ha in 6.25 h are 1.92 ha/h
    assert field_efficiency(drill, 120_000.0, 6.25) == pytest.approx(0.8)
    assert area_capacity(3.0, 8.0, 0.8) * 6.25 == pytest.approx(12.0)


@given(rows=st.floats(1.0, 1e5), turning=st.floats(0.0, 1e4), speed=st.floats(1.0, 20.0))
def test_least_usual_and_most_are_in_order(rows, turning, speed):
    machine = Machine(name="drill", working_width=3.0, speed=speed)
    total = hours_driven(machine, Driven(rows, 0.0, turning)).total
    assert total.least <= total.usual <= total.most


def test_ranges_add_and_multiply_end_by_end():
    assert Range(1.0, 2.0, 3.0) + Range(0.5, 1.0, 2.0) == Range(1.5, 3.0, 5.0)
    assert Range(1.0, 2.0, 3.0) * 2.0 == Range(2.0, 4.0, 6.0)
