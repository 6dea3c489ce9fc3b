"""
Prescriptions: where each product is sown at which rate, for a terminal to follow.

A drill's outer row stands a few centimetres from its band's edge, so a pass a hand's breadth off
line would take that row into the neighbour's rate of nought. Each rate's ground is therefore
widened by a slack, but only into land that the same operation does not sow at all::

      product's rate             not sown by this operation
    ---------------------|~~~~~~~~|-------------------------    ~ widened ground
                      band's edge  band's edge + slack

Between two rates of one operation the border stays where it is. Sums use the true areas. What is
spread or sprayed keeps to its ground.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import geopandas as gpd
import numpy as np

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.rateground import (
    SLACK,
    RateGround,
    products_of,
    rate_ground,
    sown_by_operation,
)
from geolayout.handover.files.spreadground import spreads
from geolayout.handover.files.vector import write_lines_shapefile, write_shapefile
from geolayout.handover.files.vertices import lonlat_areas
from geolayout.handover.tables import guidance_table
from geolayout.handover.words.counting import counted
from geolayout.handover.words.hazards import hazard_lines
from geolayout.layout.build import Layout
from geolayout.plan.stand import Sowing

__all__ = [
    "SLACK",
    "Prescription",
    "Zone",
    "prescription_notes",
    "prescription_table",
    "prescriptions",
    "write_guidance",
    "write_prescriptions",
]

COLUMNS = {
    "RATE": "float:12.3",
    "UNIT": "str:12",
    "PRODUCT": "str:80",
    "ZONE": "int:6",
    "AREA_HA": "float:12.4",
}
"""Columns of a prescription."""


Zone = RateGround[float]
"""Ground with one rate of one product."""


@dataclass(frozen=True, slots=True, eq=False)
class Prescription:
    """
    One product of one operation.

    Attributes
    ----------
    operation, product, unit : str
        Which operation sows what, and in which unit.
    slack : float
        By how much its zones are widened. [m]
    zones : tuple of Zone
        The highest rate first, 0 last; together they are the field, without overlap.
    """

    operation: str
    product: str
    unit: str
    slack: float
    zones: tuple[Zone, ...]


def prescriptions(layout: Layout, slack: float = SLACK) -> tuple[Prescription, ...]:
    """
    Return the prescription of every product that has a rate wherever it is sown.

    Parameters
    ----------
    layout : Layout
        A layout.
    slack : float, default 0.20
        How far rates reach into land that their operation does not sow. [m]

    Returns
    -------
    prescriptions : tuple of Prescription
        In the order of the plan's operations, then as products are met across the field; last what
        is spread or sprayed, which is not widened.
    """
    found = []
    for operation, sown in sown_by_operation(layout):
        pieces = sorted({piece for entry in sown for piece in entry.pieces})
        for product in products_of(layout, sown):
            if product.unit:
                zones = rate_ground(layout, product.amounts, pieces, slack, 0.0)
                one = Prescription(operation, product.name, product.unit, slack, zones)
                found.append(one)
    return (*found, *_of_spreads(layout))


def _of_spreads(layout: Layout) -> Iterator[Prescription]:
    """Return the prescriptions of what is spread or sprayed, on its very ground."""
    for one in spreads(layout):
        zones = rate_ground(layout, one.amounts, sorted(one.amounts), 0.0, 0.0)
        yield Prescription(one.operation, one.operation, one.unit, 0.0, zones)


def prescription_notes(layout: Layout) -> tuple[str, ...]:
    """Return a sentence for every product that is sown and has no prescription."""
    notes = []
    for operation, sown in sown_by_operation(layout):
        notes += [
            f"{product.name} ({operation}) has no rate on some of its ground, "
            "so no prescription was written for it."
            for product in products_of(layout, sown)
            if not product.unit
        ]
    for name in dict.fromkeys(layout.ground.stand.tolist()):
        stand = layout.plan.stand(name)
        sowings = stand.sowing if stand is not None else ()
        notes += [_unsown_note(sowing, name) for sowing in sowings if _unworked(sowing)]
    return tuple(notes)


def _unworked(sowing: Sowing) -> bool:
    """Whether a crop is sown by nobody in particular."""
    return sowing.operation is None and sowing.place != "standing"


def _unsown_note(sowing: Sowing, stand: str) -> str:
    """Say that no operation sows a crop."""
    where = f" in stand {stand}" if stand != sowing.crop else ""
    return f"{sowing.label}{where}: no operation sows it, so no prescription was written for it."


def prescription_table(layout: Layout, prescription: Prescription) -> gpd.GeoDataFrame:
    """
    Return a prescription as a table.

    Parameters
    ----------
    layout : Layout
        The layout it was made of.
    prescription : Prescription
        One product of one operation.

    Returns
    -------
    table : GeoDataFrame
        Columns `RATE` (in `UNIT`), `UNIT`, `PRODUCT`, `ZONE` (0 where nothing is sown) and
        `AREA_HA`, the true area in the frame [ha]; areas on WGS 84. [degrees]
    """
    zones = [zone for zone in prescription.zones if not zone.wide.is_empty]
    shapes = np.empty(len(zones), dtype=object)
    shapes[:] = [zone.wide for zone in zones]
    columns = {
        "RATE": [zone.rate for zone in zones],
        "UNIT": [prescription.unit] * len(zones),
        "PRODUCT": [prescription.product] * len(zones),
        "ZONE": [k + 1 if zone.rate else 0 for k, zone in enumerate(zones)],
        "AREA_HA": [zone.true.area / 1e4 for zone in zones],
    }
    drawn = lonlat_areas(shapes, layout.field.frame)
    return gpd.GeoDataFrame(columns, geometry=drawn, crs="EPSG:4326")


def write_prescriptions(
    layout: Layout, folder: Path, cautions: Sequence[Caution], slack: float = SLACK
) -> list[str]:
    """
    Write one shapefile a product and a note about them into a folder.

    Parameters
    ----------
    layout : Layout
        A layout.
    folder : Path
        An existing folder to write into.
    cautions : sequence of Caution
        Worst first; hazards stand in the note.
    slack : float, default 0.20
        How far rates reach into land that their operation does not sow. [m]

    Returns
    -------
    lines : list of str
        One line a file, for people; none where there is no prescription and no file.
    """
    found = prescriptions(layout, slack)
    names = short_names([one.product for one in found])
    lines = []
    for name, one in zip(names, found, strict=True):
        write_shapefile(prescription_table(layout, one), folder / f"{name}.shp", COLUMNS)
        lines.append(_line(name, one))
    if lines:
        _write_note(folder, _ABOUT.format(slack=slack), cautions, lines)
    return lines


def _write_note(
    folder: Path, about: str, cautions: Sequence[Caution], lines: Sequence[str]
) -> None:
    """Write what the files of a folder are, with the hazards that their shapes cannot carry."""
    text = "\n".join([about, *hazard_lines(cautions), *lines]) + "\n"
    (folder / "README.txt").write_bytes(text.encode())


_ABOUT = """\
Prescriptions: one shapefile a product, on WGS 84 (longitude, latitude).

Column RATE is the rate, UNIT its unit: enter that unit when the terminal asks for it.
ZONE 0 with RATE 0 is land where this product is not sown. AREA_HA is the true area in hectares,
so RATE x AREA_HA is the amount. The outlines are wider than that by {slack:.2f} m wherever the land
beside them is not sown by the same operation, so that a pass a little off line keeps its rate. What
is spread or sprayed is called by its operation, and its outlines are not wider.
"""


def _line(name: str, one: Prescription) -> str:
    """Return one line about a prescription."""
    rates = ", ".join(
        f"{zone.rate:g} {one.unit} on {zone.true.area / 1e4:.2f} ha" for zone in one.zones[:-1]
    )
    return f"{name}.shp: {one.product}, operation {one.operation}: {rates}."


def write_guidance(layout: Layout, folder: Path, cautions: Sequence[Caution]) -> list[str]:
    """
    Write one shapefile of guidance lines an operation and a note about them into a folder.

    Parameters
    ----------
    layout : Layout
        A layout.
    folder : Path
        An existing folder to write into.
    cautions : sequence of Caution
        Worst first; hazards stand in the note.

    Returns
    -------
    lines : list of str
        One line a file, for people; none where no operation has passes or rounds.
    """
    driven = [layout.passes.operation, layout.rounds.operation]
    worked = np.unique(np.concatenate(driven)).tolist()
    operations = [layout.plan.operations[i] for i in worked]
    names = short_names([operation.name for operation in operations])
    lines = []
    for i, name, operation in zip(worked, names, operations, strict=True):
        table = guidance_table(layout, i)
        write_lines_shapefile(table, folder / f"{name}.shp")
        width = layout.plan.machine(operation.machine).working_width
        lines.append(
            f"{name}.shp: {operation.name}, {operation.machine}, {width:g} m wide, "
            f"{_driven(table)}, {counted(len(table), 'line', 'lines')}."
        )
    if lines:
        _write_note(folder, _ABOUT_LINES, cautions, lines)
    return lines


def _driven(table: gpd.GeoDataFrame) -> str:
    """Return how many passes there are, and rounds of a headland where there are any."""
    straight = table["TYPE"] == "A-B"
    words = counted(table.loc[straight, "SEQ"].nunique(), "pass", "passes")
    rounds = int((~straight).sum())
    if not rounds:
        return words
    stretches = counted(rounds, "stretch of a headland round", "stretches of headland rounds")
    return f"{words}, {stretches}"


_ABOUT_LINES = """\
Guidance lines: one shapefile an operation, on WGS 84 (longitude, latitude).

Each line of TYPE A-B has two points, in the direction of the guide, and is the machine's middle.
A terminal drives straight from A to B; a map that draws the line straight in degrees lies a few
millimetres beside it. SEQ is the number of the pass, counted from the near side. BEYOND_M is how
much of the line lies beyond land that can be driven on: more than 0 needs a look on the ground.

Lines of TYPE round (closed) and curve (open) are driven on a headland. They have a vertex wherever
the machine turns, no tighter than its turning radius, and SEQ counts from the outer edge inwards.
"""


def short_names(words: Sequence[str]) -> list[str]:
    """
    Return file names of at most eight plain letters and digits, all different.

    Examples
    --------
    >>> short_names(["field beans", "field beans", "Fläche", "żyto"])
    ['fieldbea', 'fieldbe2', 'flache', 'zyto']
    """
    names: list[str] = []
    for word in words:
        plain = unicodedata.normalize("NFKD", word).encode("ascii", "ignore").decode().lower()
        base = re.sub("[^a-z0-9]", "", plain)[:8] or "product"
        name, count = base, 1
        while name in names:
            count += 1
            name = f"{base[: 8 - len(str(count))]}{count}"
        names.append(name)
    return names
