"""Task data as folders for a terminal's medium: versions 4.3 and 3.3, rates drawn or as grids."""

from collections.abc import Collection, Mapping, Sequence
from copy import deepcopy
from pathlib import Path
from types import MappingProxyType
from xml.etree.ElementTree import Element  # written, never parsed

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.rateground import OperationRates
from geolayout.handover.files.xmltext import xml_bytes
from geolayout.handover.matchcode import match_code
from geolayout.handover.taskdata.document import XML_NAME, task_data
from geolayout.handover.taskdata.elements import LONGEST_TEXT, Ids
from geolayout.handover.taskdata.grids import OF_RATES, OF_ZONES, grid_of, with_grid
from geolayout.handover.taskdata.guidance import guidance_groups
from geolayout.handover.taskdata.partfield import on_globe
from geolayout.handover.taskdata.tasks import NOTHING
from geolayout.handover.taskdata.version3 import as_version3
from geolayout.handover.words.hazards import hazard_lines
from geolayout.layout.build import Layout

__all__ = ["ASKED_FOLDERS", "FOLDERS", "taskdata_text", "write_taskdata"]

INNER = "TASKDATA"
"""Name that the folder has on the medium."""

FOLDERS = ("taskdata_4", "taskdata_3", "taskdata_3_grid")
"""Names of the folders: version 4.3, version 3.3, and 3.3 with the rates as grids."""

ASKED_FOLDERS = ("taskdata_4_grid", "taskdata_4_codes", "taskdata_3_codes")
"""Folders that are written only if asked for: rates as grids, or the codes of zones."""

_GRIDS: Mapping[str, int] = MappingProxyType(
    {
        "taskdata_3_grid": OF_RATES,
        "taskdata_4_grid": OF_RATES,
        "taskdata_4_codes": OF_ZONES,
        "taskdata_3_codes": OF_ZONES,
    }
)
"""What the cells of a folder's grids hold; the others have drawn zones."""


def write_taskdata(
    layout: Layout,
    cautions: Sequence[Caution],
    rates: Sequence[OperationRates],
    folder: Path,
    asked: Collection[str] = (),
) -> None:
    """
    Write all task data of a layout.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Worst first; hazards with a place are marked in the field.
    rates : sequence of OperationRates
        Its rates.
    folder : Path
        An existing folder, in which one folder is made for each of ``FOLDERS``; those with grids
        only where there are rates.
    asked : collection of str
        Which of ``ASKED_FOLDERS`` are made too; other words are passed over.
    """
    root = task_data(layout, cautions, rates)
    roots = {"taskdata_4": root, "taskdata_3": as_version3(root)}
    text = taskdata_text(layout, rates, cautions).encode()
    for name in (*FOLDERS, *(one for one in ASKED_FOLDERS if one in asked)):
        held = roots[name[: len("taskdata_4")]]
        if name not in _GRIDS:
            _write(folder / name, held, {})
        elif rates:
            gridded = deepcopy(held)
            _write(folder / name, gridded, _with_grids(layout, gridded, rates, _GRIDS[name]))
        else:
            continue
        (folder / name / "README.txt").write_bytes(text)


def _write(folder: Path, root: Element, files: dict[str, bytes]) -> None:
    """Write one document and what it names."""
    inner = folder / INNER
    inner.mkdir(parents=True)
    (inner / XML_NAME).write_bytes(xml_bytes(root))
    for name, content in files.items():
        (inner / name).write_bytes(content)


def _with_grids(
    layout: Layout, root: Element, rates: Sequence[OperationRates], kind: int
) -> dict[str, bytes]:
    """Put a grid into each task that has zones; return the files by name."""
    files = {}
    tasks = [task for task in root.iter("TSK") if task.find("TZN") is not None]
    for number, (task, one) in enumerate(zip(tasks, rates, strict=True), 1):
        zones = [zone.wide for zone in one.zones[:-1] if not zone.wide.is_empty]
        grid = grid_of(on_globe(layout, zones).tolist(), layout.field.frame)
        files[f"GRD{number:05d}.bin"] = with_grid(task, one, grid, number, kind)
    return files


def taskdata_text(
    layout: Layout, rates: Sequence[OperationRates], cautions: Sequence[Caution]
) -> str:
    """
    Return what the driver needs to know about the task data.

    Parameters
    ----------
    layout : Layout
        A layout.
    rates : sequence of OperationRates
        Its rates.
    cautions : sequence of Caution
        Worst first; hazards are told whole.

    Returns
    -------
    text : str
        How to load them, amounts, which lines to drive, and names that were cut.
    """
    amounts = [
        f"{one.operation}: {product.name}, {_amount(total, product.unit)}."
        for one in rates
        for product, total in zip(one.products, one.totals, strict=True)
    ]
    driven = [line for group in guidance_groups(layout, Ids()) for line in group.told]
    cut = [name for name in _names(layout, rates) if len(name) > LONGEST_TEXT]
    parts = [
        _ABOUT.format(code=match_code(layout), nothing=NOTHING),
        "\n".join(hazard_lines(cautions)),
        _listed("Amounts, by the true areas:", amounts),
        _listed("Lines to drive, counted from the line that the terminal holds:", driven),
        _listed(f"Names cut to {LONGEST_TEXT} letters, as the terminal holds no more:", cut),
    ]
    return "\n".join(part for part in parts if part)


def _amount(amount: float, unit: str) -> str:
    """Return an amount in words."""
    what = unit.split("/", maxsplit=1)[0]
    return f"{amount:,.1f} kg" if what == "kg" else f"{amount:,.0f} {what}"


def _names(layout: Layout, rates: Sequence[OperationRates]) -> list[str]:
    """Return all names that task data hold."""
    names = [layout.field.name, *(one.name for one in layout.plan.operations)]
    names += [feature.name for feature in layout.field.features]
    names += [product.name for one in rates for product in one.products]
    names += [name for stand in layout.plan.stands for one in stand.sowing for name in one.mix]
    return list(dict.fromkeys(names))


def _listed(title: str, lines: Sequence[str]) -> str:
    """Return lines under a title, nothing where there are none."""
    return "\n".join([title, *(f"  {line}" for line in lines), ""]) if lines else ""


_ABOUT = """\
Task data of ISO 11783-10. Copy the folder TASKDATA, not what is in it, to the top of the medium.

taskdata_4 is version 4.3: guidance groups, headland, buffers and rates as drawn zones.
taskdata_3 is version 3.3, for older terminals: guidance lines, and rates as drawn zones.
taskdata_3_grid is version 3.3 with the rates as cells, for terminals that show no drawn zones.
taskdata_4_grid, taskdata_4_codes and taskdata_3_codes are there only if asked for: with rates as
cells, and with cells that name the zone whose rates they take.

The code of the field and at the end of every task is {code}, as on every sheet of this plan.

One task an operation. In the zone "{nothing}", outside the field and without a position the
rate is 0. Zones of seed are wider than the ground by 0.20 m wherever the land beside them is not
sown by the same operation, zones of what is spread or sprayed are not; the amounts below are of the
ground itself. Ground that an operation works
twice, across the rows too, has half of its rate, as each way takes half. A rate in plants is the
plants wanted: where not every seed becomes one, the machine is set to more seeds. Hazards are
marked as points named HAZARD: look at each before you drive. A file that a terminal shows can
still be wrong: look at the first pass on the ground.
"""
