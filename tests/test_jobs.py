"""Reading, resolving, laying, telling and writing, as every door does it."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest

import geolayout
from geolayout import jobs
from geolayout.errors import BoundaryError, FileError, LayoutError, MeasureError, PlanError
from geolayout.jobs.lines import earlier_plan, keep_lines, moved_lines
from geolayout.jobs.profiles import chosen_profile, laid_profiles, plan_profiles, profile_dict
from geolayout.jobs.writing import write
from geolayout.land.frames.frame import Frame
from geolayout.plan.start.starter import PRACTICES, StarterField

SAMPLES = Path(__file__).parents[1] / "sample_fields"
PLANS = Path(__file__).parent / "plans"
NAMES = ["pond_piece", "crooked_hedge", "two_halves", "wire_field"]
BOUNDARIES = ["pond_piece.geojson", "crooked_hedge.zip", "two_halves.gpkg", "wire_field.kml"]

FRAME = Frame(10.0, 52.0)


def ring(*corners):
    return FRAME.lonlat(np.array([*corners, corners[0]], dtype=float)).tolist()


def collection(geometry_type, coordinates):
    geometry = {"type": geometry_type, "coordinates": coordinates}
    feature = {"type": "Feature", "properties": {}, "geometry": geometry}
    return json.dumps({"type": "FeatureCollection", "features": [feature]})


PLAN = """schema = 1
[field]
boundary = "home.geojson"
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } } ]
[[stand]]
name = "beans"
sowing = [ { crop = "beans", spacing = 0.25 } ]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
"""


@pytest.fixture
def home(tmp_path):
    """A field of 120 m x 200 m, rows along its long side, and a plan beside it."""
    corners = ring((-60, -100), (60, -100), (60, 100), (-60, 100))
    (tmp_path / "home.geojson").write_text(collection("Polygon", [corners]), encoding="utf-8")
    (tmp_path / "home.toml").write_text(PLAN, encoding="utf-8")
    return tmp_path


def with_plan(home, text):
    (home / "home.toml").write_text(text, encoding="utf-8")
    return jobs.read(home / "home.toml")


# Reading


@pytest.mark.parametrize("name", NAMES)
def test_every_sample_plan_is_read_with_all_it_names(name):
    job = jobs.read(SAMPLES / f"{name}.toml")
    assert job.field is not None
    assert "invented" in job.field.name
    assert len(job.field.features) >= len(job.plan.features)
    assert job.text == (SAMPLES / f"{name}.toml").read_bytes().decode()


def test_a_plan_without_boundary_is_read_and_not_laid():
    job = jobs.read(PLANS / "strips.toml")
    assert job.field is None
    with pytest.raises(PlanError, match=r"strips\.toml names no boundary"):
        jobs.lay(job)


def test_line_ends_and_mark_of_the_users_plan_are_kept(home):
    data = b"\xef\xbb\xbf" + PLAN.replace("\n", "\r\n").encode()
    (home / "home.toml").write_bytes(data)
    assert jobs.read(home / "home.toml").text.encode() == data


def test_a_plan_may_stand_elsewhere_than_where_it_is_read_from(home, monkeypatch):
    """Names are relative to the plan, not to the current folder."""
    monkeypatch.chdir(home.parent)
    assert jobs.read(Path(home.name) / "home.toml").field is not None


def test_the_name_in_the_plan_wins_over_that_of_the_file(home):
    job = with_plan(home, PLAN.replace("[field]\n", '[field]\nname = "Long Acre (invented)"\n'))
    assert job.land.name == "Long Acre (invented)"


FEATURE = """[[feature]]
kind = "ditch"
source = "ditch.geojson"
half_width = 1.0
keep_clear = 2.0
measured_from = "top of bank"
"""


@pytest.mark.parametrize(
    ("metres", "match"),
    [
        pytest.param(1200.0, r"lies 1\.1 km from the field", id="more than a kilometre away"),
        pytest.param(3e6, r"lies [\d,]+\.\d km from the field", id="in another country"),
    ],
)
def test_a_feature_far_from_the_field_is_refused(home, metres, match):
    """The field ends at 60 m east: 1,200 m east is 1,140 m away."""
    line = FRAME.lonlat(np.array([(metres, 0.0), (metres, 10.0)])).tolist()
    (home / "ditch.geojson").write_text(collection("LineString", line), encoding="utf-8")
    with pytest.raises(BoundaryError, match=match):
        with_plan(home, PLAN + FEATURE)


def test_shapes_of_a_file_far_from_the_field_are_left_out(home):
    """One ditch at 60 m east, on the edge; one at 700 m, which is farther than 500 m."""
    lines = [FRAME.lonlat(np.array([(x, 0.0), (x, 10.0)])).tolist() for x in (60.0, 700.0)]
    features = [
        {"type": "Feature", "properties": {}, "geometry": {"type": "LineString", "coordinates": c}}
        for c in lines
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features})
    (home / "ditch.geojson").write_text(text, encoding="utf-8")
    job = with_plan(home, PLAN + FEATURE)
    assert len(job.land.features) == 1


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        pytest.param(
            ("Polygon", [ring((60, 0), (62, 0), (62, 9))]), "drawn edge", id="area: its edge"
        ),
        pytest.param(
            ("LineString", FRAME.lonlat(np.array([(60.0, 0), (60, 9)])).tolist()),
            "centre line",
            id="line: its middle",
        ),
    ],
)
def test_a_feature_that_does_not_say_is_measured_from(home, shape, words):
    (home / "it.geojson").write_text(collection(*shape), encoding="utf-8")
    job = with_plan(home, PLAN + '[[feature]]\nkind = "track"\nsource = "it.geojson"\n')
    assert [feature.measured_from for feature in job.land.features] == [words]


def test_lands_of_blocks_and_lines_of_guides_are_read(home):
    corners = ring((-60, 0), (60, 0), (60, 100), (-60, 100))
    (home / "north.geojson").write_text(collection("Polygon", [corners]), encoding="utf-8")
    line = FRAME.lonlat(np.array([(-20.0, -90.0), (-20.0, 90.0)])).tolist()
    (home / "line.geojson").write_text(collection("LineString", line), encoding="utf-8")
    blocks = """[[block]]
name = "north"
land = "north.geojson"
pattern = "strips"
guide = { line = "line.geojson", from = "west" }
[[block]]
name = "south"
rest = true
pattern = "strips"
"""
    job = with_plan(home, PLAN + blocks)
    assert job.drawn.lands["north"].area == pytest.approx(12000.0, rel=1e-6)
    layout = jobs.lay(job)
    assert [block.name for block in layout.blocks] == ["north", "south"]
    # t = 0 on the line, 20 m west of the middle: bands begin there
    assert layout.blocks[0].guides.x == pytest.approx(-20.0, abs=1e-3)


@pytest.mark.parametrize("kind", ["land", "line"])
def test_a_file_of_the_wrong_shape_is_refused(home, kind):
    (home / "it.geojson").write_text(
        collection("Point", FRAME.lonlat(np.array([(0.0, 0.0)]))[0].tolist()), encoding="utf-8"
    )
    text = PLAN + '[[block]]\nname = "n"\npattern = "strips"\nland = "it.geojson"\n'
    if kind == "line":
        text = PLAN.replace("bearing = 0.0", 'line = "it.geojson"')
    with pytest.raises(BoundaryError, match=f"holds no {'area' if kind == 'land' else 'line'}"):
        with_plan(home, text)


# Laying


def test_a_field_on_paper(home):
    """120 m / 6 m = 20 bands; 10 of maize with 8 rows, 10 of beans with 24: 320 rows of 200 m."""
    layout = jobs.lay(with_plan(home, PLAN))
    assert layout.ground.bands == 20
    assert layout.rows.rows == 320
    assert layout.rows.length.sum() == pytest.approx(64_000, rel=1e-5)


def test_resolving_first_changes_nothing(home):
    job = with_plan(home, PLAN)
    resolved = jobs.resolve(job)
    assert resolved.resolved is not None
    assert resolved.resolved.guide.resolved
    assert jobs.resolve(resolved).resolved is resolved.resolved
    first, second = jobs.lay(job), jobs.lay(resolved)
    assert (first.rows.t == second.rows.t).all()


def test_a_season_is_chosen_by_its_year(home):
    seasons = '[[season]]\nyear = 2027\n[[season]]\nyear = 2028\ngrows = { A = "beans" }\n'
    job = with_plan(home, PLAN + seasons)
    assert jobs.lay(job).season.year == 2027
    assert set(jobs.lay(job, 2028).ground.stand) == {"beans"}
    with pytest.raises(PlanError, match="Season 2030 is asked for"):
        jobs.lay(job, 2030)


TRIAL = PLAN.split("[[pattern]]", maxsplit=1)[0] + (
    '[[pattern]]\nname = "trial"\n[pattern.trial]\ntreatments = ["maize", "beans"]\n'
    "replicates = {n}\nplot_width = 12.0\nharvest_width = 6.0\n"
)


def test_a_trial_is_laid_in_whole_plots(home):
    """2 treatments x 5 replicates x 12 m = 120 m, the whole field."""
    layout = jobs.lay(with_plan(home, TRIAL.replace("{n}", "5")))
    assert sorted(set(layout.ground.band)) == [
        f"{treatment} {n}" for treatment in ("beans", "maize") for n in range(1, 6)
    ]


def test_a_trial_that_lacks_a_plot_is_refused(home):
    """2 x 6 x 12 = 144 m do not fit into 120 m: 10 plots do."""
    with pytest.raises(LayoutError, match=r"12 plots of 12 m, 144 m in all, .* takes 10 of them"):
        jobs.lay(with_plan(home, TRIAL.replace("{n}", "6")))


@pytest.mark.parametrize(
    ("rate", "match"),
    [
        pytest.param(
            "plants_per_ha = 80000000",
            "80,000,000 plants/ha",
            id="maize a thousand times the usual",
        ),
        pytest.param("plants_per_ha = 80.0", "at 80 plants/ha", id="maize a thousandth"),
        pytest.param("kg_per_ha = 25000", "25,000 kg/ha", id="grams for kilograms"),
        pytest.param("seeds_per_m2 = 80000", "80,000 seeds/m2", id="a hectare's for a metre's"),
    ],
)
def test_an_implausible_rate_is_refused_unless_accepted(home, rate, match):
    job = with_plan(home, PLAN.replace("plants_per_ha = 80000", rate))
    with pytest.raises(MeasureError, match=f"{match}.*--accept maize-rate"):
        jobs.lay(job)
    assert jobs.lay(job, accepted=["maize-rate"]).rows.rows == 320


# Lines laid before


def laid_folder(home, text, name="out"):
    job = with_plan(home, text)
    layout = jobs.lay(job)
    write(job, layout, home / name)
    return home / name


@pytest.mark.parametrize(
    ("change", "said"),
    [
        pytest.param('from = "west"\nstart = 0.0', [], id="the same lines"),
        pytest.param('from = "west"\nstart = 0.005', [], id="half a centimetre is nothing"),
        pytest.param(
            'from = "west"\nstart = 0.35',
            ["The lines move 0.35 m to the east."],
            id="moved by their start",
        ),
        pytest.param(
            'from = "east"', ["The lines move 120.00 m to the east."], id="counted from over there"
        ),
    ],
)
def test_moved_lines_are_told_to_the_centimetre(home, change, said):
    folder = laid_folder(home, PLAN)
    job = jobs.resolve(with_plan(home, PLAN.replace('from = "west"', change)))
    earlier = earlier_plan(folder)
    assert list(moved_lines(job, earlier)) == said


def test_turned_lines_are_told(home):
    folder = laid_folder(home, PLAN)
    job = jobs.resolve(with_plan(home, PLAN.replace("bearing = 0.0", "bearing = 0.5")))
    (said,) = moved_lines(job, earlier_plan(folder))
    assert "turn by +0.500 degrees" in said


def test_kept_lines_lie_where_they_lay(home):
    """The start moves by 35 cm, the kept lines do not, and numbers stay."""
    folder = laid_folder(home, PLAN)
    before = jobs.lay(with_plan(home, PLAN))
    job = with_plan(home, PLAN.replace('from = "west"', 'from = "west"\nstart = 0.35'))
    kept = jobs.lay(keep_lines(job, earlier_plan(folder)))
    assert np.abs(kept.rows.lines.xy - before.rows.lines.xy).max() < 1e-6
    assert (kept.rows.number == before.rows.number).all()


def test_a_resurveyed_corner_moves_no_kept_line(home):
    folder = laid_folder(home, PLAN)
    before = jobs.lay(with_plan(home, PLAN))
    corners = ring((-60.4, -100), (60, -100), (60, 100), (-60, 100))
    (home / "home.geojson").write_text(collection("Polygon", [corners]), encoding="utf-8")
    job = jobs.read(home / "home.toml")
    assert moved_lines(jobs.resolve(job), earlier_plan(folder))
    kept = jobs.lay(keep_lines(job, earlier_plan(folder)))
    # the frame is centred on the field anew, so places are compared on the earth
    a = before.field.frame.lonlat(before.rows.lines.xy[-1:])
    b = kept.field.frame.lonlat(kept.rows.lines.xy[-1:])
    assert np.abs(a - b)[0, 0] * 68_000 < 1e-3  # metres of longitude at 52 N


def test_a_folder_without_plan_has_no_earlier_lines(tmp_path):
    assert earlier_plan(tmp_path / "nothing") is None


# Writing


@pytest.mark.parametrize("name", NAMES)
def test_a_folder_runs_again_from_its_own_files(name, tmp_path):
    job = jobs.read(SAMPLES / f"{name}.toml")
    layout = jobs.lay(job)
    files = write(job, layout, tmp_path / "out")
    moved = tmp_path / "elsewhere"
    shutil.move(tmp_path / "out", moved)
    again = jobs.lay(jobs.read(moved / "plan_resolved.toml"))
    assert again.ground.bands == layout.ground.bands
    assert again.rows.rows == layout.rows.rows
    assert len(again.trees) == len(layout.trees)
    assert again.passes.passes == layout.passes.passes
    assert again.ground.area.sum() == pytest.approx(layout.ground.area.sum(), rel=1e-9)
    assert "summary.json" in files


# Sections


def test_the_section_on_a_field_is_that_of_the_layout(home):
    job = with_plan(home, PLAN)
    layout = jobs.lay(job)
    (named,) = laid_profiles(job.plan, layout)
    assert named.profile.section == layout.blocks[0].section
    assert len(named.profile.rows.t) == 320
    found = profile_dict(named)
    assert json.loads(json.dumps(found)) == found
    assert sum(len(rows["at_m"]) for cut in found["cuts"] for rows in cut["rows"]) == 320


def test_the_section_without_field_is_one_repeat():
    (named,) = plan_profiles(jobs.read_plan(PLANS / "strips.toml"), None, None)
    assert [cut.width for cut in named.profile.section.cuts] == [6.0, 6.0]


def test_a_pattern_that_closes_with_a_band_is_shown_closed():
    (named,) = plan_profiles(jobs.read_plan(PLANS / "alleys.toml"), None, None)
    assert [cut.width for cut in named.profile.section.cuts] == [24.0, 3.0, 24.0]


def test_the_order_of_a_trial_belongs_to_its_section():
    (named,) = plan_profiles(jobs.read_plan(PLANS / "trial.toml"), None, None)
    assert len(named.notes) == 4
    assert all("(seed 7)" in note for note in named.notes)


def test_a_span_that_ends_before_the_first_band_is_refused():
    plan = jobs.read_plan(PLANS / "strips.toml")
    guide = plan.guide.model_copy(update={"start": 5.0})
    with pytest.raises(MeasureError, match="the first band begins at 5 m"):
        plan_profiles(plan.model_copy(update={"guide": guide}), None, 4.0)


def test_a_block_is_chosen_by_its_name():
    profiles = plan_profiles(jobs.read_plan(PLANS / "two_blocks.toml"), None, None)
    assert chosen_profile(profiles, "south").block == "south"
    with pytest.raises(PlanError, match="Did you mean 'south'"):
        chosen_profile(profiles, "soth")


# Plans to begin with


@pytest.mark.parametrize("boundary", BOUNDARIES)
@pytest.mark.parametrize("practice", PRACTICES)
def test_a_plan_to_begin_with_parses_and_lays(practice, boundary, tmp_path):
    text = jobs.start(practice, SAMPLES / boundary, StarterField("", "", 0.0, 0.0), tmp_path)
    path = tmp_path / "begin.toml"
    jobs.save_new(path, text)
    layout = jobs.lay(jobs.read(path))
    assert layout.ground.bands > 0
    assert layout.plan.headland.where == "ends"
    assert len(layout.rows) > 0
    assert (len(layout.trees) > 0) == (practice in ("alleys", "windbreak"))


def test_a_small_field_gets_a_narrower_headland(tmp_path):
    """30 m x 40 m: 2 x 18 m of headland would leave 4 m of rows, but strips still fit across."""
    corners = ring((-15, -20), (15, -20), (15, 20), (-15, 20))
    path = tmp_path / "small.geojson"
    path.write_text(collection("Polygon", [corners]), encoding="utf-8")
    text = jobs.start("strips", path, StarterField("", "", 0.0, 0.0), tmp_path)
    jobs.save_new(tmp_path / "small.toml", text)
    layout = jobs.lay(jobs.read(tmp_path / "small.toml"))
    assert layout.ground.bands == 5  # 30 m / 6 m


def test_a_plan_to_begin_with_overwrites_nothing(tmp_path):
    (tmp_path / "plan.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(FileError, match="is there already"):
        jobs.save_new(tmp_path / "plan.toml", "schema = 1\n")
    assert (tmp_path / "plan.toml").read_text(encoding="utf-8") == "mine"


def test_a_name_with_quotes_is_written_as_it_is(home):
    wish = StarterField('The "Long" \\ Acre $x', "", 0.0, 0.0)
    text = jobs.start("strips", home / "home.geojson", wish, home)
    assert geolayout.parse_plan(text).field.name == 'The "Long" \\ Acre $x'


def test_rows_run_along_the_longest_edge(home):
    """120 m x 200 m with its long sides north to south: 0 degrees."""
    text = jobs.start("strips", home / "home.geojson", StarterField("", "", 0.0, 0.0), home)
    guide = geolayout.parse_plan(text).guide
    assert min(guide.bearing, 180 - guide.bearing) < 0.005
    assert guide.from_ in ("west", "east")


# The package itself


def test_public_names_are_sorted_few_and_there():
    assert geolayout.__all__ == sorted(geolayout.__all__)
    assert len(geolayout.__all__) <= 30
    assert all(getattr(geolayout, name) is not None for name in geolayout.__all__)
    assert set(geolayout.__all__) <= set(dir(geolayout))


def test_an_unknown_name_is_no_attribute():
    with pytest.raises(AttributeError, match="no attribute 'lya'"):
        geolayout.lya  # noqa: B018
