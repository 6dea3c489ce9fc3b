"""
Files of real fields, wherever these lie: whole, sound, and without two rates on one place.

No real field is kept in this repository. Where there is no folder of them the tests skip.
"""

import json

import numpy as np
import pytest
import shapely
from pyproj import Geod
from sample_layouts import STRIPS
from shapely.geometry import shape
from strategies import laid, real_boundaries, real_fields

from geolayout.errors import GeolayoutError
from geolayout.handover.files.prescription import prescription_table, prescriptions
from geolayout.handover.files.vector import AREA_DECIMALS, geojson_text
from geolayout.handover.tables import ground_table, on_wgs84
from geolayout.land.field import make_field
from geolayout.plan.parse import parse_plan

GEOD = Geod(ellps="WGS84")
PLAN = parse_plan(
    STRIPS.replace("width = 10.0", "width = 12.0").replace(
        'bearing = 0.0\nfrom = "west"', 'choose = "longest edge"'
    )
)
STRANGE_OVERLAYS = ("vn_2021 46", "ch_zurich_west_2019 490")
"""Fields on which an overlay without a grid gave two rates to a sixth of the land."""


def faults(layout):
    """Say what is wrong with the files of a layout."""
    field = layout.field
    table = on_wgs84(ground_table(layout), field.frame)
    features = json.loads(geojson_text(table, AREA_DECIMALS))["features"]
    shapes = np.array([shape(feature["geometry"]) for feature in features])
    whole = shapely.union_all(shapes)
    found = []
    if not shapely.is_valid(shapes).all():
        found.append("ground that is not valid")
    if abs(shapely.area(shapes).sum() / whole.area - 1) > 1e-9:
        found.append("ground that overlaps")
    # A corner is rounded by 0.06 mm at most, along the whole edge.
    measured = sum(GEOD.geometry_area_perimeter(one)[0] for one in shapes)
    if abs(measured - field.area) > 1e-6 * field.area + 1e-4 * field.land.length:
        found.append("an area that is not that of the field")
    for one in prescriptions(layout):
        zones = np.asarray(prescription_table(layout, one).geometry.array)
        if not shapely.is_valid(zones).all():
            found.append(f"zones of {one.product} that are not valid")
        if abs(shapely.area(zones).sum() / shapely.union_all(zones).area - 1) > 1e-9:
            found.append(f"two rates of {one.product} on one place")
    return found


def check(fields):
    """Look at the files of every field that the plan fits on."""
    wrong = {}
    for field in fields:
        try:
            layout = laid(field, PLAN)
        except GeolayoutError:
            continue
        wrong[field.name] = faults(layout)
    assert wrong
    assert {name: words for name, words in wrong.items() if words} == {}


def test_files_of_25_real_fields_are_sound():
    check(real_fields(25, seed=7946))


def test_no_place_has_two_rates_where_an_overlay_once_went_wrong():
    every = dict(real_boundaries())
    fields = [make_field(every[name].geometry, name=name) for name in STRANGE_OVERLAYS]
    check(fields)


@pytest.mark.every_field
@pytest.mark.parametrize("tenth", range(10))
def test_files_of_every_real_field_are_sound(tenth):
    check(real_fields(len(real_boundaries()), seed=1)[tenth::10])
