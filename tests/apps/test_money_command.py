"""The command `money`: a page, a picture, one JSON object, and plain refusals."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from money_plans import PRICED

from geolayout.apps.cli import cli

SAMPLES = Path(__file__).parents[2] / "sample_fields"


@pytest.fixture(scope="module")
def priced(tmp_path_factory):
    """Return a plan with prices on a sample field. Prices are invented."""
    path = tmp_path_factory.mktemp("money") / "priced.toml"
    where = f'[field]\nboundary = "{(SAMPLES / "pond_piece.geojson").as_posix()}"\n[guide]'
    path.write_text(PRICED.replace("[guide]", where, 1), "utf-8")
    return path


def run(*words):
    return CliRunner().invoke(cli, ["money", *map(str, words)])


def test_the_page_is_shown_and_drawn(priced, tmp_path):
    ran = run(priced, "--picture", tmp_path / "margin.png")
    assert ran.exit_code == 0, ran.output
    for words in ("What is sold", "What it costs", "Gross margins", "counts land, not money"):
        assert words in ran.stdout
    assert (tmp_path / "margin.png").read_bytes().startswith(b"\x89PNG")


def test_json_holds_the_field_s_margin(priced):
    told = json.loads(run(priced, "--json").stdout)["money"]
    assert told["coin"] == "crown"
    margin = told["field"]["margin"]
    assert margin["low"] == pytest.approx(
        told["field"]["income"]["low"] - told["field"]["costs"]["high"]
    )


def test_an_odd_price_is_refused_until_its_key_is_accepted(priced):
    odd = priced.with_name("odd.toml")
    odd.write_text(priced.read_text("utf-8").replace("yield = 8.0", "yield = 300.0"), "utf-8")
    ran = run(odd)
    assert ran.exit_code == 2
    assert "--accept maize-yield" in ran.stderr
    assert run(odd, "--accept", "maize-yield").exit_code == 0


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        pytest.param("pond_piece.toml", "says nothing of money", id="a plan without prices"),
        pytest.param("no_such.toml", "no_such.toml", id="no plan"),
    ],
)
def test_refusals_are_one_sentence(plan, words):
    ran = run(SAMPLES / plan)
    assert ran.exit_code == 2
    assert words in ran.stderr
    assert "Traceback" not in ran.output
