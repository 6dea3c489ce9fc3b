"""The command that compares directions: what it shows, draws, prints and refuses."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"
PLAN = SAMPLES / "church_close.toml"
BOUNDARY = SAMPLES / "pond_piece.geojson"


def run(*arguments):
    return CliRunner().invoke(cli, ["which-way", *map(str, arguments)])


def test_three_ways_are_shown_and_the_plans_own():
    done = run(PLAN)
    assert (done.exit_code, done.stderr) == (0, "")
    assert "fewest\n    hours of those compared" in done.stdout
    rows = [line.split()[0] for line in done.stdout.splitlines() if line.startswith("  ")]
    assert {"A", "B", "C", "as"} <= set(rows)
    for letter in "ABC":
        assert f"\n{letter}: " in done.stdout
    assert "The plan's own lines take" in done.stdout


def test_no_line_of_a_pipe_is_wider_than_80_letters_but_tables():
    done = run(PLAN, "--units", "imperial")
    assert "headland acres" in done.stdout
    table = [line for line in done.stdout.splitlines() if "headland acres" in line]
    assert max(map(len, table)) <= 90


def test_a_bare_field_is_compared_for_one_machine():
    done = run(BOUNDARY, "--width", "6m", "--radius", "6.5", "--headland", "12", "--speed", "8")
    assert done.exit_code == 0
    assert "assumed" not in done.stdout


def test_one_json_object_is_printed():
    done = run(PLAN, "--json", "--wind-from", "240")
    told = json.loads(done.stdout)
    (block,) = told["blocks"]
    assert [one["letter"] for one in block["options"][:3]] == ["A", "B", "C"]
    assert (
        block["options"][0]["wind_angle_deg"] is None or block["options"][0]["kind"] == "straight"
    )


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_a_picture_is_drawn(tmp_path, ending):
    out = tmp_path / f"ways.{ending}"
    done = run(PLAN, "--picture", out)
    assert done.exit_code == 0
    assert done.stderr == f"Written to {out}\n"
    assert out.stat().st_size > 10_000
    if ending == "png":
        with Image.open(out) as image:
            assert image.width > image.height


@pytest.mark.parametrize(
    ("arguments", "match"),
    [
        pytest.param([BOUNDARY], "Nothing says how wide the passes are", id="no width"),
        pytest.param([BOUNDARY, "--radius", "6"], "Give --width too", id="a radius alone"),
        pytest.param([PLAN, "--width", "6"], "names its own field and machines", id="both"),
        pytest.param([PLAN, "--block", "east"], "no block of that name", id="no such block"),
        pytest.param([PLAN, "--picture", "ways.pdf"], "end in .svg or .png", id="a pdf"),
        pytest.param([PLAN, "--wind-from", "400"], "400", id="a wind from nowhere"),
        pytest.param(
            [SAMPLES / "market_plots.toml"], "No operation of the plan", id="sown by hand"
        ),
    ],
)
def test_refusals_are_plain(arguments, match):
    done = run(*arguments)
    assert done.exit_code == 2
    assert match in done.stderr
    assert "Traceback" not in done.stderr


def test_a_picture_shows_one_block(tmp_path):
    text = PLAN.read_text("utf-8")
    blocks = """
[[block]]
name = "west"
pattern = "{0}"
part = {{ side = "west", width = 80.0 }}
[[block]]
name = "rest"
pattern = "{0}"
rest = true
"""
    name = text.split("[[pattern]]")[1].split('name = "')[1].split('"')[0]
    for file in SAMPLES.iterdir():
        (tmp_path / file.name).symlink_to(file)
    plan = tmp_path / "blocks.toml"
    plan.write_text(text + blocks.format(name), "utf-8")
    done = run(plan, "--picture", tmp_path / "ways.png")
    assert done.exit_code == 2
    assert "Add --block NAME" in done.stderr
    assert run(plan, "--block", "west", "--picture", tmp_path / "ways.png").exit_code == 0
