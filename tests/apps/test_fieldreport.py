"""What is said of a field, sentence by sentence."""

import pytest

from geolayout.apps import fieldreport
from geolayout.land.boundary.report import BoundaryReport
from geolayout.land.files.formats import READERS
from geolayout.plan.units import IMPERIAL, METRIC

PLAIN = BoundaryReport(
    name="Home",
    source="home.gpkg",
    crs="WGS 84 (EPSG:4326)",
    area=20_000.0,
    drawn_area=20_000.0,
    plane_area=None,
    perimeter=600.0,
    vertices=4,
    drawn_vertices=4,
    parts=(20_000.0,),
    holes=(),
    centre=(10.0, 52.0),
    bounds=(10.0, 52.0, 10.1, 52.1),
    findings=(),
)


@pytest.mark.parametrize(
    ("areas", "units", "said"),
    [
        pytest.param([20_000.0], METRIC, "2.000 ha", id="one"),
        pytest.param([20_000.0, 40.0], METRIC, "2.000 ha and 40 m2", id="a small one"),
        pytest.param([9e4, 6e4, 3e4], METRIC, "9.000 ha, 6.000 ha and 3.000 ha", id="three"),
        pytest.param(
            [1e4] * 6,
            METRIC,
            "1.000 ha, 1.000 ha, 1.000 ha, 1.000 ha and 2 more, 6.000 ha together",
            id="six of one size",
        ),
        # 40 m2 / 0.3048^2 = 430.6
        pytest.param([40.0], IMPERIAL, "431 sq ft", id="feet"),
    ],
)
def test_areas_are_listed(areas, units, said):
    assert fieldreport._areas(areas, units) == said


@pytest.mark.parametrize(
    ("area", "said"),
    [
        pytest.param(20_000.0, "2.000 ha, the same", id="the same"),
        pytest.param(20_000.05, "2.000 ha, the same", id="the same to every figure shown"),
        pytest.param(19_984.0, "1.998 ha, 0.080% less", id="less"),
        pytest.param(20_040.0, "2.004 ha, 0.200% more", id="more"),
        pytest.param(48_360.0, "4.836 ha, 2.42 times as much", id="many times"),
    ],
)
def test_an_area_is_compared_with_that_of_record(area, said):
    assert fieldreport._compared(area, PLAIN, METRIC) == said


def test_corners_tell_how_many_were_drawn():
    thinned = fieldreport._corners(
        BoundaryReport(
            **{name: getattr(PLAIN, name) for name in PLAIN.__slots__} | {"drawn_vertices": 9}
        )
    )
    assert fieldreport._corners(PLAIN) == "4 corners"
    assert thinned == "4 corners of 9 drawn"


def test_every_kind_of_file_that_is_read_has_its_name():
    assert set(fieldreport.FORMATS) == set(READERS)
