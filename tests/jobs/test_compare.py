"""Plans on one field, from files and from folders that were handed over."""

import csv
import io
import json

import pytest
from money_plans import PRICED
from sample_layouts import STRIPS

from geolayout.errors import FileError, PlanError
from geolayout.jobs import lay, read, tell
from geolayout.jobs.compare import compare, comparison_csv, comparison_dict
from geolayout.jobs.writing import write

WEST, SOUTH = 10.0, 52.0


def outline(path, east=0.0):
    """Write a field of about 60 m x 120 m, moved by so many degrees to the east."""
    west = WEST + east
    ring = [[0, 0], [9e-4, 0], [9e-4, 1.08e-3], [0, 1.08e-3], [0, 0]]
    shape = {"type": "Polygon", "coordinates": [[[west + x, SOUTH + y] for x, y in ring]]}
    path.write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": shape}), "utf-8")


def plan(path, text, boundary="field.geojson"):
    """Write a plan file beside its field."""
    said = f'[field]\nboundary = "{boundary}"\nname = "On paper"\n[guide]'
    path.parent.mkdir(exist_ok=True)
    path.write_text(text.replace("[guide]", said, 1), "utf-8")
    return path


@pytest.fixture(autouse=True)
def field(tmp_path):
    outline(tmp_path / "field.geojson")


@pytest.fixture
def strips(tmp_path):
    return plan(tmp_path / "strips.toml", STRIPS)


@pytest.fixture
def wider(strips):
    return plan(
        strips.with_name("wider.toml"),
        STRIPS.replace("width = 6.0, stand = ", "width = 9.0, stand = "),
    )


def line_of(found, what):
    return next(line for line in found.lines if line.what == what)


def test_a_plan_against_itself_does_not_differ(tmp_path, strips):
    again = plan(tmp_path / "again.toml", STRIPS)
    found = compare([strips, again])
    assert found.names == ("strips", "again")
    assert [line.what for line in found.lines if line.differs] == []


def test_other_widths_differ_in_passes_and_not_in_the_field(strips, wider):
    found = compare([strips, wider])
    assert line_of(found, "passes of drill").differs
    assert not line_of(found, "field").differs
    assert found.field == "On paper"


def test_a_folder_is_compared_as_it_was_handed_over(tmp_path, strips):
    job = read(strips)
    layout = lay(job)
    write(job, layout, tmp_path / "out", told=tell(layout))
    found = compare([strips, tmp_path / "out"])
    assert found.names == ("strips", "out")
    assert [line.what for line in found.lines if line.differs] == []


def test_a_folder_keeps_its_season(tmp_path):
    seasons = '\n[[season]]\nyear = 2027\n[[season]]\nyear = 2028\ngrows = { A = "beans" }\n'
    two = plan(tmp_path / "two.toml", STRIPS + seasons)
    job = read(two)
    layout = lay(job, 2028)
    write(job, layout, tmp_path / "out", told=tell(layout))
    found = compare([two, tmp_path / "out"])
    assert found.seasons == (2027, 2028)
    assert line_of(found, "ground of maize").figures[1] is None


def test_plans_of_one_name_are_told_apart_by_their_folders(tmp_path, strips):
    outline(tmp_path / "other.geojson")
    other = plan(tmp_path / "next" / "strips.toml", STRIPS, "../other.geojson")
    assert compare([strips, other]).names == (f"{tmp_path.name}/strips", "next/strips")


def test_money_is_compared_where_a_plan_has_it(tmp_path, strips):
    priced = plan(tmp_path / "priced.toml", PRICED)
    found = compare([strips, priced])
    margin = line_of(found, "gross margin")
    assert margin.unit == "crown"
    assert margin.figures[0] is None
    assert margin.figures[1][0] > 0
    assert any("No prices" in note for note in found.notes)


def test_the_table_holds_every_figure(strips, wider):
    found = compare([strips, wider])
    rows = list(csv.DictReader(io.StringIO(comparison_csv(found))))
    assert len(rows) == len(found.lines)
    by_name = {row["what"]: row for row in rows}
    drilled = by_name["passes of drill"]
    assert drilled["differs"] == "yes"
    assert float(drilled["strips least"]) == line_of(found, "passes of drill").figures[0][0]


def test_the_object_is_json_without_gaps(strips, wider):
    told = json.loads(json.dumps(comparison_dict(compare([strips, wider])), allow_nan=False))
    assert [one["name"] for one in told["plans"]] == ["strips", "wider"]
    assert {"part", "what", "unit", "differs", "figures"} == set(told["lines"][0])


def test_units_are_those_of_the_first_plans_farm(tmp_path, strips):
    acres = plan(tmp_path / "acres.toml", STRIPS + '\n[farm]\nunits = "imperial"\n')
    assert compare([acres, strips]).units.name == "imperial"
    assert compare([strips, acres]).units.name == "metric"


def test_one_plan_is_no_comparison(strips):
    with pytest.raises(PlanError, match="nothing to hold it against"):
        compare([strips])


def test_other_fields_are_refused(tmp_path, strips):
    outline(tmp_path / "far.geojson", east=4.5e-4)  # moved by half its width: a third is shared
    other = plan(tmp_path / "far.toml", STRIPS, "far.geojson")
    with pytest.raises(PlanError, match="share 33 % of their land"):
        compare([strips, other])


def test_other_money_is_refused(tmp_path):
    one = plan(tmp_path / "one.toml", PRICED)
    other = plan(tmp_path / "other.toml", PRICED.replace('coin = "crown"', 'coin = "franc"'))
    with pytest.raises(PlanError, match="one reckons in crown, other in franc"):
        compare([one, other])


def test_a_folder_of_something_else_is_refused(tmp_path, strips):
    (tmp_path / "photos").mkdir()
    with pytest.raises(FileError, match="photos is no folder that was handed over"):
        compare([strips, tmp_path / "photos"])


def test_a_broken_summary_is_refused(tmp_path, strips):
    job = read(strips)
    layout = lay(job)
    write(job, layout, tmp_path / "out", told=tell(layout))
    (tmp_path / "out" / "summary.json").write_text("[1, 2", "utf-8")
    with pytest.raises(FileError, match="not the summary"):
        compare([strips, tmp_path / "out"])
