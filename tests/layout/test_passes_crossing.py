"""Cross drilling on 200 m x 100 m: rows along and across, half the seed each way."""

import numpy as np
import pytest
import shapely
from shapely import Polygon, box
from strategies import ALLEYS, faults_of_ground, field_of, laid, plan_of

from geolayout.appraisal.quantities.passes import operation_figures
from geolayout.appraisal.quantities.rows import sowings
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.errors import LayoutError
from geolayout.layout.shapes.strips import reaches

RECTANGLE = box(0, 0, 200, 100)
WHEAT = """
[[stand]]
name = "wheat"
sowing = [ {{ crop = "wheat", {rows}, rate = {{ seeds_per_m2 = 300 }}, operation = "drill" }} ]
[[stand]]
name = "rye"
sowing = [ {{ crop = "rye", spacing = 0.125, operation = "{rye}" }} ]
[[machine]]
name = "drill"
working_width = 3.0
[[operation]]
name = "drill"
machine = "drill"
over = "block"
{work}
[[operation]]
name = "other"
machine = "drill"
[[pattern]]
name = "p"
bands = [ {bands} ]
"""
WHOLE = '{ name = "W", width = "rest", stand = "wheat" }'


def crossed(
    work="crossed = 90.0",
    *parts,
    rows="spacing = 0.125",
    bands=WHOLE,
    rye="other",
    land=RECTANGLE,
    guide='near_edge = "south"',
):
    text = WHEAT.format(rows=rows, work=work, bands=bands, rye=rye)
    return laid(field_of(land), plan_of(text, *parts, guide=guide))


def test_rows_are_laid_along_and_across():
    # along: 100 / 0.125 = 800 rows of 200 m; across: 200 / 0.125 = 1600 rows of 100 m
    layout = crossed()
    rows = layout.rows
    assert [block.name for block in layout.blocks] == ["", "drill across"]
    assert [np.count_nonzero(rows.block == k) for k in (0, 1)] == [800, 1600]
    sums = [rows.length[rows.block == k].sum() for k in (0, 1)]
    assert sums == pytest.approx([160_000.0, 160_000.0], rel=1e-5)


def test_no_ground_is_counted_twice():
    layout = crossed()
    assert faults_of_ground(layout) == []
    assert not (layout.ground.block == 1).any()
    assert layout.ground.bands == 1


def test_half_the_seed_goes_each_way_and_all_of_it_in_all():
    # 300 seeds/m2 x 0.125 m = 37.5 a metre of row; half of it is 18.75, 53.3 mm apart
    layout = crossed()
    along, across = sowings(layout)
    for figure in (along, across):
        assert figure.in_row_spacing_m == pytest.approx(1 / 18.75, rel=1e-5)
    # 2 ha x 300 seeds/m2 = 6,000,000
    assert along.number_in_rows + across.number_in_rows == pytest.approx(6e6, rel=1e-5)
    (seed,) = seed_amounts(layout)
    assert seed.amount == pytest.approx(6e6, rel=1e-6)
    assert "set to half the rate" in seed.note
    (once,) = seed_amounts(crossed(""))
    assert (once.amount, once.note) == (seed.amount, "")


def test_passes_are_driven_both_ways():
    # along: ceil(100 / 3) = 34 of 200 m; across: ceil(200 / 3) = 67 of 100 m
    drill, _ = operation_figures(crossed())
    assert drill.passes == 34 + 67
    assert drill.length_m == pytest.approx(34 * 200 + 67 * 100, rel=1e-5)
    alone, _ = operation_figures(crossed(""))
    assert (alone.passes, alone.pieces) == (34, 34)


def test_rows_across_stand_in_the_beds_of_the_passes():
    layout = crossed(rows="rows = 4, spacing = 0.75", bands=WHOLE.replace('"rest"', "3.0"))
    t = layout.rows.t[layout.rows.block == 1]
    # 3 m with 4 rows: 0.375 + 0.75 k from the anchor
    assert (t - 0.375) / 0.75 == pytest.approx(np.round((t - 0.375) / 0.75), abs=1e-6)


@pytest.mark.parametrize("angle", [20.0, 45.0, 63.5, 90.0])
def test_the_second_way_lies_at_its_angle(angle):
    land = Polygon([(0, 0), (200, 30), (180, 140), (20, 110)])
    layout = crossed(f"crossed = {angle}", land=land)
    lines = layout.rows.lines
    ends = lines.ends(np.arange(len(lines)))
    step = ends[:, 1] - ends[:, 0]
    bearing = np.degrees(np.arctan2(step[:, 0], step[:, 1]))
    first, second = (np.median(bearing[layout.rows.block == k]) for k in (0, 1))
    assert (second - first) % 180 == pytest.approx(angle % 180, abs=1e-4)
    # both ways of rows stand on the same land, each metre 0.125 m wide
    for k in (0, 1):
        area = 0.125 * layout.rows.length[layout.rows.block == k].sum()
        assert area == pytest.approx(land.area, rel=2e-3)


def test_passes_across_reach_all_of_the_ground():
    land = Polygon([(0, 0), (200, 30), (180, 140), (20, 110)])
    layout = crossed("crossed = 60.0", land=land)
    block, passes = layout.blocks[1], layout.passes
    mine = passes.block == 1
    turned = block.guides.turn(block.crop_land)
    _, s0, s1 = reaches(turned, passes.t0[mine], passes.t1[mine])
    swept = shapely.union_all(shapely.box(passes.t0[mine], s0, passes.t1[mine], s1))
    assert shapely.difference(turned, swept).area < 1e-6


def test_only_the_crossed_operation_is_driven_across():
    layout = crossed()
    names = {layout.plan.operations[i].name for i in layout.passes.operation}
    across = set(layout.passes.operation[layout.passes.block == 1].tolist())
    assert {layout.plan.operations[i].name for i in across} == {"drill"}
    assert names == {"drill"}


def test_strips_of_one_stand_side_by_side_are_one_ground():
    bands = (
        '{ name = "A", width = 6.0, stand = "wheat" }, { name = "B", width = 9.0, stand = "wheat" }'
    )
    layout = crossed(bands=bands)
    assert layout.blocks[1].crop_land.area == pytest.approx(20_000.0, rel=1e-6)


def test_a_part_of_the_ground_is_crossed_alone():
    # 30 m of wheat from the south, then rye sown once
    bands = (
        '{ name = "W", width = 30.0, stand = "wheat" }, '
        '{ name = "R", width = "rest", stand = "rye" }'
    )
    layout = crossed(bands=bands)
    assert layout.blocks[1].crop_land.area == pytest.approx(6_000.0, rel=1e-5)
    across = layout.rows.length[layout.rows.block == 1]
    assert across == pytest.approx(np.full(1600, 30.0), abs=1e-3)


STRIPS_OF_TWO = (
    '{ name = "A", width = 6.0, stand = "wheat" }, { name = "B", width = 6.0, stand = "rye" }'
)
BENT = 'kind = "along"\nnear_edge = "south"'


@pytest.mark.parametrize(
    ("given", "match"),
    [
        pytest.param(
            {"bands": STRIPS_OF_TWO},
            r"is crossed, and band B 2 lies within the ground.*drive over that band",
            id="strips that it does not work",
        ),
        pytest.param(
            {"bands": STRIPS_OF_TWO, "rye": "drill"},
            r"is crossed, and sows rye and wheat\. Across the rows it sows one",
            id="two stands",
        ),
        pytest.param(
            {"guide": BENT}, r"is crossed, where the lines are bent", id="lines along an edge"
        ),
    ],
)
def test_ground_that_cannot_be_crossed_is_refused(given, match):
    with pytest.raises(LayoutError, match=match):
        crossed(**given)


def test_alleys_are_not_crossed():
    alleys = ALLEYS.split("[[pattern]]")[1].split("bands = ")[1].split("]\nclose_with")[0] + "]"
    bands = alleys.strip().removeprefix("[").removesuffix("]").replace('"beans"', '"wheat"')
    with pytest.raises(LayoutError, match=r"and band T \d+ lies within the ground"):
        crossed(bands=bands.strip())
