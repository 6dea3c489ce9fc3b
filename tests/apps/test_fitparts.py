"""What `section` says of reach and widths."""

import json
from pathlib import Path

from click.testing import CliRunner
from section_profiles import strips

from geolayout.appraisal.fit.band_widths import band_widths
from geolayout.appraisal.fit.section import section_fit
from geolayout.apps.cli import cli
from geolayout.apps.fitparts import fit_parts, width_parts

PLANS = Path(__file__).resolve().parents[1] / "plans"


def run(*words):
    result = CliRunner().invoke(cli, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result


def test_the_table_and_its_reasons_are_two_parts():
    table, why = fit_parts(section_fit(strips()))
    assert table.head[0] == "operation"
    assert [row[0] for row in table.rows] == ["plant", "drill"]
    assert why.lines[0] == "Not said: what harvests maize and beans."


def test_widths_are_a_part_for_the_bands_of_each_width():
    (part,) = width_parts(band_widths(strips()))
    assert part.title == "Widths that fit, A and B"
    assert part.rows[0][0] == "12.00 m"


def test_section_prints_what_reaches_which_strip():
    text = run("section", PLANS / "straddling_planter.toml").stdout
    assert "What reaches which strip" in text
    assert "plant, maize: only together with soya" in text
    assert "Widths that fit" not in text


def test_a_plan_without_operations_is_told_what_is_not_said():
    text = run("section", PLANS / "strips.toml").stdout
    told = text.partition("What reaches which strip")[2]
    assert told.strip().startswith("Not said: what sows")
    assert "Why" not in told


def test_section_prints_widths_where_they_are_asked_for():
    assert "Widths that fit" in run("section", PLANS / "strips.toml", "--widths").stdout


def test_section_gives_both_as_json():
    (section,) = json.loads(run("section", PLANS / "strips.toml", "--json").stdout)["sections"]
    assert {"strips", "tramlines", "not_said"} <= section.keys()
    assert "widths" not in section
    told = json.loads(run("section", PLANS / "strips.toml", "--json", "--widths").stdout)
    (widths,) = told["sections"][0]["widths"]
    assert widths["wish"]["width_m"] == 6.0
    assert widths["nearest_m"] in [choice["width_m"] for choice in widths["choices"]]


def test_the_table_of_every_sample_practice_fits_80_letters():
    for plan in sorted(PLANS.glob("*.toml")):
        if ".expected" in plan.name or plan.stem == "complete":
            continue
        text = run("section", plan).stdout
        table = text.partition("What reaches which strip")[2].partition("Why, and")[0]
        wide = [line for line in table.splitlines() if len(line) > 80]
        assert not wide, (plan.name, wide)
