"""The sample fields: each plan lays, its figures are sums on paper, the page tells all of them."""

import re
import tomllib
import zipfile
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import rasterio
import sample_maker
import shapely
from pyproj import Proj
from sample_layouts import SAMPLE_FOLDER, SAMPLES, sample_layout

from geolayout import jobs
from geolayout.handover.files.vector import write_geojson
from geolayout.handover.tables import on_wgs84, passes_table, rows_table, trees_table
from geolayout.jobs.writing import write
from geolayout.plan.start.starter import PRACTICES

TEXT = {".gpx", ".csv", ".geojson", ".geojsonl"}

PAGE = (SAMPLE_FOLDER / "README.md").read_text("utf-8")


def table():
    """Return the rows of the page's table by the plan they name."""
    rows = [line.strip("| ").split(" | ") for line in PAGE.splitlines() if line.startswith("| ")]
    found = {}
    for field, file, area, awkward, practice, plan in rows[2:]:
        name = re.findall(r"`(\w+)\.toml`", plan)[0]
        found[name] = {
            "field": field,
            "file": re.findall(r"`([\w.]+)`", file)[0],
            "area": float(area.removesuffix(" ha")),
            "awkward": awkward,
            "practice": practice,
        }
    return found


def plan_data(name):
    return tomllib.loads((SAMPLE_FOLDER / f"{name}.toml").read_text("utf-8"))


# The page


def test_the_page_names_every_plan_and_no_other():
    assert set(table()) == set(SAMPLES)
    farms = {plan_data(name)["field"].get("farm") for name in SAMPLES} - {None}
    plans = {path.name for path in SAMPLE_FOLDER.glob("*.toml")}
    assert plans == {f"{name}.toml" for name in SAMPLES} | farms


@pytest.mark.parametrize("name", SAMPLES)
def test_the_page_tells_area_file_and_name_as_they_are(name):
    row = table()[name]
    layout = sample_layout(name)
    assert layout.field.area / 1e4 == pytest.approx(row["area"], abs=0.0005)
    assert plan_data(name)["field"]["boundary"] == row["file"]
    assert layout.field.name == f"{row['field']} (invented)"


def test_every_practice_has_its_plan():
    assert Counter(row["practice"] for row in table().values()) == Counter(PRACTICES)


def kind_of(path):
    """Return what kind of file a boundary is; of a zip, what is in it."""
    if path.suffix != ".zip":
        return path.suffix
    with zipfile.ZipFile(path) as archive:
        ends = {Path(name).suffix.lower() for name in archive.namelist()}
    return ".shp" if ".shp" in ends else ends.pop()


def test_the_fields_come_in_ten_kinds_of_files():
    kinds = {kind_of(SAMPLE_FOLDER / row["file"]) for row in table().values()}
    assert kinds == {
        ".geojson", ".shp", ".gpkg", ".kml", ".gpx", ".csv", ".xml", ".fgb", ".geojsonl", ".kmz",
    }  # fmt: skip


def test_no_file_lies_there_that_no_plan_uses():
    used = {"README.md", "windy_bank_conductivity.tif"}  # the plan of docs/zones.md uses the map
    for name in SAMPLES:
        data = plan_data(name)
        used |= {f"{name}.toml", data["field"]["boundary"]}
        used |= {data["field"][key] for key in ("farm", "terrain") if key in data["field"]}
        used |= {feature["source"] for feature in data.get("feature", ()) if "source" in feature}
    assert used == {path.name for path in SAMPLE_FOLDER.iterdir()}


def test_every_file_is_small():
    sizes = {path.name: path.stat().st_size for path in SAMPLE_FOLDER.iterdir()}
    assert {name for name, size in sizes.items() if size > 30_000} == {"two_halves.gpkg"}


@pytest.mark.parametrize("path", sorted(SAMPLE_FOLDER.iterdir()), ids=lambda path: path.name)
def test_every_file_says_that_it_is_invented(path):
    if path.suffix in {".zip", ".kmz"}:
        with zipfile.ZipFile(path) as archive:
            content = b"".join(archive.read(name) for name in archive.namelist())
    else:
        content = path.read_bytes()
    if path.suffix == ".csv":  # a surveyor's list has no room for it: the plan says so
        content = (SAMPLE_FOLDER / f"{path.stem}.toml").read_bytes()
    assert b"invented" in content


# Every plan


@pytest.mark.parametrize("name", SAMPLES)
def test_the_ground_is_the_field(name):
    layout = sample_layout(name)
    land = layout.field.land
    assert layout.ground.area.sum() == pytest.approx(land.area, rel=1e-9)
    assert shapely.union_all(layout.ground.geometry).area == pytest.approx(land.area, rel=1e-9)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_season_lays(name):
    job = jobs.read(SAMPLE_FOLDER / f"{name}.toml")
    for season in plan_data(name).get("season", ()):
        assert len(jobs.lay(job, season["year"]).rows) > 100


@pytest.mark.parametrize("name", SAMPLES)
def test_every_warning_that_is_left_is_no_surprise(name):
    """Hazards apart, at most a handful: these are plans to learn from."""
    told = jobs.tell(sample_layout(name))
    assert sum(caution.severity == "warning" for caution in told.cautions) <= 14


@pytest.mark.parametrize("name", SAMPLES)
def test_the_folder_lays_the_same_lines_by_itself(name, tmp_path):
    job = jobs.read(SAMPLE_FOLDER / f"{name}.toml")
    write(job, sample_layout(name), tmp_path / "out")
    again = jobs.lay(jobs.read(tmp_path / "out" / "plan_resolved.toml"))
    for layer, table_of in LINES.items():
        path = tmp_path / f"{layer}.geojson"
        write_geojson(on_wgs84(table_of(again), again.field.frame), path, 9)
        assert path.read_bytes() == (tmp_path / "out" / path.name).read_bytes(), layer
    first, second = sample_layout(name).ground, again.ground
    assert first.bands == second.bands
    np.testing.assert_allclose(first.area, second.area, rtol=0, atol=0.01)  # m2


LINES = {"rows": rows_table, "passes": passes_table, "trees": trees_table}


# Sums on paper. Widths, counts and rows are worked out from the plan and the land's width.


def bands(name):
    """Return how many bands of each name there are."""
    section = sample_layout(name).blocks[0].section
    return Counter(cut.band for cut in section.cuts if cut.grows)


def rows(name):
    """Return how many rows of each crop there are, and their length. [m]"""
    layout = sample_layout(name)
    crops = np.array([
        layout.blocks[b].stands[c].sowing[s].crop
        for b, c, s in zip(layout.rows.block, layout.rows.cut, layout.rows.sowing, strict=True)
    ])  # fmt: skip
    place = (layout.rows.block, layout.rows.cut, layout.rows.sowing, layout.rows.row)
    keys = np.column_stack(place)
    return {
        crop: (
            len(np.unique(keys[crops == crop], axis=0)),
            float(layout.rows.length[crops == crop].sum()),
        )
        for crop in np.unique(crops)
    }


def band_area(name, kind="band"):
    ground = sample_layout(name).ground
    return ground.area[ground.kind == kind].sum()


def passes(name):
    layout = sample_layout(name)
    found = np.unique(np.column_stack([layout.passes.operation, layout.passes.number]), axis=0)
    names = [operation.name for operation in layout.plan.operations]
    return Counter(names[operation] for operation, _ in found)


def test_windy_bank_leaves_its_wheelings_out():
    # 163 m up the slope hold 13 whole bands of 12 m; 96 rows each, less three under each of two
    # wheels of 0.35 m: 13 x 90 = 1170. One boom a band; four passes of the drill.
    assert bands("windy_bank") == {"B": 13}
    count, length = rows("windy_bank")["spring barley"]
    assert count == 1170
    assert length * 12.0 / 90 == pytest.approx(band_area("windy_bank"), rel=0.002)
    assert passes("windy_bank") == {"drill barley": 52, "spread clover": 13, "spray": 13}


def test_bore_paddock_has_thirty_passes():
    # 272 m between the rounds hold 15 whole bands of 18 m; 72 rows of 0.25 m and two passes each.
    assert bands("bore_paddock") == {"P": 15}
    count, length = rows("bore_paddock")["oats"]
    assert count == 15 * 72
    assert length * 0.25 == pytest.approx(band_area("bore_paddock"), rel=0.002)
    assert passes("bore_paddock") == {"drill oats": 30}


def test_poplar_ground_has_sixteen_rows_a_band():
    # 309 m across hold 25 whole bands of 12 m: 25 x 16 = 400 rows of 0.75 m, two passes each.
    assert bands("poplar_ground") == {"M": 25}
    count, length = rows("poplar_ground")["maize"]
    assert count == 400
    assert length * 0.75 == pytest.approx(band_area("poplar_ground"), rel=0.002)
    assert passes("poplar_ground") == {"plant maize": 50}


def test_hive_ground_has_clover_in_every_gap():
    # 294 m hold 12 whole bands of 24 m: 12 x 48 rows of rape, and a row of clover in each of the
    # 576 - 1 gaps between them, those from band to band too.
    assert bands("hive_ground") == {"R": 12}
    found = rows("hive_ground")
    assert found["winter rape"][0] == 576
    assert found["berseem clover"][0] == 575
    assert found["winter rape"][1] * 0.5 == pytest.approx(band_area("hive_ground"), rel=0.002)
    assert passes("hive_ground") == {"drill": 72, "spray": 12}


def test_church_close_is_one_band_of_sixty_four_passes():
    # 254.6 m from the wall: 64 passes of 4 m, the last one moved in by 1.4 m.
    assert bands("church_close") == {"W": 1}
    _, length = rows("church_close")["winter wheat"]
    assert length * 0.125 == pytest.approx(band_area("church_close"), rel=0.002)
    assert passes("church_close") == {"drill": 64}


def test_market_plots_have_two_rows_a_band():
    # 94.7 m up the plot: 78 bands of 1.2 m and one cut to 1.06 m, which keeps both rows, at 0.3 m
    # and 0.9 m: 40 x 2 of maize, 39 x 2 of beans.
    assert bands("market_plots") == {"M": 40, "B": 39}
    found = rows("market_plots")
    assert found["maize"][0] == 80
    assert found["beans"][0] == 78
    both = found["maize"][1] + found["beans"][1]
    assert both * 0.6 == pytest.approx(band_area("market_plots"), rel=0.005)
    assert passes("market_plots") == {}


def test_ridge_road_has_a_belt_that_stops_before_the_wires():
    # behind the belt of 9 m: 413.56 m, 452 rows of 0.9144 m, 113.07 passes of 3.6576 m, so 114
    found = rows("ridge_road")["cotton"]
    assert found[0] == 452
    assert found[1] * 0.9144 == pytest.approx(band_area("ridge_road"), rel=0.002)
    assert passes("ridge_road") == {"plant": 114}
    layout = sample_layout("ridge_road")
    wires = shapely.union_all([
        feature.geometry for feature in layout.field.features if feature.kind == "overhead line"
    ])  # fmt: skip
    away = shapely.distance(shapely.points(layout.trees.xy), wires)
    assert away.min() >= 25.2 - 0.01  # 1.2 m to the outer wire, 15 m, and 9 m of tree


def test_the_trees_of_ridge_road_stand_where_a_walk_would_count_them():
    # In feet at the belt: 880.7 from south to north, 195 from the south to the wires. In metres,
    # less a headland of 14.63 and 1 on either side: 237.2 from end to end, and
    # south of the wires 59.4 - 14.6 - 1 - 25.2 = 18.6; north of them 237.2 - 18.6 - 50.4 = 168.2.
    # Outer rows, 1.25 from the ends: floor(16.1 / 2.5) + 1 = 7 and floor(165.7 / 2.5) + 1 = 67.
    # Middle row, half a step on, 2.5: floor(13.6 / 2.5) + 1 = 6 and floor(163.2 / 2.5) + 1 = 66.
    trees = sample_layout("ridge_road").trees
    assert Counter(trees.row.tolist()) == {1: 7 + 67, 2: 6 + 66, 3: 7 + 67}


def test_slough_quarter_has_both_crops_in_every_other_row():
    # 425.4 m hold 17 bands of 24 m and one of 17.4 m. Every 0.5 m a row of each: 17 x 48 = 816,
    # and 35 in the last: oats at 0.125 + 34 x 0.5 = 17.125 m, peas at 17.375 m, before 17.39 m.
    assert bands("slough_quarter") == {"P": 18}
    found = rows("slough_quarter")
    assert found["oats"][0] == found["peas"][0] == 816 + 35
    assert found["oats"][1] * 0.5 == pytest.approx(band_area("slough_quarter"), rel=0.002)
    assert passes("slough_quarter") == {"seed": 36}


CORNERS = {
    # area of the corners in metres, and of what is cut out of them [m2]
    "bore_paddock": (sample_maker.PADDOCK_CORNERS, None),
    "poplar_ground": (sample_maker.POPLAR_CORNERS, sample_maker.CLUMP),
    "hive_ground": (sample_maker.MILL_FIELDS["hive-ground"][1], None),
    "church_close": (sample_maker.MILL_FIELDS["church-close"][1], None),
    "market_plots": (sample_maker.PLOTS["plot-2"], None),
    "ridge_road": (sample_maker.feet(sample_maker.RIDGE_FEET), None),
    "slough_quarter": (sample_maker.SLOUGH_CORNERS, sample_maker.SLOUGH),
}


@pytest.mark.parametrize("name", CORNERS)
def test_the_area_is_that_of_the_corners_in_metres(name):
    """Through degrees or a grid or feet, and back: a centimetre on every side is left."""
    outer, inner = CORNERS[name]
    drawn = shapely.Polygon(outer, [inner] if inner is not None else None)
    area = sample_layout(name).field.area
    assert area == pytest.approx(drawn.area, abs=0.01 * drawn.length)


def test_the_walk_on_windy_bank_is_near_its_corners():
    drawn = shapely.Polygon(sample_maker.BANK_CORNERS)
    area = sample_layout("windy_bank").field.area
    assert area == pytest.approx(drawn.area, abs=0.35 * drawn.length)  # the phone's unrest [m]


# What makes a practice


def of_one_stand(name):
    """Return the sowings of each stand of a plan."""
    return [stand.sowing for stand in sample_layout(name).plan.stands]


def bands_of(name):
    return [band for pattern in sample_layout(name).plan.patterns for band in pattern.bands]


SIGNS = {
    "strips": lambda n: len({band.stand for band in bands_of(n)}) > 1,
    "wide-rows": lambda n: any(s.rows == 2 for sowing in of_one_stand(n) for s in sowing),
    "mixture": lambda n: any(
        sum(s.rate.share is not None for s in sowing if s.rate) > 1 for sowing in of_one_stand(n)
    ),
    "variety-mixture": lambda n: any(s.mix for sowing in of_one_stand(n) for s in sowing),
    "companion": lambda n: any(
        s.between and not s.harvested for sowing in of_one_stand(n) for s in sowing
    ),
    "relay": lambda n: any(s.when and s.at for sowing in of_one_stand(n) for s in sowing),
    "undersowing": lambda n: any(
        s.place == "broadcast" and s.when and s.skip for sowing in of_one_stand(n) for s in sowing
    ),
    "perennial-understorey": lambda n: any(s.cleared for sowing in of_one_stand(n) for s in sowing),
    "dormant-pasture": lambda n: any(
        s.place == "standing" and len(sowing) > 1 for sowing in of_one_stand(n) for s in sowing
    ),
    "alleys": lambda n: sum(band.trees is not None for band in bands_of(n)) == 1,
    "windbreak": lambda n: any(band.trees and band.trees.rows == 3 for band in bands_of(n)),
    "trial": lambda n: all("trial" in pattern for pattern in plan_data(n)["pattern"]),
}


@pytest.mark.parametrize("name", SAMPLES)
def test_a_plan_is_of_the_practice_that_the_page_says(name):
    assert SIGNS[table()[name]["practice"]](name)


# The heights


@pytest.fixture(scope="module")
def heights():
    with rasterio.open(SAMPLE_FOLDER / "windy_bank_dem.tif") as raster:
        assert raster.crs.to_epsg() == 32633
        assert raster.res == (5.0, 5.0)
        assert raster.shape == (60, 80)
        columns, lines = np.meshgrid(np.arange(80) + 0.5, np.arange(60) + 0.5)
        east, north = raster.transform * (columns, lines)
        return raster.read(1).astype(float), east, north, raster.bounds


@pytest.fixture(scope="module")
def bank():
    """Windy Bank in the coordinates of its heights."""
    field = sample_layout("windy_bank").field
    degrees = field.frame.to_geographic(field.land)
    grid = Proj("EPSG:32633")
    return shapely.transform(degrees, lambda xy: np.column_stack(grid(*xy.T)))


def test_the_heights_lie_under_the_whole_field(heights, bank):
    *_, bounds = heights
    assert shapely.box(*bounds).buffer(-15.0).contains(bank)  # three cells to spare


def test_the_bank_falls_as_the_page_says(heights, bank):
    metres, east, north, _ = heights
    inside = shapely.contains_xy(bank, east, north)
    northward, eastward = np.gradient(metres, -5.0, 5.0)
    slope = 100 * np.hypot(northward, eastward)[inside]
    turn = Proj("EPSG:32633").get_factors(*sample_maker.WINDY_BANK).meridian_convergence
    bearing = np.radians(plan_data("windy_bank")["guide"]["bearing"] - turn)
    along = 100 * np.abs(eastward * np.sin(bearing) + northward * np.cos(bearing))[inside]
    said = re.findall(r"(\d+\.\d) %", PAGE)
    assert [f"{x:.1f}" for x in (slope.mean(), slope.max(), along.mean(), along.max())] == said
    low, high = re.findall(r"between (\d+\.\d) and (\d+\.\d) m", PAGE)[0]
    assert f"{metres[inside].min():.1f}" == low
    assert f"{metres[inside].max():.1f}" == high
    assert (along < 2.0).mean() > 0.9  # the plan: "less than 2 % on nine tenths of the field"


def downhill(metres):
    """Return, for each cell, the flat index of the lowest of its eight neighbours, or its own."""
    lines, columns = metres.shape
    framed = np.pad(metres, 1, constant_values=np.inf)
    steps = [(dy, dx) for dy in (-1, 0, 1) for dx in (-1, 0, 1)]
    falls = np.stack([
        (framed[1 + dy : 1 + dy + lines, 1 + dx : 1 + dx + columns] - metres)
        / max(1.0, np.hypot(dy, dx))
        for dy, dx in steps
    ])  # fmt: skip
    move = np.array([dy * columns + dx for dy, dx in steps])[falls.argmin(axis=0)]
    return np.arange(metres.size) + move.ravel()


def test_water_on_the_bank_gathers_where_the_waterway_is_drawn(heights, bank):
    """Let a drop run from every cell to the foot: the place most of them leave by is the hollow."""
    metres, east, north, _ = heights
    inside = shapely.contains_xy(bank, east, north).ravel()
    next_cell = downhill(metres)
    drops = np.flatnonzero(inside)
    left_by = drops.copy()
    for _ in range(100):
        drops = next_cell[drops]
        left_by = np.where(inside[drops], drops, left_by)
    cell, count = Counter(left_by.tolist()).most_common(1)[0]
    layout = sample_layout("windy_bank")
    (waterway,) = (f.geometry for f in layout.field.features if f.kind == "grassed waterway")
    place = Proj("EPSG:32633")(east.ravel()[cell], north.ravel()[cell], inverse=True)
    foot = layout.field.frame.metres(np.array([place]))[0]
    assert shapely.distance(shapely.Point(foot), waterway) < 8.0
    assert count > inside.sum() / 8  # the rest leaves along 320 m of foot, cell by cell


# How they were made


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    for make in sample_maker.MAKERS:
        make(folder)
    return folder


def test_the_maker_makes_the_files_again(made):
    for path in made.iterdir():
        if path.suffix in TEXT:
            assert path.read_bytes() == (SAMPLE_FOLDER / path.name).read_bytes(), path.name


def test_the_maker_makes_the_members_of_the_zips_again(made):
    for name in ("poplar_ground.zip", "slough_quarter.kmz"):
        with zipfile.ZipFile(made / name) as new, zipfile.ZipFile(SAMPLE_FOLDER / name) as old:
            assert new.namelist() == old.namelist()
            assert all(new.read(member) == old.read(member) for member in new.namelist())


def test_the_maker_makes_the_heights_again(made):
    with (
        rasterio.open(made / "windy_bank_dem.tif") as new,
        rasterio.open(SAMPLE_FOLDER / "windy_bank_dem.tif") as old,
    ):
        assert np.abs(new.read(1) - old.read(1)).max() < 0.015


def test_the_partfield_is_valid():
    etree = pytest.importorskip("lxml.etree", reason="lxml checks it against the schema")
    writer = pytest.importorskip("isoxml_writer", reason="isoxml-writer brings the schema")
    schema = Path(writer.__file__).parent / "ISOXML_schema" / "ISO11783_TaskFile_V4-3.xsd"
    with zipfile.ZipFile(SAMPLE_FOLDER / "poplar_ground.zip") as archive:
        document = etree.fromstring(archive.read("TASKDATA/TASKDATA.XML"))
    etree.XMLSchema(etree.parse(schema)).assertValid(document)
