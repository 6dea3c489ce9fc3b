"""Trees over the years in words and tables: alone, then less what crops lose to them."""

from collections.abc import Sequence

from geolayout.appraisal.money.croploss import LessCrops
from geolayout.appraisal.money.treeflows import TreeFlows
from geolayout.plan.units import Units

__all__ = ["tree_money_lines", "tree_money_parts", "whole_coins"]

TreePart = tuple[str, tuple[str, ...], tuple[str, ...], tuple[tuple[str, ...], ...]]
"""Title, lines, head and rows of a table."""


def whole_coins(value: float) -> str:
    """
    Return a sum in whole coins, without a nought of less than nothing.

    Examples
    --------
    >>> whole_coins(-0.2), whole_coins(1234.4)
    ('0', '1,234')
    """
    return f"{round(value) + 0:,d}"


def tree_money_lines(trees: TreeFlows | None, units: Units) -> list[str]:
    """
    Say what trees are worth over the years, and what is left of it less what crops lose.

    Parameters
    ----------
    trees : TreeFlows or None
        Without any, nothing is said.
    units : Units
        Units of ground.
    """
    if trees is None:
        return []
    return [_alone(trees), *_less_crops(trees, units)]


def tree_money_parts(trees: TreeFlows | None, units: Units) -> list[TreePart]:
    """Return the trees year by year, then course by course less what crops lose."""
    if trees is None:
        return []
    years = tuple(
        (
            str(one.year),
            str(one.trees),
            *(whole_coins(sums) for sums in (one.costs, one.income, one.net, one.running)),
        )
        for one in trees.years
    )
    head = ("year", "trees", "costs", "income", "net", "worth so far")
    lines = tuple(tree_money_lines(trees, units))
    parts: list[TreePart] = [("Trees over the years", lines, head, years)]
    if trees.less_crops:
        parts.append(_courses_part(trees.less_crops))
    return parts


def _alone(trees: TreeFlows) -> str:
    """Say what trees are worth without the crops."""
    last = trees.years[-1].year
    rate = (
        "without a discount" if not trees.discount_percent else f"at {trees.discount_percent:g} %"
    )
    return (
        f"Trees over {_years(last)} {rate}: {whole_coins(trees.years[0].costs)} at planting, worth "
        f"{whole_coins(trees.worth)} in all, as much as {whole_coins(trees.even_yearly)} every "
        f"year; {_back(trees.paid_back, last)}."
    )


def _back(year: int | None, last: int) -> str:
    """Say when what was paid has come back."""
    return f"paid back in year {year}" if year is not None else f"not paid back in {_years(last)}"


def _years(number: int) -> str:
    """Say how many years."""
    return "1 year" if number == 1 else f"{number} years"


def _less_crops(trees: TreeFlows, units: Units) -> list[str]:
    """Say what is left less what crops lose, or why that is left out."""
    bands = units.ground.said(trees.tree_bands_m2)
    lost = f"What crops lose on the {bands} of tree bands and beside the trees"
    lacks = "; ".join(trees.left_out)
    if not trees.less_crops:
        return [f"{lost} is not taken off: missing {lacks}."]
    worths = [one.worth for one in trees.less_crops]
    by = "the plan's own outlook" if len(worths) == 1 else f"{len(worths)} published courses"
    low, high = whole_coins(min(worths)), whole_coins(max(worths))
    worth = low if low == high else f"{low} to {high}"
    left_out = [f"Left out: {lacks}."] if lacks else []
    sources = (f"{one.course}: {one.source}." for one in trees.less_crops)
    told = f"{lost} taken off, by {by}: worth {worth}. Scenarios, no forecast."
    return [told, *left_out, *sources]


def _courses_part(courses: Sequence[LessCrops]) -> TreePart:
    """Return the trees less what crops lose, a row for each course."""
    last = len(courses[0].beside) - 1
    first = ("crop yield beside trees", "bands, each year", "beside, year 1")
    head = (*first, f"beside, year {last}", "worth", "every year", "paid back")
    rows = tuple(
        (
            one.course,
            whole_coins(one.on_tree_bands),
            whole_coins(one.beside[1]),
            whole_coins(one.beside[last]),
            whole_coins(one.worth),
            whole_coins(one.even_yearly),
            "never" if one.paid_back is None else f"year {one.paid_back}",
        )
        for one in courses
    )
    said = (
        "Bands: the margin that the crops beside would have there. Beside: the part of their "
        "income that is lost, with costs as they are; the crops of this season stand for every "
        "year."
    )
    return "Trees less what crops lose", (said,), head, rows
