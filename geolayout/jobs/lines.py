"""Lines laid before: how far a job's lines lie from them, and how to keep them."""

from dataclasses import replace
from pathlib import Path

from geolayout.handover.contents import RESOLVED_FILE
from geolayout.handover.folder import put_back
from geolayout.jobs.job import Job
from geolayout.jobs.reading import plan_text
from geolayout.layout.moved import keep_guides, lines_moved
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

__all__ = ["earlier_plan", "keep_lines", "moved_lines"]


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
