"""What reaches which strip of a section, and of every block of a layout."""

import json

import shapely
from appraisal_layouts import BANDS, MACHINES, STANDS, layout_of
from section_profiles import strips, work

from geolayout.appraisal.fit.section import block_profiles, fit_dict, layout_fits, section_fit

SPRAY = work("spray", "working_width = 24.0\ntrack_width = 1.8\ntyre_width = 0.4", "block")


def test_a_layout_is_held_against_its_machines_as_its_section_is():
    layout = layout_of(STANDS + BANDS, MACHINES, land=shapely.box(0, 0, 60, 120))
    (fit,) = layout_fits(layout)
    (named,) = block_profiles(layout)
    again = section_fit(named.profile, named.shift, named.block)
    assert fit_dict(fit) == fit_dict(again)
    assert [(line.stand, line.strips) for line in fit.table] == [("maize", 5), ("beans", 5)]


def test_a_fit_goes_through_json_and_comes_back():
    told = fit_dict(section_fit(strips(SPRAY, span=(0.0, 72.0)), 0.0, "north"))
    assert json.loads(json.dumps(told)) == told
    assert told["block"] == "north"
    spray = [line for line in told["strips"] if line["operation"] == "spray"]
    assert [(line["stand"], line["reach"], line["with"]) for line in spray] == [
        ("maize", "only together", ["beans"]),
        ("beans", "only together", ["maize"]),
    ]
    (lines,) = told["tramlines"]
    assert lines["at_m"] == [12.0, 36.0, 60.0]
    assert (lines["on_border"], lines["best_move_m"], lines["best_room_m"]) == (3, 3.0, 3.0)
    assert {"work": "cart", "of": []} in told["not_said"]


def test_the_end_of_passes_is_told():
    told = fit_dict(section_fit(strips()))
    assert {line["operation"]: line["ends_where_it_began"] for line in told["strips"]} == {
        "plant": False,
        "drill": True,
    }
