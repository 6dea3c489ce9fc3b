"""Frames by name, and what a file may say of them."""

import pytest
from pyproj import CRS

from geolayout.land.frames.references import FRAMES, Reference, stated_reference


@pytest.mark.parametrize("name", FRAMES)
def test_every_frame_is_in_the_register_and_dynamic_as_it_says(name):
    crs = CRS.from_epsg(FRAMES[name].epsg)
    assert crs.is_geographic
    # the register calls a datum dynamic where its coordinates need an epoch
    assert crs.datum.type_name.startswith("Dynamic") == FRAMES[name].dynamic


@pytest.mark.parametrize("name", [name for name in FRAMES if name not in ("ETRS89", "NAD83(CSRS)")])
def test_a_frame_is_the_one_that_the_register_calls_so(name):
    assert CRS.from_epsg(FRAMES[name].epsg).name == name


@pytest.mark.parametrize(
    ("frame", "epoch", "read"),
    [
        pytest.param("ITRF2014", 2026.9, Reference("ITRF2014", 2026.9), id="frame and epoch"),
        pytest.param("ITRF2014", 2027, Reference("ITRF2014", 2027.0), id="a whole year"),
        pytest.param("ETRS89", None, Reference("ETRS89"), id="fixed to the plate"),
        pytest.param("ETRS89", 2026.9, Reference("ETRS89"), id="an epoch that changes nothing"),
        pytest.param("ITRF2014", None, None, id="no epoch where one is needed"),
        pytest.param("ITRF2014", "2026.9", None, id="an epoch in words"),
        pytest.param("ITRF2014", True, None, id="an epoch that is true"),
        pytest.param("ITRF2014", float("nan"), None, id="an epoch that is no number"),
        pytest.param("steel", 2026.9, None, id="a frame of another trade"),
        pytest.param(7, None, None, id="a number for a frame"),
        pytest.param(None, None, None, id="nothing"),
    ],
)
def test_what_a_file_says(frame, epoch, read):
    assert stated_reference(frame, epoch) == read
