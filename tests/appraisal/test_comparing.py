"""Plans beside each other: every figure of one stands against those of the others."""

import pytest
from money_plans import PRICED
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.appraisal.caution import Caution
from geolayout.appraisal.comparing import PARTS, Plain, Weighed, compared, plain_figures
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.light.alley import alley_lights
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.rate import Span


def area(what, value):
    return Plain.of("land", what, "ha", value)


def test_figures_of_one_name_stand_in_one_line():
    (line,) = compared([[area("field", 1.0)], [area("field", 2.0)]])
    assert line.figures == ((1.0, 1.0), (2.0, 2.0))
    assert line.differs


def test_what_a_plan_does_not_have_is_empty_and_a_difference():
    band, trees = compared([[area("band", 1.0)], [area("band", 1.0), area("tree band", 0.5)]])
    assert not band.differs
    assert trees.figures == (None, (0.5, 0.5))
    assert trees.differs


def test_rounding_is_no_difference():
    (line,) = compared([[area("band", 10.0)], [area("band", 10.0005)]])
    assert not line.differs  # 5 m2 on 10 ha


def test_ranges_differ_by_either_end():
    (line,) = compared([[area("x", Span(1.0, 2.0))], [area("x", Span(1.0, 3.0))]])
    assert line.differs


def test_any_number_of_plans_stand_in_the_order_they_were_given():
    plans = [[area("field", float(number))] for number in range(1, 6)]
    (line,) = compared(plans)
    assert [low for low, _ in line.figures] == [1.0, 2.0, 3.0, 4.0, 5.0]


def test_parts_come_in_their_order():
    plans = [[Plain.of(part, "x", "", 1.0) for part in reversed(PARTS)]] * 2
    assert tuple(line.part for line in compared(plans)) == PARTS


def caution(key, severity, **more):
    return Caution(
        key=key, severity=severity, sentence="There.", remedy="Look.", source="invented", **more
    )


CAUTIONS = (
    caution("ditch", "hazard", acknowledged="not acknowledged"),
    caution("stub", "warning", count=3),
    caution("stub", "note"),
)


@pytest.fixture(scope="module")
def priced():
    """Return the figures of the plan with prices, by part and name."""
    layout = paper_layout(PRICED)
    weighed = Weighed(figures(layout), CAUTIONS, driving_of(layout), ())
    return {(one.part, one.what): (one.low, one.high) for one in plain_figures(weighed)}


@pytest.mark.parametrize(
    ("part", "what", "value"),
    [
        pytest.param("land", "field", 0.72, id="the field"),
        pytest.param("land", "headland", 0.12, id="the headland"),
        pytest.param("land", "ground of maize", 0.3, id="ground of a crop"),
        pytest.param("seed", "seed of grass", 3.0, id="0.12 ha x 25 kg/ha of seed"),
        pytest.param("trees", "trees", 0.0, id="no trees, which is nought"),
        pytest.param("work", "passes of drill", 10.0, id="five bands of two passes"),
        pytest.param("work", "drill, at work", 1.0, id="ten passes of 100 m"),
        pytest.param("money", "gross margin", 485.0, id="the margin"),
        pytest.param("warnings", "hazards not acknowledged", 1.0, id="an open hazard"),
        pytest.param("warnings", "warnings", 1.0, id="one warning"),
        pytest.param("warnings", "stub", 3.0, id="that comes three times"),
    ],
)
def test_a_figure_of_the_plan_on_paper(priced, part, what, value):
    assert priced[part, what] == pytest.approx((value, value), rel=1e-3)


def test_hours_are_a_range(priced):
    least, most = priced["work", "hours in all"]
    assert 0 < least < most


def test_a_plan_without_prices_has_no_money_to_compare():
    layout = paper_layout(STRIPS)
    parts = {one.part for one in plain_figures(Weighed(figures(layout), (), (), ()))}
    assert "money" not in parts
    assert "light" not in parts


@pytest.fixture(scope="module")
def asked():
    """Return what is told of three sample plans: with trees and prices, with heights, with fuel."""
    found = set()
    for name in ("crooked_hedge", "windy_bank", "poplar_ground"):
        layout = sample_layout(name)
        light = alley_lights(layout, layout.plan.light) if len(layout.trees) else ()
        weighed = Weighed(figures(layout), CAUTIONS, driving_of(layout), light)
        found |= {(one.part, one.what) for one in plain_figures(weighed)}
    return found


@pytest.mark.parametrize(
    ("part", "what"),
    [
        pytest.param("land", "tree band", id="land"),
        pytest.param("seed", "seed of barley", id="seed"),
        pytest.param("trees", "trees of walnut", id="trees"),
        pytest.param("work", "hours in all", id="hours"),
        pytest.param("work", "fuel in all", id="fuel"),
        pytest.param("money", "gross margin", id="margin"),
        pytest.param("money", "trees less what crops lose", id="trees over the years"),
        pytest.param("light", "light beside trees in year 20", id="light"),
        pytest.param("grade", "rows of spring barley, steepest", id="grade"),
        pytest.param("warnings", "hazards not acknowledged", id="warnings"),
    ],
)
def test_everything_that_is_asked_of_a_comparison_is_told(asked, part, what):
    assert (part, what) in asked


def test_fuel_in_all_is_that_of_all_work():
    layout = sample_layout("poplar_ground")
    plain = plain_figures(Weighed(figures(layout), (), driving_of(layout), ()))
    fuel = {one.what: (one.low, one.high) for one in plain if one.unit == "l"}
    assert fuel["fuel in all"] == pytest.approx(fuel["fuel of plant maize"])


def test_fuel_in_all_stays_empty_where_that_of_some_work_is_not_known(priced):
    assert ("work", "fuel of plant") in priced
    assert ("work", "fuel in all") not in priced
