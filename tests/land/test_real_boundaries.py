"""Every real field beside the repository, read and measured by ways other than our own."""

import contextlib
import json
import os
import sqlite3
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import shapely
from pyproj import Geod, Transformer
from shapely import Polygon

from geolayout.land.boundary.report import boundary_report
from geolayout.land.field import make_field
from geolayout.land.readers import read_boundaries

pytest.importorskip("fiona")
pytestmark = pytest.mark.every_field

# Files whose columns declare an area: the column, square metres to its unit (figures of every
# register but the unit of CSBACRES, an acre of 4,046.8564 m2, are as the page beside the data has
# them), and the share of fields over 0.1 ha that the page finds within 1 %.
DECLARED = {
    "be_flanders_2023.gpkg": ("GRAF_OPP", 1e4, 1.00),
    "us_csb_2017_2024.gpkg": ("CSBACRES", 4046.8564224, 1.00),
    "de_brandenburg_2025.gpkg": ("groesse", 1e4, 1.00),
    "at_2025.gpkg": ("SL_FLAECHE_BRUTTO_HA", 1e4, 1.00),
    "es_catalonia_2023.gpkg": ("ha", 1e4, 1.00),
    "ch_geneva_2023.gpkg": ("flaeche_m2", 1.0, 1.00),
    "nz_irrigated_2020.gpkg": ("area_ha", 1e4, 1.00),
    "fi_2023.gpkg": ("PINTA_ALA", 1e4, 0.98),
    "bf_koumbia_2015.geojson": ("Area_ha", 1e4, 0.97),
    "fr_2022.gpkg": ("surf_parc", 1e4, 0.84),
    "dk_2026.gpkg": ("IMK_areal", 1e4, 0.84),
    "lt_2024.gpkg": ("field_size", 1e4, 0.65),
}


def folder():
    """Find the folder of open field data beside the repository, if it is there."""
    if named := os.environ.get("GEOLAYOUT_FIELDS"):
        return Path(named)
    for above in Path(__file__).resolve().parents:
        if (above / "shared" / "fields").is_dir():
            return above / "shared" / "fields"
    return None


def files():
    found = folder()
    if found is None or not found.is_dir():
        return []
    return [*sorted(found.glob("*_20[0-9][0-9].*")), found / "awkward.geojson"]


FILES = files()
needs_data = pytest.mark.skipif(
    not FILES, reason="the open field data is not beside the repository"
)


@pytest.fixture(scope="module")
def reports():
    """Read each file once: of each field its drawn boundary, the field and the report."""
    read = {}
    for path in FILES:
        rows = []
        for drawn in read_boundaries(path):
            field = make_field(drawn.geometry, name=drawn.name, findings=drawn.findings)
            rows.append((drawn, field, boundary_report(field, drawn)))
        read[path.name] = rows
    return read


GEOD = Geod(ellps="WGS84")


def with_corners(ring):
    """Add corners along the geodesics of edges over 50 m: a straight line of a plane bows off."""
    corners = shapely.get_coordinates(ring)
    _, _, lengths = GEOD.inv(*corners[:-1].T, *corners[1:].T)
    pieces = []
    for start, end, length in zip(corners[:-1], corners[1:], lengths, strict=True):
        pieces.append(start[None, :])
        if length > 50.0:
            pieces.append(np.array(GEOD.npts(*start, *end, int(length // 25.0))))
    return Polygon(np.concatenate(pieces))


def laea_area(boundary, lon, lat):
    """Measure by PROJ's Lambert equal-area projection of the ellipsoid, centred on the field."""
    project = Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad"
        f" +step +proj=laea +lat_0={lat!r} +lon_0={lon!r} +ellps=WGS84"
    )

    def area(ring):
        x, y = project.transform(*shapely.get_coordinates(with_corners(ring)).T)
        return Polygon(np.column_stack((x, y))).area

    return sum(
        area(part.exterior) - sum(map(area, part.interiors)) for part in shapely.get_parts(boundary)
    )


def declared(path, column):
    """Read a declared area by field id, out of the SQLite that a GeoPackage is, or as text."""
    if path.suffix == ".geojson":
        rows = [row["properties"] for row in json.loads(path.read_text("utf-8"))["features"]]
        return {row["field_id"]: row[column] for row in rows}
    with contextlib.closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as database:
        (table,) = database.execute("SELECT table_name FROM gpkg_contents").fetchone()
        return dict(database.execute(f'SELECT field_id, "{column}" FROM "{table}"'))  # noqa: S608


@needs_data
def test_every_field_is_read_and_its_findings_counted(reports):
    counted = {
        name: Counter(kind for *_, report in rows for kind in report.kinds)
        for name, rows in reports.items()
    }
    total = sum(counted.values(), Counter())
    print()
    for name, kinds in counted.items():
        said = ", ".join(f"{kind} {number}" for kind, number in sorted(kinds.items()))
        print(f"{name:<28} {len(reports[name]):>5}  {said}")
    print("total", sum(map(len, reports.values())), dict(sorted(total.items())))
    assert sum(map(len, reports.values())) > 3700
    assert total["crossing"] >= 4  # the page beside the data counts four invalid fields
    assert total["holes"] > 100  # and 120 fields with holes
    assert total["parts"] > 80  # and 102 of several parts


@needs_data
def test_areas_are_those_of_the_frame_and_of_an_equal_area_projection(reports):
    worst = {"frame": 0.0, "equal area": 0.0}
    for rows in reports.values():
        for _, field, report in rows:
            # 1e-4 m2 is the rounding of the geodesic sum, seen on plots of a few square metres.
            other = laea_area(field.boundary, field.frame.lon, field.frame.lat)
            for name, area in (("frame", field.land.area), ("equal area", other)):
                off = max(abs(area - report.area) - 1e-4, 0.0) / report.area
                worst[name] = max(worst[name], off)
    print(worst)
    assert max(worst.values()) < 1e-6


@needs_data
def test_what_was_drawn_and_what_was_done_add_up_to_what_is_kept(reports):
    for rows in reports.values():
        for drawn, field, report in rows:
            if drawn.geometry.is_valid:
                before = make_field(drawn.geometry, thin=0.0).area
                assert report.drawn_area == pytest.approx(before, rel=1e-9, abs=1.0)
            assert report.vertices <= report.drawn_vertices + 2 * len(report.findings) + 100
            assert field.boundary.is_valid
            assert field.land.is_valid


@needs_data
@pytest.mark.parametrize("name", sorted(DECLARED))
def test_declared_areas_are_met_as_often_as_the_page_beside_them_says(reports, name):
    column, unit, share = DECLARED[name]
    by_id = declared(folder() / name, column)
    ratios = np.array(
        [
            report.area / (by_id[drawn.properties["field_id"]] * unit)
            for drawn, _, report in reports[name]
            if by_id[drawn.properties["field_id"]] and report.area > 1000.0
        ]
    )
    met = float((np.abs(ratios - 1.0) <= 0.01).mean())
    print(f"{name} {column}: {len(ratios)} fields, median {np.median(ratios):.4f}, {met:.0%}")
    assert met >= share - 0.015  # the page rounds to whole percent
