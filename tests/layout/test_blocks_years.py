"""The ground of other seasons. Invented."""

import pytest
import shapely
from rotation_plans import EXCHANGED, TWO
from sample_layouts import SAMPLES, paper_layout, sample_layout

from geolayout.layout.blocks.years import season_cuts, season_ground, seasons_in_order

GUIDE = 'schema = 1\n[guide]\nbearing = 0.0\nfrom = "west"\n'


def sums(layout, season):
    found = {}
    for name, piece in season_ground(layout.plan, layout.blocks, season):
        found[name] = found.get(name, 0.0) + piece.area
    return found


def test_stands_change_places():
    layout = paper_layout(GUIDE + TWO + EXCHANGED)
    first, second = seasons_in_order(layout.plan)
    # 60 m by 120 m, half of it each: 3,600 m2
    assert sums(layout, first) == pytest.approx({"maize": 3600.0, "beans": 3600.0}, rel=1e-4)
    assert sums(layout, second) == pytest.approx({"maize": 3600.0, "beans": 3600.0}, rel=1e-4)
    (block,) = layout.blocks
    names = [
        [stand.name for _, stand in season_cuts(layout.plan, block, one)] for one in (first, second)
    ]
    assert names[0] == names[1][::-1]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_season_fills_the_crop_land(name):
    layout = sample_layout(name)
    whole = sum(block.crop_land.area for block in layout.blocks if not block.crossed_by)
    for season in seasons_in_order(layout.plan):
        pieces = [piece for _, piece in season_ground(layout.plan, layout.blocks, season)]
        assert sum(piece.area for piece in pieces) == pytest.approx(whole, rel=1e-9)
        assert shapely.is_valid(pieces).all()
