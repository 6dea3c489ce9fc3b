"""
What one output folder holds: the plan, the field, the layout as files, and what it means.

Every writer here only writes what the layout already says. Nothing holds a clock, a path or a
version but one key of `summary.json`, so equal jobs give equal bytes.
"""

import json
from dataclasses import dataclass
from pathlib import Path

import geopandas as gpd

from geolayout.appraisal.caution import Caution
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.quantities.figures import Figures
from geolayout.handover.devices import README, readme_text, write_devices
from geolayout.handover.files.geopackage import hazard_table
from geolayout.handover.files.ics import CALENDAR_FILE, season_ics
from geolayout.handover.files.prescription import write_guidance, write_prescriptions
from geolayout.handover.files.reference import REFERENCE_FILE, reference_text
from geolayout.handover.files.vector import AREA_DECIMALS, LINE_DECIMALS, write_geojson
from geolayout.handover.folder import SUMMARY, files_in
from geolayout.handover.matchcode import match_code
from geolayout.handover.pictures.drive import DRIVING, write_drive_pictures
from geolayout.handover.pictures.map import write_map
from geolayout.handover.pictures.years import YEARS_FILE, years_png
from geolayout.handover.planfile import RESOLVED_FILE, plan_toml, portable
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.write import write_sheets
from geolayout.handover.stakeout import peg_files
from geolayout.handover.summary import summary_dict, summary_text
from geolayout.handover.tables import (
    edges_table,
    ground_table,
    headland_table,
    on_wgs84,
    passes_table,
    rounds_table,
    rows_table,
    trees_table,
    turns_table,
)
from geolayout.handover.walkpages import WALKS_FILE, walk_pages
from geolayout.handover.zipped import ZIP, write_zip
from geolayout.land.frames.mapgrid import map_grid, utm_code
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout
from geolayout.plan.printing import PLAIN, Printing
from geolayout.plan.units import METRIC, Units

__all__ = ["PLAN_FILE", "RESOLVED_FILE", "Parcel", "write_contents"]

PLAN_FILE = "plan.toml"
"""The plan as the user wrote it."""

PEGS_FOLDER = "pegs"
"""Where the planting sheet and the peg lists lie."""

HAZARDS_FILE = "hazards.geojson"
"""Hazards that have a place, by their letters on the map."""


@dataclass(frozen=True, slots=True, eq=False)
class Parcel:
    """
    Everything that goes into one output folder.

    Attributes
    ----------
    name : str
        What the plan is called.
    text : str
        The plan file as the user wrote it.
    layout : Layout
        The layout.
    drawn : Drawn
        Lands that its blocks name by file.
    figures : Figures
        What was measured.
    cautions : tuple of Caution
        What to know before going out.
    units : Units
        Units of the figures in words and on sheets; all other files are metric.
    asked : tuple of str
        Words of `geolayout.handover.files.asked.ASKED` for what is written beside the usual.
    printing : Printing
        Paper and language of the sheets.
    """

    name: str
    text: str
    layout: Layout
    drawn: Drawn
    figures: Figures
    cautions: tuple[Caution, ...]
    units: Units = METRIC
    asked: tuple[str, ...] = ()
    printing: Printing = PLAIN


def write_contents(folder: Path, parcel: Parcel) -> list[str]:
    """
    Write an output folder.

    Parameters
    ----------
    folder : Path
        An empty folder.
    parcel : Parcel
        What goes into it.

    Returns
    -------
    files : list of str
        What it holds, paths with forward slashes, sorted.
    """
    _write_plans(folder, parcel)
    tables = _write_layers(folder, parcel.layout)
    _write_hazards(folder, parcel)
    for name, writer in (("prescription", write_prescriptions), ("guidance", write_guidance)):
        inner = folder / name
        inner.mkdir()
        if not writer(parcel.layout, inner, parcel.cautions):
            inner.rmdir()
    write_devices(parcel.layout, parcel.cautions, tables, folder, parcel.asked)
    write_map(parcel.layout, parcel.cautions, folder / "map.png")
    _write_driving(folder / DRIVING, parcel)
    _write_sheets(folder / "sheets", parcel)
    _write_season(folder, parcel)
    _write_pegs(folder, parcel)
    told = (parcel.figures, parcel.cautions)
    text = summary_text(parcel.name, parcel.layout, *told, parcel.units)
    (folder / "summary.txt").write_bytes(text.encode())
    files = _finish(folder, parcel)
    summary = summary_dict(parcel.name, parcel.layout, *told, files)
    dumped = json.dumps(summary, indent=1, ensure_ascii=False, allow_nan=False)
    (folder / SUMMARY).write_bytes((dumped + "\n").encode())
    return files


def _finish(folder: Path, parcel: Parcel) -> list[str]:
    """Write the page on what is for which device, and all but the summary's data as one file."""
    names = sorted([*files_in(folder), README])
    text = readme_text(parcel.layout, parcel.cautions, [*names, ZIP])
    (folder / README).write_bytes(text.encode())
    write_zip(folder, names, folder / ZIP)  # the summary's data hold the day
    return sorted([*names, ZIP, SUMMARY])


def _write_plans(folder: Path, parcel: Parcel) -> None:
    """Write the user's plan, the resolved plan, and the files that the latter names."""
    (folder / PLAN_FILE).write_bytes(parcel.text.encode())
    plan, files = portable(parcel.layout.plan, parcel.layout.field, parcel.drawn)
    (folder / RESOLVED_FILE).write_bytes(plan_toml(plan).encode())
    for name, data in files.items():
        (folder / name).write_bytes(data)


def _write_season(folder: Path, parcel: Parcel) -> None:
    """Write the season's calendar, its field walks and small maps by year, where there are some."""
    calendar = season_ics(parcel.layout, parcel.cautions)
    if calendar is not None:
        (folder / CALENDAR_FILE).write_bytes(calendar)
    pages = walk_pages(parcel.layout, parcel.cautions, parcel.units)
    if pages is not None:
        (folder / WALKS_FILE).write_bytes(pages.encode())
    years = years_png(parcel.layout)
    if years is not None:
        (folder / YEARS_FILE).write_bytes(years)


def _write_driving(folder: Path, parcel: Parcel) -> None:
    """Write a picture of the order of driving for every operation, where there are some."""
    if driving_of(parcel.layout):
        folder.mkdir()
        write_drive_pictures(parcel.layout, parcel.cautions, folder)


def _write_sheets(folder: Path, parcel: Parcel) -> None:
    """Write the sheets of paper into a folder of their own."""
    folder.mkdir()
    handed = Handed(
        parcel.name,
        parcel.layout,
        parcel.figures,
        driving_of(parcel.layout),
        parcel.cautions,
        parcel.units,
        match_code(parcel.layout),
        parcel.printing,
    )
    write_sheets(handed, folder)


def _write_pegs(folder: Path, parcel: Parcel) -> None:
    """Write what the command `pegs` writes into a folder of its own, where there are trees."""
    layout = parcel.layout
    if not len(layout.trees):
        return
    frame = layout.field.frame
    pegs = folder / PEGS_FOLDER
    pegs.mkdir()
    grid = map_grid(utm_code(frame.lon, frame.lat))
    for name, text in peg_files(layout, grid, parcel.cautions).items():
        (pegs / name).write_bytes(text.encode())


def _write_hazards(folder: Path, parcel: Parcel) -> None:
    """Write the hazards that have a place as GeoJSON beside the layers, where there are some."""
    table = hazard_table(parcel.layout, parcel.cautions)
    if len(table):
        write_geojson(table, folder / HAZARDS_FILE, LINE_DECIMALS)


def _write_layers(folder: Path, layout: Layout) -> dict[str, gpd.GeoDataFrame]:
    """Write ground, headland and its edges, rows, trees, passes, rounds, turns as GeoJSON."""
    tables = {}
    layers = (
        ("ground", ground_table(layout), AREA_DECIMALS),
        ("headland", headland_table(layout), AREA_DECIMALS),
        ("headland_edges", edges_table(layout), LINE_DECIMALS),
        ("rows", rows_table(layout), LINE_DECIMALS),
        ("trees", trees_table(layout), LINE_DECIMALS),
        ("passes", passes_table(layout), LINE_DECIMALS),
        ("rounds", rounds_table(layout), LINE_DECIMALS),
        ("turns", turns_table(layout), LINE_DECIMALS),
    )
    for name, table, decimals in layers:
        drawn = on_wgs84(table, layout.field.frame)
        write_geojson(drawn, folder / f"{name}.geojson", decimals)
        tables[name] = drawn
    (folder / REFERENCE_FILE).write_bytes(reference_text(layout).encode())
    return tables
