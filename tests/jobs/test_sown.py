"""A returned file of work laid over a sample plan. The records are invented."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sample_layouts import SAMPLE_FOLDER
from work_records import as_csv, as_planned

from geolayout import jobs
from geolayout.appraisal.worked.done import WorkDone
from geolayout.errors import FileError, PlanError
from geolayout.jobs.sown import WorkRecord, compared_dict, work_of

JOB = jobs.resolve(jobs.read(SAMPLE_FOLDER / "windy_bank.toml"))
LAYOUT = jobs.lay(JOB)
DRILL = "drill barley"
WORK = as_planned(LAYOUT, DRILL, step=5.0, rate=320.0)


def compared(tmp_path, work=WORK, name=DRILL, product="spring barley", **record):
    path = as_csv(LAYOUT, work, tmp_path / "drill.csv", product=product)
    return work_of(JOB, WorkRecord(path, **record), operation=name)


def test_a_file_of_what_was_planned_comes_back_clean(tmp_path):
    found = compared(tmp_path)
    sown = found.sown
    assert sown.missed_m2 == pytest.approx(0.0, abs=0.5)  # nine decimals of a degree: 0.1 mm
    assert sown.doubled_m2 == pytest.approx(0.0, abs=0.5)
    assert sown.wrong == ()
    assert sown.mean_across_m == pytest.approx(0.0, abs=1e-4)
    bands = [one for one in found.rates.strips if one.planned > 0.0]
    assert [one.mean_rate for one in bands] == pytest.approx([320.0] * len(bands))
    assert [one.put_out for one in bands] == pytest.approx([one.planned for one in bands], rel=1e-4)
    assert found.notes == ("The file does not say the unit of its rates; taken for seeds/m2.",)


def test_lines_of_the_same_work_tell_the_same(tmp_path):
    import geopandas as gpd  # noqa: PLC0415  (written by another hand than the one that reads)

    lines = LAYOUT.passes.lines.geometry[LAYOUT.passes.operation == 0]
    drawn = [LAYOUT.field.frame.to_geographic(one) for one in lines]
    table = gpd.GeoDataFrame({"RATE": np.full(len(drawn), 320.0)}, geometry=drawn, crs="EPSG:4326")
    table.to_file(tmp_path / "drill.shp")
    found = work_of(JOB, WorkRecord(tmp_path / "drill.shp"), operation=DRILL)
    assert found.sown.missed_m2 == pytest.approx(0.0, abs=0.5)
    assert found.rates.unrated_m2 == 0.0
    assert found.sown.mean_across_m == pytest.approx(0.0, abs=1e-4)


def test_areas_with_a_rate_are_read_back(tmp_path):
    import geopandas as gpd  # noqa: PLC0415

    lines = LAYOUT.passes.lines.geometry[LAYOUT.passes.operation == 0]
    shapes = shapely.buffer(lines, 1.5, cap_style="flat")
    drawn = [LAYOUT.field.frame.to_geographic(one) for one in shapes]
    table = gpd.GeoDataFrame({"rate": np.full(len(drawn), 300.0)}, geometry=drawn, crs="EPSG:4326")
    table.to_file(tmp_path / "drill.geojson")
    found = work_of(JOB, WorkRecord(tmp_path / "drill.geojson", ahead=1.0), operation=DRILL)
    assert found.sown.missed_m2 == pytest.approx(0.0, abs=1.0)
    assert found.sown.mean_across_m == pytest.approx(0.0, abs=1e-3)
    assert max(one.mean_rate for one in found.rates.strips) == pytest.approx(300.0)
    assert "Areas have no direction of driving and were not set back." in found.notes


@pytest.mark.parametrize(
    ("unit", "rate"),
    [
        pytest.param("seeds/ha", 3_200_000.0, id="per hectare"),
        pytest.param("seeds/m²", 320.0, id="with a raised two"),
        pytest.param("seeds/ac", 320.0 * 4046.8564224, id="per acre"),
    ],
)
def test_rates_in_another_unit_are_brought_to_the_plans(tmp_path, unit, rate):
    work = WorkDone(tuple(replace(one, rate=one.rate * rate / 320.0) for one in WORK.strands))
    found = compared(tmp_path, work, unit=unit)
    assert max(one.mean_rate for one in found.rates.strips) == pytest.approx(320.0, rel=1e-4)


@pytest.mark.parametrize(
    ("record", "product", "note"),
    [
        pytest.param({"unit": "kg/ha"}, "", "recorded in kg/ha, planned in seeds/m2", id="weight"),
        pytest.param({}, "wheat", "wheat is no product of this operation", id="another crop"),
    ],
)
def test_what_cannot_be_compared_is_said(tmp_path, record, product, note):
    assert note in " ".join(compared(tmp_path, product=product, **record).notes)


def test_a_file_without_rates_says_so(tmp_path):
    work = WorkDone(tuple(replace(one, rate=one.rate * np.nan) for one in WORK.strands))
    found = compared(tmp_path, work)
    assert found.rates is None
    assert found.notes == ("No rates are compared: the file has no rates.",)


def test_the_file_of_another_operation_is_asked_about(tmp_path):
    found = compared(tmp_path, name="spray")
    assert "may be that of another operation" in found.notes[-1]


def test_json_has_a_place_for_every_patch(tmp_path):
    told = compared_dict(compared(tmp_path, WorkDone(WORK.strands[:-3])))
    assert told["missed"]
    for patch in told["missed"]:
        lon, lat = patch["inside_lon_lat"]
        point = shapely.Point(lon, lat)
        assert shapely.distance(LAYOUT.field.boundary, point) == 0.0


@pytest.mark.parametrize(
    ("name", "match"),
    [
        pytest.param(None, "3 operations of the plan have passes", id="several and none named"),
        pytest.param("drill barly", "drill barley", id="a slip of the pen"),
    ],
)
def test_an_operation_must_be_one_of_the_plan(tmp_path, name, match):
    with pytest.raises(PlanError, match=match):
        compared(tmp_path, name=name)


@pytest.mark.parametrize("width", [0.0, -3.0, 3000.0])
def test_a_width_no_machine_has(tmp_path, width):
    with pytest.raises(PlanError, match="width worked"):
        compared(tmp_path, width=width)


def test_an_unknown_unit(tmp_path):
    with pytest.raises(PlanError, match="bags/field"):
        compared(tmp_path, unit="bags/field")


def test_work_of_another_place_is_refused(tmp_path):
    path = tmp_path / "far.csv"
    path.write_text("lon,lat\n10,50\n10,50.00001\n", "utf-8")
    with pytest.raises(FileError, match="work of another place"):
        work_of(JOB, WorkRecord(path), operation=DRILL)


def test_places_far_from_the_field_are_counted(tmp_path):
    far = replace(WORK.strands[0], xy=WORK.strands[0].xy + np.array([0.0, 600.0]))
    found = compared(tmp_path, WorkDone((*WORK.strands, far)))
    assert f"{len(far.xy)} of " in found.notes[0]
    assert "over 30 m from the field" in found.notes[0]
