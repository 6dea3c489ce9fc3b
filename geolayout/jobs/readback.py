"""
A handover read back: its field, its reference lines, its rates, and whether they are the plan's.

The plan in the folder is laid again, and every line and rate of the files beside it is held against
it. What a terminal or a hand has changed since shows as a distance or an area.
"""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.worked.ground import areas_of, merged, outside
from geolayout.appraisal.worked.rates import PER_M2
from geolayout.errors import FileError
from geolayout.handover.files.prescription import Prescription, prescriptions
from geolayout.handover.files.reference import REFERENCE_FILE
from geolayout.handover.folder import SUMMARY
from geolayout.handover.planfile import RESOLVED_FILE
from geolayout.jobs.copyback import CopyBack, copies_of
from geolayout.jobs.job import lay
from geolayout.jobs.lines import plan_in
from geolayout.jobs.reading import read
from geolayout.land.files.archive import ARCHIVES, members, read_member
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.frames.lonlat import on_earth
from geolayout.layout.build import Layout

__all__ = ["LinesBack", "RateBack", "ReadBack", "ReferenceBack", "back_dict", "read_back"]

NEEDED = (
    *(".toml", ".geojson", ".tif", ".shp", ".shx", ".dbf", ".prj", ".cpg", ".json", ".csv"),
    *(".gpkg", ".xml", ".bin"),
)
"""Ends of names of what is taken out of a zip."""

MOST_BYTES = 200_000_000
"""A file of a handover is never larger. [bytes]"""

SAME_LINE = 0.01
"""A line no farther from the plan's is the same one: rounding of degrees is far below. [m]"""

SAME_GROUND = 1.0
"""Ground with another rate below this is the rounding of outlines. [m2]"""


@dataclass(frozen=True, slots=True)
class ReferenceBack:
    """
    One reference line of a handover.

    Attributes
    ----------
    name, block : str
        What it is called, and its block; "" where there is none.
    lonlat : tuple of (float, float)
        Its corners, longitude first. [degrees]
    true_bearing : float or None
        As the file says it. [degrees]
    frame : str or None
        What its coordinates are fixed to; None where nobody said.
    off_m : float
        From the plan's lines, at most. [m]
    """

    name: str
    block: str
    lonlat: tuple[tuple[float, float], ...]
    true_bearing: float | None
    frame: str | None
    off_m: float


@dataclass(frozen=True, slots=True)
class LinesBack:
    """
    Guidance lines of one file.

    Attributes
    ----------
    file : str
        Its name.
    lines, planned : int
        How many it holds, and how many of its operation the plan has.
    off_m : float
        The farthest corner from the plan's lines. [m]
    """

    file: str
    lines: int
    planned: int
    off_m: float


@dataclass(frozen=True, slots=True)
class RateBack:
    """
    Rates of one product.

    Attributes
    ----------
    file, product, unit : str
        Its file, what is sown, and the unit of its rates.
    rates : tuple of (float, float)
        Each rate, and the hectares it goes on. [unit, ha]
    amount, planned : float
        Rate times area in the file, and in the plan. [plants, seeds or kg]
    changed_m2 : float
        Ground to which the file gives another rate than the plan. [m2]
    """

    file: str
    product: str
    unit: str
    rates: tuple[tuple[float, float], ...]
    amount: float
    planned: float
    changed_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class ReadBack:
    """
    A handover, read back.

    Attributes
    ----------
    layout : Layout
        Its plan, laid again; with the field.
    references : tuple of ReferenceBack
        Its reference lines.
    guidance : tuple of LinesBack
        Its guidance lines, file by file.
    rates : tuple of RateBack
        Its rates, product by product.
    copies : tuple of CopyBack
        The same field, lines and rates as its other files have them.
    differences : tuple of str
        A sentence for everything that is not the plan's.
    """

    layout: Layout
    references: tuple[ReferenceBack, ...]
    guidance: tuple[LinesBack, ...]
    rates: tuple[RateBack, ...]
    copies: tuple[CopyBack, ...]
    differences: tuple[str, ...]


def read_back(source: Path, *, season: int | None = None) -> ReadBack:
    """
    Read a handover back.

    Parameters
    ----------
    source : Path
        A folder that was laid out, or a zip of one.
    season : int, optional
        Harvest year; that of the folder's summary, else the plan's first, if nothing is said.

    Raises
    ------
    GeolayoutError
        If it is no handover, or a file of it cannot be read.
    """
    with _folder_of(source) as folder:
        job = read(plan_in(folder))
        layout = lay(job, season if season is not None else _season(folder))
        references = _references(layout, folder)
        guidance = _guidance(layout, folder)
        rates = _rates(layout, folder)
        copies = copies_of(layout, folder)
    said = _differences(layout, references, guidance, rates)
    said += tuple(sentence for one in copies for sentence in _of_copy(one))
    return ReadBack(layout, references, guidance, rates, copies, said)


@contextmanager
def _folder_of(source: Path) -> Iterator[Path]:
    """Give the folder of a handover; a zip's files in one that goes away again."""
    if source.suffix.lower() not in ARCHIVES or source.is_dir():
        if not source.is_dir():
            raise FileError(
                f"{source} is no folder and no zip.",
                "A handover is a folder that was laid out, or a zip of one.",
                "Name one of them.",
            )
        yield source
        return
    with TemporaryDirectory(prefix="geolayout_") as place:
        for file in members(source):  # names that lead elsewhere are refused
            if file.suffix.lower() in NEEDED:
                path = Path(place) / file
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(read_member(source, file, MOST_BYTES))
        found = sorted(Path(place).rglob(RESOLVED_FILE), key=lambda path: len(path.parts))
        if not found:
            raise FileError(
                f"{source.name} holds no {RESOLVED_FILE}.",
                "It is no zip of a handover.",
                "Name handover.zip, or the folder it lies in.",
            )
        yield found[0].parent


def _season(folder: Path) -> int | None:
    """Return the harvest year that a folder was laid out for, where its summary says it."""
    try:
        told = json.loads((folder / SUMMARY).read_bytes())
    except (OSError, ValueError):
        return None
    year = told.get("season") if isinstance(told, dict) else None
    return year if isinstance(year, int) else None


def _sheet(path: Path) -> Sheet:
    """Return the rows of a file that have a shape, in degrees."""
    return on_earth(read_sheet(path, None))


def _references(layout: Layout, folder: Path) -> tuple[ReferenceBack, ...]:
    """Return the reference lines of a folder."""
    path = folder / REFERENCE_FILE
    if not path.is_file():
        return ()
    return tuple(_reference(layout, row) for row in _sheet(path).rows if row.geometry is not None)


def _reference(layout: Layout, row: Row) -> ReferenceBack:
    """Return a reference line, and how far it lies from the nearest line t = 0 of a block."""
    lonlat = shapely.get_coordinates(row.geometry)
    xy = layout.field.frame.metres(lonlat)
    name = str(row.column("block") or "")
    blocks = [one for one in layout.blocks if one.leads and one.line_name == name]
    off = [float(np.abs(one.guides.across(xy)).max()) for one in blocks]
    bearing, frame = row.column("true_bearing"), row.column("frame")
    return ReferenceBack(
        row.label(""),
        name,
        tuple((lon, lat) for lon, lat in lonlat.tolist()),
        float(bearing) if isinstance(bearing, int | float) else None,
        str(frame) if frame else None,
        min(off, default=float("inf")),
    )


def _guidance(layout: Layout, folder: Path) -> tuple[LinesBack, ...]:
    """Return the guidance lines of a folder, file by file."""
    found = []
    for path in sorted((folder / "guidance").glob("*.shp")):
        rows = [row for row in _sheet(path).rows if row.geometry is not None]
        drawn = np.array([row.geometry for row in rows], dtype=object)
        xy = layout.field.frame.metres(shapely.get_coordinates(drawn))
        lines = _lines_called(layout, {str(row.column("name")) for row in rows})
        off = 0.0
        if len(xy):
            nearest = shapely.STRtree(lines).query_nearest(
                shapely.points(xy), all_matches=False, return_distance=True
            )
            off = float(nearest[1].max()) if len(lines) else float("inf")
        found.append(LinesBack(path.name, len(rows), len(lines), off))
    return tuple(found)


def _lines_called(layout: Layout, names: set[str]) -> NDArray[np.object_]:
    """Return the lines of the operations whose names the names of lines begin with."""
    passes, rounds = layout.passes, layout.rounds
    known = {one.name: i for i, one in enumerate(layout.plan.operations)}
    of = [[one for one in known if name.startswith(f"{one} ")] for name in sorted(names)]
    mine = sorted({known[max(one, key=len)] for one in of if one})  # "spray 2" before "spray"
    straight = passes.lines.geometry[np.isin(passes.operation, mine)]
    curved = rounds.lines.geometry[np.isin(rounds.operation, mine)]
    return np.concatenate([straight, curved])


def _rates(layout: Layout, folder: Path) -> tuple[RateBack, ...]:
    """Return the rates of a folder, product by product."""
    planned = prescriptions(layout)
    found = []
    for path in sorted((folder / "prescription").glob("*.shp")):
        rows = [row for row in _sheet(path).rows if row.geometry is not None]
        if rows:
            found.append(_rate(layout, path.name, rows, planned))
    return tuple(found)


def _rate(
    layout: Layout, file: str, rows: Sequence[Row], planned: Sequence[Prescription]
) -> RateBack:
    """Return the rates of one file, held against the plan's product of that name and unit."""
    product, unit = str(rows[0].column("product")), str(rows[0].column("unit"))
    rates = [(_figure(row, "rate", file), _figure(row, "area_ha", file)) for row in rows]
    to_frame = layout.field.frame.to_local
    drawn = [areas_of(to_frame(row.geometry)) for row in rows if row.geometry is not None]
    same = [one for one in planned if (one.product, one.unit) == (product, unit)]
    amounts = [_amount(one) for one in same]
    total = sum(rate * area * 1e4 for rate, area in rates) * PER_M2.get(unit, 0.0)
    nearest = min(range(len(same)), key=lambda k: abs(amounts[k] - total), default=None)
    if nearest is None:
        changed = sum(
            float(ground.area) for ground, (rate, _) in zip(drawn, rates, strict=True) if rate
        )
        return RateBack(file, product, unit, tuple(rates), total, 0.0, changed)
    changed = _changed(drawn, [rate for rate, _ in rates], same[nearest])
    return RateBack(file, product, unit, tuple(rates), total, amounts[nearest], changed)


def _amount(planned: Prescription) -> float:
    """Return how much of a product the plan takes. [plants, seeds or kg]"""
    ground = sum(zone.rate * float(zone.true.area) for zone in planned.zones)
    return ground * PER_M2[planned.unit]


def _changed(drawn: Sequence[BaseGeometry], rates: Sequence[float], planned: Prescription) -> float:
    """Return the ground to which a file gives another rate than the plan. [m2]"""
    changed = 0.0
    for ground, rate in zip(drawn, rates, strict=True):
        same = [zone.wide for zone in planned.zones if abs(zone.rate - rate) < 1e-3]
        changed += float(outside(ground, merged(same)).area)
    return changed


def _figure(row: Row, name: str, file: str) -> float:
    """Return a column as a figure."""
    value = row.column(name)
    if isinstance(value, int | float) and np.isfinite(value):
        return float(value)
    raise FileError(
        f"{file} has no figure in column {name.upper()}.",
        "A rate without a figure, or on no area, is none.",
        "Write the handover again by lay.",
    )


def _differences(
    layout: Layout,
    references: Sequence[ReferenceBack],
    guidance: Sequence[LinesBack],
    rates: Sequence[RateBack],
) -> tuple[str, ...]:
    """Say what is not as planned."""
    said = []
    if not references:
        said.append("There is no reference line.")
    said += [
        f"Reference line {line.name!r} lies {line.off_m:.2f} m from the plan's."
        for line in references
        if line.off_m > SAME_LINE
    ]
    for one in guidance:
        if one.lines != one.planned:
            said.append(f"{one.file} holds {one.lines} lines, the plan {one.planned}.")
        if one.off_m > SAME_LINE:
            said.append(f"A line of {one.file} lies {one.off_m:.2f} m from the plan's.")
    said += [
        f"{one.file} gives {one.changed_m2:.0f} m2 another rate of {one.product} than the plan."
        for one in rates
        if one.changed_m2 > SAME_GROUND
    ]
    held = {(rate.product, rate.unit) for rate in rates}
    said += [
        f"The rates of {one.product} ({one.operation}) are not there."
        for one in prescriptions(layout)
        if (one.product, one.unit) not in held
    ]
    return tuple(said)


def _of_copy(copy: CopyBack) -> Iterator[str]:
    """Say what one more file has otherwise than the plan."""
    if copy.off_m2 > SAME_GROUND:
        yield f"{copy.file} has {copy.off_m2:.0f} m2 of the field otherwise than the plan."
    if copy.lines != copy.planned:
        yield f"{copy.file} holds {copy.lines} lines to drive, the plan {copy.planned}."
    if copy.off_m > SAME_LINE:
        yield f"A line of {copy.file} lies {copy.off_m:.2f} m from the plan's."
    for one in copy.rates:
        if one.changed_m2 > SAME_GROUND:
            yield (
                f"{copy.file} gives {one.changed_m2:.0f} m2 another rate of {one.product} "
                "than the plan."
            )


def back_dict(found: ReadBack) -> dict[str, Any]:
    """Return what was read back, fit for JSON, every figure with its unit in its key."""
    season = found.layout.season
    return {
        "field": found.layout.field.name,
        "area_m2": float(found.layout.field.area),
        "season": season.year if season is not None else None,
        "reference_lines": [asdict(one) for one in found.references],
        "guidance": [asdict(one) for one in found.guidance],
        "rates": [asdict(one) for one in found.rates],
        "copies": [asdict(one) for one in found.copies],
        "differences": list(found.differences),
    }
