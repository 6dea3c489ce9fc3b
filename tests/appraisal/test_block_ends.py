"""Rows that end at another block, gaps that hold no turn, ways across without a headland."""

import pytest
from shapely import box
from strategies import STRIPS, field_of, laid, plan_of

from geolayout.appraisal.block_ends import block_end_cautions

RECTANGLE = box(0, 0, 200, 100)
BLOCKS = """
[[block]]
name = "west"
part = {{ side = "west", width = 80.0 }}
pattern = "strips"
guide = {{ bearing = {west}, from = "south" }}
{own}
[[block]]
name = "east"
rest = true
pattern = "strips"
guide = {{ bearing = {east}, from = "{counted}" }}
"""
ENDS = '[headland]\nwhere = "ends"\nwidth = 12.0\n'
OWN = 'headland = { where = "ends", width = 12.0 }'
DRILL = """
[[stand]]
name = "wheat"
sowing = [ {{ crop = "wheat", spacing = 0.5, operation = "drill" }} ]
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = {radius}
[[operation]]
name = "drill"
machine = "drill"
{work}
[[pattern]]
name = "sown"
bands = [ {{ name = "W", width = 12.0, stand = "wheat" }} ]
"""


def blocks(own="", west=90.0, east=0.0, counted="west"):
    plan = plan_of(STRIPS, ENDS, BLOCKS.format(own=own, west=west, east=east, counted=counted))
    return laid(field_of(RECTANGLE), plan)


def test_rows_that_end_at_another_block_turn_on_its_crop():
    # rows of the west run east and meet 100 m of border; those of the east run along it; the
    # headland at the ends of the east takes 12 m at both ends of the border
    (caution,) = block_end_cautions(blocks())
    assert caution.key == "rows-end-at-a-block"
    assert caution.value == pytest.approx(76.0, abs=0.2)
    assert caution.sentence.startswith("Rows of block west end along 76 m of block east, ")
    assert "machines turn on its crop" in caution.sentence
    assert "Give block west a headland of its own" in caution.remedy


def test_a_headland_of_its_own_is_ground_to_turn_on():
    assert block_end_cautions(blocks(own=OWN)) == []


def test_rows_along_the_border_end_elsewhere():
    text = BLOCKS.format(own="", west=0.0, east=0.0, counted="west").replace('"south"', '"west"')
    assert block_end_cautions(laid(field_of(RECTANGLE), plan_of(STRIPS, ENDS, text))) == []


def test_rows_that_end_at_each_other_are_said_of_both():
    found = block_end_cautions(blocks(east=90.0, counted="south"))
    assert [one.sentence.split(" end ")[0] for one in found] == [
        "Rows of block west",
        "Rows of block east",
    ]
    assert [one.value for one in found] == pytest.approx([100.0, 100.0], abs=0.2)


def tiers(says, radius=6.0):
    block = f"""
[[block]]
name = "north"
rest = true
pattern = "sown"
tiers = {{ {says} }}
"""
    plan = plan_of(DRILL.format(radius=radius, work=""), block)
    return laid(field_of(RECTANGLE), plan)


def test_a_gap_that_holds_no_turn_is_said():
    # R = 6, w = 6: sqrt((2 R)^2 - (R + w / 2)^2) + R + w / 2 = sqrt(144 - 81) + 9 = 16.94 m
    (caution,) = block_end_cautions(tiers("count = 2, gap = 8.0"))
    assert caution.key == "gap-between-tiers"
    assert caution.sentence == (
        "Between the tiers of block north lie 8.0 m, and the turn of drill into the neighbouring "
        "pass takes 16.9 m."
    )


@pytest.mark.parametrize(
    ("says", "radius"),
    [
        ("count = 2, gap = 17.0", 6.0),
        ("count = 2", 6.0),
        ("count = 1", 6.0),
        ("count = 2, gap = 6.1", 3.0),
    ],
    ids=["a wide gap", "no gap: the drill goes on", "one tier", "a nimble machine"],
)
def test_tiers_with_room_or_without_a_gap_are_silent(says, radius):
    assert block_end_cautions(tiers(says, radius)) == []


def crossed(headland):
    work = 'over = "block"\ncrossed = 90.0'
    plan = plan_of(DRILL.format(radius=3.0, work=work), headland)
    return block_end_cautions(laid(field_of(RECTANGLE), plan))


def test_ways_across_end_along_the_sides():
    # the headland at the ends leaves 200 - 24 = 176 m on each of two sides
    (caution,) = crossed(ENDS)
    assert caution.key == "no-headland-across"
    assert caution.value == pytest.approx(352.0, abs=0.5)
    assert caution.sentence.startswith("Across the rows, passes of drill end along 352 m of edge")


def test_a_headland_all_round_holds_both_ways():
    assert crossed(ENDS.replace("ends", "all round")) == []
