"""Tables of a layout hold what the layout holds, in plain words."""

import numpy as np
import pytest
import shapely
from hills import on_hill
from sample_layouts import SAMPLES, paper_layout, sample_layout
from strategies import STRIPS, laid, plan_of

from geolayout.handover.tables import (
    crops_of,
    edges_table,
    ground_table,
    guidance_table,
    headland_table,
    on_wgs84,
    passes_table,
    rounds_table,
    rows_table,
    trees_table,
)

TABLES = (
    ground_table,
    headland_table,
    edges_table,
    rows_table,
    trees_table,
    passes_table,
    rounds_table,
)


# The field on paper: 60 m x 120 m, headland of 10 m at both ends, so bands are 100 m long:
# five bands of 6 m x 100 m = 600 m2 of maize, five of beans, and 2 x 60 m x 10 m of headland.
def test_ground_of_the_field_on_paper_is_that_of_the_sum():
    table = ground_table(paper_layout())
    areas = table.groupby(["kind", "stand"])["area_m2"].sum().to_dict()
    assert areas[("band", "maize")] == pytest.approx(3000.0, abs=0.1)
    assert areas[("band", "beans")] == pytest.approx(3000.0, abs=0.1)
    assert areas[("headland", "grass")] == pytest.approx(1200.0, abs=0.1)
    assert sorted(table.loc[table["kind"] == "band", "number"]) == list(range(1, 11))


def test_rows_of_the_field_on_paper_are_those_of_the_sum():
    # 6 m / 0.75 m = 8 rows of maize and 6 m / 0.25 m = 24 of beans in each of five bands
    table = rows_table(paper_layout())
    assert table.groupby("crop").size().to_dict() == {"field beans": 120, "maize": 40}
    assert table["length_m"].to_numpy() == pytest.approx(100.0, abs=0.01)
    first = table[table["crop"] == "maize"].iloc[0]
    assert (first["band"], first["number"], first["row"], first["from_anchor_m"]) == (
        "A",
        1,
        1,
        0.375,
    )


def test_rows_tell_their_grade_where_heights_are_known():
    # 3 % up to the north; half of it is the limit, so all of a row straight up is over
    layout = laid(
        on_hill(lambda _x, y: 100 + 0.03 * y), plan_of(STRIPS, guide='bearing = 0.0\nfrom = "west"')
    )
    table = rows_table(layout)
    assert table["grade_percent"].to_numpy() == pytest.approx(3.0)
    assert table["steepest_percent"].to_numpy() == pytest.approx(3.0)
    assert table["over_grade_percent"].to_numpy() == pytest.approx(100.0)
    assert "grade_percent" not in rows_table(paper_layout())


def test_passes_of_the_field_on_paper_are_those_of_the_sum():
    # one pass of the 6 m planter a maize band, two of the 3 m drill a bean band
    table = passes_table(paper_layout())
    assert table.groupby("operation").size().to_dict() == {"drill": 10, "plant": 5}
    assert set(table["machine"]) == {"planter", "drill"}
    worked = (table["works_to_m"] - table["works_from_m"]).to_numpy()
    assert worked == pytest.approx(table["width_m"].to_numpy(), abs=0.002)


def test_guidance_runs_from_a_to_b_in_the_direction_of_the_guide():
    table = guidance_table(paper_layout(), 0)
    xy = shapely.get_coordinates(table.geometry.array).reshape(-1, 2, 2)
    assert list(table["NAME"]) == ["plant 1", "plant 2", "plant 3", "plant 4", "plant 5"]
    assert (xy[:, 1, 1] > xy[:, 0, 1]).all()  # bearing 0: B lies north of A


def test_rounds_are_told_and_stand_behind_the_passes_of_their_operation():
    layout = sample_layout("slough_quarter")
    rounds, guidance = rounds_table(layout), guidance_table(layout, 0)
    assert set(rounds["operation"]) == {"seed"}
    assert sorted(set(rounds["round_obstacle"])) == [0, 1, 2, 3]
    assert rounds.loc[rounds["round_obstacle"] == 0, "from_edge_m"].tolist() == [6.0, 18.0]
    assert len(guidance) == len(layout.passes) + len(rounds)
    assert guidance["NAME"].tolist()[len(layout.passes)] == "seed round 1"
    assert guidance["TYPE"].tolist()[len(layout.passes)] == "round"


def test_trees_are_told_with_their_species_and_place():
    layout = sample_layout("crooked_hedge")
    table = trees_table(layout)
    assert len(table) == len(layout.trees)
    assert set(table["species"]) == {"walnut"}
    assert set(table["band"]) == {"tree strip"}


def test_edges_are_told_where_the_headland_lies_at_the_ends():
    table = edges_table(paper_layout())
    assert sorted(table["side"]) == ["north", "south"]
    assert table["length_m"].to_numpy() == pytest.approx(60.0, abs=0.01)
    assert table["width_m"].to_numpy() == pytest.approx(10.0)
    assert table["meets_rows_at"].to_numpy() == pytest.approx(90.0, abs=0.1)


def test_headland_is_the_headland_of_the_ground():
    layout = sample_layout("pond_piece")
    mine = layout.ground.kind == "headland"
    table = headland_table(layout)
    assert table["area_m2"].sum() == pytest.approx(layout.ground.area[mine].sum(), abs=0.01)
    assert list(table.index) == list(range(1, int(mine.sum()) + 1))


@pytest.mark.parametrize("make", TABLES, ids=lambda make: make.__name__)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_table_comes_to_degrees_with_all_its_rows(make, name):
    layout = sample_layout(name)
    table = make(layout)
    moved = on_wgs84(table, layout.field.frame)
    assert len(moved) == len(table)
    assert list(moved.columns) == list(table.columns)
    assert moved.crs.to_epsg() == 4326
    assert list(moved.index) == list(range(1, len(table) + 1))


def test_what_is_done_to_a_table_changes_no_layout():
    layout = paper_layout()
    table = ground_table(layout)
    table.loc[:, "stand"] = "nettles"
    table.geometry = [shapely.box(0, 0, 1, 1)] * len(table)
    assert set(ground_table(layout)["stand"]) == {"maize", "beans", "grass"}


def test_crops_of_a_stand_are_told_once_each():
    plan = sample_layout("two_halves").plan
    assert crops_of(plan.stand("wheat then soya")) == "wheat + soya"
    assert crops_of(None) == ""


def test_a_table_without_rows_has_its_columns():
    table = trees_table(paper_layout())
    assert not len(table)
    assert {"species", "row", "position"} <= set(table.columns)


def test_numbers_are_numbers():
    table = ground_table(paper_layout())
    assert np.issubdtype(table["number"].dtype, np.integer)
    assert np.issubdtype(table["area_m2"].dtype, np.floating)
