"""What is spread or sprayed: its ground, its rate and its amount, in files for terminals."""

from dataclasses import replace

import pytest
import shapefile
import shapely
from isoxml.converter.shapely_geom import ShapelyConverterV4
from isoxml.models.ddi_entities import DDEntity
from isoxml.util.isoxml_io import isoxml_from_path
from lxml.etree import parse as fromfile
from sample_layouts import STRIPS, paper_layout, rectangle
from taskdata_checks import own_faults, schema_faults

from geolayout.handover.files.prescription import SLACK, prescriptions, write_prescriptions
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.files.spreadground import spreads
from geolayout.handover.taskdata.folder import ASKED_FOLDERS, FOLDERS, write_taskdata
from geolayout.layout.zones.field import ZoneClass, Zones
from geolayout.layout.zones.ground import cross
from geolayout.layout.zones.smooth import Least

SPRAYER = '[[machine]]\nname = "sprayer"\nworking_width = 24.0\n'
OPERATION = '[[operation]]\nname = "{name}"\nmachine = "sprayer"\nover = "block"\n{more}\n'


def plan(name, more):
    return STRIPS + SPRAYER + OPERATION.format(name=name, more=more)


def one_of(layout):
    (found,) = spreads(layout)
    return found


# The field is 60 m by 120 m with 10 m of headland in grass at both ends: bands are 60 x 100 m, half
# of them maize, half beans; the headland is 2 x 60 x 10 m.


@pytest.mark.parametrize(
    ("more", "unit", "total"),
    [
        pytest.param("litres_per_ha = 200.0", "l/ha", 120.0, id="all bands: 0.6 ha x 200 l"),
        pytest.param(
            'litres_per_ha = 200.0\nstands = ["beans"]', "l/ha", 60.0, id="beans: 0.3 ha x 200 l"
        ),
        pytest.param(
            'kg_per_ha = 150.0\nstands = ["maize", "grass"]',
            "kg/ha",
            63.0,
            id="maize and headland: 0.42 ha x 150 kg",
        ),
    ],
)
def test_the_amount_is_rate_times_the_ground_that_is_worked(more, unit, total):
    found = one_of(paper_layout(plan("treat", more)))
    assert (found.operation, found.unit) == ("treat", unit)
    assert found.total == pytest.approx(total, rel=1e-5)
    assert set(found.amounts.values()) == {found.rate}


@pytest.mark.parametrize(
    ("name", "more"),
    [
        pytest.param("harvest", "kg_per_ha = 8000.0", id="what is gathered"),
        pytest.param("cart muck", "kg_per_ha = 8000.0", id="what is carted"),
        pytest.param("irrigate", "litres_per_ha = 90000.0", id="water"),
        pytest.param("spray", "", id="without a rate"),
        pytest.param("spray", 'litres_per_ha = 200.0\nstands = ["oats"]', id="nothing that grows"),
    ],
)
def test_no_zones_are_made_of(name, more):
    text = plan(name, more) + '[[stand]]\nname = "oats"\nsowing = [ { crop = "oats", rows = 2 } ]\n'
    assert spreads(paper_layout(text)) == ()


def test_an_operation_that_sows_has_the_rates_of_its_seed_alone():
    text = STRIPS.replace(
        'name = "drill"\nmachine = "drill"', 'name = "drill"\nmachine = "drill"\nkg_per_ha = 90.0'
    )
    assert "kg_per_ha = 90.0" in text
    assert spreads(paper_layout(text)) == ()


def test_crossed_ground_gets_half_each_way_and_the_headland_all_at_once():
    crossed = 'kg_per_ha = 150.0\ncrossed = 60.0\nstands = ["maize", "beans", "grass"]'
    layout = paper_layout(plan("spread", crossed))
    found = one_of(layout)
    kinds = {kind: found.amounts[i] for i, kind in enumerate(layout.ground.kind.tolist())}
    assert kinds == {"band": 75.0, "headland": 150.0}
    assert found.total == pytest.approx(150.0 * 0.72, rel=1e-5)


def test_rate_zones_of_a_crop_part_what_is_sown_and_not_what_is_sprayed():
    table = """
[rate_zones]
source = "soil.tif"
classes = ["low", "high"]
limits = [5.0]
narrowest = 6.0
rate = [ { sowing = "maize", factor = { low = 0.5, high = 2.0 } } ]
"""
    layout = paper_layout(plan("spray", "litres_per_ha = 200.0") + table)
    halves = {"low": shapely.box(-30, -60, 30, 0), "high": shapely.box(-30, 0, 30, 60)}
    classes = [
        ZoneClass(name, *ends, area, area)
        for (name, area), ends in zip(halves.items(), ((None, 5.0), (5.0, None)), strict=True)
    ]
    crossed = cross(layout.ground, Zones(tuple(classes), Least(6.0, 36.0), 0.0))
    layout = replace(layout, zones=crossed)
    assert len(one_of(layout).amounts) == 20  # ten bands in two halves each
    assert one_of(layout).total == pytest.approx(120.0, rel=1e-5)
    rates = {one.operation: one for one in operation_rates(layout)}
    assert len(rates["plant"].zones) == 3
    (sprayed, nothing) = rates["spray"].zones
    assert (sprayed.rate, nothing.rate) == ((200.0,), (0.0,))
    assert sprayed.true.area == pytest.approx(6000.0, rel=1e-5)


def test_sprayed_ground_is_not_widened_and_seed_is():
    layout = paper_layout(plan("spray", 'litres_per_ha = 200.0\nstands = ["beans"]'))
    rates = {one.operation: one for one in operation_rates(layout)}
    assert list(rates) == ["plant", "drill", "spray"]
    sprayed, seed = rates["spray"].zones[0], rates["drill"].zones[0]
    assert sprayed.wide.symmetric_difference(sprayed.true).area < 1e-6
    assert shapely.hausdorff_distance(seed.wide, seed.true) >= SLACK
    by_name = {one.product: one for one in prescriptions(layout)}
    assert by_name["spray"].slack == 0.0
    assert by_name["spray"].zones[0].wide.equals(sprayed.wide)


@pytest.mark.parametrize(
    ("more", "entry", "raw", "amount"),
    [
        # 200 l/ha are 20,000 mm3/m2, and a step is 0.01 mm3/m2; 120 l are 120,000 ml.
        pytest.param("litres_per_ha = 200.0", 1, 2_000_000, 120_000, id="litres"),
        # 150 kg/ha are 15,000 mg/m2, and a step is 1 mg/m2; 90 kg are 90,000 g.
        pytest.param("kg_per_ha = 150.0", 6, 15_000, 90_000, id="kilograms"),
    ],
)
def test_a_terminal_gets_zones_in_the_entry_of_the_dictionary(more, entry, raw, amount, tmp_path):
    layout = paper_layout(plan("spray", more))
    write_taskdata(layout, (), operation_rates(layout), tmp_path, ASKED_FOLDERS)
    for version in (*FOLDERS, *ASKED_FOLDERS):
        folder = tmp_path / version / "TASKDATA"
        assert own_faults(folder, near=layout.field.boundary.bounds) == []
        if "_4" in version:
            assert schema_faults(folder / "TASKDATA.XML") == []
        data, _ = isoxml_from_path(folder, read_bin_files=True)
        (task,) = [one for one in data.tasks if one.designator.startswith("spray")]
        given = fromfile(str(folder / "TASKDATA.XML")).findall("TSK/PAN")[-1]
        assert int(given.get("C")) == pytest.approx(amount, rel=1e-5)
        assert DDEntity.from_id(int(given.get("B"), 16)).unit == {1: "ml", 6: "g"}[entry]
        values = [zone.process_data_variables for zone in task.treatment_zones]
        assert {int.from_bytes(one.process_data_ddi) for (one,) in values} == {entry}
        assert {one.process_data_value for (one,) in values} <= {0, raw}
    data, _ = isoxml_from_path(tmp_path / "taskdata_4" / "TASKDATA", read_bin_files=True)
    (task,) = [one for one in data.tasks if one.designator.startswith("spray")]
    nought, full = task.treatment_zones
    assert (nought.designator, nought.polygons) == ("nothing put on", [])
    drawn = shapely.union_all(
        [ShapelyConverterV4().to_shapely_polygon(one) for one in full.polygons]
    )
    bands = shapely.union_all(layout.ground.geometry[layout.ground.kind == "band"])
    assert layout.field.frame.to_local(drawn).symmetric_difference(bands).area < 0.3


def test_an_amount_too_large_for_task_data_is_told_on_paper_and_left_out_of_the_file(tmp_path):
    """40 t/ha of liquid on 600 m x 1,200 m less the headland: 70.8 ha x 40,000 l are 2,832 m3."""
    layout = paper_layout(plan("spread slurry", "litres_per_ha = 40000.0"), rectangle(600, 1200))
    write_taskdata(layout, (), operation_rates(layout), tmp_path)
    assert schema_faults(tmp_path / "taskdata_4" / "TASKDATA" / "TASKDATA.XML") == []
    data, _ = isoxml_from_path(tmp_path / "taskdata_4" / "TASKDATA", read_bin_files=True)
    (task,) = [one for one in data.tasks if one.designator.startswith("spread")]
    (given,) = task.product_allocations
    assert (given.quantity_ddi, given.quantity_value) == (None, None)
    (value,) = task.treatment_zones[1].process_data_variables
    assert value.process_data_value == 400_000_000
    said = (tmp_path / "taskdata_4" / "README.txt").read_text("utf-8")
    assert "spread slurry: spread slurry, 2,83" in said


def test_a_shapefile_holds_the_rate_and_its_unit(tmp_path):
    layout = paper_layout(plan("spray", "litres_per_ha = 200.0"))
    lines = write_prescriptions(layout, tmp_path, ())
    assert lines[-1] == "spray.shp: spray, operation spray: 200 l/ha on 0.60 ha."
    with shapefile.Reader(str(tmp_path / "spray.shp"), encoding="utf-8") as reader:
        rows = [record.as_dict() for record in reader.records()]
    assert [(row["RATE"], row["UNIT"]) for row in rows] == [(200.0, "l/ha"), (0.0, "l/ha")]
    assert [row["AREA_HA"] for row in rows] == pytest.approx([0.6, 0.12], abs=2e-4)
