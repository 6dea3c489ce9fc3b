"""Looking at fields: one in full, many side by side, a plan with its features."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely
from boundary_files import HOME, feature, geojson, shp

from geolayout.errors import BoundaryError, FileError, PlanError
from geolayout.jobs.checking import (
    Checked,
    Choice,
    Refused,
    check,
    checked_dict,
    findings_by_kind,
    shared_findings,
)

SAMPLES = Path(__file__).parents[2] / "sample_fields"
FLAT = shapely.Polygon([(10.2, 52.0), (10.21, 52.0), (10.205, 52.0)])
AWAY = shapely.box(10.1, 52.0, 10.103, 52.001)
BOW_TIE = shapely.Polygon([(10.3, 52.0), (10.303, 52.002), (10.303, 52.0), (10.3, 52.002)])


def named(shape, name):
    return feature(shape, {"name": name})


@pytest.fixture
def farm(tmp_path):
    """A file of four fields, one of them flat and one drawn as a bow tie."""
    return geojson(
        tmp_path,
        named(HOME, "Home"),
        named(AWAY, "Away"),
        named(FLAT, "Flat"),
        named(BOW_TIE, "Tie"),
    )


def test_one_field_is_looked_at_in_full(tmp_path):
    (one,) = check(geojson(tmp_path, named(HOME, "Home")))
    assert isinstance(one, Checked)
    assert one.report.name == "Home"
    assert one.report.source == "farm.geojson"
    assert one.report.vertices == 4
    assert shapely.equals_exact(one.drawn.normalize(), one.field.land.normalize(), tolerance=1e-6)


def test_what_was_not_given_is_said_of_a_bare_boundary(tmp_path):
    (one,) = check(geojson(tmp_path, named(HOME, "Home")))
    said = " ".join(caution.sentence for caution in one.cautions)
    assert "No overhead line was given; that does not mean there is none." in said
    assert one.hazards == ()


def test_the_place_to_look_it_up_is_a_geo_uri(tmp_path):
    # RFC 5870, section 3.3: geo: latitude , longitude
    (one,) = check(geojson(tmp_path, named(HOME, "Home")))
    lat, lon = map(float, one.geo_uri.removeprefix("geo:").split(","))
    assert HOME.contains(shapely.Point(lon, lat))


def test_a_broken_field_does_not_hide_the_others(farm):
    home, away, flat, tie = check(farm)
    assert isinstance(flat, Refused)
    assert flat.name == "Flat"
    assert "encloses" in str(flat.error)
    assert [one.report.name for one in (home, away, tie)] == ["Home", "Away", "Tie"]


def test_findings_are_counted_by_kind(farm):
    counted = findings_by_kind(check(farm))
    assert counted["crossing"] == 1
    assert list(counted.values()) == sorted(counted.values(), reverse=True)


def test_what_was_found_in_the_file_is_told_once(tmp_path):
    fields = check(
        geojson(
            tmp_path,
            named(HOME, "Home"),
            named(AWAY, "Away"),
            named(shapely.Point(10, 52), "Oak"),
        )
    )
    shared = shared_findings(fields)
    assert [found.kind for found in shared] == ["passed over"]
    assert "passed over" not in findings_by_kind(fields)


@pytest.mark.parametrize(
    "choice",
    [Choice(field_id="Away"), Choice(attribute=("name", "Away"))],
    ids=["by its name", "by a column"],
)
def test_one_of_many_is_chosen(farm, choice):
    (one,) = check(farm, choice)
    assert one.report.name == "Away"
    assert one.cautions


def test_what_lies_within_a_field_is_settled_by_a_word(tmp_path):
    pond = shapely.box(10.001, 52.0003, 10.0015, 52.0006)
    path = geojson(tmp_path, named(HOME, "Home"), named(pond, "Pond"))
    (cut,) = check(path, Choice(field_id="Home", inner="hole"))
    (kept,) = check(path, Choice(field_id="Home", inner="field"))
    assert len(cut.report.holes) == 1
    assert kept.report.holes == ()
    with pytest.raises(BoundaryError, match="Pond"):
        check(path, Choice(field_id="Home"))


def test_a_coordinate_system_may_be_stated(tmp_path):
    path = shp(tmp_path, [[(0, 0), (0, 100), (100, 100), (100, 0), (0, 0)]], epsg=None)
    with pytest.raises(FileError, match="states no coordinate system"):
        check(path)


def test_the_flat_grid_of_a_file_is_compared(tmp_path):
    # 200 x 100 m on UTM 32 at its central meridian: 0.9996 squared of the ground, 8 in 10,000
    west, south = 500_000.0 - 100.0, 5_760_000.0
    ring = [(0, 0), (0, 100), (200, 100), (200, 0), (0, 0)]
    path = shp(tmp_path, [[(west + x, south + y) for x, y in ring]])
    (one,) = check(path)
    assert one.report.plane_area == pytest.approx(20_000.0, abs=1e-6)
    assert one.report.area == pytest.approx(20_000.0 / 0.9996**2, rel=1e-6)


@pytest.mark.parametrize("name", ["pond_piece", "crooked_hedge", "wire_field"])
def test_a_plan_brings_its_features(name):
    (one,) = check(SAMPLES / f"{name}.toml")
    assert one.plan is not None
    assert one.field.features
    assert {caution.severity for caution in one.cautions} >= {"note"}


def test_an_acknowledged_hazard_is_still_there_and_waits_no_more():
    (one,) = check(SAMPLES / "wire_field.toml")
    assert one.hazards
    assert not any(caution.open for caution in one.hazards)


def test_a_plan_chooses_its_field_itself():
    with pytest.raises(PlanError, match="A plan names its own field"):
        check(SAMPLES / "wire_field.toml", Choice(field_id="x"))


def test_a_plan_without_a_field_is_refused(tmp_path):
    path = tmp_path / "bare.toml"
    path.write_text(
        'schema = 1\n[[pattern]]\nname = "s"\nbands = [ { name = "A", width = 6.0 } ]\n',
        encoding="utf-8",
    )
    with pytest.raises(PlanError):
        check(path)


def test_the_dictionary_holds_every_figure_in_si(farm):
    fields = check(farm)
    said = json.loads(json.dumps(checked_dict(farm, fields), allow_nan=False))
    assert [one["name"] for one in said["fields"]] == ["Home", "Away", "Tie"]
    assert said["not_read"][0]["name"] == "Flat"
    home, _, tie = said["fields"]
    # 0.003 x 0.001 degrees at 52 N, about 205.9 m x 111.3 m
    assert home["area_m2"] == pytest.approx(205.9 * 111.3, rel=2e-3)
    assert home["area_m2"] == home["area_drawn_m2"]
    assert tie["findings"][0]["number"] == 1
    assert tie["findings"][0]["places_lon_lat"]
    assert tie["questions"]
    assert said["findings_by_kind"]["crossing"] == 1


def test_nothing_is_written_beside_a_field(tmp_path):
    shutil.copy(SAMPLES / "crooked_hedge.zip", tmp_path)
    check(tmp_path / "crooked_hedge.zip")
    assert [path.name for path in tmp_path.iterdir()] == ["crooked_hedge.zip"]


def test_the_places_of_findings_lie_in_the_frame(farm):
    (tie,) = check(farm, Choice(field_id="Tie"))
    crossing = next(found for found in tie.report.findings if found.kind == "crossing")
    # the two diagonals meet in the middle of the bow tie, where its bounds have their middle
    west, south, east, north = tie.field.land.bounds
    middle = np.array([(west + east) / 2, (south + north) / 2])
    assert np.abs(tie.places(crossing) - middle).max(axis=1).min() < 0.05
