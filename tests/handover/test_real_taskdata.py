"""
Task data, phone files and rasters of real fields, wherever these lie.

No real field is kept in this repository. Where there is no folder of them the tests skip.
"""

from functools import partial

import gpxpy
import pytest
from lxml import etree
from sample_layouts import STRIPS
from strategies import no_faults_on, real_fields
from taskdata_checks import SCHEMA, own_faults

from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.handover.files.gpx import gpx_bytes
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.files.shapelayers import layers_of
from geolayout.handover.taskdata.folder import write_taskdata
from geolayout.plan.parse import parse_plan

PLAN = parse_plan(
    STRIPS.replace("width = 10.0", "width = 12.0").replace(
        'bearing = 0.0\nfrom = "west"', 'choose = "longest edge"'
    )
)
VERSIONS = ("taskdata_4", "taskdata_3", "taskdata_3_grid")


def faults(layout, folder, schema):
    """Say what is wrong with the files of a layout."""
    rates = operation_rates(layout)
    write_taskdata(layout, (), rates, folder)
    near = layout.field.boundary.bounds
    found = [one for v in VERSIONS for one in own_faults(folder / v / "TASKDATA", near=near)]
    schema.validate(etree.parse(str(folder / "taskdata_4" / "TASKDATA" / "TASKDATA.XML")))
    found += [str(fault) for fault in schema.error_log]
    amounts = {one.crop: one.amount for one in seed_amounts(layout) if one.place == "bands"}
    for one in rates:
        for k, product in enumerate(one.products):
            step = 1e4 if product.unit == "seeds/m2" else 1.0
            sown = sum(zone.rate[k] * zone.true.area * step / 1e4 for zone in one.zones)
            if abs(sown - amounts[product.name]) > 2e-6 * amounts[product.name] + 1.0:
                found.append(f"{product.name}: {sown} by zones, {amounts[product.name]} to order")
    data = gpxpy.parse(gpx_bytes(layout, layers_of(layout, ())).decode())
    if [track.type for track in data.tracks].count("PASS") != len(layout.passes):
        found.append("passes are missing from GPX")
    return found


def check(fields, folder):
    """Look at the files of every field that the plan fits on."""
    schema = etree.XMLSchema(etree.parse(str(SCHEMA)))
    no_faults_on(fields, PLAN, folder, partial(faults, schema=schema))


def test_files_of_six_real_fields_are_sound(tmp_path):
    check(real_fields(6, seed=11783), tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(4))
def test_files_of_200_real_fields_are_sound(part, tmp_path):
    check(real_fields(200, seed=43)[part::4], tmp_path)
