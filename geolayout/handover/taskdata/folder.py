"""Task data as folders to copy onto a terminal's medium: version 4.3, 3.3, and 3.3 with grids."""

from collections.abc import Sequence
from copy import deepcopy
from pathlib import Path
from xml.etree.ElementTree import Element  # written, never parsed

from geolayout.appraisal.caution import Caution
from geolayout.handover.matchcode import match_code
from geolayout.handover.rateground import OperationRates
from geolayout.handover.taskdata.document import XML_NAME, task_data
from geolayout.handover.taskdata.elements import LONGEST_TEXT, Ids
from geolayout.handover.taskdata.grids import grid_of, with_grid
from geolayout.handover.taskdata.guidance import guidance_groups
from geolayout.handover.taskdata.partfield import on_globe
from geolayout.handover.taskdata.version3 import as_version3
from geolayout.handover.xmltext import xml_bytes
from geolayout.layout.build import Layout

__all__ = ["FOLDERS", "taskdata_text", "write_taskdata"]

INNER = "TASKDATA"
"""Name that the folder has on the medium."""

FOLDERS = ("taskdata_4", "taskdata_3", "taskdata_3_grid")
"""Names of the folders: version 4.3, version 3.3, and 3.3 with the rates as grids."""


def write_taskdata(
    layout: Layout,
    cautions: Sequence[Caution],
    rates: Sequence[OperationRates],
    folder: Path,
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
        An existing folder, in which one folder is made for each of ``FOLDERS``; the last only
        where there are rates.
    """
    root = task_data(layout, cautions, rates)
    older = as_version3(root)
    _write(folder / FOLDERS[0], root, {})
    if rates:
        gridded = deepcopy(older)
        files = _with_grids(layout, gridded, rates)
        _write(folder / FOLDERS[2], gridded, files)
    _write(folder / FOLDERS[1], older, {})
    text = taskdata_text(layout, rates)
    for name in FOLDERS[: 3 if rates else 2]:
        (folder / name / "README.txt").write_bytes(text.encode())


def _write(folder: Path, root: Element, files: dict[str, bytes]) -> None:
    """Write one document and what it names."""
    inner = folder / INNER
    inner.mkdir(parents=True)
    (inner / XML_NAME).write_bytes(xml_bytes(root))
    for name, content in files.items():
        (inner / name).write_bytes(content)


def _with_grids(layout: Layout, root: Element, rates: Sequence[OperationRates]) -> dict[str, bytes]:
    """Put a grid into each task that has zones; return the files by name."""
    files = {}
    tasks = [task for task in root.iter("TSK") if task.find("TZN") is not None]
    for number, (task, one) in enumerate(zip(tasks, rates, strict=True), 1):
        zones = [zone.wide for zone in one.zones[:-1] if not zone.wide.is_empty]
        grid = grid_of(on_globe(layout, zones).tolist(), layout.field.frame)
        files[f"GRD{number:05d}.bin"] = with_grid(task, one, grid, number)
    return files


def taskdata_text(layout: Layout, rates: Sequence[OperationRates]) -> str:
    """
    Return what the driver needs to know about the task data.

    Parameters
    ----------
    layout : Layout
        A layout.
    rates : sequence of OperationRates
        Its rates.

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
        _ABOUT.format(code=match_code(layout)),
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
    return list(dict.fromkeys(names))


def _listed(title: str, lines: Sequence[str]) -> str:
    """Return lines under a title, nothing where there are none."""
    return "\n".join([title, *(f"  {line}" for line in lines), ""]) if lines else ""


_ABOUT = """\
Task data of ISO 11783-10. Copy the folder TASKDATA, not what is in it, to the top of the medium.

taskdata_4 is version 4.3: guidance groups, headland, buffers and rates as drawn zones.
taskdata_3 is version 3.3, for older terminals: guidance lines, and rates as drawn zones.
taskdata_3_grid is version 3.3 with the rates as cells, for terminals that show no drawn zones.

The code of the field and at the end of every task is {code}, as on every sheet of this plan.

One task an operation. In the zone "nothing sown", outside the field and without a position the
rate is 0. Zones are wider than the ground by 0.20 m wherever the land beside them is not sown by
the same operation; the amounts below are of the ground itself. Ground that an operation works
twice, across the rows too, has half of its rate, as each way takes half. A rate in plants is the
plants wanted: where not every seed becomes one, the machine is set to more seeds. Hazards are
marked as points named HAZARD: look at each before you drive. A file that a terminal shows can
still be wrong: look at the first pass on the ground.
"""
