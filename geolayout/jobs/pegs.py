"""Peg lists of a plan, as the command line asks for them."""

from dataclasses import dataclass
from pathlib import Path

from geolayout.appraisal.cautions import cautions
from geolayout.errors import FileError, PlanError
from geolayout.handover.stakeout import BORDERS_FILE, SHEET_FILE, TREES_FILE, peg_files
from geolayout.handover.wholefile import new_folder
from geolayout.jobs.job import Job, lay
from geolayout.land.frames.mapgrid import MapGrid, map_grid, utm_code

__all__ = ["Pegs", "peg_lists", "write_pegs"]


@dataclass(frozen=True, slots=True)
class Pegs:
    """
    What goes to the field for pegging.

    Attributes
    ----------
    grid : MapGrid
        Grid of its coordinates.
    sheet : str
        The planting sheet.
    trees, borders : str
        Peg lists as comma-separated text; "" where there is nothing to peg.
    """

    grid: MapGrid
    sheet: str
    trees: str
    borders: str


def peg_lists(
    job: Job, *, season: int | None = None, grid: str | None = None, bundle: int | None = None
) -> Pegs:
    """
    Return the peg lists of a plan.

    Parameters
    ----------
    job : Job
        The plan and its field.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.
    grid : str, optional
        Code of a map grid; the UTM zone of the field if nothing is said.
    bundle : int, optional
        Trees in a bundle at most.

    Raises
    ------
    PlanError
        If the grid is none, or fewer than one tree is tied together.
    """
    if bundle is not None and bundle < 1:
        raise PlanError(
            f"A bundle holds {bundle} trees.",
            "A nursery ties one tree or more.",
            "Give --bundle a whole number from 1 on.",
        )
    layout = lay(job, season)
    frame = layout.field.frame
    chosen = map_grid(grid if grid is not None else utm_code(frame.lon, frame.lat))
    texts = peg_files(layout, chosen, cautions(layout), bundle)
    return Pegs(chosen, texts[SHEET_FILE], texts.get(TREES_FILE, ""), texts[BORDERS_FILE])


def write_pegs(pegs: Pegs, folder: Path) -> tuple[Path, ...]:
    """
    Write peg lists into a new folder.

    Parameters
    ----------
    pegs : Pegs
        The lists.
    folder : Path
        Must not be there yet.

    Returns
    -------
    files : tuple of Path

    Raises
    ------
    FileError
        If the folder is there already or cannot be written.
    """
    texts = {
        SHEET_FILE: pegs.sheet,
        TREES_FILE: pegs.trees,
        BORDERS_FILE: pegs.borders,
    }
    try:
        new_folder(folder, {name: text.encode() for name, text in texts.items() if text})
    except FileExistsError:
        raise FileError(
            f"{folder} is there already.",
            "Pegs of an earlier plan would be mixed with these.",
            "Name a folder that is not there yet.",
        ) from None
    except FileError:
        raise
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise FileError(
            f"{folder} cannot be written.", f"The system says: {why}.", "Name another folder."
        ) from None
    return tuple(folder / name for name, text in texts.items() if text)
