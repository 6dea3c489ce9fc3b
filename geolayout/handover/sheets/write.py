"""Which sheets a folder holds, what each is called, and for whom it is."""

from pathlib import Path

import numpy as np

from geolayout.handover.files.prescription import short_names
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.jobsheet import job_pages
from geolayout.handover.sheets.pdf import figure_pdf, pages_pdf, pdf_style
from geolayout.handover.sheets.planting import planting_pages
from geolayout.handover.sheets.say import say
from geolayout.handover.sheets.season import season_pages
from geolayout.handover.sheets.stripmap import map_sheet, sheet_view, strip_pages

__all__ = ["MAP_FILE", "PLANTING_FILE", "write_sheets"]

MAP_FILE, PLANTING_FILE = "strip_map.pdf", "planting.pdf"
"""Names of the map and of the planting sheet."""


def write_sheets(handed: Handed, folder: Path) -> list[str]:
    """
    Write the sheets of a layout into a folder.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    folder : Path
        An existing folder to write into.

    Returns
    -------
    files : list of str
        Names of what was written.
    """
    field = handed.layout.field.name
    strips = say("Strips: {field}").format(field=field)
    season = say("The season: {field}").format(field=field)
    sheets = {
        MAP_FILE: _map(handed),
        "strips.pdf": pages_pdf(handed.words(strips), strip_pages(handed)),
        "season.pdf": pages_pdf(handed.words(season), season_pages(handed)),
        **_planting(handed),
        **_job_sheets(handed),
    }
    for name, data in sheets.items():
        (folder / name).write_bytes(data)
    return list(sheets)


def _map(handed: Handed) -> bytes:
    """Return the strip map."""
    title = say("Strip map: {field}").format(field=handed.layout.field.name)
    with pdf_style():
        return figure_pdf(handed.words(title), map_sheet(handed, sheet_view(handed), MAP_FILE))


def _planting(handed: Handed) -> dict[str, bytes]:
    """Return the planting sheet, where there are trees."""
    if not len(handed.layout.trees):
        return {}
    title = say("Planting sheet: {field}").format(field=handed.layout.field.name)
    pages = planting_pages(handed, PLANTING_FILE)
    return {PLANTING_FILE: pages_pdf(handed.words(title), pages)}


def _job_sheets(handed: Handed) -> dict[str, bytes]:
    """Return a job sheet for every operation that drives, named like the file of its lines."""
    layout = handed.layout
    driven = np.concatenate([layout.passes.operation, layout.rounds.operation])
    worked = np.unique(driven).tolist()
    names = short_names([layout.plan.operations[index].name for index in worked])
    sheets = {}
    for index, name in zip(worked, names, strict=True):
        title = say("Job sheet: {work}").format(work=layout.plan.operations[index].name)
        pages = job_pages(handed, index, f"guidance/{name}.shp")
        sheets[f"job_{name}.pdf"] = pages_pdf(handed.words(title), pages)
    return sheets
