"""Densities against a scheme's limits, and ripping across what is buried. All invented."""

import pytest
import shapely
from appraisal_layouts import feature_in, the_one
from planted_layouts import LAND, planted

from geolayout.appraisal.caution import HAZARD, NOTE, WARNING
from geolayout.appraisal.trees.cautions import planting_cautions


def drain(kind="drain"):
    return feature_in(LAND, kind, shapely.LineString([(-5, 60), (65, 60)]), "centre line")


# 48 trees on 0.72 ha: 66.7 trees/ha of the field, and as much of the pattern's land
@pytest.mark.parametrize(
    ("planting", "keys", "severity", "words"),
    [
        pytest.param("[30.0, 51.0, 131.0]", "", NOTE, "51 to under 131", id="in one class"),
        pytest.param(
            "[30.0, 65.0]", "", WARNING, "a limit, 65, is within 5 %", id="next to a limit"
        ),
        pytest.param(
            "[30.0, 51.0]",
            "thinning = [ { year = 9, keep_every = 2 } ]",
            WARNING,
            "33.3 trees/ha of the whole field from year 9 (30 to under 51)",
            id="thinned into another class",
        ),
    ],
)
def test_densities_and_their_classes(planting, keys, severity, words):
    layout = planted(f'density_bands = {planting}\nscheme = "an invented scheme"', keys=keys)
    caution = the_one(layout, "tree-density")
    assert caution.severity == severity
    assert words in caution.sentence
    assert "an invented scheme" in caution.sentence
    assert caution.value == pytest.approx(66.67, abs=0.01)


def test_the_two_densities_fall_in_two_classes():
    # A headland of 30 m at both ends leaves 60 m x 60 m: two rows of 12 trees on 0.36 ha of
    # bands, 66.7 trees/ha, and 33.3 trees/ha of the field.
    ends = '[headland]\nwhere = "ends"\nwidth = 30.0'
    caution = the_one(planted("density_bands = [50.0]", ends), "tree-density")
    assert caution.severity == WARNING
    assert "33.3 trees/ha of the whole field (under 50)" in caution.sentence
    assert "66.7 trees/ha of the land the pattern is laid on (50 or more)" in caution.sentence


@pytest.mark.parametrize(
    ("kind", "hazard"), [("drain", "buried drain"), ("buried pipe", "buried service")]
)
def test_ripping_across_what_is_buried(kind, hazard):
    layout = planted("rip_depth = 0.5", features=[drain(kind)])
    caution = the_one(layout, "ripping-over-service")
    assert (caution.severity, caution.hazard, caution.count) == (HAZARD, hazard, 2)
    assert caution.acknowledged == "not acknowledged"
    assert caution.sentence.startswith("2 ripped rows cross the ")
    assert "0.5 m deep" in caution.sentence


@pytest.mark.parametrize(
    ("planting", "keys", "features"),
    [
        pytest.param("", "", [drain()], id="nothing is ripped"),
        pytest.param("rip_depth = 0.5", "", [], id="nothing is buried"),
        pytest.param(
            "rip_depth = 0.5",
            "gaps = [ { at = [10.0, 0.0], width = 12.0 } ]",
            [drain()],
            id="a gap in the rows",
        ),
    ],
)
def test_nothing_is_said_where_nothing_crosses(planting, keys, features):
    assert planting_cautions(planted(planting, keys=keys, features=features)) == []
