"""Plans on one field beside each other: plan files, or folders that were handed over."""

import json
from collections.abc import Collection, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from geolayout.appraisal.comparing import Comparison, Weighed, compared, plain_figures
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.light.alley import AlleyLight, alley_lights
from geolayout.errors import FileError, PlanError
from geolayout.handover.files.tablecsv import table_csv
from geolayout.handover.folder import SUMMARY, put_back
from geolayout.handover.planfile import RESOLVED_FILE
from geolayout.jobs.job import lay, tell
from geolayout.jobs.reading import read
from geolayout.land.field import Field
from geolayout.layout.build import Layout

__all__ = ["Comparison", "compare", "comparison_csv", "comparison_dict"]

SHARED = 0.99
"""Part of all their land that plans must share to lie on one field. Our own choice. [-]"""


def compare(
    sources: Sequence[Path], season: int | None = None, *, accepted: Collection[str] = ()
) -> Comparison:
    """
    Lay several plans out and put their figures beside each other.

    Parameters
    ----------
    sources : sequence of Path
        Two or more plan files, or folders that were handed over.
    season : int, optional
        Harvest year of the plan files; each one's first if nothing is said. A folder keeps its own.
    accepted : collection of str
        Keys of odd figures that are meant so.

    Returns
    -------
    comparison : Comparison

    Raises
    ------
    PlanError
        If there is one plan only, or they lie on different fields, or reckon in different money.
    """
    if len(sources) < 2:
        raise PlanError(
            "One plan is to be compared.",
            "There is nothing to hold it against.",
            "Name two plans or more, or folders that were handed over.",
        )
    layouts = [_laid(source, season, accepted) for source in sources]
    names = _names(sources)
    for name, layout in zip(names[1:], layouts[1:], strict=True):
        _check_one_field(names[0], layouts[0].field, name, layout.field)
    _check_one_coin(names, layouts)
    lines = compared([plain_figures(_weighed(layout)) for layout in layouts])
    years = tuple(one.season.year if one.season is not None else None for one in layouts)
    units = layouts[0].plan.units
    return Comparison(layouts[0].field.name, names, years, lines, _notes(layouts), units)


def _laid(source: Path, season: int | None, accepted: Collection[str]) -> Layout:
    """Lay out a plan file, or a folder once more in its own season."""
    if not source.is_dir():
        return lay(read(source), season, accepted=accepted)
    put_back(source)
    plan, summary = source / RESOLVED_FILE, source / SUMMARY
    if not plan.is_file() or not summary.is_file():
        raise FileError(
            f"{source} is no folder that was handed over.",
            f"It does not hold {RESOLVED_FILE} and {SUMMARY}.",
            "Name a plan file, or a folder that `lay` wrote.",
        )
    return lay(read(plan), _season_of(summary), accepted=accepted)


def _season_of(summary: Path) -> int | None:
    """Return the harvest year that a folder was laid out for."""
    try:
        year = json.loads(summary.read_bytes()).get("season")
    except (OSError, ValueError, AttributeError):
        raise FileError(
            f"{summary} cannot be read.",
            "It is not the summary that `lay` writes.",
            "Lay the plan out once more.",
        ) from None
    return year if isinstance(year, int) else None


def _names(sources: Sequence[Path]) -> tuple[str, ...]:
    """Return what each plan is called: the end of its path, and as much more as tells it apart."""
    parts = [source.resolve().with_suffix("").parts for source in sources]
    longest = max(len(one) for one in parts)
    for length in range(1, longest + 1):
        names = ["/".join(one[-length:]) for one in parts]
        if len(set(names)) == len(names):
            return tuple(names)
    return tuple(f"{one[-1]} ({number})" for number, one in enumerate(parts, 1))


def _check_one_field(first: str, field: Field, name: str, other: Field) -> None:
    """Raise if two plans share too little of their land."""
    land = field.frame.to_local(field.boundary)
    its = field.frame.to_local(other.boundary)
    whole = land.union(its).area
    shared = land.intersection(its).area / whole if whole else 0.0
    if shared < SHARED:
        raise PlanError(
            f"{first} and {name} share {100 * shared:.0f} % of their land.",
            "Plans are compared on one field, of which every figure hangs.",
            "Give both the same boundary.",
        )


def _check_one_coin(names: Sequence[str], layouts: Sequence[Layout]) -> None:
    """Raise if two plans reckon in different money."""
    coins = {
        layout.plan.money.coin: name
        for name, layout in zip(names, layouts, strict=True)
        if layout.plan.money is not None
    }
    if len(coins) > 1:
        (one, first), (other, second) = list(coins.items())[:2]
        raise PlanError(
            f"{first} reckons in {one}, {second} in {other}.",
            "Sums in different money cannot stand beside each other.",
            "Give both prices in one money.",
        )


def _weighed(layout: Layout) -> Weighed:
    """Measure a layout."""
    told = tell(layout)
    return Weighed(told.figures, told.cautions, driving_of(layout), _alleys(layout))


def _alleys(layout: Layout) -> Sequence[AlleyLight]:
    """Return the light beside trees; nothing where it cannot be known."""
    if not len(layout.trees) or find_spec("pvlib") is None:
        return ()
    return alley_lights(layout, layout.plan.light)


def _notes(layouts: Sequence[Layout]) -> tuple[str, ...]:
    """Say what is not compared, and why."""
    notes = ["Empty: the plan has no such figure, which is not nought."]
    if any(layout.plan.money is None for layout in layouts):
        notes.append("No prices in at least one plan: its money is empty.")
    if any(layout.field.terrain is None for layout in layouts):
        notes.append("No heights in at least one plan: its grade is empty.")
    if any(len(layout.trees) for layout in layouts) and find_spec("pvlib") is None:
        notes.append("Light is left out: the library pvlib is not installed.")
    return tuple(notes)


def comparison_dict(found: Comparison) -> dict[str, Any]:
    """Return a comparison for a JSON file; a figure is its least and its most, or null."""
    return {
        "field": found.field,
        "plans": [
            {"name": name, "season": year}
            for name, year in zip(found.names, found.seasons, strict=True)
        ],
        "lines": [
            {
                "part": line.part,
                "what": line.what,
                "unit": line.unit,
                "differs": line.differs,
                "figures": [
                    None if one is None else {"low": one[0], "high": one[1]} for one in line.figures
                ],
            }
            for line in found.lines
        ],
        "notes": list(found.notes),
    }


def comparison_csv(found: Comparison) -> str:
    """
    Return a comparison as a table: a row for each figure, two columns for each plan.

    The columns are its least and its most; both are empty where a plan has no such figure.
    """
    ends = [f"{name} {end}" for name in found.names for end in ("least", "most")]
    rows: list[list[object]] = []
    for line in found.lines:
        cells = [value for one in line.figures for value in (one or ("", ""))]
        differs = "yes" if line.differs else "no"
        rows.append([line.part, line.what, line.unit, differs, *cells])
    return table_csv(["part", "what", "unit", "differs", *ends], rows)
