"""Peg lists and the planting sheet, read back as a gang would read them."""

import csv
import io

import numpy as np
import pytest
import shapely
from appraisal_layouts import GRASS, feature_in, layout_of

from geolayout.appraisal.cautions import cautions
from geolayout.handover.stakeout import (
    BEFORE_PLANTING,
    border_csv,
    peg_files,
    sheet_text,
    tree_csv,
)
from geolayout.land.frames.mapgrid import map_grid

ALLEYS = """
[[pattern]]
name = "p"
bands = [
  { name = "C", width = 18.0, stand = "grass" },
  { name = "T", width = 4.0, trees = { in_row_spacing = 5.0, species = ["oak", "lime"] } },
]
close_with = "C"
"""
BARE = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 20.0, stand = "grass" } ]'
GRID = map_grid("EPSG:32632")
LAND = shapely.box(0, 0, 60, 120)


def read(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_a_tree_of_the_table_stands_where_its_tree_stands():
    layout = layout_of(GRASS, ALLEYS)
    rows = read(tree_csv(layout, GRID))
    assert len(rows) == len(layout.trees) == 48
    told = np.array([[float(row["lon"]), float(row["lat"])] for row in rows])
    xy = layout.field.frame.metres(told)
    # planting order is row order here, and so is the layout's
    assert xy == pytest.approx(layout.trees.xy, abs=2e-4)
    grid = np.array([[float(row["east_m"]), float(row["north_m"])] for row in rows])
    # from one tree to the next 5 m, times the grid's scale, within 1 part in 1000
    assert np.hypot(*(grid[1] - grid[0])) == pytest.approx(5.0, abs=0.005)
    assert {row["grid"] for row in rows} == {"EPSG:32632"}


def test_distances_and_bundles_of_the_table():
    rows = read(tree_csv(layout_of(GRASS, ALLEYS), GRID, most=20))
    first, second, next_row = rows[0], rows[1], rows[24]
    assert (first["from_corner_m"], first["along_m"], first["from_last_m"]) == ("0.00",) * 3
    assert (second["along_m"], second["from_last_m"]) == ("5.00", "5.00")
    assert (next_row["row"], next_row["tree"], next_row["from_corner_m"]) == ("2", "1", "22.00")
    # 24 oaks in bundles of 20 and 4, then 24 limes
    assert [rows[i]["bundle"] for i in (0, 19, 20, 23, 24)] == ["1", "1", "2", "2", "3"]
    assert (first["species"], next_row["species"]) == ("oak", "lime")


def test_borders_have_a_table_too():
    rows = read(border_csv(layout_of(GRASS, ALLEYS), GRID))
    assert rows[2]["border"] == "C 1 | T 2"
    assert [row["along_m"] for row in rows[2:4]] == ["0.00", "120.00"]
    assert rows[2]["from_corner_m"] == "18.00"


def test_the_sheet_has_its_check_to_fill_in_and_the_bundles():
    layout = layout_of(GRASS, ALLEYS)
    text = sheet_text(layout, GRID, cautions(layout))
    # 22 m across, 115 m along: 117.09 m
    assert "Both diagonals 117.09 m" in text
    assert "misclosure" in text
    assert "WGS 84 / UTM zone 32N (EPSG:32632)" in text
    assert "    1     1     24  oak: 1 to 24" in text


def test_every_sheet_says_lines_services_roots_and_sight_lines_first():
    layout = layout_of(GRASS, ALLEYS)
    text = sheet_text(layout, GRID, ())
    head = text[: text.index("How to peg")]
    for sentence in BEFORE_PLANTING:
        assert sentence in " ".join(head.split())
    assert [line for line in text.splitlines() if len(line) > 100] == []
    for word in ("Overhead lines", "Pipes and cables", "Roots and drains", "Sight lines"):
        assert word in head


@pytest.mark.parametrize(
    ("start", "who"),
    [
        pytest.param("Overhead lines", "the line's operator decides", id="lines"),
        pytest.param("Pipes and cables", "The owner of the service decides", id="services"),
        pytest.param("Roots and drains", "Whoever owns or keeps it", id="roots and drains"),
        pytest.param("Sight lines", "the road authority decides", id="sight lines"),
        pytest.param("Local rules", "stand above this sheet", id="local rules"),
    ],
)
def test_whatever_the_plan_says_others_decide_how_near_trees_may_stand(start, who):
    (sentence,) = [one for one in BEFORE_PLANTING if one.startswith(start)]
    assert who in sentence
    # trees or none, hazards or none: on every sheet
    bare = layout_of(GRASS, BARE)
    for layout in (layout_of(GRASS, ALLEYS), bare):
        assert sentence in " ".join(sheet_text(layout, GRID, ()).split()).replace(" - ", " ")


def test_the_sheet_names_the_lists_that_lie_beside_it():
    layout = layout_of(GRASS, ALLEYS)
    files = peg_files(layout, GRID, ())
    assert list(files) == ["planting_sheet.txt", "pegs_trees.csv", "pegs_borders.csv"]
    for name in list(files)[1:]:
        assert name in files["planting_sheet.txt"]
    bare = layout_of(GRASS, BARE)
    assert "pegs_trees.csv" not in "".join(peg_files(bare, GRID, ()))
    assert "pegs_trees.csv" not in peg_files(bare, GRID, ())["planting_sheet.txt"]


def test_hazards_of_the_field_are_printed_and_who_looked():
    wires = feature_in(
        LAND,
        "overhead line",
        shapely.LineString([(30, -10), (30, 130)]),
        "centre line",
        trees=6.0,
    )
    layout = layout_of(GRASS, ALLEYS, features=[wires])
    text = sheet_text(layout, GRID, cautions(layout))
    assert "[not acknowledged]" in text
    assert "overhead line" in text[: text.index("How to peg")]


def test_no_word_promises_anything():
    layout = layout_of(GRASS, ALLEYS)
    text = sheet_text(layout, GRID, cautions(layout)).lower()
    for word in (" safe", "compliant", "legal"):
        assert word not in text
