"""Task data: valid, read by a reader that did not write it, and right where no schema looks."""

import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import isoxml.models.base.v3 as words_of_3
import numpy as np
import pytest
import shapely
from isoxml.converter.np_grid import to_numpy_array
from isoxml.converter.shapely_geom import ShapelyConverterV3, ShapelyConverterV4
from isoxml.models.ddi_entities import DDEntity
from isoxml.util.isoxml_io import isoxml_from_path
from lxml.etree import parse as fromfile
from sample_layouts import SAMPLES, STRIPS, paper_layout, rectangle, sample_layout
from taskdata_checks import own_faults, schema_faults

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.matchcode import match_code
from geolayout.handover.taskdata.folder import ASKED_FOLDERS, FOLDERS, write_taskdata
from geolayout.handover.taskdata.version3 import WORDS
from geolayout.land.readers import read_boundary

KEPT = TemporaryDirectory()


@cache
def written(name):
    """Write the task data of a sample once."""
    layout = sample_layout(name)
    folder = Path(KEPT.name) / name
    folder.mkdir()
    write_taskdata(layout, cautions(layout), operation_rates(layout), folder, ASKED_FOLDERS)
    return folder


def inner(name, version):
    return written(name) / version / "TASKDATA"


def read(name, version):
    """Read with the other reader."""
    return isoxml_from_path(inner(name, version), read_bin_files=True)


def has_rates(name):
    return bool(operation_rates(sample_layout(name)))


def operation_of(task):
    """Return the operation of a task, whose name ends in the year and the match code."""
    return re.sub(" ([0-9]{4} )?[0-9A-Z]{3}-[0-9A-Z]{3}$", "", task.designator)


RATED = [name for name in SAMPLES if name != "market_plots"]  # a trial that nobody drills


@pytest.mark.parametrize("version", ["taskdata_4", "taskdata_4_grid", "taskdata_4_codes"])
@pytest.mark.parametrize("name", SAMPLES)
def test_version_4_is_valid(name, version):
    if version == "taskdata_4" or has_rates(name):
        assert schema_faults(inner(name, version) / "TASKDATA.XML") == []


@pytest.mark.parametrize("version", [*FOLDERS, *ASKED_FOLDERS])
@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_is_wrong_that_no_schema_sees(name, version):
    if not inner(name, version).exists():
        assert version.endswith(("_grid", "_codes"))
        assert not has_rates(name)
        return
    near = sample_layout(name).field.boundary.bounds
    assert own_faults(inner(name, version), near=near) == []


@pytest.mark.parametrize("version", FOLDERS[:2])
@pytest.mark.parametrize("name", SAMPLES)
def test_our_own_reader_gets_the_boundary_back(name, version):
    found = read_boundary(inner(name, version) / "TASKDATA.XML")
    drawn = sample_layout(name).field.boundary
    assert found.geometry.symmetric_difference(drawn).area < 1e-6 * drawn.area


@pytest.mark.parametrize("name", RATED)
def test_the_other_reader_finds_every_zone_and_rate(name):
    data, _ = read(name, "taskdata_4")
    converter = ShapelyConverterV4()
    layout = sample_layout(name)
    frame = layout.field.frame
    by_task = {one.operation: one for one in operation_rates(layout)}
    for task in data.tasks:
        rates = by_task.get(operation_of(task))
        if rates is None:
            assert task.treatment_zones == []
            continue
        sown = [zone for zone in rates.zones[:-1] if not zone.wide.is_empty]
        for zone, meant in zip(task.treatment_zones[1:], sown, strict=True):
            drawn = shapely.union_all([converter.to_shapely_polygon(one) for one in zone.polygons])
            missed = frame.to_local(drawn).symmetric_difference(meant.wide).area
            assert missed < 2e-5 * meant.wide.area + 0.05  # 8 decimals of a degree are a mm
            values = zone.process_data_variables
            shown = [rate_shown(value) for value in values]
            assert shown == pytest.approx(
                [per_ha(rates, k, meant.rate) for k in range(len(values))]
            )


def rate_shown(value):
    """Return a rate in kg or seeds per hectare, by the reader's own dictionary of entries."""
    entry = DDEntity.from_id(int.from_bytes(value.process_data_ddi))
    per_m2 = value.process_data_value * entry.bit_resolution
    return per_m2 * {"mg/m²": 0.01, "1/m²": 1e4, "/m²": 1e4}[entry.unit]


def per_ha(rates, k, rate):
    return rate[k] * (1e4 if rates.products[k].unit.endswith("/m2") else 1.0)


@pytest.mark.parametrize("name", RATED)
def test_amounts_are_those_of_the_summary(name):
    """Rate times true area, in the file as a whole number of grams or seeds."""
    layout = sample_layout(name)
    told = {}
    for one in seed_amounts(layout):
        (sowing,) = [s for s in layout.plan.stand(one.stand).sowing if s.label == one.sowing]
        if one.amount is not None:
            key = sowing.operation, one.crop
            told[key] = told.get(key, 0.0) + one.amount
    data, _ = read(name, "taskdata_4")
    names = {product.id: product.designator for product in data.products}
    for task in data.tasks:
        operation = operation_of(task)
        for given in task.product_allocations:
            grams = given.quantity_ddi == b"\x00\x4b"
            amount = given.quantity_value / (1000.0 if grams else 1.0)
            known = told[operation, names[given.product_id_ref]]
            assert amount == pytest.approx(known, abs=0.000501 if grams else 0.501)


@pytest.mark.parametrize("version", ["taskdata_3_codes", "taskdata_4_codes"])
@pytest.mark.parametrize("name", ["pond_piece", "slough_quarter"])
def test_a_grid_of_codes_names_in_each_cell_the_zone_that_has_its_rates(name, version):
    """Zone by zone the codes say what the grid of rates says, and the zones are all there."""
    coded, code_files = read(name, version)
    rated, rate_files = read(name, "taskdata_3_grid")
    pairs = [
        pair
        for pair in zip(coded.tasks, rated.tasks, strict=True)
        if pair[0].grids or pair[1].grids
    ]
    assert pairs
    for one, other in pairs:
        (grid,), (rates,) = one.grids, other.grids
        assert grid.type.value == "1"
        assert grid.treatment_zone_code is None
        codes = np.frombuffer(code_files[grid.filename], dtype=np.uint8)
        cells = np.frombuffer(rate_files[rates.filename], dtype="<i4").reshape(len(codes), -1)
        zones = {int(zone.code): zone for zone in one.treatment_zones}
        assert set(zones) >= set(codes.tolist())
        assert all(not zone.polygons for zone in zones.values())
        assert {one.default_treatment_zone_code, one.out_of_field_treatment_zone_code} == {0}
        for code in np.unique(codes):
            (got,) = np.unique(cells[codes == code], axis=0)
            values = zones[int(code)].process_data_variables
            assert got.tolist() == [value.process_data_value for value in values]


@pytest.mark.parametrize("name", ["pond_piece", "slough_quarter"])
def test_a_grid_has_the_rate_of_the_zone_under_the_middle_of_each_cell(name):
    data, files = read(name, "taskdata_3_grid")
    layout = sample_layout(name)
    rates = operation_rates(layout)
    tasks = [task for task in data.tasks if task.grids]
    for task, one in zip(tasks, rates, strict=True):
        (grid,) = task.grids
        entries = [DDEntity.from_id({"kg/ha": 6}.get(p.unit, 11)) for p in one.products]
        cells = to_numpy_array(files[grid.filename], grid, entries, scale=False)
        cells = cells.reshape(grid.maximum_row, grid.maximum_column, -1)
        row, column = np.indices(cells.shape[:2])
        lon = float(grid.minimum_east_position) + (column + 0.5) * float(grid.cell_east_size)
        lat = float(grid.minimum_north_position) + (row + 0.5) * float(grid.cell_north_size)
        xy = layout.field.frame.metres(np.stack([lon.ravel(), lat.ravel()], axis=1))
        for zone in one.zones[:-1]:
            inside = shapely.contains_xy(zone.wide.buffer(-0.01), xy).reshape(row.shape)
            (got,) = np.unique(cells[inside], axis=0)
            assert inside.sum() > 100
            assert got.tolist() == [
                round(rate * {"kg/ha": 100, "plants/ha": 0.1, "seeds/m2": 1000}[product.unit])
                for rate, product in zip(zone.rate, one.products, strict=True)
            ]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_pass_lies_on_a_line_of_its_group(name):
    """A terminal repeats the line by its width: every pass must be among these swaths."""
    data, _ = read(name, "taskdata_4")
    layout = sample_layout(name)
    (field,) = data.partfields
    converter = ShapelyConverterV4()
    frame, passes = layout.field.frame, layout.passes
    for i, operation in enumerate(layout.plan.operations):
        swaths = []
        for group in field.guidance_groups:
            if group.designator.endswith(operation.name) and "headland" not in group.designator:
                for pattern in group.guidance_patterns:
                    (line,) = (
                        pattern.line_strings
                        if isinstance(pattern.line_strings, list)
                        else (pattern.line_strings,)
                    )
                    drawn = frame.to_local(converter.to_shapely_line_string(line))
                    width = line.width / 1000
                    left = pattern.number_of_swaths_left or 0
                    right = pattern.number_of_swaths_right or 0
                    swaths += [
                        shapely.offset_curve(drawn, -k * width) for k in range(-left, right + 1)
                    ]
        lines = passes.lines.geometry[passes.operation == i]
        if len(lines):
            tree = shapely.STRtree(swaths)
            middle = shapely.line_interpolate_point(lines, 0.5, normalized=True)
            _, off = tree.query_nearest(middle, return_distance=True, all_matches=False)
            assert off.max() < 0.02  # a lattice takes what is within 1 cm


def test_the_planter_of_pond_piece_drives_every_second_line():
    # Bands of 6 m, maize on every second: with a planter of 6 m lines 0, 2, 4 and so on.
    said = (written("pond_piece") / "taskdata_4" / "README.txt").read_text(encoding="utf-8")
    assert "plant maize 1 is line 0: drive line 0 of every 2 up to 36 to the right." in said


def test_a_hazard_is_a_point_of_the_field_in_both_versions():
    layout = sample_layout("wire_field")
    hazards = [one for one in cautions(layout) if one.severity == "hazard" and one.place]
    assert hazards
    for version, kind in (("taskdata_4", "5"), ("taskdata_3", "1"), ("taskdata_3_grid", "1")):
        root = fromfile(str(inner("wire_field", version) / "TASKDATA.XML")).getroot()
        marks = [p for p in root.iter("PNT") if (p.get("B") or "").startswith("HAZARD")]
        assert [mark.get("A") for mark in marks] == [kind] * len(hazards)
        places = [(float(mark.get("D")), float(mark.get("C"))) for mark in marks]
        meant = layout.field.frame.lonlat(np.array([one.place for one in hazards]))
        assert np.allclose(places, meant, atol=1e-8)


@pytest.mark.parametrize("version", ["taskdata_3", "taskdata_3_grid", "taskdata_3_codes"])
@pytest.mark.parametrize("name", SAMPLES)
def test_version_3_has_only_words_of_version_3(name, version):
    if version != "taskdata_3" and not has_rates(name):
        return
    root = fromfile(str(inner(name, version) / "TASKDATA.XML")).getroot()
    for one in root.iter():
        if one is not root:
            assert set(one.attrib) <= set(WORDS[one.tag]), one.tag
    kinds = {"PLN": range(1, 9), "LSG": range(1, 9), "PNT": range(1, 3)}
    for tag, known in kinds.items():
        assert {int(one.get("A")) for one in root.iter(tag)} <= set(known)
    assert (root.get("VersionMajor"), root.get("VersionMinor")) == ("3", "3")


def test_the_table_of_version_3_is_that_of_the_other_reader():
    """Both were made of the same schema, by different hands."""
    models = {
        one.Meta.name: {
            field.metadata["name"]
            for field in one.__dataclass_fields__.values()
            if field.metadata.get("type") == "Attribute"
        }
        for one in vars(words_of_3).values()
        if isinstance(one, type) and hasattr(one, "Meta") and hasattr(one.Meta, "name")
    }
    for tag, letters in WORDS.items():
        assert set(letters) <= models[tag], tag


def test_version_3_keeps_the_lines_of_version_4():
    older, _ = read("pond_piece", "taskdata_3")
    newer, _ = read("pond_piece", "taskdata_4")
    lines = [line for line in older.partfields[0].line_strings if line.type.value == "5"]
    patterns = [
        pattern
        for group in newer.partfields[0].guidance_groups
        for pattern in group.guidance_patterns
        if pattern.type.value != "2"  # a point and a heading are no line in version 3
    ]
    assert [line.designator for line in lines] == [pattern.designator for pattern in patterns]
    assert all(ShapelyConverterV3().to_shapely_line_string(line).length for line in lines)


def test_ids_stay_when_an_operation_and_a_product_come_in_before(tmp_path):
    more = STRIPS.replace(
        '[[operation]]\nname = "plant"',
        '[[operation]]\nname = "roll"\nmachine = "drill"\n[[operation]]\nname = "plant"',
    )
    numbers = []
    for i, text in enumerate((STRIPS, more)):
        folder = tmp_path / str(i)
        folder.mkdir()
        layout = paper_layout(text, rectangle())
        write_taskdata(layout, (), operation_rates(layout), folder)
        root = fromfile(str(folder / "taskdata_4" / "TASKDATA" / "TASKDATA.XML")).getroot()
        numbers.append({o.get("A") for o in root.iter() if o.tag in TAGS})
    assert numbers[0] < numbers[1]


TAGS = {"PFD", "PDT", "VPN", "TSK", "GGP", "GPN", "CTP", "CVT", "CTR", "FRM"}


def test_field_and_tasks_carry_the_match_code():
    code = match_code(sample_layout("pond_piece"))
    data, _ = read("pond_piece", "taskdata_4")
    assert data.partfields[0].code == code
    assert "drill beans 2027 " + code in [task.designator for task in data.tasks]
    assert code in (written("pond_piece") / "taskdata_3" / "README.txt").read_text("utf-8")


@pytest.mark.parametrize("version", FOLDERS)
def test_a_crop_has_its_varieties(version):
    """church_close sows winter wheat as a mix of two, and other crops without one."""
    data, _ = read("church_close", version)
    named = {
        crop.designator: [v.designator for v in crop.crop_varieties] for crop in data.crop_types
    }
    assert named.pop("winter wheat") == ["variety A", "variety B"]
    assert not any(named.values())


def test_a_field_of_one_crop_in_one_variety_names_both(tmp_path):
    beans = '{ crop = "field beans", spacing = 0.25, rate = { seeds_per_m2 = 40 }'
    maize = '{ crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 }'
    grass = '{ crop = "grass", place = "broadcast", rate = { kg_per_ha = 25 }'
    oats = '{ crop = "oats", spacing = 0.25, mix = { "early" = 1.0 }, rate = { kg_per_ha = 150 }'
    text = STRIPS
    for one in (beans, maize, grass):
        assert one in text
        text = text.replace(one, oats)
    layout = paper_layout(text)
    write_taskdata(layout, (), operation_rates(layout), tmp_path)
    assert schema_faults(tmp_path / "taskdata_4" / "TASKDATA" / "TASKDATA.XML") == []
    for version in FOLDERS:
        data, _ = isoxml_from_path(tmp_path / version / "TASKDATA", read_bin_files=True)
        (crop,), (field,) = data.crop_types, data.partfields
        (variety,) = crop.crop_varieties
        assert (field.crop_type_id_ref, field.crop_variety_id_ref) == (crop.id, variety.id)


def test_the_same_layout_gives_the_same_bytes(tmp_path):
    layout = sample_layout("pond_piece")
    write_taskdata(layout, cautions(layout), operation_rates(layout), tmp_path, ASKED_FOLDERS)
    for path in sorted(tmp_path.rglob("*")):
        if path.is_file():
            first = written("pond_piece") / path.relative_to(tmp_path)
            assert path.read_bytes() == first.read_bytes(), path.name


def test_long_and_foreign_names_survive_or_are_said_to_be_cut(tmp_path):
    text = STRIPS.replace('"drill"\nmachine', '"drill fève, ячмень and what stands by it"\nmachine')
    text = text.replace(
        'operation = "drill"', 'operation = "drill fève, ячмень and what stands by it"'
    )
    layout = paper_layout(text)
    write_taskdata(layout, (), operation_rates(layout), tmp_path)
    folder = tmp_path / "taskdata_4"
    assert schema_faults(folder / "TASKDATA" / "TASKDATA.XML") == []
    xml = (folder / "TASKDATA" / "TASKDATA.XML").read_text(encoding="utf-8")
    assert 'B="drill fève, ячмень and w' in xml
    said = (folder / "README.txt").read_text(encoding="utf-8")
    assert "Names cut to 32 letters" in said
    assert "  drill fève, ячмень and what stands by it" in said
