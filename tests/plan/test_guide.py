"""Norths, declinations and lines of a guide: what goes together and what does not."""

import pytest
from pydantic import ValidationError

from geolayout.plan.guide import Guide

MAGNETIC = {
    "bearing": 12.5,
    "north": "magnetic",
    "declination": -2.1,
    "declination_year": 2026,
}


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param({"north": "grid", "bearing": 1.0}, "no grid", id="grid north of no grid"),
        pytest.param(
            {"north": "magnetic", "bearing": 1.0}, "never guessed", id="magnetic, nothing else"
        ),
        pytest.param(
            {"north": "magnetic", "bearing": 1.0, "declination": 2.0},
            "none with its year",
            id="a declination of no year",
        ),
        pytest.param(
            {"bearing": 1.0, "declination": 2.0, "declination_year": 2026},
            "turns a magnetic bearing",
            id="a declination beside true north",
        ),
        pytest.param({"near_edge": "west", "north": "true"}, "", id="an edge and true north"),
        pytest.param(
            {"near_edge": "west", "north": "grid", "grid": "EPSG:25832"},
            "no north of their own",
            id="grid north of an edge",
        ),
        pytest.param({"bearing": 1.0, "move_line": True}, "move_line and no line", id="no line"),
        pytest.param({"bearing": 1.0, "line_name": "n"}, "line_name and no line", id="no file"),
    ],
)
def test_what_goes_together(keys, match):
    if not match:
        assert Guide.model_validate(keys).north == "true"
        return
    with pytest.raises(ValidationError, match=match):
        Guide.model_validate(keys)


def test_only_a_true_bearing_is_resolved():
    whole = {"anchor": (10.0, 52.0), "number_at_anchor": 1}
    assert Guide.model_validate({"bearing": 12.5, **whole}).resolved
    assert not Guide.model_validate({**MAGNETIC, **whole}).resolved


def test_a_line_is_known_by_its_file_and_what_else_is_said_of_it():
    assert Guide(line="a.geojson").line_key == "a.geojson"
    keys = [
        Guide(line="a.geojson", line_name=name, move_line=moved).line_key
        for name in (None, "n")
        for moved in (False, True)
    ]
    assert len(set(keys)) == 4
