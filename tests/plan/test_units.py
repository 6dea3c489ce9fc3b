"""Metric and imperial units: exact sizes, round trips, precision that means the same."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.plan.units import ACRE, FOOT, IMPERIAL, METRIC, POUND, UNITS


@pytest.mark.parametrize(
    ("size", "exact"),
    [
        pytest.param(FOOT, 0.3048, id="foot, a third of the yard of 0.9144 m"),
        pytest.param(ACRE, 4840 * 0.9144**2, id="acre of 4,840 square yards"),
        pytest.param(POUND, 0.45359237, id="pound"),
        # 4,046.8564224 m2 follows from the yard alone: 4840 x 0.83612736
        pytest.param(ACRE, 4046.8564224, id="acre as a figure"),
    ],
)
def test_units_have_their_exact_size(size, exact):
    assert size == pytest.approx(exact, rel=1e-15)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        pytest.param(IMPERIAL.ground.said(ACRE), "1.000 acres", id="an acre"),
        pytest.param(IMPERIAL.spacing.short(30 * FOOT / 12), "30.0", id="rows of 30 in"),
        pytest.param(IMPERIAL.spacing.short(0.75), "29.5", id="rows of 75 cm"),
        pytest.param(METRIC.spacing.short(0.75), "0.75", id="rows of 75 cm in metres"),
        pytest.param(METRIC.spacing.short(1 / 6), "0.1667", id="rows of 16.67 cm in metres"),
        pytest.param(IMPERIAL.width.short(40 * FOOT), "40", id="a header of 40 ft"),
        pytest.param(METRIC.width.short(5.4), "5.4", id="a header of 5.4 m"),
        pytest.param(METRIC.patch.short(100.0), "100", id="whole figures keep their noughts"),
        # 100 kg/ha are 100 x 0.40468564 / 0.45359237 = 89.2 lb/acre
        pytest.param(IMPERIAL.mass_rate.said(100.0), "89.2 lb/acre", id="a seed rate"),
        # 80,000 plants/ha x 0.40468564 = 32,374.9 an acre
        pytest.param(IMPERIAL.count_rate.figure(80_000.0), "32374.9", id="plants an acre"),
    ],
)
def test_figures_are_those_of_the_trade(said, words):
    assert said == words


@pytest.mark.parametrize("units", UNITS.values(), ids=UNITS)
@pytest.mark.parametrize(
    ("scale", "loss"),
    [("ground", 5.0), ("length", 0.05), ("width", 0.005), ("spacing", 0.0013), ("place", 0.00016)],
)
@given(value=st.floats(0.0, 1e5))
def test_no_figure_loses_more_than_its_metric_precision(units, scale, loss, value):
    """Half of the last decimal: 5 m2, 5 cm, 5 mm, half of 0.1 in, and about 0.15 mm."""
    shown = getattr(units, scale)
    assert float(shown.figure(value)) * shown.size == pytest.approx(value, abs=loss * 1.001)
