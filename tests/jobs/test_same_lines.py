"""The same lines next year: saved, shifted, read again, in the right frame."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from pyproj import Geod
from sample_layouts import SAMPLE_FOLDER, SAMPLES, sample_layout
from strategies import real_fields

from geolayout import jobs
from geolayout.appraisal.frames import frame_cautions
from geolayout.errors import BoundaryError, FileError, PlanError
from geolayout.handover.files.reference import reference_text
from geolayout.jobs import Job
from geolayout.jobs.guidelines import guide_lines
from geolayout.jobs.lines import lines_text
from geolayout.jobs.newfile import save_lines
from geolayout.jobs.writing import write
from geolayout.land.frames.frame import Frame
from geolayout.land.frames.references import Reference
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.parse import parse_plan

FRAME = Frame(7.0, 48.0)
GEOD = Geod(ellps="WGS84")

PLAN = """schema = 1
[field]
boundary = "home.geojson"
[guide]
bearing = 12.5
from = "west"
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
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
CORNERS = ((-60, -100), (60, -100), (60, 100), (-60, 100))

NINE_DECIMALS = 2e-4
"""Half of the last of nine decimals at each end is 0.06 mm; over the length of a row 0.2. [m]"""


def draw(folder, corners=CORNERS):
    ring = FRAME.lonlat(np.array([*corners, corners[0]], dtype=float)).tolist()
    shape = {"type": "Polygon", "coordinates": [ring]}
    feature = {"type": "Feature", "properties": {}, "geometry": shape}
    (folder / "home.geojson").write_text(json.dumps(feature), encoding="utf-8")


@pytest.fixture
def home(tmp_path):
    """A field of 120 m x 200 m and a plan beside it."""
    draw(tmp_path)
    (tmp_path / "home.toml").write_text(PLAN, encoding="utf-8")
    return tmp_path


def laid(home, text, name="plan.toml"):
    (home / name).write_text(text, encoding="utf-8")
    return jobs.lay(jobs.read(home / name))


def along(text, keys=""):
    """The plan along a saved line instead of its bearing."""
    return text.replace('bearing = 12.5\nfrom = "west"', f'line = "saved.geojson"\n{keys}')


def saved(home, **wish):
    path = home / "saved.geojson"
    path.unlink(missing_ok=True)
    save_lines(path, lines_text(home / "home.toml", **wish))
    return json.loads(path.read_text(encoding="utf-8"))["features"]


def rewritten(home, **properties):
    """Change what stands beside the saved line."""
    path = home / "saved.geojson"
    data = json.loads(path.read_text(encoding="utf-8"))
    data["features"][0]["properties"].update(properties)
    path.write_text(json.dumps(data), encoding="utf-8")


def apart(one, other):
    """
    How far across any row of the other layout lies from the nearest row of the one. [m]

    Along a row its ends are where the edge is, and a slanting edge is met somewhere else by a row
    that lies a hair beside: across is what lines are kept for.
    """
    worst = 0.0
    for index, block in enumerate(one.blocks):
        lines = other.rows.lines.geometry[other.rows.block == index]
        ends = other.field.frame.lonlat(shapely.get_coordinates(lines))
        t = block.guides.across(one.field.frame.metres(ends))
        known = np.sort(one.rows.t[one.rows.block == index])
        after = np.clip(np.searchsorted(known, t), 1, len(known) - 1)
        nearest = np.minimum(np.abs(t - known[after - 1]), np.abs(t - known[after]))
        worst = max(worst, float(nearest.max()))
    return worst


# Saved and read again


def test_a_saved_line_lays_the_same_rows_with_the_same_numbers(home):
    before = jobs.lay(jobs.read(home / "home.toml"))
    saved(home)
    after = laid(home, along(PLAN))
    assert apart(before, after) < NINE_DECIMALS
    bands = [
        [(cut.band, cut.number) for cut in layout.blocks[0].section.cuts]
        for layout in (before, after)
    ]
    assert bands[0] == bands[1]
    guide = after.plan.guide
    assert (guide.from_, guide.number_at_anchor) == ("west", before.plan.guide.number_at_anchor)


@pytest.mark.parametrize("name", SAMPLES)
def test_sample_plans_lie_along_their_own_saved_lines_again(name, tmp_path):
    before = sample_layout(name)
    (tmp_path / "line.geojson").write_text(reference_text(before), encoding="utf-8")
    text = (SAMPLE_FOLDER / f"{name}.toml").read_text("utf-8")
    job = jobs.read(SAMPLE_FOLDER / f"{name}.toml")
    guide = job.plan.guide.model_validate({"line": "line.geojson"})
    plan = job.plan.model_copy(update={"guide": guide})
    lines, said = guide_lines(plan, tmp_path, job.land)
    after = jobs.lay(Job(job.path, text, plan, job.field, Drawn({}, lines, said)))
    assert apart(before, after) < NINE_DECIMALS
    assert len(after.rows) == len(before.rows)
    assert len(after.trees) == len(before.trees)


def test_real_fields_lie_along_their_own_saved_lines_again(tmp_path):
    """On fields of any shape the rows lie where they lay; only slivers at an edge may differ."""
    compared = 0
    for field in real_fields(25, seed=18):
        plan = parse_plan(PLAN.replace('boundary = "home.geojson"', ""))
        job = Job(Path("p.toml"), "", plan, field, Drawn())
        before = jobs.lay(job)
        (tmp_path / "line.geojson").write_text(reference_text(before), encoding="utf-8")
        guide = plan.guide.model_validate({"line": "line.geojson"})
        again = plan.model_copy(update={"guide": guide})
        lines, said = guide_lines(again, tmp_path, field)
        after = jobs.lay(replace(job, plan=again, drawn=Drawn({}, lines, said)))
        assert apart(before, after) < NINE_DECIMALS
        compared += 1
    assert compared == 25


def test_a_resurveyed_corner_moves_no_row(home):
    """The near corner, in the north-west, now lies 3 m farther out: the saved line holds rows."""
    before = jobs.lay(jobs.read(home / "home.toml"))
    saved(home)
    draw(home, (*CORNERS[:3], (-63, 102)))
    after = laid(home, along(PLAN))
    assert apart(after, before) < NINE_DECIMALS
    moved = laid(home, PLAN)
    assert apart(moved, before) > 0.1  # without the line they do move


def test_the_line_reaches_across_the_land_and_bears_as_it_says(home):
    (feature,) = saved(home)
    (x, y), (lon, lat) = feature["geometry"]["coordinates"]
    azimuth, _, length = GEOD.inv(x, y, lon, lat)
    told = feature["properties"]
    assert azimuth == pytest.approx(told["true_bearing"], abs=1e-3)
    assert length == pytest.approx(told["length_m"], abs=1e-3)
    # the land reaches 200 cos 12.5 + 120 sin 12.5 = 221.23 m along the rows, and 1 m at each end
    assert told["length_m"] == pytest.approx(221.23 + 2.0, abs=0.01)
    assert told["frame"] is None
    assert told["grid_bearing"] is None


# Shifted


@pytest.mark.parametrize("shift", [3.0, -4.5, 24.0])
def test_a_shift_is_square_to_the_line_and_away_from_the_near_side(home, shift):
    (line,), (moved,) = (
        [
            FRAME.metres(np.array(feature["geometry"]["coordinates"]))
            for feature in saved(home, shift=by)
        ]
        for by in (0.0, shift)
    )
    step = moved - line
    # rows run 12.5 degrees from north; away from the west is the bearing 102.5
    away = np.radians(102.5)
    assert step @ [np.sin(away), np.cos(away)] == pytest.approx([shift, shift], abs=1e-3)


@pytest.mark.parametrize("shift", [3.0, -4.5, 24.0])
def test_shifted_and_started_back_is_the_same_line_to_a_millimetre(home, shift):
    before = jobs.lay(jobs.read(home / "home.toml"))
    (feature,) = saved(home, shift=shift)
    assert feature["properties"]["number_at_anchor"] is None
    after = laid(home, along(PLAN, f"start = {-shift}"))
    assert apart(before, after) < 1e-3


def test_a_shift_off_the_farm_is_refused(home):
    with pytest.raises(PlanError, match="on another farm"):
        lines_text(home / "home.toml", shift=1e5)
    with pytest.raises(PlanError, match="on another farm"):
        lines_text(home / "home.toml", shift=float("nan"))


# Folders, blocks, names


def test_a_folder_gives_the_line_that_its_plan_gives_and_holds_it(home):
    job = jobs.read(home / "home.toml")
    files = write(job, jobs.lay(job), home / "out")
    assert "reference_line.geojson" in files
    text = lines_text(home / "home.toml")
    assert (home / "out" / "reference_line.geojson").read_text("utf-8") == text
    assert lines_text(home / "out") == text


BLOCKS = """
[[block]]
name = "north"
part = { side = "north", width = 60.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
guide = { bearing = 102.5, from = "south" }
"""


def test_each_block_has_a_line_and_a_guide_chooses_one(home):
    (home / "home.toml").write_text(PLAN + BLOCKS, encoding="utf-8")
    before = jobs.lay(jobs.read(home / "home.toml"))
    features = saved(home)
    assert [feature["properties"]["block"] for feature in features] == ["north", "south"]
    text = along(PLAN + BLOCKS, 'line_name = "north"').replace(
        'bearing = 102.5, from = "south"', 'line = "saved.geojson", line_name = "south"'
    )
    assert apart(before, laid(home, text)) < NINE_DECIMALS
    with pytest.raises(PlanError, match="holds 2 lines"):
        laid(home, along(PLAN))
    with pytest.raises(PlanError, match=r"0 lines of saved\.geojson are called 'east'"):
        laid(home, along(PLAN, 'line_name = "east"'))


def test_one_block_is_saved_by_name_and_named(home):
    (home / "home.toml").write_text(PLAN + BLOCKS, encoding="utf-8")
    (feature,) = saved(home, block="south", name="long side")
    assert feature["properties"]["name"] == "long side"
    with pytest.raises(PlanError, match="2 blocks and one name"):
        lines_text(home / "home.toml", name="both")
    with pytest.raises(PlanError, match="Did you mean 'north'"):
        lines_text(home / "home.toml", block="nort")


@pytest.mark.parametrize(
    ("source", "error", "match"),
    [
        pytest.param("", FileError, "holds no plan_resolved.toml", id="a folder of another kind"),
        pytest.param("none.toml", FileError, "cannot be read", id="no plan there"),
    ],
)
def test_what_has_no_lines_is_refused(home, source, error, match):
    with pytest.raises(error, match=match):
        lines_text(home / source)


def test_saved_lines_are_never_written_over(home):
    saved(home)
    with pytest.raises(FileError, match="is there already"):
        save_lines(home / "saved.geojson", "")
    with pytest.raises(FileError, match="cannot be written"):
        save_lines(home / "nowhere" / "saved.geojson", "")


def test_a_line_of_another_farm_is_refused(home):
    saved(home)
    data = json.loads((home / "saved.geojson").read_text("utf-8"))
    data["features"][0]["geometry"]["coordinates"] = [[8.0, 48.0], [8.0, 48.01]]
    (home / "saved.geojson").write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(BoundaryError, match="km from the field"):
        laid(home, along(PLAN))


def test_what_another_program_wrote_beside_a_line_is_left_alone(home):
    saved(home)
    rewritten(home, **{"from": "the gate", "frame": "steel", "number_at_anchor": "one"})
    guide = laid(home, along(PLAN, 'from = "west"')).plan.guide
    assert guide.origin.frame is None
    assert guide.from_ == "west"


def test_a_plan_is_matched_by_its_bands_and_lines_not_by_its_name(home):
    match = saved(home)[0]["properties"]["plan_match"]
    (home / "home.toml").write_text("# another word\n" + PLAN, encoding="utf-8")
    assert saved(home)[0]["properties"]["plan_match"] == match
    (home / "home.toml").write_text(PLAN.replace("width = 6.0", "width = 12.0"), encoding="utf-8")
    assert saved(home)[0]["properties"]["plan_match"] != match


# Frames

ITRF = '[farm]\ncorrection = { frame = "ITRF2014", epoch = 2026.9 }\n'
ETRS = '[farm]\ncorrection = { frame = "ETRS89" }\n'


def codes(layout):
    return {caution.key: caution for caution in frame_cautions(layout)}


def test_a_saved_line_carries_the_frame_of_the_service(home):
    (home / "home.toml").write_text(PLAN + ITRF, encoding="utf-8")
    (feature,) = saved(home)
    told = feature["properties"]
    assert (told["frame"], told["epoch"]) == ("ITRF2014", 2026.9)
    assert codes(laid(home, along(PLAN) + ITRF)) == {}


def test_a_line_in_another_frame_is_told_with_distance_and_way_and_not_moved(home):
    before = jobs.lay(jobs.read(home / "home.toml"))
    (home / "home.toml").write_text(PLAN + ITRF, encoding="utf-8")
    saved(home)
    layout = laid(home, along(PLAN) + ETRS)
    caution = codes(layout)["line-in-another-frame"]
    assert caution.code == "W17"
    # practice notes, measured: 0.97 m, azimuth 226 at 48 N 7 E, epoch 2026.9
    assert caution.value == pytest.approx(0.97, abs=0.005)
    assert "by 0.97 m towards 226 degrees" in caution.sentence
    assert "to the north-east" in caution.sentence
    assert apart(before, layout) < NINE_DECIMALS


def test_a_line_is_carried_over_when_both_sides_are_stated_and_it_is_asked(home):
    before = jobs.lay(jobs.read(home / "home.toml"))
    (home / "home.toml").write_text(PLAN + ITRF, encoding="utf-8")
    saved(home)
    layout = laid(home, along(PLAN, "move_line = true") + ETRS)
    caution = codes(layout)["line-carried-over"]
    assert caution.value == pytest.approx(0.97, abs=0.005)
    assert layout.plan.guide.origin.frame == "ETRS89"
    lines = before.blocks[0].guides
    step = layout.field.frame.metres(np.array([layout.plan.guide.anchor]))[0] - [lines.x, lines.y]
    # 0.970 m towards 225.92 degrees, across rows of 12.5: 0.970 cos(225.92 - 102.5) = -0.534 m
    assert step @ lines.sideways == pytest.approx(-0.534, abs=0.002)


def test_a_folder_laid_again_says_the_same_of_its_line(home):
    (home / "home.toml").write_text(PLAN + ITRF, encoding="utf-8")
    saved(home)
    (home / "next.toml").write_text(along(PLAN) + ETRS, encoding="utf-8")
    job = jobs.read(home / "next.toml")
    layout = jobs.lay(job)
    write(job, layout, home / "out")
    again = jobs.lay(jobs.read(home / "out" / "plan_resolved.toml"))
    assert codes(again) == codes(layout)
    assert again.plan.farm == layout.plan.farm


@pytest.mark.parametrize(
    ("beside", "farm", "keys"),
    [
        pytest.param({}, "", {"correction-not-asked"}, id="nobody said anything"),
        pytest.param({}, ETRS, {"line-frame-not-said"}, id="the line says nothing"),
        pytest.param(
            {"frame": "ITRF2014"}, ETRS, {"line-frame-not-said"}, id="a frame without its epoch"
        ),
        pytest.param(
            {"frame": "ETRS89"},
            "",
            {"correction-not-asked", "line-frame-not-said"},
            id="the farm says nothing",
        ),
        pytest.param({"frame": "ETRF2000"}, ETRS, set(), id="two names of one frame"),
        pytest.param(
            {"frame": "ITRF2014", "epoch": 2026.9}, ITRF, set(), id="the same frame and epoch"
        ),
        pytest.param(
            {"frame": "ITRF2014", "epoch": 2024.0},
            ITRF,
            {"line-in-another-frame"},
            id="an older epoch: 2.9 years, 7 cm",
        ),
        pytest.param(
            {"frame": "ITRF2014", "epoch": 2025.9}, ITRF, set(), id="a year older: 2.5 cm"
        ),
        pytest.param(
            {"frame": "JGD2011"}, ETRS, {"line-in-another-frame"}, id="a way nobody knows"
        ),
    ],
)
@pytest.mark.parametrize("move", ["", "move_line = true"], ids=["", "moving asked for"])
def test_nothing_is_moved_unless_both_sides_are_stated(home, beside, farm, keys, move):
    before = jobs.lay(jobs.read(home / "home.toml"))
    saved(home)
    rewritten(home, **beside)
    if move and keys == {"line-in-another-frame"}:
        return  # that is moved, or refused where no way is known
    layout = laid(home, along(PLAN, move) + farm)
    found = codes(layout)
    if move and "epoch" in beside:
        assert set(found) <= {"line-carried-over"}
        return
    assert set(found) - {"line-carried-over"} == keys
    assert apart(before, layout) < NINE_DECIMALS


def test_a_line_that_nobody_can_carry_over_is_refused_when_asked_for(home):
    saved(home)
    rewritten(home, frame="JGD2011")
    with pytest.raises(PlanError, match="No way between the two is known here"):
        laid(home, along(PLAN, "move_line = true") + ETRS)


def test_what_a_line_is_fixed_to_is_handed_on(home):
    """Saved, carried over and saved again, it is in the frame that it was carried to."""
    (home / "home.toml").write_text(PLAN + ITRF, encoding="utf-8")
    saved(home)
    layout = laid(home, along(PLAN, "move_line = true") + ETRS)
    (feature,) = json.loads(reference_text(layout))["features"]
    assert feature["properties"]["frame"] == "ETRS89"
    _, said = guide_lines(layout.plan, home, layout.field)
    assert said == {}
    assert Reference("ETRS89").words == "ETRS89"


def test_the_file_is_geojson_by_rfc_7946(home):
    text = lines_text(home / "home.toml")
    data = json.loads(text)
    assert set(data) == {"type", "features"}  # no crs member
    ((lon, lat), _) = data["features"][0]["geometry"]["coordinates"]
    assert (abs(lon - 7.0) < 0.01, abs(lat - 48.0) < 0.01) == (True, True)
    assert shapely.from_geojson(text).geom_type == "GeometryCollection"
    assert text == lines_text(home / "home.toml")
