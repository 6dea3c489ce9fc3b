"""The summary says what was laid, for people and for programs."""

import json
import re
from dataclasses import replace

import pytest
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.appraisal.caution import Caution
from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.summary import summary_dict, summary_text
from geolayout.plan.units import IMPERIAL

WIRES = Caution(
    key="overhead-line",
    severity="hazard",
    hazard="overhead line",
    sentence="An overhead line crosses the field 40 m from the south.",
    remedy="Ask its operator for the height before any work.",
    source="invented",
    code="W30",
    place=(0.0, 0.0),
    acknowledged="not acknowledged",
)
STUB = Caution(
    key="stub",
    severity="warning",
    sentence="Band 38 is 3.28 m wide.",
    remedy="See whether it is worth driving.",
    source="invented",
    code="W08",
    value=3.28,
    threshold=6.0,
    unit="m",
)


def told(layout, cautions=()):
    return summary_text("paper", layout, figures(layout), cautions)


def kept(layout, cautions=(), files=("summary.json",)):
    return summary_dict("paper", layout, figures(layout), cautions, files)


def test_the_summary_is_json_without_gaps():
    layout = paper_layout()
    summary = kept(layout, (WIRES, STUB))
    again = json.loads(json.dumps(summary, allow_nan=False))
    assert again["written_by"] == "geolayout"
    assert again["schema"] == 1
    assert again["files"] == ["summary.json"]


def test_version_and_day_stand_under_one_key_only():
    summary = kept(paper_layout())
    written = summary.pop("written")
    assert set(written) == {"version", "on"}
    text = json.dumps(summary)
    assert written["on"] not in text
    assert f'"{written["version"]}"' not in text


def test_both_areas_of_the_field_and_its_frame_are_told():
    field = kept(paper_layout())["field"]
    assert field["area_geodesic_m2"] == pytest.approx(7200.0, rel=1e-6)
    assert field["area_frame_m2"] == pytest.approx(7200.0, rel=1e-6)
    assert field["frame"].startswith("+proj=tmerc")


def test_a_hazard_is_kept_with_its_place_and_who_looked():
    (hazard,) = kept(paper_layout(), (WIRES, STUB))["hazards"]
    assert hazard["acknowledged"] == "not acknowledged"
    assert hazard["place_lon_lat"] == [10.0, 52.0]  # the frame of the field on paper is there


def test_a_caution_is_kept_with_its_figures():
    (caution,) = kept(paper_layout(), (WIRES, STUB))["cautions"]
    assert {key: caution[key] for key in ("severity", "value", "threshold", "unit")} == {
        "severity": "warning",
        "value": 3.28,
        "threshold": 6.0,
        "unit": "m",
    }


def test_hazards_are_told_first():
    text = told(paper_layout(), (WIRES, STUB))
    assert text.index("An overhead line") < text.index("The field")
    assert "(not acknowledged)" in text


def test_at_most_five_hazards_are_told_and_the_rest_counted():
    several = [replace(WIRES, key=f"line {k}") for k in range(8)]
    text = told(paper_layout(), several)
    assert text.count("An overhead line") == 5
    assert "3 more in summary.json." in text


def test_a_note_that_nothing_was_given_is_no_hazard():
    note = replace(WIRES, severity="note", sentence="No overhead line was given.", place=None)
    assert kept(paper_layout(), (note,))["hazards"] == []
    text = told(paper_layout(), (note,))
    assert "HAZARDS" not in text
    assert "Note: No overhead line was given." in text


def test_no_code_is_told_to_people():
    assert not re.search(r"\bW\d\d\b", told(paper_layout(), (WIRES, STUB)))


def test_bands_of_one_kind_are_one_line():
    # bands 1, 3, 5, 7, 9 are maize: 5 x 6 m x 100 m = 0.300 ha
    assert "A (maize), 6.00 m: number 1, 3 to 9 by 2; 0.300 ha." in told(paper_layout())


def test_the_edges_taken_as_ends_are_told():
    text = told(paper_layout())
    assert "south end, 60.0 m" in text
    assert "north end, 60.0 m" in text


def test_seed_is_told_and_said_to_be_no_order():
    # 0.3 ha x 80,000 plants and 3,000 m2 x 40 seeds
    text = told(paper_layout())
    assert "24,000 plants" in text or "23,999 plants" in text or "24,001 plants" in text
    assert "no seed order" in text


def test_trees_are_told_by_row():
    text = told(sample_layout("crooked_hedge"))
    assert f"{len(sample_layout('crooked_hedge').trees)} trees in" in text
    assert "row 1:" in text


def test_what_gave_way_is_told():
    assert "What gave way" in told(sample_layout("two_halves"))


def test_a_product_without_prescription_is_told():
    text = told(paper_layout(STRIPS.replace(", rate = { plants_per_ha = 80000 }", "")))
    assert "maize (plant) has no rate" in text


@pytest.mark.parametrize("name", ["pond_piece", "crooked_hedge", "two_halves"])
def test_no_line_is_wider_than_a_page(name):
    assert max(map(len, told(sample_layout(name), (WIRES, STUB)).splitlines())) <= 98


def test_nothing_that_was_not_asked_for_is_told():
    text = told(paper_layout())
    assert "HAZARDS" not in text
    assert "Trees\n" not in text


def test_imperial_words_keep_every_figure_and_json_stays_metric():
    layout = paper_layout()
    measured = figures(layout)
    said = summary_text("paper", layout, measured, (), IMPERIAL)
    # 7,200 m2 are 1.779 acres; bands of 6 m are 19.69 ft
    assert "Area 1.779 acres" in said
    assert "19.69 ft" in said
    shown = said.split("How figures are meant")[0].split("Warnings and notes")[0]
    assert re.findall(r"[0-9] (?:ha|km|m|m2|cm|kg)\b.*", shown) == []
    assert summary_dict("paper", layout, measured, (), [])["field"]["area_geodesic_m2"] > 7000
