"""Which way to go on a field: the ways compared, for the doors that tell and draw them."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import shapely
import tomli_w

from geolayout.appraisal.direction.options import Compared, Option, compare
from geolayout.appraisal.direction.splits import Split, best_split
from geolayout.appraisal.direction.words import (
    assumptions,
    edge_words,
    fold,
    grade_words,
    hours_words,
    light_words,
    minutes_more,
    share_words,
    split_words,
    true_bearing_of,
    way_words,
    wind_words,
)
from geolayout.appraisal.slope.grades import Slopes
from geolayout.errors import PlanError
from geolayout.jobs.job import Job
from geolayout.land.field import Field, make_field
from geolayout.land.readers import DrawnBoundary
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.ground import Block
from geolayout.plan.near import near_names
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan
from geolayout.trial.design import expand_trials

__all__ = ["BEST", "Implement", "Ways", "bare_job", "which_way", "which_way_dict"]

BEST = 3
"""Ways that are told and drawn. [-]"""

MOST_TOLD = 3
"""Ways that cannot be laid are told one by one up to so many. [-]"""

LETTERS = "ABC"


@dataclass(frozen=True, slots=True)
class Implement:
    """
    One machine over a whole field, where there is no plan.

    Attributes
    ----------
    width : float
        Working width. [m]
    radius : float, optional
        Turning radius. [m]
    speed : float, optional
        Working speed. [km/h]
    headland : float
        At the ends of the rows; 0 for none. [m]
    """

    width: float
    radius: float | None = None
    speed: float | None = None
    headland: float = 0.0

    def plan(self) -> str:
        """Return a plan of one crop that this machine works, as the text of a file."""
        machine = {"name": "machine", "working_width": self.width}
        said = {"turning_radius": self.radius, "speed": self.speed}
        machine |= {key: value for key, value in said.items() if value is not None}
        sowing = {"crop": "crop", "place": "broadcast"}
        headland = {"headland": {"where": "ends", "width": self.headland}} if self.headland else {}
        return tomli_w.dumps(
            {
                "schema": 1,
                "guide": {"choose": "fewest hours"},
                **headland,
                "stand": [{"name": "crop", "sowing": [sowing]}],
                "pattern": [
                    {
                        "name": "crop",
                        "bands": [{"name": "crop", "width": self.width, "stand": "crop"}],
                    }
                ],
                "machine": [machine],
                "operation": [{"name": "work", "machine": "machine", "over": "block"}],
            }
        )


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """
    The ways of laying one block of a field.

    Attributes
    ----------
    field : Field
        The field.
    plan : Plan
        Its plan, without trials.
    block : str
        Name of the block, "" where the field is one.
    compared : Compared
        What was compared.
    split : Split or None
        Parts with a bearing each, where they save time.
    wind_from : float or None
        Where a wind comes from that rows are told against. [degrees]
    """

    field: Field
    plan: Plan
    block: str
    compared: Compared
    split: Split | None
    wind_from: float | None

    @property
    def best(self) -> tuple[tuple[str, Option], ...]:
        """The best few by their letters."""
        return tuple(zip(LETTERS, self.compared.options[:BEST], strict=False))

    def way(self, option: Option) -> str:
        """Say which way an option runs."""
        words = way_words(option, self.compared.site.rings)
        return f"{words}, as written" if option is self.compared.written else words

    def meaning(self, option: Option) -> list[str]:
        """Say what an option means for the edge beside it, slope, light, wind and crops."""
        said = [light_words(option)]
        if self.field.terrain is not None:
            said.insert(0, grade_words(option))
        if self.wind_from is not None:
            said.append(wind_words(option, self.wind_from))
        edge = self.edge(option)
        if edge is not None:
            said.insert(0, edge_words(option, edge, self.compared.site.rings))
        return [*said, *([share_words(option)] if len(option.shares) > 1 else [])]

    def edge(self, option: Option) -> Option | None:
        """Return the rows along a long edge that an option all but follows, for little more."""
        pairs = zip(self.compared.options, self.compared.edges, strict=True)
        return next((edge for one, edge in pairs if one is option), None)

    def told(self, option: Option) -> tuple[str, ...]:
        """Say an option in short sentences, for a picture."""
        found = option.found
        turns = ", ".join(f"{count} {word}" for word, count in found.turns.items())
        return (
            f"{hours_words(found.hours)}, {sum(found.passes.values())} passes.",
            f"Turns: {turns}. Short pieces: {found.short} of {found.pieces}.",
            *self.meaning(option),
        )

    @property
    def beside(self) -> list[str]:
        """Say what was assumed, what cannot be laid, and what parting the land would save."""
        split = [split_words(self.split, self.field)] if self.split is not None else []
        return [*split, *_few(self.compared.not_laid), *assumptions(self.compared)]


def _few(not_laid: tuple[str, ...]) -> list[str]:
    """Return the first of the ways that cannot be laid, and how many more there are."""
    more = len(not_laid) - MOST_TOLD
    counted = [f"{more} more cannot be laid; --json tells which."] if more > 0 else []
    return [*not_laid[:MOST_TOLD], *counted]


def bare_job(drawn: DrawnBoundary, implement: Implement) -> Job:
    """
    Return a job for a field without a plan, worked by one machine.

    Parameters
    ----------
    drawn : DrawnBoundary
        The field's boundary.
    implement : Implement
        The machine.
    """
    text = implement.plan()
    field = make_field(drawn.geometry, name=drawn.name, findings=drawn.findings)
    return Job(Path("which-way.toml"), text, parse_plan(text), field, Drawn())


def which_way(job: Job, block: str | None = None, wind_from: float | None = None) -> list[Ways]:
    """
    Compare the ways of laying a job's field, block by block.

    Parameters
    ----------
    job : Job
        The job.
    block : str, optional
        One block only.
    wind_from : float, optional
        Where a wind comes from, instead of what the plan says. [degrees]

    Returns
    -------
    ways : list of Ways
        One a block.

    Raises
    ------
    GeolayoutError
        If nothing can be laid, or nothing is driven.
    """
    plan = expand_trials(job.plan)
    names = [one.name for one in plan.blocks]
    if block is not None and block not in names:
        raise PlanError(
            f"Block {block!r} is asked for.",
            "The plan has no block of that name.",
            near_names(block, names),
        )
    chosen = [one for one in plan.blocks if block in (None, one.name)]
    shapes: list[Block | None] = [*chosen] or [None]
    found = []
    for shape in shapes:
        compared = compare(plan, shape, job.land, job.drawn)
        split = best_split(compared.site, compared.land, compared.look)
        guide = (shape.guide if shape is not None else None) or plan.guide
        wind = wind_from if wind_from is not None else guide.wind_from if guide else None
        name = shape.name if shape is not None else ""
        found.append(Ways(job.land, plan, name, compared, split, wind))
    return found


def which_way_dict(ways: Ways) -> dict[str, Any]:
    """
    Return the ways of a block as plain mappings, fit for JSON, every figure with its unit.

    Parameters
    ----------
    ways : Ways
        The ways of one block.
    """
    look, written = ways.compared.look, ways.compared.written
    options = ways.compared.options
    letters = [*LETTERS[:BEST], *([None] * len(options))]
    split = ways.split
    return {
        "block": ways.block,
        "chosen_by": "the fewest hours of those compared, for each hectare worked",
        "options": [
            {"letter": letter, **_option_dict(ways, option)}
            for letter, option in zip(letters, options, strict=False)
        ],
        "as_written": _option_dict(ways, written) if written is not None else None,
        "split": _split_dict(split, ways.field) if split is not None else None,
        "every_bearing": {
            "bearing_from_frame_north_deg": look.bearings.tolist(),
            "hours_h": look.hours.usual.round(4).tolist(),
            "cost_h": look.cost.round(4).tolist(),
            "passes": look.passes.round(1).tolist(),
            "pieces": look.pieces.round(1).tolist(),
        },
        "not_laid": list(ways.compared.not_laid),
        "notes": ways.beside,
    }


def _split_dict(split: Split, field: Field) -> dict[str, Any]:
    """Return parts with a bearing each as plain mappings."""
    cut = None
    if split.cut is not None:
        cut = field.frame.lonlat(shapely.get_coordinates(split.cut)).round(9).tolist()
    return {
        "hours_h": split.cost,
        "saved_h": split.saved,
        "saved_share": split.share,
        "bearings_deg": list(split.bearings),
        "areas_m2": [float(part.area) for part in split.parts],
        "cut_lon_lat": cut,
    }


def _option_dict(ways: Ways, option: Option) -> dict[str, Any]:
    """Return one option as plain mappings."""
    found, wind = option.found, ways.wind_from
    true = true_bearing_of(option) if option.bearing is not None else None
    return {
        "way": ways.way(option),
        "kind": option.kind,
        "bearing_true_deg": true,
        "hours_h": [found.hours.least, found.hours.usual, found.hours.most],
        "cost_h": option.cost,
        "cost_h_per_ha": option.rate,
        "working_share": found.hours.efficiency,
        "passes": found.passes,
        "pieces": found.pieces,
        "turns": found.turns,
        "short_pieces": found.short,
        "point_pieces": found.point,
        "headland_m2": found.headland,
        "worked_twice_m2": found.double,
        "grade": _grade_dict(option.slopes) if option.slopes is not None else None,
        "off_north_south_deg": fold(true, 0.0) if true is not None else None,
        "wind_angle_deg": fold(true, wind) if true is not None and wind is not None else None,
        "shares": [asdict(share) for share in option.shares],
        "along_edge": _edge_dict(ways, option),
        "meaning": ways.meaning(option),
    }


def _grade_dict(slopes: Slopes) -> dict[str, Any]:
    """Return how rows lie on the slope as plain mappings."""
    return {
        "rows": slopes.rows,
        "steepest_percent": slopes.steepest,
        "over_limit_share": slopes.over_share,
        "limit_source": slopes.source,
    }


def _edge_dict(ways: Ways, option: Option) -> dict[str, Any] | None:
    """Return the rows along a long edge that an option all but follows, None where none are."""
    edge = ways.edge(option)
    if edge is None:
        return None
    return {
        "way": way_words(edge, ways.compared.site.rings),
        "bearing_true_deg": true_bearing_of(edge),
        "more_min": minutes_more(option, edge),
        "passes": edge.found.passes,
    }
