"""A plan written is the plan read, and a resolved plan runs from its own folder."""

import json
from dataclasses import replace

import pytest
import shapely
from sample_layouts import PLAN_FOLDER, SAMPLE_FOLDER, SAMPLES, paper_layout, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.planfile import plan_toml, portable
from geolayout.jobs import lay, read
from geolayout.land.field import make_field
from geolayout.land.weather.file import weather_table
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_farm, parse_plan

FARM = parse_farm((SAMPLE_FOLDER / "farm.toml").read_text(encoding="utf-8"))
PLANS = [
    path
    for folder in (PLAN_FOLDER, SAMPLE_FOLDER)
    for path in sorted(folder.glob("*.toml"))
    if not path.name.endswith(".expected.toml") and "\nschema = 1" in "\n" + path.read_text("utf-8")
]

BLOCKS = """
schema = 1
[guide]
line = "elsewhere.geojson"
from = "west"
[[stand]]
name = "oats"
sowing = [ { crop = "oats", spacing = 0.125 } ]
[[pattern]]
name = "oats"
bands = [ { name = "A", width = 6.0, stand = "oats" } ]
[[block]]
name = "west"
land = "west.geojson"
pattern = "oats"
guide = { bearing = 0.0, from = "west" }
[[block]]
name = "rest"
rest = true
pattern = "oats"
guide = { bearing = 90.0, from = "south" }
"""


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_every_plan_comes_back_as_it_was(path):
    plan = parse_plan(path.read_text(encoding="utf-8"), farm=FARM)
    text = plan_toml(plan)
    assert parse_plan(text) == plan
    assert plan_toml(parse_plan(text)) == text


def test_only_what_was_given_is_written():
    text = plan_toml(sample_layout("two_halves").plan)
    assert text.startswith("schema = 1\n")
    assert "corners" not in text
    assert "None" not in text


def test_a_day_stays_a_day():
    text = plan_toml(sample_layout("wire_field").plan)
    assert "date = 2027-01-15\n" in text


@pytest.mark.parametrize("name", SAMPLES)
def test_a_portable_plan_gives_the_same_layout_from_its_own_folder(name, tmp_path):
    layout = sample_layout(name)
    plan, files = portable(layout.plan, layout.field, Drawn())
    for inner, data in files.items():
        (tmp_path / inner).write_bytes(data)
    (tmp_path / "again.toml").write_text(plan_toml(plan), encoding="utf-8")
    again = lay(read(tmp_path / "again.toml"))
    assert again.field.area == layout.field.area
    assert again.field.frame == layout.field.frame
    assert again.field.name == layout.field.name
    assert len(again.rows) == len(layout.rows)
    assert len(again.trees) == len(layout.trees)
    assert again.passes.passes == layout.passes.passes
    assert again.ground.area == pytest.approx(layout.ground.area, abs=1e-4)
    assert [f.kind for f in again.field.features] == [f.kind for f in layout.field.features]


def test_files_named_are_files_given():
    layout = sample_layout("wire_field")
    plan, files = portable(layout.plan, layout.field, Drawn())
    named = {plan.field.boundary, *(feature.source for feature in plan.features)}
    assert named == set(files)
    assert plan.field.farm is None


def test_the_land_of_a_block_goes_along_and_the_common_guide_stays_behind():
    field = paper_layout().field
    land = shapely.box(-30.0, -60.0, 0.0, 60.0)
    drawn = Drawn({"west": land})
    resolved = resolve_guides(parse_plan(BLOCKS), field, drawn)
    plan, files = portable(resolved, field, drawn)
    assert plan.guide is None
    assert [block.land for block in plan.blocks] == ["block_1.geojson", None]
    shape = shapely.from_geojson(files["block_1.geojson"].decode())
    back = field.frame.to_local(shapely.get_parts(shape)[0])
    assert back.symmetric_difference(land).area < 1e-3
    again = lay_out(field, parse_plan(plan_toml(plan)), None, Drawn({"west": back}))
    assert again.ground.area.sum() == pytest.approx(field.land.area, rel=1e-9)


def test_the_outline_is_written_in_full():
    boundary = shapely.Polygon([(10 + 1 / 3e3, 50), (10.003, 50), (10.003, 50 + 1 / 7e2)])
    field = make_field(boundary, name="Third (invented)")
    _, files = portable(paper_layout().plan, field, Drawn())
    found = shapely.from_geojson(files["field.geojson"].decode())
    assert shapely.equals_exact(
        shapely.normalize(shapely.get_parts(found)[0]), shapely.normalize(field.boundary), 0.0
    )
    data = json.loads(files["field.geojson"])
    assert "crs" not in data
    assert data["features"][0]["properties"] == {"name": "Third (invented)"}


KEPT = """
[[feature]]
kind = "gateway"
at = [10.0, 0.0005]
width = 4.2
room = 0.4
[[feature]]
kind = "tree"
name = "old oak"
at = [10.0, 0.0]
radius = 5.0
[[feature]]
kind = "hedge"
points = [[9.9995, 0.0], [9.9997, 0.0002]]
[[consent]]
feature = "old oak"
owner = "the council (invented)"
for_what = "ploughing under its crown"
asked = 2027-01-08
answer = "none yet"
"""


@pytest.fixture
def kept(tmp_path):
    """Give a plan beside its field that names features, a country and a consent."""
    corners = [[9.9995, -0.001], [10.0005, -0.001], [10.0005, 0.001], [9.9995, 0.001]]
    boundary = {"type": "Polygon", "coordinates": [[*corners, corners[0]]]}
    (tmp_path / "home.geojson").write_text(json.dumps(boundary))
    bands = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "none" } ]\n'
    field = '[field]\nboundary = "home.geojson"\ncountry = "England"\n'
    guide = '[guide]\nbearing = 0.0\nfrom = "west"\n'
    path = tmp_path / "plan.toml"
    path.write_text("schema = 1\n" + field + guide + bands + KEPT)
    return path


def test_whatever_a_feature_has_goes_along(kept, tmp_path):
    first = lay(read(kept))
    plan, files = portable(first.plan, first.field, Drawn())
    folder = tmp_path / "alone"
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    (folder / "plan.toml").write_text(plan_toml(plan), encoding="utf-8")
    again = lay(read(folder / "plan.toml"))

    def told(layout):
        return [
            (f.kind, f.name, f.radius, f.width, f.room, f.default_from, f.keep_clear)
            for f in layout.field.features
        ]

    assert told(again) == told(first)
    assert told(again)[2][5] == "England 2024"
    assert again.plan.field.country == "England"
    assert again.plan.consents == first.plan.consents
    assert cautions(again) == cautions(first)


def test_a_consent_for_what_is_far_away_stays_behind(kept):
    layout = lay(read(kept))
    field = replace(layout.field, features=())
    plan, _ = portable(layout.plan, field, Drawn())
    assert plan.consents == ()


def test_the_weather_comes_along_to_the_last_digit():
    text = "date,tmin_f,tmax_f\n2028-05-01,41,59.3\n2028-05-04,45,70\n"
    weather = weather_table(text.encode(), "station.csv")
    layout = paper_layout()
    field = replace(layout.field, weather=weather)
    plan, files = portable(layout.plan, field, Drawn())
    again = weather_table(files["weather.csv"], "again", unit=plan.field.weather_unit)
    assert plan.field.weather == "weather.csv"
    assert again.low.tolist() == weather.low.tolist()
    assert again.high.tolist() == weather.high.tolist()
    assert again.days.tolist() == weather.days.tolist()


def test_usual_temperatures_come_along_beside_the_record():
    weather = weather_table(b"date,tmin_c,tmax_c\n2028-05-01,5.1,15.2\n", "station.csv")
    usual = weather_table(b"date,tmin_c,tmax_c\n2001-05-02,4.25,16.125\n", "normals.csv")
    layout = paper_layout()
    field = replace(layout.field, weather=weather, usual_weather=usual)
    plan, files = portable(layout.plan, field, Drawn())
    assert (plan.field.weather, plan.field.weather_usual) == ("weather.csv", "weather_usual.csv")
    again = weather_table(files["weather_usual.csv"], "again")
    assert (again.low.tolist(), again.high.tolist()) == ([4.25], [16.125])
    assert again.days.tolist() == usual.days.tolist()
