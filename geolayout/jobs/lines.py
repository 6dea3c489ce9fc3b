"""Lines laid before: how far a job's lines lie from them, how to keep them, how to save them."""

from dataclasses import replace
from pathlib import Path

from geolayout.errors import FileError
from geolayout.handover.files.reference import reference_text
from geolayout.handover.folder import put_back
from geolayout.handover.planfile import RESOLVED_FILE
from geolayout.jobs.job import Job, lay
from geolayout.jobs.reading import plan_text, read
from geolayout.layout.moved import keep_guides, lines_moved
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

__all__ = ["earlier_plan", "keep_lines", "lines_text", "moved_lines", "plan_in"]


def earlier_plan(folder: Path) -> Plan | None:
    """
    Return the resolved plan of an output folder; None where there is none.

    What a killed run left behind is put in order first.

    Raises
    ------
    FileError, PlanError
        If it is there and cannot be read.
    """
    put_back(folder)
    path = folder / RESOLVED_FILE
    return parse_plan(plan_text(path, "The resolved plan")) if path.is_file() else None


def moved_lines(job: Job, earlier: Plan) -> tuple[str, ...]:
    """Say how far the lines of a resolved job lie from those of an earlier plan."""
    return lines_moved(job.resolved, earlier, job.land) if job.resolved is not None else ()


def keep_lines(job: Job, earlier: Plan) -> Job:
    """Return the job along the lines of an earlier resolved plan, not resolved yet."""
    return replace(job, plan=keep_guides(job.plan, earlier), resolved=None)


def lines_text(
    source: Path, *, shift: float = 0.0, block: str | None = None, name: str | None = None
) -> str:
    """
    Return the reference lines of a plan, or of a folder that was laid out, as GeoJSON.

    Parameters
    ----------
    source : Path
        A plan file with a field, or an output folder.
    shift : float, default 0
        How far they are moved, away from the side that bands are counted from. [m]
    block : str, optional
        The one block whose line is wanted.
    name : str, optional
        What to call that line.

    Returns
    -------
    text : str

    Raises
    ------
    GeolayoutError
        If the plan cannot be read or laid out, or holds no such line.
    """
    return reference_text(lay(read(plan_in(source))), shift=shift, block=block, name=name)


def plan_in(source: Path) -> Path:
    """
    Return the plan file that is meant: itself, or the resolved one of a folder.

    Raises
    ------
    FileError
        If it is a folder that was not laid out.
    """
    if not source.is_dir():
        return source
    put_back(source)
    path = source / RESOLVED_FILE
    if not path.is_file():
        raise FileError(
            f"{source} holds no {RESOLVED_FILE}.",
            "It is no folder that was laid out.",
            "Name a plan file, or a folder that lay has written.",
        )
    return path
