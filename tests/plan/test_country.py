"""Countries: defaults with their source, and the box a field lies in."""

import re
from pathlib import Path

import pytest
from pyproj import CRS

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS, MEASURED_FROM
from geolayout.plan.country import (
    COUNTRIES,
    DEFAULTS,
    check_country,
    default_for,
    default_of,
    expected_box,
)

FROM_DATA = [name for name, place in COUNTRIES.items() if place.source != "from memory"]


@pytest.mark.parametrize("default", DEFAULTS, ids=lambda one: f"{one.called} {one.kind}")
def test_every_default_is_dated_sourced_and_can_be_used(default):
    assert default.country in COUNTRIES
    assert KINDS[default.kind].protected
    assert default.measured_from in MEASURED_FROM
    assert 1900 < default.since <= 2026
    assert default.distance > 0.0
    assert default.source.endswith(".")
    assert default.scope.endswith(".")
    assert default_for(default.country, default.kind) is default
    assert default_of(default.called, default.kind) is default


def test_a_kind_has_one_default_in_a_country():
    pairs = [(one.country, one.kind) for one in DEFAULTS]
    assert len(set(pairs)) == len(pairs)


def test_the_hedge_of_england_has_2_m_from_its_middle():
    # UK Government, Hedgerow management rules: buffer strips; in force since 23 May 2024.
    hedge = default_for("England", "hedge")
    assert (hedge.distance, hedge.measured_from, hedge.since) == (2.0, "centre line", 2024)


@pytest.mark.parametrize("pair", [("Wales", "hedge"), (None, "hedge"), ("England", "pond")])
def test_what_is_not_known_is_not_guessed(pair):
    assert default_for(*pair) is None


@pytest.mark.parametrize("name", COUNTRIES)
def test_a_box_is_a_box(name):
    west, south, east, north = expected_box(name)
    assert -180 <= west < east <= 180
    assert -90 <= south < north <= 90


@pytest.mark.parametrize("name", FROM_DATA)
def test_a_box_holds_the_area_of_use_it_was_rounded_from(name):
    west, south, east, north = expected_box(name)
    w, s, e, n = CRS(COUNTRIES[name].source).area_of_use.bounds
    # Outward to whole degrees, so by less than 1 on each side; 0.05 for a later data set.
    assert -0.05 <= w - west <= 1.05
    assert -0.05 <= s - south <= 1.05
    assert -0.05 <= east - e <= 1.05
    assert -0.05 <= north - n <= 1.05


def test_no_country_has_no_box():
    assert expected_box(None) is None


def test_a_place_of_england_is_not_in_england_when_turned_round():
    west, south, east, north = expected_box("England")
    lon, lat = 0.75, 52.34
    assert west < lon < east
    assert south < lat < north
    assert not (west < lat < east and south < lon < north)


def test_an_unknown_country_names_the_near_ones():
    check_country(None)
    check_country("Denmark")
    with pytest.raises(PlanError, match=r"'Germania'.*Did you mean 'Germany'.*leave country out"):
        check_country("Germania")


def test_the_page_has_every_default_and_every_country():
    page = (Path(__file__).parents[2] / "docs" / "plan-file.md").read_text("utf-8")
    for one in DEFAULTS:
        row = f"| {one.country} | {one.kind} | {one.distance:g} | "
        line = next(line for line in page.splitlines() if line.startswith(row))
        assert f"| {one.measured_from} | {one.since} | {one.source} | {one.scope} |" in line
    (known,) = re.findall(r"Known are: (.*?)\.", page, re.S)
    assert " ".join(known.split()).split(", ") == list(COUNTRIES)
