"""
Every figure of a layout, against sums on paper.

The fields are rectangles in their own frame, so areas are width times length. What density and
row length the trade prints is in test_row_quantities and test_tree_quantities.
"""

import json

import pytest
import shapely
from appraisal_layouts import (
    BANDS,
    HEADLAND,
    MACHINES,
    STANDS,
    close,
    feature_in,
    layout_of,
    strips,
)
from strategies import real_fields

from geolayout.appraisal.quantities.figures import KINDS, figures
from geolayout.errors import GeolayoutError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan


def kind(result, name):
    return next(area for area in result.kinds if area.kind == name)


@pytest.fixture(scope="module")
def paper():
    """Return the figures of 60 x 120 m, 10 strips of 6 m, headland of 10 m at both ends."""
    return figures(strips(HEADLAND))


def test_kinds_of_ground_add_up_to_the_field(paper):
    assert sum(area.area_m2 for area in paper.kinds) == close(7200.0)
    assert paper.field.ground_m2 == pytest.approx(paper.field.frame_m2, rel=1e-9)
    assert [area.kind for area in paper.kinds] == list(KINDS)


def test_the_area_of_record_stands_beside_the_frame_with_the_difference(paper):
    field = paper.field
    assert field.record_m2 == pytest.approx(7200.0, rel=1e-6)
    assert field.difference_m2 == pytest.approx(field.frame_m2 - field.record_m2, abs=1e-12)


def test_bands_and_headland_are_width_times_length(paper):
    # 10 bands of 6 x 100 m; headland 2 x 10 x 60 = 1200 of 7200 m2 = 16.67 %.
    assert [band.area_m2 for band in paper.bands] == close([600.0] * 10)
    assert [band.number for band in paper.bands] == list(range(1, 11))
    assert [band.width_m for band in paper.bands] == close([6.0] * 10)
    assert paper.headland.area_m2 == close(1200.0)
    assert paper.headland.percent_of_field == close(100 / 6)


def test_stands_and_crops_have_their_ground(paper):
    stands = {area.stand: area for area in paper.stands}
    assert stands["maize"].band_m2 == close(3000.0)
    assert stands["beans"].band_m2 == close(3000.0)
    assert stands["grass"].headland_m2 == close(1200.0)
    crops = {area.crop: area for area in paper.crops}
    assert crops["grass"].area_m2 == close(1200.0)
    assert crops["grass"].band_m2 == 0.0
    assert crops["maize"].area_m2 == close(3000.0)


def test_two_crops_on_one_ground_both_have_all_of_it():
    stand = (
        '[[stand]]\nname = "mixture"\nsowing = [ { crop = "oats", spacing = 0.125 },'
        ' { crop = "peas", place = "broadcast" } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "mixture" } ]'
    )
    crops = {area.crop: area.area_m2 for area in figures(layout_of(stand)).crops}
    assert crops == close({"oats": 7200.0, "peas": 7200.0})


def test_margin_and_kept_ground_are_told_apart():
    # Margin 3 m all round: 7200 - 54 x 114 = 1044. A pond of 10 x 10 m kept by 2 m in the middle:
    # 100 m2 of water, and 4 x 10 x 2 + pi x 2^2 = 92.57 m2 round it.
    land = shapely.box(0, 0, 60, 120)
    pond = feature_in(land, "pond", shapely.box(25, 55, 35, 65), all=2.0)
    margin = '[margin]\nwidth = 3.0\nstand = "grass"'
    result = figures(strips(margin, features=[pond]))
    assert kind(result, "margin").area_m2 == close(1044.0)
    assert kind(result, "obstacle").area_m2 == close(100.0)
    assert kind(result, "keep-clear").area_m2 == pytest.approx(92.57, rel=2e-3)
    assert sum(area.area_m2 for area in result.kinds) == close(7200.0)


def test_land_beyond_the_repeats_is_left_over_with_its_reason():
    # 2 repeats of 12 m leave 36 m x 120 m.
    once = BANDS.replace('name = "strips"', 'name = "strips"\nrepeats = 2')
    (left,) = figures(layout_of(STANDS, once, MACHINES)).left_over
    assert left.area_m2 == close(4320.0)
    assert left.reason == "given up by the pattern"
    assert left.pieces == 1


def test_land_in_no_block_is_left_over():
    block = '[[block]]\nname = "west"\npart = { side = "west", width = 24.0 }\npattern = "strips"'
    (left,) = figures(strips(block)).left_over
    assert (left.reason, left.area_m2) == ("in no block", close(36 * 120))


def test_a_remainder_made_headland_grows_what_the_headland_grows():
    # 60 m hold 8 bands of 7 m; 4 m x 120 m become headland. Bands that may not be cut.
    bands = (
        '[[pattern]]\nname = "p"\nremainder = "headland"\n'
        'bands = [ { name = "A", width = 7.0, whole = true, stand = "maize" } ]'
    )
    result = figures(layout_of(STANDS, bands, MACHINES, HEADLAND))
    assert kind(result, "headland").area_m2 == close(1200 + 4 * 100)
    grass = next(area for area in result.stands if area.stand == "grass")
    assert grass.headland_m2 == close(1600.0)


def test_figures_are_plain_numbers_fit_for_json(paper):
    again = json.loads(json.dumps(paper.to_dict(), allow_nan=False))
    assert again["headland"]["area_m2"] == paper.headland.area_m2
    assert again["trees"]["trees"] == 0


def test_figures_of_real_fields_add_up():
    fields = real_fields(40, seed=5)
    text = "\n".join(["schema = 1", STANDS, BANDS, MACHINES, HEADLAND, "[guide]"])
    plan = parse_plan(text + '\nchoose = "longest edge"')
    laid = 0
    for field in fields:
        try:
            resolved = resolve_guides(plan, field, Drawn())
            result = figures(lay_out(field, resolved))
        except GeolayoutError:
            continue
        laid += 1
        total = field.land.area
        assert sum(area.area_m2 for area in result.kinds) == pytest.approx(total, rel=1e-9)
        bands = sum(band.area_m2 for band in result.bands)
        assert bands == pytest.approx(kind(result, "band").area_m2, abs=1e-6)
        stands = [(s.band_m2, s.headland_m2, s.margin_m2, s.other_m2) for s in result.stands]
        assert sum(map(sum, stands)) == pytest.approx(total, rel=1e-9)
    assert laid > len(fields) / 2
