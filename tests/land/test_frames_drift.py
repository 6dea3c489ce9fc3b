"""How far frames lie apart, and that carrying lines over is what it says."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pyproj import Geod, Transformer

from geolayout.errors import PlanError
from geolayout.land.frames.drift import carried, drift
from geolayout.land.frames.references import Reference

ITRF = Reference("ITRF2014", 2026.9)
RHINE = (7.0, 48.0)


def test_earth_and_plate_lie_nearly_a_metre_apart_in_europe():
    # Measured in the project's notes on practice: 0.97 m, azimuth 226 degrees, 2.5 cm a year
    found = drift(RHINE, ITRF, Reference("ETRF2000"))
    assert found.distance == pytest.approx(0.97, abs=0.005)
    assert found.azimuth == pytest.approx(226.0, abs=0.5)
    later = drift(RHINE, Reference("ITRF2014", 2027.9), Reference("ETRF2000"))
    assert later.distance - found.distance == pytest.approx(0.025, abs=0.001)


def test_the_same_by_way_of_the_library_alone():
    there = Transformer.from_crs("EPSG:7912", "EPSG:7931", always_xy=True)
    lon, lat, _, _ = there.transform(*RHINE, 0.0, 2026.9)
    assert carried(np.array([RHINE]), ITRF, Reference("ETRF2000"))[0] == pytest.approx([lon, lat])


@pytest.mark.parametrize(
    ("place", "of", "to", "distance", "azimuth"),
    [
        # IGN and others: about 2.5 cm a year, to the north-east (practice notes, S59)
        pytest.param(RHINE, ITRF, Reference("ITRF2014", 2027.9), 0.025, 51, id="a year in Europe"),
        # Australia moved 1.8 m from 1994 to 2020 (practice notes, S61); in the south-east less
        pytest.param(
            (147.0, -35.0), Reference("GDA94"), Reference("GDA2020"), 1.54, 20, id="Australia"
        ),
        # NAD83(2011) and WGS 84 differ by 1 to 2 m (practice notes, S60)
        pytest.param((-93.0, 42.0), ITRF, Reference("NAD83(2011)"), 1.37, 125, id="Iowa"),
        pytest.param(RHINE, Reference("ETRS89"), Reference("ETRF2000"), 0.0, 0, id="one frame"),
        pytest.param(RHINE, ITRF, ITRF, 0.0, 0, id="nothing to do"),
    ],
)
def test_known_distances(place, of, to, distance, azimuth):
    found = drift(place, of, to)
    assert found.distance == pytest.approx(distance, abs=0.01)
    if distance:
        assert found.azimuth == pytest.approx(azimuth, abs=1.0)


@pytest.mark.parametrize(
    ("place", "of", "to"),
    [
        pytest.param((172.0, -43.0), ITRF, Reference("NZGD2000"), id="New Zealand"),
        pytest.param((-50.0, -15.0), ITRF, Reference("SIRGAS 2000"), id="Brazil"),
        pytest.param((-50.0, -15.0), ITRF, Reference("ITRF2014", 2020.0), id="a plate unknown"),
        pytest.param(RHINE, Reference("ETRS89"), Reference("NAD83(2011)"), id="two plates"),
    ],
)
def test_where_no_way_is_known_nothing_is_made_up(place, of, to):
    assert drift(place, of, to) is None
    with pytest.raises(PlanError, match="No way between the two is known here"):
        carried(np.array([place]), of, to)


@given(
    epoch=st.floats(1990, 2050),
    other=st.floats(1990, 2050),
    lon=st.floats(-8, 20),
    lat=st.floats(42, 60),
)
@example(epoch=2026.9, other=2026.9, lon=7.0, lat=48.0)
def test_there_and_back_is_where_it_began(epoch, other, lon, lat):
    of, to = Reference("ITRF2014", epoch), Reference("ITRF2020", other)
    begun = np.array([(lon, lat), (lon + 0.01, lat)])
    back = carried(carried(begun, of, to), to, of)
    off = [Geod(ellps="GRS80").inv(*a, *b)[2] for a, b in zip(begun, back, strict=True)]
    assert max(off) < 1e-4
