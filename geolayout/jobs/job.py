"""A job, from a plan as read to a layout and what it means."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from pathlib import Path

from geolayout.appraisal.caution import Caution
from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.direction.choose import settle_choices
from geolayout.appraisal.quantities.figures import Figures, figures
from geolayout.errors import PlanError
from geolayout.land.field import Field
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.layout.zones.ground import cross
from geolayout.plan.money.usual import check_money
from geolayout.plan.plan import Plan
from geolayout.plan.usual import check_rates
from geolayout.trial.design import check_whole, expand_trials

__all__ = ["Job", "Told", "lay", "resolve", "tell"]


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """
    A plan with everything it names.

    Attributes
    ----------
    path : Path
        The plan file.
    text : str
        Its text, as the user wrote it.
    plan : Plan
        The plan, the farm's machines among its own.
    field : Field or None
        The field; None where the plan names no boundary.
    drawn : Drawn
        Lands of blocks and lines of guides that the plan names by file.
    resolved : Plan or None
        The plan with every wish turned into a figure, once that is done.
    """

    path: Path
    text: str
    plan: Plan
    field: Field | None
    drawn: Drawn
    resolved: Plan | None = None

    @property
    def land(self) -> Field:
        """
        The field, which must be there.

        Raises
        ------
        PlanError
            If the plan names no boundary.
        """
        if self.field is None:
            raise PlanError(
                f"{self.path.name} names no boundary.",
                "Nothing can be laid out without a field.",
                'Add [field] boundary = "home.gpkg", a file beside the plan.',
            )
        return self.field


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """
    What a layout means.

    Attributes
    ----------
    figures : Figures
        Areas, rows, trees and passes.
    cautions : tuple of Caution
        What a person should know, hazards first.
    """

    figures: Figures
    cautions: tuple[Caution, ...]

    @property
    def open_hazards(self) -> tuple[Caution, ...]:
        """Hazards that nobody has acknowledged."""
        return tuple(caution for caution in self.cautions if caution.open)


def resolve(job: Job) -> Job:
    """
    Turn the wishes of a job's plan into figures: trials into bands, guides into anchors.

    Raises
    ------
    GeolayoutError
        If the plan names no boundary, or a wish cannot be settled on this field.
    """
    return replace(job, resolved=_resolved(job))


def _resolved(job: Job) -> Plan:
    """Return the plan of a job in figures."""
    if job.resolved is not None:
        return job.resolved
    chosen = settle_choices(expand_trials(job.plan), job.land, job.drawn)
    return resolve_guides(chosen, job.land, job.drawn)


def lay(job: Job, season: int | None = None, *, accepted: Collection[str] = ()) -> Layout:
    """
    Lay out one season of a job; it is resolved first where that was not done.

    Parameters
    ----------
    job : Job
        The job.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.
    accepted : collection of str
        Keys of odd figures that are meant so.

    Returns
    -------
    layout : Layout

    Raises
    ------
    GeolayoutError
        If the plan does not fit on the field, or has an implausible rate.
    """
    check_rates(job.plan, accepted)
    check_money(job.plan, accepted)
    plan = _resolved(job)
    layout = lay_out(job.land, plan, plan.season(season), job.drawn)
    if job.drawn.zones is not None:
        layout = replace(layout, zones=cross(layout.ground, job.drawn.zones))
    for block in layout.blocks:
        trial = job.plan.pattern(block.pattern.name).trial
        if trial is not None and not block.crossed_by:
            check_whole(trial, block.section)
    return layout


def tell(layout: Layout) -> Told:
    """Return the figures and cautions of a layout."""
    return Told(figures(layout), cautions(layout))
