"""A handover read back from its GeoJSON, GeoPackage and task data. All invented."""

import json
import re
import shutil

import geopandas as gpd
import numpy as np
import pyogrio
import pytest
import shapely
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.errors import FileError
from geolayout.handover.files.prescription import prescriptions
from geolayout.jobs.copyback import copies_of
from geolayout.jobs.readback import back_dict, read_back
from geolayout.jobs.taskback import read_task_data
from geolayout.jobs.writing import write

FILES = [
    "passes.geojson",
    "gis/layout.gpkg",
    "taskdata_4",
    "taskdata_3",
    "taskdata_3_grid",
]
SAMPLES = ["windy_bank", "bore_paddock"]


@pytest.fixture(scope="module")
def handed(tmp_path_factory):
    """Give the layouts of samples and their folders, which tests copy before they change them."""
    found = {}
    for name in SAMPLES:
        job = jobs.resolve(jobs.read(SAMPLE_FOLDER / f"{name}.toml"))
        layout = jobs.lay(job)
        folder = tmp_path_factory.mktemp("handed") / name
        write(job, layout, folder)
        found[name] = (layout, folder)
    return found


@pytest.fixture
def folder(handed, tmp_path):
    """A copy of a handover to change."""
    return shutil.copytree(handed["windy_bank"][1], tmp_path / "out")


def back_of(layout, folder, file):
    return next(one for one in copies_of(layout, folder) if one.file == file)


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_file_as_written_is_the_plans(handed, sample):
    layout, folder = handed[sample]
    copies = copies_of(layout, folder)
    assert [one.file for one in copies] == FILES
    for one in copies:
        assert one.area_m2 == pytest.approx(layout.field.land.area, rel=1e-5), one.file
        assert one.off_m2 < 0.5, one.file
        assert one.lines == one.planned > 0, one.file
        assert one.off_m < 2e-3, one.file
        assert (len(one.rates) > 0) == one.file.startswith("taskdata"), one.file


@pytest.mark.parametrize("sample", SAMPLES)
def test_rates_times_areas_are_the_seed_order_from_every_reader(handed, sample):
    layout, folder = handed[sample]
    order = {}
    for one in json.loads((folder / "summary.json").read_bytes())["seed"]:
        order[one["crop"]] = order.get(one["crop"], 0.0) + one["amount"]
    back = read_back(folder)
    for one in back.rates:
        assert one.amount == pytest.approx(one.planned, rel=1e-4)  # areas to a square metre
    for copy in back.copies:
        # Cells are counted by their middles: half a cell along every edge, which mostly cancels.
        share = 3e-3 if "grid" in copy.file else 1e-4
        for one in copy.rates:
            assert one.amount == pytest.approx(one.planned, rel=share), copy.file
            if (
                one.product == "white clover"
            ):  # broadcast but for wheel tracks, which are not bought
                assert order[one.product] < one.planned < 1.1 * order[one.product]
            else:
                assert one.planned == pytest.approx(order[one.product], rel=1e-6)
            assert one.changed_m2 < 1.0
    planned = {(one.product, one.unit) for one in prescriptions(layout)}
    for copy in back.copies[2:]:
        assert planned <= {(one.product, one.unit) for one in copy.rates}


def test_the_zip_holds_the_same_copies(handed):
    _, folder = handed["windy_bank"]
    assert back_dict(read_back(folder / "handover.zip")) == back_dict(read_back(folder))


def change(path, pattern, by, count=1):
    text = path.read_text("utf-8")
    assert re.search(pattern, text)
    path.write_text(re.sub(pattern, by, text, count=count), "utf-8")


TASKS = "TASKDATA/TASKDATA.XML"


@pytest.mark.parametrize("file", ["taskdata_4", "taskdata_3"])
def test_a_rate_set_on_the_terminal_shows_with_its_ground(handed, folder, file):
    layout = handed["windy_bank"][0]
    # 320 seeds/m2 in steps of 0.001 are 320000.
    change(folder / file / TASKS, 'B="320000"', 'B="300000"', 0)
    one = next(r for r in back_of(layout, folder, file).rates if r.product == "spring barley")
    assert one.amount == pytest.approx(one.planned * 300 / 320, rel=1e-4)
    wide = prescriptions(layout)[0].zones[0].wide.area
    assert one.changed_m2 == pytest.approx(wide, rel=1e-3)
    assert f"{file} gives" in " ".join(read_back(folder).differences)


def test_rates_of_cells_set_to_nought_show(handed, folder):
    layout = handed["windy_bank"][0]
    path = sorted((folder / "taskdata_3_grid" / "TASKDATA").glob("GRD*.bin"))[0]
    values = np.frombuffer(path.read_bytes(), dtype="<i4").copy()
    sown = np.flatnonzero(values)
    values[sown[: len(sown) // 2]] = 0
    path.write_bytes(values.tobytes())
    one = back_of(layout, folder, "taskdata_3_grid").rates[0]
    assert one.amount == pytest.approx(one.planned / 2, rel=0.02)
    assert one.changed_m2 > 1000.0


@pytest.mark.parametrize("file", ["taskdata_4", "taskdata_3"])
def test_a_line_moved_on_the_terminal_shows_by_how_much(handed, folder, file):
    layout = handed["windy_bank"][0]
    path = folder / file / TASKS
    text = path.read_text("utf-8")
    # The first point of the first pass of spraying, 1e-5 degrees of latitude: 1.11 m north.
    start = text.index('<LSG A="5" B="spray 1"')
    lat = re.compile(r'C="(\d+\.\d+)" D=').search(text, start)
    moved = f"{float(lat.group(1)) + 1e-5:.9f}"
    path.write_text(text[: lat.start(1)] + moved + text[lat.end(1) :], "utf-8")
    one = back_of(layout, folder, file)
    assert 0.9 < one.off_m < 1.2
    assert any(f"A line of {file} lies" in said for said in read_back(folder).differences)


def test_a_boundary_walked_anew_shows_what_differs(handed, folder):
    layout = handed["windy_bank"][0]
    path = folder / "field.geojson"
    table = gpd.read_file(path)
    smaller = table.to_crs("EPSG:32632")
    smaller.geometry = smaller.buffer(-1.0)
    smaller.to_crs("EPSG:4326").to_file(path, driver="GeoJSON")
    one = back_of(layout, folder, "passes.geojson")
    # A metre all round, but for the corners.
    assert one.off_m2 == pytest.approx(layout.field.land.length, rel=0.02)


def test_passes_moved_in_the_package_and_one_that_is_gone(handed, folder):
    layout = handed["windy_bank"][0]
    path = folder / "gis" / "layout.gpkg"
    table = pyogrio.read_dataframe(path, layer="passes").iloc[1:].copy()
    table.geometry = table.geometry.translate(yoff=1e-5)
    pyogrio.write_dataframe(table, path, layer="passes")
    one = back_of(layout, folder, "gis/layout.gpkg")
    assert (one.lines, one.planned) == (len(table), len(layout.passes) + len(layout.rounds))
    assert 0.5 < one.off_m < 1.3


BAD = [
    pytest.param("taskdata_4", 'B="320000"', 'B="many"', "must be a number", id="a rate in words"),
    pytest.param(
        "taskdata_4",
        r'<\?xml version="1.0" encoding="UTF-8"\?>',
        '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]>',
        "entit|DOCTYPE|declar",
        id="an entity from elsewhere",
    ),
    pytest.param("taskdata_3_grid", 'F="[0-9]+"', 'F="9999999"', "hold", id="a grid without end"),
    pytest.param("taskdata_3_grid", "GRD00001", "GRD00009", "not there", id="a grid that is gone"),
    pytest.param("taskdata_3_grid", "GRD00001", "../x", "not there", id="a grid that leads out"),
]


@pytest.mark.parametrize(("file", "pattern", "by", "match"), BAD)
def test_torn_or_hostile_task_data_are_refused(handed, folder, file, pattern, by, match):
    change(folder / file / TASKS, pattern, by)
    with pytest.raises(FileError, match=match):
        copies_of(handed["windy_bank"][0], folder)


def test_a_grid_cut_short_is_refused(handed, folder):
    path = sorted((folder / "taskdata_3_grid" / "TASKDATA").glob("GRD*.bin"))[0]
    path.write_bytes(path.read_bytes()[:1000])
    with pytest.raises(FileError, match="cut short"):
        copies_of(handed["windy_bank"][0], folder)


@pytest.mark.parametrize("shift", [-0.20, -0.10, -0.05, 0.05, 0.10, 0.20])
def test_passes_off_line_still_find_their_rate_in_task_data(handed, shift):
    """Wherever the land beside is not sown by the same operation, zones reach 20 cm into it."""
    layout, folder = handed["windy_bank"]
    held = read_task_data(folder / "taskdata_4" / TASKS)
    zones = next(one for one in held.zones if one.product == "spring barley")
    to_local = layout.field.frame.to_local
    sown = shapely.union_all([to_local(ground) for ground, rate in zones.zones if rate == 320.0])
    operation = [one.name for one in layout.plan.operations].index("drill barley")
    passes = layout.passes
    lines = passes.lines.geometry[passes.operation == operation]
    half = (passes.reach1 - passes.reach0)[passes.operation == operation][0] / 2.0
    assert len(lines) > 10
    outer = [  # the outer coulters, moved with the machine, a metre short of the ends
        shapely.offset_curve(line, side * (half - 0.01) - shift)
        for line in lines
        for side in (1, -1)
    ]
    shapely.prepare(sown)
    crop = shapely.union_all([block.crop_land for block in layout.blocks])
    own = shapely.buffer(crop, -1.0)
    for row in outer:
        on_land = shapely.intersection(row, own)
        far = shapely.segmentize(on_land, 5.0)
        assert shapely.intersects_xy(sown, *shapely.get_coordinates(far).T).all()
