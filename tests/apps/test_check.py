"""The command `check`: what it prints where, how it ends, and that it leaves nothing behind."""

import json
import re
import shlex
from pathlib import Path

import pytest
import shapely
from boundary_files import HOME, feature, geojson, shp
from click.testing import CliRunner

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
AWAY = shapely.box(10.1, 52.0, 10.103, 52.001)
FLAT = shapely.Polygon([(10.2, 52.0), (10.21, 52.0), (10.205, 52.0)])
BOW_TIE = shapely.Polygon([(10.3, 52.0), (10.303, 52.002), (10.303, 52.0), (10.3, 52.002)])


def named(shape, name):
    return feature(shape, {"name": name, "parcel": len(name)})


def run(*words):
    return CliRunner().invoke(cli, ["check", *map(str, words)])


@pytest.fixture
def home(tmp_path):
    return geojson(tmp_path, named(HOME, "Home"), name="home.geojson")


@pytest.fixture
def farm(tmp_path):
    return geojson(tmp_path, named(HOME, "Home"), named(AWAY, "Away"), named(BOW_TIE, "Tie"))


def test_one_field_is_told_and_drawn(home):
    ran = run(home)
    assert ran.exit_code == 0
    assert "Read from home.geojson (GeoJSON)." in ran.stdout
    assert "Coordinate system: WGS 84 (EPSG:4326)." in ran.stdout
    assert "⡇" in ran.stdout
    assert "north is up" in ran.stdout
    assert "Nothing was found in the boundary, and nothing was done to it." in ran.stdout
    assert "geo:52.000500,10.001500" in ran.stdout
    assert ran.stderr == ""


def test_the_crossing_is_marked_and_asked_about(farm):
    ran = run(farm, "--id", "Tie")
    assert ran.exit_code == 0
    assert ran.stdout.startswith("What needs an answer\n  1: Which side")
    assert "1: The line crosses itself" in ran.stdout
    asked = ran.stdout.split("\n\n")[0]
    assert "mend the file and check it again" in " ".join(asked.split())
    drawn = ran.stdout.split("As it lies\n")[1].split("north is up")[0]
    assert "1" in drawn


def test_many_fields_are_a_line_each(farm):
    ran = run(farm)
    assert ran.exit_code == 0
    rows = [line.split() for line in ran.stdout.splitlines()]
    assert ["field", "ha", "corners", "parts", "holes", "found", "asked"] in rows
    assert ["Home", "2.292", "4", "1", "0", "0", "0"] in rows
    assert ["crossing", "1"] in rows
    assert "Check one alone, with --id, to see what was done about it." in ran.stdout
    assert any(line.startswith("  3 fields, ") for line in ran.stdout.splitlines())


def test_a_broken_one_among_many_is_told_and_ends_with_2(tmp_path):
    ran = run(geojson(tmp_path, named(HOME, "Home"), named(FLAT, "Flat"), named(AWAY, "Away")))
    assert ran.exit_code == 2
    assert "Flat (not read)" in ran.stdout
    assert "Flat encloses 0.00 m2" in ran.stdout
    assert "2 fields," in ran.stdout
    assert ran.stderr == "1 of 3 fields cannot be read.\n"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        pytest.param(("--id", "Tie"), 0, id="a question without --strict"),
        pytest.param(("--id", "Tie", "--strict"), 3, id="a question with it"),
        pytest.param(("--id", "Home", "--strict"), 0, id="no question"),
        pytest.param(("--strict",), 3, id="a question of one of many"),
    ],
)
def test_a_question_counts_where_it_is_asked_to(farm, words, code):
    ran = run(farm, *words)
    assert ran.exit_code == code
    assert ("awaits an answer" in ran.stderr) == (code == 3)


@pytest.mark.parametrize(
    ("words", "match"),
    [
        pytest.param(("--id", "Hoem"), "answers to Hoem", id="no such field"),
        pytest.param(("--attribute", "parcel"), "is not COLUMN=VALUE", id="a column alone"),
        pytest.param(("--attribute", "=4"), "is not COLUMN=VALUE", id="a value alone"),
        pytest.param(("--attribute", "plot=4"), "no column 'plot'", id="no such column"),
        pytest.param(("--crs", "EPSG:0"), "not a coordinate system", id="no such system"),
        pytest.param(("--layer", "x"), "Layer 'x'", id="no such layer"),
        pytest.param(("--picture", "a.png"), "holds 3 fields", id="a picture of many"),
        pytest.param(("--id", "Home", "--picture", "a.pdf"), "SVG or PNG", id="a pdf"),
    ],
)
def test_a_bad_command_is_refused_in_plain_words(farm, words, match):
    ran = run(farm, *words)
    assert ran.exit_code == 2
    assert match in ran.stderr
    assert "Traceback" not in ran.stderr


def test_a_field_is_chosen_by_a_column(farm):
    assert "\nHome\n" in "\n" + run(farm, "--attribute", "name=Home").stdout


def test_a_stated_system_is_followed(tmp_path):
    path = shp(tmp_path, [[(0, 0), (0, 100), (100, 100), (100, 0), (0, 0)]], epsg=None)
    assert run(path).exit_code == 2
    ran = run(path, "--crs", "EPSG:25832")
    assert ran.exit_code == 0
    assert "EPSG:25832" in ran.stdout


def test_web_mercator_is_no_grid_for_areas(tmp_path):
    # at 52 degrees north it is 1 / cos(52)^2 = 2.64 times too large
    west, south = 1_113_194.9, 6_800_125.5
    ring = [(0, 0), (0, 100), (100, 100), (100, 0), (0, 0)]
    path = shp(tmp_path, [[(west + x, south + y) for x, y in ring]], epsg=3857)
    ran = run(path)
    assert "2.63 times as much" in ran.stdout or "2.64 times as much" in ran.stdout
    assert "not made for areas" in ran.stdout


def test_a_national_grid_is_a_little_off(tmp_path):
    ring = [(0, 0), (0, 100), (200, 100), (200, 0), (0, 0)]
    path = shp(tmp_path, [[(499_900 + x, 5_760_000 + y) for x, y in ring]])
    # 0.9996 squared is 0.080 % less
    assert "0.080% less" in run(path).stdout


def test_imperial_figures_keep_their_units(home):
    # 0.003 x 0.001 degrees there are 206.0 m x 111.3 m: 22,924 m2 / 4,046.86 = 5.665 acres
    ran = run(home, "--units", "imperial")
    assert "Area 5.665 acres, measured" in ran.stdout
    assert " ft, north is up" in ran.stdout
    assert not re.search(r"\d (ha|km|m)\b", ran.stdout)


def test_json_is_one_object_in_si_whatever_the_units(farm):
    plain = run(farm, "--json")
    assert plain.exit_code == 0
    assert json.loads(plain.stdout)["fields"][0]["name"] == "Home"
    assert plain.stdout == run(farm, "--json", "--units", "imperial").stdout


def test_a_picture_is_written_and_nothing_else(home, tmp_path):
    ran = run(home, "--picture", tmp_path / "home.svg")
    assert ran.exit_code == 0
    assert ran.stderr == f"Written to {tmp_path / 'home.svg'}\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["home.geojson", "home.svg"]


def test_a_plan_tells_its_features_and_hazards():
    ran = run(SAMPLES / "wire_field.toml")
    assert ran.exit_code == 0
    assert ran.stdout.startswith("HAZARDS: look before going out\n  a: Overhead line")
    assert "acknowledged by" in ran.stdout
    assert "kept from its outer wire: 15 m for trees and 10 m for turning." in " ".join(
        ran.stdout.split()
    )


def test_a_hazard_nobody_looked_at_waits_for_an_answer():
    ran = run(SAMPLES / "pond_piece.toml", "--strict")
    assert ran.exit_code == 3
    assert "not acknowledged" in ran.stdout


@pytest.mark.usefixtures("home")
def test_the_units_of_the_farm_are_followed(tmp_path):
    plan = tmp_path / "home.toml"
    plan.write_text(
        'schema = 1\n[field]\nboundary = "home.geojson"\n[farm]\nunits = "imperial"\n'
        '[guide]\nbearing = 0.0\nfrom = "west"\n'
        '[[pattern]]\nname = "s"\nbands = [ { name = "A", width = 6.0, stand = "none" } ]\n',
        encoding="utf-8",
    )
    assert " acres, measured" in run(plan).stdout
    assert " ha, measured" in run(plan, "--units", "metric").stdout


def test_the_page_names_every_key_of_the_json(home):
    page = (SAMPLES.parent / "docs" / "checking.md").read_text(encoding="utf-8")
    said = json.loads(run(home, "--json").stdout)
    for key in [*said, *said["fields"][0]]:
        assert f"`{key}`" in page, key


def test_the_commands_of_the_page_run(monkeypatch):
    monkeypatch.chdir(SAMPLES.parent)
    page = (SAMPLES.parent / "docs" / "checking.md").read_text(encoding="utf-8")
    commands = re.findall(r"^geolayout check (.*)$", page, re.M)
    assert len(commands) == 4
    for command in commands:
        assert run(*shlex.split(command)).exit_code == 0, command
