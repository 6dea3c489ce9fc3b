"""Writing one output folder, whole or not at all."""

from collections.abc import Sequence
from pathlib import Path

from geolayout.handover.contents import Parcel, write_contents
from geolayout.handover.disk import writing_plainly
from geolayout.handover.files.asked import check_asked
from geolayout.handover.folder import fresh_folder
from geolayout.jobs.job import Job, Told, tell
from geolayout.layout.build import Layout
from geolayout.plan.printing import Printing
from geolayout.plan.units import Units

__all__ = ["write"]


def write(  # noqa: PLR0913  (one parameter a wish)
    job: Job,
    layout: Layout,
    folder: str | Path,
    *,
    replace: bool = False,
    told: Told | None = None,
    units: Units | None = None,
    asked: Sequence[str] = (),
    printing: Printing | None = None,
) -> list[str]:
    """
    Write a layout into a folder of its own, swapped in whole.

    Parameters
    ----------
    job : Job
        The job that was laid out.
    layout : Layout
        Its layout.
    folder : path
        The output folder. Its parent must exist.
    replace : bool, default False
        Whether a folder written before may stand there, to be replaced.
    told : Told, optional
        What the layout means, where that is known already.
    units : Units, optional
        Units of the figures in words; those of the plan's farm if nothing is said.

    asked : sequence of str
        What is written beside the usual files: words of `geolayout.handover.files.asked.ASKED`.
    printing : Printing, optional
        Paper and language of the sheets; those of the plan's farm if nothing is said.

    Returns
    -------
    files : list of str
        What the folder holds, paths with forward slashes.

    Raises
    ------
    FileError
        If the folder cannot be written, or holds what must not be replaced, or what is asked for
        cannot be written here.
    """
    check_asked(asked)
    means = told if told is not None else tell(layout)
    parcel = Parcel(
        job.path.stem,
        job.text,
        layout,
        job.drawn,
        means.figures,
        means.cautions,
        units or job.plan.units,
        tuple(asked),
        printing or job.plan.printing,
    )
    with (
        fresh_folder(Path(folder), replace=replace) as fresh,
        writing_plainly(f"{folder} could not be written"),
    ):
        return write_contents(fresh, parcel)
