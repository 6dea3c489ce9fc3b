"""
Counts that rounding must never change.

Each field below is written out with 7 and with 8 decimals of longitude and latitude, turned 60
ways, its ring begun at another vertex and run the other way, and the resolved guide is turned
with it. Bands, rows, trees and passes must come out as they do for the field as drawn. No row,
tree or band of these fields lies within 2 cm of a step on purpose unless the slack is to hold it.
"""

import dataclasses

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, Polygon, affinity, box
from strategies import (
    ALLEYS,
    ENDS,
    PLACE,
    STRIPS,
    centred,
    counts,
    feature_beside,
    field_of,
    laid,
    plan_of,
)

from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import guides_of, resolve_guides

RECTANGLE = box(0, 0, 200, 100)
MACHINES = """
[[machine]]
name = "drill"
working_width = 3.0
[[machine]]
name = "sprayer"
working_width = 24.0
[[operation]]
name = "drill"
machine = "drill"
over = "band"
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""
ORCHARD = """
[[pattern]]
name = "orchard"
[[pattern.bands]]
name = "T"
width = 60.0
stand = "grass"
trees = { at = [0.0, 12.0, 24.0, 36.0, 48.0, 60.0], in_row_spacing = 4.0, first = 0.0 }
"""
NARROW = """
[[pattern]]
name = "six"
bands = [
  { name = "M", width = 1.5, stand = "maize" },
  { name = "L", width = 4.5, stand = "beans" },
]
"""
ROUND = '[headland]\nwhere = "all round"\nwidth = 12.0\ncorners = "rounded"'


@dataclasses.dataclass(frozen=True)
class Case:
    """A field, what stands in it, and its plan."""

    land: Polygon | MultiPolygon
    parts: tuple[str, ...]
    guide: str = 'near_edge = "south"'
    pond: Polygon | None = None

    def features(self, turn):
        """Give the pond, turned as the field is about the middle of its bounds."""
        if self.pond is None:
            return []
        west, south, east, north = self.land.bounds
        middle = ((west + east) / 2, (south + north) / 2)
        moved = affinity.translate(self.pond, -middle[0], -middle[1])
        drawn = feature_beside(centred(self.land), "pond", moved, all=2.0, trees=5.0)
        turned = affinity.rotate(moved, -turn, origin=(0, 0))
        return [dataclasses.replace(drawn, geometry=Frame(*PLACE).to_geographic(turned))]


CASES = {
    "strips on a rectangle that is a whole number of rows and bands": Case(
        box(0, 0, 200, 96), (STRIPS, MACHINES)
    ),
    "strips on a rectangle with headland ends": Case(RECTANGLE, (STRIPS, ENDS, MACHINES)),
    "a right triangle along its long leg": Case(
        Polygon([(0, 0), (200, 0), (0, 100)]), (STRIPS, MACHINES)
    ),
    "a right triangle along its short leg": Case(
        Polygon([(0, 0), (200, 0), (0, 100)]), (STRIPS, MACHINES), 'near_edge = "west"'
    ),
    # tan 5.7 degrees = 0.0998: 20 m on 200.3 m
    "a triangle whose hedge lies 5.7 degrees off the rows": Case(
        Polygon([(0, 0), (200.3, 0), (200.3, 20)]), (STRIPS, ENDS, MACHINES)
    ),
    "trees along a hedge 5.7 degrees off the rows": Case(
        Polygon([(0, 0), (400.6, 0), (400.6, 90), (0, 50)]), (ALLEYS, MACHINES)
    ),
    "an ell with a mitred headland at its ends": Case(
        Polygon([(0, 0), (200, 0), (200, 101), (101, 101), (101, 203), (0, 203)]),
        (STRIPS, ENDS, MACHINES),
    ),
    "an ell with a rounded headland all round": Case(
        Polygon([(0, 0), (200, 0), (200, 101), (101, 101), (101, 203), (0, 203)]),
        (STRIPS, ROUND, MACHINES),
    ),
    "a rectangle with a round hole": Case(
        RECTANGLE - Point(100, 51).buffer(10), (STRIPS, ENDS, MACHINES)
    ),
    "alleys closed with a crop band at both sides": Case(RECTANGLE, (ALLEYS, ENDS, MACHINES)),
    "alleys round a pond in a tree row": Case(
        RECTANGLE, (ALLEYS, MACHINES), pond=box(90, 20, 110, 40)
    ),
    "an orchard with trees on its very edges": Case(box(0, 0, 60, 60), (ORCHARD,)),
    "a repeat of a narrow and a wide band": Case(box(0, 0, 100, 60), (NARROW, MACHINES)),
    "land in two parts": Case(
        MultiPolygon([box(0, 0, 80, 30), box(121, 5, 203, 37)]), (STRIPS, ENDS, MACHINES)
    ),
    "a slanting field": Case(
        Polygon([(0, 0), (211, 0), (271, 60.7), (60, 60.7)]), (STRIPS, ENDS, MACHINES)
    ),
}


def turned_and_rounded(land, turn, decimals, rng):
    """Land turned clockwise, in degrees rounded as files are, its rings begun and run anyhow."""
    turned = affinity.rotate(land, -turn, origin=(0, 0))
    lonlat = shapely.transform(turned, lambda xy: np.round(Frame(*PLACE).lonlat(xy), decimals))
    parts = [_redrawn(part, rng) for part in shapely.get_parts(lonlat)]
    rng.shuffle(parts)
    return MultiPolygon(parts) if len(parts) > 1 else parts[0]


def _redrawn(polygon, rng):
    """Begin every ring at another vertex, and run it the other way as often as not."""
    rings = []
    for ring in shapely.get_rings(polygon):
        xy = shapely.get_coordinates(ring)[:-1]
        xy = np.roll(xy, rng.integers(len(xy)), axis=0)[:: rng.choice([-1, 1])]
        rings.append(xy)
    return Polygon(rings[0], rings[1:])


def turned_plan(plan, guides, turn):
    """Turn a resolved guide about the middle of the field, anchor and bearing."""
    frame = Frame(*PLACE)
    angle = np.radians(turn)
    matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    xy = tuple((np.array([guides.x, guides.y]) @ matrix).tolist())
    # `from` names a side of the compass, and sides do not turn: which way t grows stays said by
    # the side that now lies there.
    away = (guides.bearing + turn - 90.0 * guides.side) % 360.0
    words = ["north", "north-east", "east", "south-east", "south", "south-west", "west"]
    side = [*words, "north-west"][round(away / 45.0) % 8]
    update = {
        "bearing": round(frame.true_bearing(xy, guides.bearing + turn), 7) % 360.0,
        "anchor": tuple(frame.lonlat(np.array([xy]))[0].round(9).tolist()),
        "from_": side,
    }
    return plan.model_copy(update={"guide": plan.guide.model_copy(update=update)})


def test_a_guide_is_turned_as_the_field_is():
    field = field_of(RECTANGLE)
    plan = resolve_guides(plan_of(STRIPS), field, Drawn())
    guides = guides_of(plan.guide, field)
    turned = guides_of(turned_plan(plan, guides, 30.0).guide, field)
    corners = shapely.get_coordinates(centred(RECTANGLE))
    after = shapely.get_coordinates(affinity.rotate(centred(RECTANGLE), -30, origin=(0, 0)))
    assert turned.across(after) == pytest.approx(guides.across(corners), abs=1e-3)
    assert turned.along(after) == pytest.approx(guides.along(corners), abs=1e-3)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_rounding_turning_and_redrawing_change_no_count(case):
    land = centred(case.land)
    field = field_of(land, case.features(0.0))
    plan = resolve_guides(plan_of(*case.parts, guide=case.guide), field, Drawn())
    guides, wanted = guides_of(plan.guide, field), counts(lay_out(field, plan))
    rng = np.random.default_rng(60)
    found = {}
    for k in range(60):
        turn = 6.0 * k + rng.uniform(0.0, 6.0)
        for decimals in (7, 8):
            lonlat = turned_and_rounded(land, turn, decimals, rng)
            again = make_field(lonlat, features=case.features(turn))
            got = counts(lay_out(again, turned_plan(plan, guides, turn)))
            if got != wanted:
                found[round(turn, 2), decimals] = got
    assert found == {}, f"as drawn: {wanted}"


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_rounding_before_the_guide_is_resolved_changes_no_count(case):
    land = centred(case.land)
    plan = plan_of(*case.parts, guide=case.guide)
    wanted = counts(laid(field_of(land, case.features(0.0)), plan))
    rng = np.random.default_rng(7)
    for decimals in (7, 8):
        for _ in range(6):
            lonlat = turned_and_rounded(land, 0.0, decimals, rng)
            again = make_field(lonlat, features=case.features(0.0))
            assert counts(laid(again, plan)) == wanted


def test_a_field_of_rounded_corners_counts_what_paper_says():
    # 96 m hold 8 A of 8 rows and 8 B of 12 rows: 160 rows, 16 bands; drill 3 m: 32 passes,
    # sprayer 24 m: 4 passes
    case = CASES["strips on a rectangle that is a whole number of rows and bands"]
    layout = laid(field_of(case.land), plan_of(*case.parts))
    assert counts(layout) == {"bands": 16, "rows": 160, "trees": 0, "passes": 36}


def test_a_line_of_trees_beside_a_hedge_keeps_its_count_within_the_slack():
    # A tree row 196 m long with trees every 4 m from end to end: 50; a centimetre less at the
    # end, square to the edge, takes none away, and two centimetres take one.
    row = """
[[pattern]]
name = "row"
bands = [ { name = "T", width = 10.0, trees = { in_row_spacing = 4.0, first = 0.0 } } ]
"""
    lengths = {196.0: 50, 195.992: 50, 195.97: 49}
    for length, count in lengths.items():
        assert len(laid(field_of(box(0, 0, length, 10)), plan_of(row)).trees) == count, length
