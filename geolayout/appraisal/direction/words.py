"""An option in words: which way it runs, and what that means for slope, light and wind."""

from geolayout.appraisal.direction.hours import Hours
from geolayout.appraisal.direction.landmarks import landmark, runs_along
from geolayout.appraisal.direction.options import Compared, Option
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.splits import Split
from geolayout.appraisal.places import listed, place_words
from geolayout.land.field import Field

__all__ = [
    "LEFT_OUT",
    "assumptions",
    "edge_words",
    "fold",
    "grade_words",
    "hours_words",
    "light_words",
    "minutes_more",
    "share_words",
    "split_words",
    "true_bearing_of",
    "way_words",
    "wind_words",
]

RUNS = {
    0.0: "north-south",
    45.0: "north-east to south-west",
    90.0: "east-west",
    135.0: "north-west to south-east",
}
"""How lines of a bearing run. [degrees]"""

FAR_OFF = 20.0
"""Rows that turn from every long edge by more are told by the compass. [degrees]"""

LIGHT = "What that does to the crop between them is told by geolayout light."
"""Where light itself is told."""

LEFT_OUT = (
    "Filling, waiting, the road and rain are not in these hours: they are alike whichever way the "
    "rows run."
)


def fold(one: float, other: float) -> float:
    """
    Return the angle between two directions of lines, 0 to 90. [degrees]

    Examples
    --------
    >>> fold(5.0, 170.0), fold(0.0, 90.0)
    (15.0, 90.0)
    """
    return abs((one - other + 90.0) % 180.0 - 90.0)


def hours_words(hours: Hours[float]) -> str:
    """Say hours as a range, such as "7.0 to 9.3 h"."""
    return f"{hours.least:.1f} to {hours.most:.1f} h"


def way_words(option: Option, rings: Rings) -> str:
    """
    Say which way the rows of an option run, by the edge they follow.

    Parameters
    ----------
    option : Option
        The option.
    rings : Rings
        The land.
    """
    if option.kind == "contour":
        return "on the contour"
    if option.bearing is None:
        return f"along the bent {option.side} edge" if option.side else "along the bent line"
    bearing = true_bearing_of(option)
    off, side = landmark(rings, option.bearing)
    if runs_along(rings, option.bearing):
        way = f"straight along the {side} edge"
    elif off <= FAR_OFF:
        way = f"straight, {off:.1f} degrees off the {side} edge"
    else:
        off, runs = min((fold(bearing, at), words) for at, words in RUNS.items())
        way = f"straight, {off:.0f} degrees off {runs}"
    return f"{way} (bearing {bearing:.1f} from true north)"


def edge_words(option: Option, other: Option, rings: Rings) -> str:
    """
    Say what it costs to drive along a long edge instead of nearly so.

    Parameters
    ----------
    option : Option
        Straight rows that turn from an edge by a little.
    other : Option
        Straight rows along that edge.
    rings : Rings
        The land.

    Returns
    -------
    words : str
        Minutes are those on the ground that the option works.
    """
    minutes = minutes_more(option, other)
    passes = sum(other.found.passes.values()) - sum(option.found.passes.values())
    more = f"{abs(passes)} {'more' if passes > 0 else 'fewer'}"
    counted = f", with {more} {'pass' if abs(passes) == 1 else 'passes'}" if passes else ""
    how = f"{abs(minutes):.0f} min {'more' if minutes > 0.0 else 'less'}"
    takes = f"takes {how}" if abs(minutes) >= 0.5 else "takes as long"
    return f"To drive {way_words(other, rings)} {takes}{counted}."


def minutes_more(option: Option, other: Option) -> float:
    """Return what other rows cost more on the ground that an option works. [min]"""
    return (other.rate / option.rate - 1.0) * option.cost * 60.0


def true_bearing_of(option: Option) -> float:
    """Return the bearing of straight lines from true north, 0 to 180. [degrees]"""
    return float(option.guide.bearing or 0.0) % 180.0


def grade_words(option: Option) -> str:
    """Say how rows lie on the slope."""
    slopes = option.slopes
    if slopes is None:
        return "Grade along the rows is not known: the plan has no heights."
    return (
        f"{100 * slopes.over_share:.0f} % of the rows are steeper than keeps soil in place (limit "
        f"for {slopes.rows}), the steepest {slopes.steepest:.1f} %."
    )


def light_words(option: Option) -> str:
    """Say how far rows turn from north-south, and for which of them that matters."""
    trees = any(block.pattern.has_trees for block in option.layout.blocks)
    rows, told = ("Tree rows", f" {LIGHT}") if trees else ("Rows", "")
    if option.bearing is None:
        return f"{rows} bend, and have no one direction to the sun.{told}"
    off = fold(true_bearing_of(option), 0.0)
    runs = f"{rows} run {off:.0f} degrees off north-south"
    if trees:
        runs += "; in middle latitudes rows from north to south shade both sides of an alley alike"
    return f"{runs}.{told}"


def wind_words(option: Option, wind_from: float) -> str:
    """Say at which angle a wind meets the rows."""
    if option.bearing is None:
        return f"The wind from {wind_from:.0f} degrees meets bent rows at a changing angle."
    angle = fold(true_bearing_of(option), wind_from)
    how = "nearly along" if angle < 30.0 else "nearly square to" if angle > 60.0 else "aslant to"
    return f"The wind from {wind_from:.0f} degrees blows {how} the rows, at {angle:.0f} degrees."


def share_words(option: Option) -> str:
    """Say the crop shares got, and wanted where the pattern says."""
    parts = [
        f"{share.stand or 'bare'} {100 * share.got:.0f} %"
        + (f" (wanted {100 * share.wanted:.0f} %)" if share.wanted is not None else "")
        for share in option.shares
    ]
    return f"Of the bands' ground: {listed(parts)}."


def split_words(split: Split, field: Field) -> str:
    """Say what parting the land would save."""
    bearings = listed([f"{bearing % 180.0:.0f}" for bearing in split.bearings])
    saves = f"about {split.cost:.1f} h, {100 * split.share:.0f} % less"
    quick = "These hours come from the quick look, not from a layout."
    if split.cut is None:
        return (
            f"With a block and rows of its own for each of its parts (about {bearings} degrees) it "
            f"would take {saves}. {quick}"
        )
    x, y = split.cut.interpolate(0.5, normalized=True).coords[0]
    return (
        f"Parted by a line of {split.cut.length:.0f} m {place_words(field, (x, y))}, with rows of "
        f"their own on both parts (about {bearings} degrees), it would take {saves}, a headland "
        f"along the cut included. {quick}"
    )


def assumptions(compared: Compared) -> list[str]:
    """Say what was assumed because the plan does not say it."""
    tasks = compared.site.tasks
    slow = dict.fromkeys(task.machine.name for task in tasks if task.machine.speed is None)
    free = dict.fromkeys(task.machine.name for task in tasks if task.machine.turning_radius is None)
    said = []
    if slow:
        said.append(
            f"No speed is given for {listed(list(slow))}: 6.5 to 11 km/h is assumed (a grain "
            "drill's, ASABE D497.7 table 3, from memory)."
        )
    if free:
        said.append(
            f"No turning radius is given for {listed(list(free))}: a turn straight into the next "
            "pass is assumed, and a real one takes longer."
        )
    return [*said, "Turns are counted at 4 to 7 km/h (our own choice).", LEFT_OUT]
