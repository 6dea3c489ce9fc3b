"""Slopes, grades and water of layouts on land whose heights are known by a formula."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import LineString
from strategies import feature_beside, field_of, laid, plan_of

from geolayout.appraisal.caution import NOTE, WARNING
from geolayout.appraisal.slope.cautions import slope_caution, slope_cautions
from geolayout.land.boundary.finding import Finding
from geolayout.land.terrain.terrain import Terrain

LAND = shapely.box(0, 0, 200, 100)  # in its frame from -100 to 100 and -50 to 50

STRIPS = """
[[pattern]]
name = "p"
bands = [ { name = "A", width = 6.0, stand = "maize" } ]
"""
ALLEYS = """
[[pattern]]
name = "p"
bands = [
  { name = "A", width = 24.0, stand = "none" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } },
]
"""
EAST = 'bearing = 90.0\nfrom = "north"'
NORTH = 'bearing = 0.0\nfrom = "west"'


def heights(height, cell=5.0, size=100):
    column, row = np.meshgrid(np.arange(size), np.arange(size))
    x, y = cell * (column - size / 2), -cell * (row - size / 2)
    to_cells = np.array([[1 / cell, 0, size / 2], [0, -1 / cell, size / 2]])
    return Terrain(np.asarray(height(x, y), dtype=float), to_cells, "made_up.tif")


def layout_on(height, *parts, guide=NORTH, features=(), findings=()):
    field = field_of(LAND, features)
    terrain = heights(height) if height is not None else None
    field = replace(field, terrain=terrain, terrain_findings=tuple(findings))
    return laid(field, plan_of(*parts, guide=guide))


def keys(layout):
    return [caution.key for caution in slope_cautions(layout)]


def the(layout, key):
    (found,) = (one for one in slope_cautions(layout) if one.key == key)
    return found


def up_north(_x, y):
    return 100 + 0.08 * y  # 8 %, rising to the north


def valley(x, y):
    return 100 + 0.05 * np.abs(y) - 0.02 * x  # one bottom along y = 0, falling to the east


def test_without_heights_nothing_is_claimed():
    layout = layout_on(None, STRIPS)
    caution = slope_caution(layout.field)
    assert "No slope was computed" in caution.sentence
    assert (caution.severity, caution.hazard) == (NOTE, "slope")
    assert slope_cautions(layout) == []


def test_the_slope_is_told_in_percent_and_degrees_and_never_judged():
    caution = slope_caution(layout_on(up_north, STRIPS).field)
    assert caution.value == pytest.approx(8.0)
    # atan(0.08) = 4.574 degrees
    assert "8.0 % (4.6 degrees) at the steepest" in caution.sentence
    assert "maker's figure" in caution.remedy
    for word in ("safe", "clear", "steep enough", "too steep"):
        assert word not in caution.sentence + caution.remedy


def test_rows_up_the_slope_are_over_their_limit_and_rows_on_the_level_are_not():
    found = the(layout_on(up_north, STRIPS, guide=NORTH), "row-grade")
    assert (found.code, found.severity) == ("W11", WARNING)
    assert found.value == pytest.approx(8.0)
    assert found.threshold == 2.0  # the smaller of 2 % and half of 8 % (USDA NRCS Code 330)
    assert found.sentence.startswith("100 % of the annual rows")
    assert "row-grade" not in keys(layout_on(up_north, STRIPS, guide=EAST))


def test_tree_rows_have_a_limit_of_their_own():
    # On 8 % the limit for trees is the smaller of 4 % and half of 8 %: 4 % (USDA NRCS Code 331).
    # A row at 55 degrees from north climbs 8 cos 55 = 4.59 %, one at 65 degrees 3.38 %.
    steep = the(
        layout_on(up_north, ALLEYS, guide='bearing = 55.0\nfrom = "south-east"'), "row-grade"
    )
    assert steep.value == pytest.approx(8 * np.cos(np.radians(55)), abs=0.01)
    assert "of the tree rows" in steep.sentence
    level = layout_on(up_north, ALLEYS, guide='bearing = 65.0\nfrom = "south-east"')
    assert "row-grade" not in keys(level)


def test_water_across_the_rows_is_told_with_its_ground():
    found = the(layout_on(valley, STRIPS), "flow-line")
    assert found.count == 1
    # The grid is 500 m wide: all of it drains to the one bottom.
    assert found.value == pytest.approx(25.0, rel=0.05)
    assert "runs 200 m through the field" in found.sentence
    assert "nothing that was drawn to take it" in found.sentence


def test_a_ditch_at_its_end_is_its_outlet():
    # The bottom leaves the grid at x = 245; the ditch lies there.
    ditch = feature_beside(
        LAND, "ditch", LineString([(343, -60), (343, 160)]), measured_from="centre line", all=1.0
    )
    found = the(layout_on(valley, STRIPS, features=[ditch]), "flow-line")
    assert "ends at the ditch 'invented'" in found.sentence


def test_on_a_plane_no_water_gathers():
    assert "flow-line" not in keys(layout_on(lambda x, y: 100 + 0.0 * x + 0.0 * y, STRIPS))


def test_what_makes_heights_less_than_they_look_is_told():
    finding = Finding("coarse heights", "Cells are 25 m wide.", question="Is there a finer file?")
    found = the(layout_on(up_north, STRIPS, guide=EAST, findings=[finding]), "heights")
    assert (found.sentence, found.remedy) == (finding.sentence, finding.question)
