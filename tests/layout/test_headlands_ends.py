"""Edges taken as ends are shared out among the land that lies along them."""

import pytest
from shapely import LineString, Polygon, box

from geolayout.layout.headlands.edges import EdgeRun
from geolayout.layout.headlands.ends import ends_beside

EDGE = LineString([(0, 0), (200, 0)])
RUN = EdgeRun("south", 200.0, 90.0, EDGE, EDGE, (90.0, 90.0))


@pytest.mark.parametrize(
    ("land", "lengths"),
    [
        pytest.param(box(0, 0, 200, 50), [200.0], id="all of it"),
        pytest.param(box(0, 0, 80, 50), [80.05], id="a part of it"),
        pytest.param(box(80, 0, 200, 50), [120.05], id="the other part"),
        pytest.param(box(0, 10, 200, 50), [], id="land behind other land"),
        pytest.param(box(200, 0, 300, 50), [], id="a corner"),
        pytest.param(Polygon(), [], id="no land"),
        pytest.param(
            box(0, 0, 50, 50) | box(100, 0, 150, 50), [50.05, 50.1], id="two pieces of land"
        ),
    ],
)
def test_a_run_is_cut_to_the_land_beside_it(land, lengths):
    found = ends_beside([RUN], land)
    assert [run.length for run in found] == pytest.approx(lengths, abs=0.01)
    assert all(run.line.length == pytest.approx(run.length) for run in found)
    assert {run.side for run in found} <= {"south"}


def test_a_run_of_one_land_stays_the_very_same():
    assert ends_beside([RUN], box(0, 0, 200, 50)) == (RUN,)
    assert ends_beside([], box(0, 0, 200, 50)) == ()
