"""The command line: what it prints where, what it refuses, and what it leaves behind."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from geolayout.apps.cli import cli
from geolayout.land.frames.frame import Frame
from geolayout.plan.parse import parse_plan
from geolayout.plan.start.starter import PRACTICES

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_fields"
PLANS = ROOT / "tests" / "plans"
FRAME = Frame(10.0, 52.0)

GUIDE = '[guide]\nbearing = 0.0\nfrom = "west"\n'
FIELD = '[field]\nboundary = "home.geojson"\n'
MAIZE = """[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } } ]
"""
STRIPS = """[[pattern]]
name = "strips"
bands = [ { name = "A", width = 6.0, stand = "maize" } ]
"""
PLAN = "schema = 1\n" + FIELD + GUIDE + MAIZE + STRIPS

WIRE = """[[feature]]
kind = "overhead line"
source = "wire.geojson"
keep_clear = 0.0
measured_from = "centre line"
"""


def lonlat(*corners):
    return FRAME.lonlat(np.array(corners, dtype=float)).tolist()


def collection(kind, coordinates, **more):
    feature = {
        "type": "Feature",
        "properties": {},
        "geometry": {"type": kind, "coordinates": coordinates},
    }
    return json.dumps({"type": "FeatureCollection", "features": [feature], **more})


def square(side=60.0):
    half = side / 2
    corners = [(-half, -half), (half, -half), (half, half), (-half, half), (-half, -half)]
    return [lonlat(*corners)]


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A square field of 60 m with a plan beside it, an overhead line across, as current folder."""
    (tmp_path / "home.geojson").write_text(collection("Polygon", square()), encoding="utf-8")
    line = lonlat((-80, 0), (80, 0))
    (tmp_path / "wire.geojson").write_text(collection("LineString", line), encoding="utf-8")
    (tmp_path / "home.toml").write_text(PLAN, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments):
    return CliRunner().invoke(cli, [str(argument) for argument in arguments])


def refused(result, match):
    """One line of plain sentences on standard error, exit 2, nothing on standard output."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1, result.stderr
    assert re.search(match, result.stderr), result.stderr
    return result.stderr


def left_in(folder):
    return {path.name for path in folder.iterdir()}


# Refusals

BAD_PLANS = [
    pytest.param("", r"The plan has no schema\.", id="an empty plan"),
    pytest.param(
        "schema = 2", r"schema = 2\. This version reads", id="a schema of another version"
    ),
    pytest.param("schema = 1\n[field", "not written in TOML", id="no TOML"),
    pytest.param("schema = 1\n", "pattern is missing", id="no pattern"),
    pytest.param(PLAN + "[gide]\n", "gide is not known.*'guide'", id="a table nobody knows"),
    pytest.param(
        PLAN.replace("bearing", "baering"), "baering.*Did you mean 'bearing'", id="an unknown key"
    ),
    pytest.param(PLAN.replace("bearing = 0.0\n", ""), "given in 0 ways", id="no direction"),
    pytest.param(PLAN.replace("0.0", "360.0"), "360", id="a bearing of 360 degrees"),
    pytest.param(PLAN.replace("0.0", "nan"), "bearing", id="a bearing that is no number"),
    pytest.param(PLAN.replace("0.0", '"north"'), "bearing", id="a bearing in words"),
    pytest.param(PLAN.replace(GUIDE, ""), "The plan has no guide", id="no guide at all"),
    pytest.param(
        PLAN.replace('"west"', '"north"'), 'Use from = "west" or from = "east"', id="an end as side"
    ),
    pytest.param(PLAN.replace('"west"', '"left"'), "from", id="a side that is no compass word"),
    pytest.param(
        PLAN.replace("bearing = 0.0", 'choose = "fewest hours"'),
        "No operation of the plan works here",
        id="hours without a machine",
    ),
    pytest.param(PLAN.replace("6.0", "-6.0"), "width", id="a negative width"),
    pytest.param(PLAN.replace("6.0", "0"), "width", id="a band without width"),
    pytest.param(
        PLAN.replace("width = 6.0", "width = 600.0, whole = true"),
        "No band fits",
        id="a whole band wider than the field",
    ),
    pytest.param(
        PLAN.replace('stand = "maize"', 'stand = "maise"'),
        "Did you mean 'maize'",
        id="a stand misspelt",
    ),
    pytest.param(
        PLAN.replace("spacing = 0.75", "spacing = 0.75, rows = 20"),
        "20 rows at 0.75 m",
        id="more rows than the band holds",
    ),
    pytest.param(
        PLAN.replace("spacing = 0.75", "every = 0.75"), "no `at`", id="a motif without places"
    ),
    pytest.param(
        PLAN.replace("plants_per_ha", "plants_per_acre"), "plants_per_acre", id="a rate in acres"
    ),
    pytest.param(
        PLAN.replace("80000", "80000000"), "--accept maize-rate", id="an implausible rate"
    ),
    pytest.param(PLAN + STRIPS, "Two patterns are called 'strips'", id="a pattern twice"),
    pytest.param(
        PLAN + STRIPS.replace("strips", "more"),
        "2 patterns .* and no blocks",
        id="two patterns and no blocks",
    ),
    pytest.param(
        PLAN + '[headland]\nwhere = "all round"\nwidth = 40.0\n',
        r"headland takes 40 m .*headland of up to \d+\.\d m",
        id="a headland that takes it all",
    ),
    pytest.param(PLAN + '[headland]\nwhere = "ends"\n', "no width", id="a headland without width"),
    pytest.param(PLAN + "[margin]\n", "margin", id="a margin that says nothing"),
    pytest.param(
        PLAN + WIRE.replace("keep_clear = 0.0\n", ""), "no keep_clear", id="a wire without distance"
    ),
    pytest.param(
        PLAN + WIRE.replace("wire.geojson", "wires.geojson"),
        r"wires\.geojson",
        id="a feature's file missing",
    ),
    pytest.param(
        PLAN + WIRE.replace("overhead line", "power line"),
        "closed list",
        id="a kind of feature nobody knows",
    ),
    pytest.param(PLAN.replace(FIELD, ""), "names no boundary", id="no boundary"),
    pytest.param(
        PLAN.replace("home.geojson", "hoem.geojson"),
        r"hoem\.geojson",
        id="a boundary that is not there",
    ),
    pytest.param(
        PLAN.replace("boundary", 'crs = "EPSG:99"\nboundary'),
        "EPSG:99",
        id="a coordinate system that is not there",
    ),
    pytest.param(
        PLAN.replace("boundary", 'id = "other"\nboundary'),
        "No field of .* answers to other",
        id="an id that is not there",
    ),
    pytest.param(
        PLAN.replace("[field]\n", '[field]\nfarm = "farm.toml"\n'),
        r"farm file, .*farm\.toml, cannot be read",
        id="a farm that is not there",
    ),
    pytest.param(
        PLAN + '[[season]]\nyear = 2027\ngrows = { B = "maize" }\n',
        "grows of season 2027 names 'B'",
        id="a season of a band that is not there",
    ),
]


@pytest.mark.parametrize(("text", "match"), BAD_PLANS)
def test_a_bad_plan_is_refused_in_plain_words(home, text, match):
    (home / "home.toml").write_text(text, encoding="utf-8")
    before = left_in(home)
    said = refused(run("lay", "home.toml", "--out", "out"), match)
    assert said.startswith("Error: ")
    assert said.count("\n") == 1, "one line"
    assert left_in(home) == before


BAD_BOUNDARIES = [
    pytest.param("", r"home\.geojson", id="an empty file"),
    pytest.param("{", r"home\.geojson", id="half a file"),
    pytest.param(
        '{"type": "FeatureCollection", "features": []}',
        "no polygon|empty|no shape|holds",
        id="no shape",
    ),
    pytest.param(collection("Point", lonlat((0, 0))[0]), "only Point", id="a point"),
    pytest.param(collection("LineString", lonlat((0, 0), (50, 0), (50, 50))), "line", id="a line"),
    pytest.param(
        collection("Polygon", [[[0, 0], [0, 0], [0, 0], [0, 0]]]), "m2|area|corner", id="no area"
    ),
    pytest.param(
        collection("Polygon", [[[5e5, 57e5], [5.1e5, 57e5], [5.1e5, 57.1e5], [5e5, 57e5]]]),
        "looks like metres",
        id="metres for degrees",
    ),
    pytest.param(
        collection("Polygon", [[[52, 100], [52.001, 100], [52.001, 100.001], [52, 100]]]),
        "latitude before longitude",
        id="latitude first",
    ),
    pytest.param(
        collection("Polygon", [[[0, 50], [3, 50], [3, 53], [0, 50]]]),
        "degrees wide",
        id="a country",
    ),
    pytest.param(collection("Polygon", square(3.0)), "No band fits", id="a field of 3 m"),
]


@pytest.mark.parametrize(("text", "match"), BAD_BOUNDARIES)
def test_a_bad_boundary_is_refused_in_plain_words(home, text, match):
    (home / "home.geojson").write_text(text, encoding="utf-8")
    plan = PLAN.replace("width = 6.0", "width = 6.0, whole = true")
    (home / "home.toml").write_text(plan, encoding="utf-8")
    before = left_in(home)
    refused(run("lay", "home.toml", "--out", "out"), match)
    assert left_in(home) == before


@pytest.mark.parametrize(
    ("arguments", "match"),
    [
        pytest.param(
            ["lay", "none.toml", "--out", "out"], r"none\.toml, cannot be read", id="no plan"
        ),
        pytest.param(["lay", ".", "--out", "out"], "is a folder", id="a folder as plan"),
        pytest.param(["lay", "home.toml"], "Missing option '--out'", id="no folder named"),
        pytest.param(["lay", "home.toml", "--out", "a/b"], "does not exist", id="no parent"),
        pytest.param(
            ["lay", "home.toml", "--out", "home.toml"], "is a file", id="a file as folder"
        ),
        pytest.param(["lay", "home.toml", "--out", "."], "working in", id="the current folder"),
        pytest.param(
            ["lay", "home.toml", "--out", "out", "--season", "2031"],
            "Season 2031",
            id="a season not there",
        ),
        pytest.param(
            ["lay", "home.toml", "--out", "out", "--season", "next"],
            "Invalid value",
            id="a season in words",
        ),
        pytest.param(
            ["lay", "home.toml", "--out", "out", "--keep-lines"],
            "no plan laid out before",
            id="no lines to keep",
        ),
        pytest.param(
            ["lay", "home.toml", "--out", "out", "--kep"], "No such option", id="an option misspelt"
        ),
        pytest.param(["section", "none.toml"], "cannot be read", id="no plan to show"),
        pytest.param(
            ["section", "home.toml", "--span", "0"], "more than 0 m", id="a span of nought"
        ),
        pytest.param(
            ["section", "home.toml", "--block", "x"],
            "no block of that name",
            id="a block not there",
        ),
        pytest.param(
            ["section", "home.toml", "--picture", "it.docx"],
            r"docx",
            id="a picture in another form",
        ),
        pytest.param(
            ["start", "none.geojson", "--practice", "strips"], r"none\.geojson", id="no field"
        ),
        pytest.param(
            ["start", "home.geojson", "--practice", "stripes"],
            "Did you mean 'strips'",
            id="a practice misspelt",
        ),
        pytest.param(
            ["start", "home.geojson", "--practice", "strips", "--out", "home.toml"],
            "is there already",
            id="a plan there already",
        ),
        pytest.param(
            ["start", "home.geojson", "--practice", "strips", "--out", "a/b.toml"],
            "cannot be written",
            id="no folder for it",
        ),
        pytest.param(["starts"], "No such command", id="a command misspelt"),
        pytest.param(
            ["start", "home.geojson", "more", "--practice", "strips"],
            r"\(more\)\. See \w+ start --help\.",
            id="a word too many, and two sentences of it",
        ),
    ],
)
def test_a_bad_command_is_refused_in_plain_words(home, arguments, match):
    before = left_in(home)
    refused(run(*arguments), match)
    assert left_in(home) == before


def test_a_plan_in_another_encoding_is_refused(home):
    (home / "home.toml").write_bytes(PLAN.replace("maize", "maïs").encode("latin-1"))
    refused(run("lay", "home.toml", "--out", "out"), "no text in UTF-8")


# Laying


def test_results_go_to_standard_output_and_messages_to_standard_error(home):
    """60 m / 6 m = 10 bands of 8 rows: 80 rows of 60 m, 4.8 km; 0.36 ha."""
    result = run("lay", "home.toml", "--out", "out")
    assert result.exit_code == 0
    assert result.stderr == ""
    assert "0.360 ha" in result.stdout
    assert re.search(r"maize +80 +80 +4\.80", result.stdout)
    assert re.search(r"A +maize +6\.00 +10 +1, 2 \.\.\. 10 +0\.360", result.stdout)
    assert result.stdout.endswith("Written to out\n")
    assert "\x1b" not in result.stdout
    assert (home / "out" / "summary.json").is_file()
    assert left_in(home) == {"home.geojson", "wire.geojson", "home.toml", "out"}


def test_one_json_object_and_nothing_else(home):
    result = run("lay", "home.toml", "--out", "out", "--json")
    found = json.loads(result.stdout)
    assert found["folder"] == "out"
    assert found["field"]["area_geodesic_m2"] == pytest.approx(3600.0, rel=1e-6)
    assert sorted(found["files"]) == sorted(
        path.relative_to(home / "out").as_posix()
        for path in (home / "out").rglob("*")
        if path.is_file()
    )


def test_a_folder_is_replaced_only_when_asked_and_only_ours(home):
    assert run("lay", "home.toml", "--out", "out").exit_code == 0
    refused(run("lay", "home.toml", "--out", "out"), "Pass --replace")
    assert run("lay", "home.toml", "--out", "out", "--replace").exit_code == 0
    (home / "out" / "notes.txt").write_text("mine", encoding="utf-8")
    refused(run("lay", "home.toml", "--out", "out", "--replace"), r"notes\.txt")
    assert (home / "out" / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_moved_lines_are_told_and_kept_on_request(home):
    assert run("lay", "home.toml", "--out", "out").exit_code == 0
    plan = PLAN.replace('from = "west"', 'from = "west"\nstart = 0.4')
    (home / "home.toml").write_text(plan, encoding="utf-8")
    kept = run("lay", "home.toml", "--out", "out", "--replace", "--keep-lines")
    assert "As written: The lines move 0.40 m to the east." in kept.stderr
    told = run("lay", "home.toml", "--out", "out", "--replace")
    assert told.stderr.startswith("The lines move 0.40 m to the east.\nPass --keep-lines")
    assert "The lines move" not in told.stdout


def test_an_odd_rate_is_accepted_by_its_key(home):
    (home / "home.toml").write_text(PLAN.replace("80000", "80000000"), encoding="utf-8")
    assert run("lay", "home.toml", "--out", "out", "--accept", "maize-rate").exit_code == 0


def test_open_hazards_are_told_and_strictness_exits_with_3(home):
    (home / "home.toml").write_text(PLAN + WIRE, encoding="utf-8")
    plain = run("lay", "home.toml", "--out", "out")
    assert plain.exit_code == 0
    assert plain.stdout.startswith("HAZARDS")
    assert "not acknowledged" in plain.stdout
    strict = run("lay", "home.toml", "--out", "out", "--replace", "--strict")
    assert strict.exit_code == 3
    assert "not acknowledged; see [[acknowledged]]" in strict.stderr
    assert (home / "out" / "summary.json").is_file()
    summary = json.loads((home / "out" / "summary.json").read_bytes())
    keys = {hazard["hazard"] for hazard in summary["hazards"]}
    seen = "".join(
        f'[[acknowledged]]\nhazard = "{key}"\nwho = "the grower"\ndate = 2027-01-15\n'
        for key in sorted(keys)
    )
    (home / "home.toml").write_text(PLAN + WIRE + seen, encoding="utf-8")
    looked = run("lay", "home.toml", "--out", "out", "--replace", "--strict")
    assert looked.exit_code == 0
    assert "the grower" in looked.stdout


# Sections


def test_a_section_without_field_shows_one_repeat():
    result = run("section", PLANS / "strips.toml")
    assert result.exit_code == 0
    assert result.stderr == ""
    assert "Band 2 (B): 6.00 to 12.00 m" in result.stdout
    assert max(len(line) for line in result.stdout.split("\n")) <= 80


def test_a_section_on_its_field_shows_all_of_it(home):
    """60 m: ten bands of 6 m."""
    result = run("section", home / "home.toml")
    assert "Band 10 (A): 54.00 to 60.00 m" in result.stdout


def test_a_section_falls_back_when_the_field_cannot_be_read(home):
    (home / "home.geojson").unlink()
    result = run("section", "home.toml")
    assert result.exit_code == 0
    assert result.stderr.startswith("Shown without its field. ")
    assert "Band 1 (A): 0.00 to 6.00 m" in result.stdout
    assert "Band 2" not in result.stdout


def test_a_span_says_how_much_land_to_show():
    result = run("section", PLANS / "strips.toml", "--span", 40, "--json")
    (section,) = json.loads(result.stdout)["sections"]
    # 3 x 12 = 36 m, and 4 m of A: (t0, t1) of the last cut
    assert [(cut["t0_m"], cut["t1_m"]) for cut in section["cuts"]][-1] == (36.0, 40.0)
    assert len(section["cuts"]) == 7


def test_a_season_and_a_block_are_chosen():
    result = run("section", PLANS / "rotation.toml", "--season", 2028, "--json")
    (section,) = json.loads(result.stdout)["sections"]
    assert [cut["stand"] for cut in section["cuts"]] == ["beans", "maize"]
    result = run("section", PLANS / "two_blocks.toml", "--block", "south", "--json")
    assert [one["block"] for one in json.loads(result.stdout)["sections"]] == ["south"]


@pytest.mark.parametrize(
    ("form", "begins"),
    [pytest.param("svg", b"<?xml", id="svg"), pytest.param("png", b"\x89PNG", id="png")],
)
def test_a_section_is_drawn_into_a_picture(form, begins, tmp_path):
    path = tmp_path / f"section.{form}"
    result = run("section", PLANS / "relay.toml", "--picture", path)
    assert result.exit_code == 0, result.output
    assert path.read_bytes().startswith(begins)
    assert result.stderr == f"Written to {path}\n"


# Beginning


def test_a_plan_to_begin_with_is_printed_or_written(home):
    printed = run("start", "home.geojson", "--practice", "strips")
    assert printed.exit_code == 0
    assert parse_plan(printed.stdout).field.boundary == "home.geojson"
    written = run("start", "home.geojson", "--practice", "strips", "--out", "begin.toml")
    assert (written.exit_code, written.stdout) == (0, "")
    assert (home / "begin.toml").read_text(encoding="utf-8") == printed.stdout
    assert run("lay", "begin.toml", "--out", "out").exit_code == 0


def test_a_plan_written_elsewhere_still_finds_its_field(home):
    (home / "plans").mkdir()
    run("start", "home.geojson", "--practice", "strips", "--out", "plans/begin.toml")
    assert run("section", "plans/begin.toml").stderr == ""


def test_help_names_every_practice():
    said = " ".join(run("start", "--help").stdout.split())
    assert all(practice in said for practice in PRACTICES)


# Real processes

COMMAND = [sys.executable, "-m", "geolayout.apps.cli"]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def test_help_needs_nothing_heavy():
    """Help must come at once, so no library beyond click may be loaded for it."""
    code = (
        "import sys\nfrom geolayout.apps.cli import cli\n"
        "heavy = {'numpy', 'shapely', 'pydantic', 'rich', 'matplotlib', 'geopandas', 'pyproj'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env=ENVIRONMENT, capture_output=True, text=True, check=True
    )
    assert done.stdout == "[]\n"


def interrupted(arguments, watched, number, cwd):
    """Run the command and send it a signal as soon as a path appears."""
    process = subprocess.Popen(
        [*COMMAND, *arguments],
        cwd=cwd,
        env=ENVIRONMENT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    end = time.monotonic() + 30
    while not watched.exists() and process.poll() is None and time.monotonic() < end:
        time.sleep(0.001)
    assert process.poll() is None, "it ended before it was interrupted"
    process.send_signal(number)
    out, err = process.communicate(timeout=30)
    return process.returncode, out, err


@pytest.mark.skipif(sys.platform == "win32", reason="signals of this kind are POSIX")
@pytest.mark.parametrize(
    ("number", "code"),
    [
        pytest.param(signal.SIGINT, 130, id="Ctrl-C"),
        pytest.param(signal.SIGTERM, 143, id="a termination"),
    ],
)
def test_an_interruption_in_the_middle_leaves_nothing_half_written(home, number, code):
    before = left_in(home)
    found, out, err = interrupted(
        ["lay", "home.toml", "--out", "out"], home / ".out.geolayout-new", number, home
    )
    assert (found, out) == (code, "")
    assert "Traceback" not in err
    assert left_in(home) == before


@pytest.mark.skipif(sys.platform == "win32", reason="signals of this kind are POSIX")
def test_an_interruption_leaves_the_former_folder_whole(home):
    assert run("lay", "home.toml", "--out", "out").exit_code == 0
    former = {path: path.read_bytes() for path in (home / "out").rglob("*") if path.is_file()}
    (home / "home.toml").write_text(PLAN.replace("6.0", "3.0"), encoding="utf-8")
    code, _, _ = interrupted(
        ["lay", "home.toml", "--out", "out", "--replace"],
        home / ".out.geolayout-new",
        signal.SIGINT,
        home,
    )
    assert code == 130
    assert {p: p.read_bytes() for p in (home / "out").rglob("*") if p.is_file()} == former
