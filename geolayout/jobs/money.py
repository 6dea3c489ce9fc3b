"""The money of a plan, as the command line asks for it."""

from collections.abc import Collection

from geolayout.appraisal.money.reckoning import MoneyFigures
from geolayout.appraisal.quantities.figures import figures
from geolayout.errors import PlanError
from geolayout.jobs.job import Job, lay

__all__ = ["money_of"]


def money_of(
    job: Job, season: int | None = None, *, accepted: Collection[str] = ()
) -> MoneyFigures:
    """
    Lay a plan out and reckon its money.

    Parameters
    ----------
    job : Job
        The plan and its field.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.
    accepted : collection of str
        Keys of odd figures that are meant so.

    Raises
    ------
    PlanError
        If the plan says nothing of money.
    MeasureError
        If a figure is implausible and its key is not accepted.
    """
    found = figures(lay(job, season, accepted=accepted)).money
    if found is None:
        raise _no_money(job)
    return found


def _no_money(job: Job) -> PlanError:
    """Return the error of a plan without prices, which names the crops that need them."""
    sowings = [sowing for stand in job.plan.stands for sowing in stand.sowing]
    crops = dict.fromkeys(sowing.crop for sowing in sowings if sowing.harvested)
    return PlanError(
        f"{job.path.name} says nothing of money.",
        "Prices and yields are the grower's own, and none is guessed.",
        f"Add [money] with coin and date, and a product of {', '.join(crops) or 'each crop'}.",
    )
