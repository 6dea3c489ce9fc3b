"""Chains of dimensions stand beside their blocks, and on nothing else."""

from functools import partial
from itertools import combinations

import numpy as np
import pytest
import shapely
from shapely import Polygon, box
from strategies import ENDS, STRIPS, field_of, laid, plan_of

from geolayout.handover.pictures import chains
from geolayout.handover.pictures import map as picture
from geolayout.handover.pictures.chains import chains_of, reading, spaced
from geolayout.handover.pictures.paper import View
from geolayout.layout.blocks.drawn import Drawn

RECTANGLE = box(0, 0, 200, 100)
SLANTING = Polygon([(0, 0), (220, 20), (200, 140), (30, 120)])
FOUR = "".join(
    f"""
[[block]]
name = "{name}"
pattern = "strips"
land = "{name}.geojson"
guide = {{ {guide} }}
"""
    for name, guide in [
        ("one", 'bearing = 0.0, from = "west"'),
        ("two", 'bearing = 90.0, from = "south"'),
        ("three", 'bearing = 0.0, from = "east"'),
        ("four", 'bearing = 90.0, from = "north"'),
    ]
)
THREE_IN_A_ROW = "".join(
    f"""
[[block]]
name = "{name}"
pattern = "strips"
guide = {{ bearing = 0.0, from = "west" }}
{land}
"""
    for name, land in [
        ("lower", 'part = { side = "south", width = 30.0 }'),
        ("upper", 'part = { side = "north", width = 30.0 }'),
        ("middle", "rest = true"),
    ]
)
TIERS = """
[[block]]
name = "all"
rest = true
pattern = "strips"
tiers = { count = 3, gap = 12.0 }
"""


def quarters():
    """Lay four blocks round the middle of a field."""
    lands = {
        "one": box(-100, -50, 0, 0),
        "two": box(0, -50, 100, 0),
        "three": box(0, 0, 100, 50),
        "four": box(-100, 0, 0, 50),
    }
    return laid(field_of(RECTANGLE), plan_of(STRIPS, FOUR), drawn=Drawn(lands=lands))


def view_of(layout):
    return View.fitting(partial(picture._extent, layout))


LAYOUTS = {
    "one block": lambda: laid(field_of(SLANTING), plan_of(STRIPS, ENDS)),
    "four blocks round a middle": quarters,
    "three blocks, one behind the other": lambda: laid(
        field_of(SLANTING), plan_of(STRIPS, THREE_IN_A_ROW)
    ),
    "a block in tiers": lambda: laid(field_of(SLANTING), plan_of(STRIPS, TIERS)),
}


@pytest.mark.parametrize("make", LAYOUTS.values(), ids=LAYOUTS)
def test_no_chain_stands_on_the_field_or_on_another(make):
    layout = make()
    view = view_of(layout)
    boxes = [chain.box(view) for chain in chains_of(layout, view)]
    assert boxes
    assert [one.intersection(layout.field.land).area for one in boxes] == pytest.approx(
        [0.0] * len(boxes), abs=1e-6
    )
    for one, other in combinations(boxes, 2):
        assert one.intersection(other).area == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("make", LAYOUTS.values(), ids=LAYOUTS)
def test_every_chain_is_on_the_sheet(make):
    layout = make()
    view = view_of(layout)
    _, _, width, height = view.sheet.map_box
    east, north = view.west + view.metres(width), view.south + view.metres(height)
    sheet = box(view.west, view.south, east, north)
    assert all(sheet.covers(chain.box(view)) for chain in chains_of(layout, view))


def test_tiers_have_one_chain_and_blocks_one_each():
    assert len(chains_of(LAYOUTS["a block in tiers"](), View(None, 2000, 0, 0))) == 1
    captions = [one.caption for one in chains_of(quarters(), View(None, 2000, 0, 0))]
    assert captions == ["one", "two", "three", "four"]


def test_a_single_chain_needs_no_caption():
    (chain,) = chains_of(LAYOUTS["one block"](), View(None, 2000, 0, 0))
    assert (chain.caption, chain.outward) == ("", -1.0)


def test_a_block_with_a_neighbour_before_it_has_its_chain_behind():
    layout = LAYOUTS["three blocks, one behind the other"]()
    placed = {one.caption: one for one in chains_of(layout, View(None, 2000, 0, 0))}
    assert placed["lower"].outward == -1.0
    assert placed["upper"].outward == 1.0
    # the middle has neighbours at both ends: its chain stands beyond one of them
    assert placed["middle"].box(View(None, 2000, 0, 0)).distance(layout.field.land) > 0


def test_letters_lean_away_from_the_field_on_both_sides():
    (block,) = LAYOUTS["one block"]().blocks
    before, behind = reading(block, -1.0), reading(block, 1.0)
    assert before[0] == behind[0]
    assert {before[1], behind[1]} == {"left", "right"}


@pytest.mark.parametrize(
    ("places", "least", "chosen"),
    [
        pytest.param([0, 6, 12], 5, [0, 6, 12], id="all have room"),
        pytest.param([0, 6, 12], 7, [0, 12], id="the middle has none"),
        pytest.param([0, 1], 5, [0, 1], id="two edges are always told"),
        pytest.param([3], 5, [3], id="one edge"),
    ],
)
def test_figures_of_the_chain_do_not_touch(places, least, chosen):
    assert spaced(np.array(places, dtype=float), least) == chosen


@pytest.mark.parametrize(
    ("t", "figure"), [(0.0, "0"), (-0.001, "0"), (6.0, "6"), (100.0, "100"), (225.276, "225.28")]
)
def test_distances_have_the_decimals_they_need(t, figure):
    assert chains._figure(t) == figure


def test_room_is_kept_for_every_chain():
    layout = quarters()
    view = View(None, 2000, 0, 0)
    room = chains.chain_room(layout, view)
    assert shapely.area(room) == pytest.approx(
        sum(chain.box(view).area for chain in chains_of(layout, view)), rel=1e-9
    )
