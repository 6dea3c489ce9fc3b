"""An option in words: which way it runs, and what that means for slope, light and wind."""

import numpy as np

from geolayout.appraisal.direction.hours import Hours
from geolayout.appraisal.direction.options import Compared, Option
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.splits import Split
from geolayout.appraisal.places import listed, place_words
from geolayout.land.field import Field
from geolayout.layout.sides import nearest_side

__all__ = [
    "LEFT_OUT",
    "assumptions",
    "fold",
    "grade_words",
    "hours_words",
    "light_words",
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

LONG = 0.04
"""Edges of at least this share of the boundary are landmarks. Our own choice. [-]"""

BESIDE = 0.05
"""Rows that turn from an edge by less run along it. [degrees]"""

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
    off, side = _landmark(rings, option.bearing)
    if off < BESIDE:
        way = f"straight along the {side} edge"
    elif off <= FAR_OFF:
        way = f"straight, {off:.1f} degrees off the {side} edge"
    else:
        off, runs = min((fold(bearing, at), words) for at, words in RUNS.items())
        way = f"straight, {off:.0f} degrees off {runs}"
    return f"{way} (bearing {bearing:.1f} from true north)"


def true_bearing_of(option: Option) -> float:
    """Return the bearing of straight lines from true north, 0 to 180. [degrees]"""
    return float(option.guide.bearing or 0.0) % 180.0


def _landmark(rings: Rings, bearing: float) -> tuple[float, str]:
    """Return by how much rows turn from the nearest long edge, and the side that it faces."""
    east, north = rings.way.T
    length = np.hypot(east, north)
    long = length >= min(LONG * rings.lengths.sum(), length.max())
    along = np.degrees(np.arctan2(east, north))
    off = np.abs((along - bearing + 90.0) % 180.0 - 90.0)
    # of edges equally near the longest, so that a name does not hang on a hair
    nearest = int(np.lexsort((-length, np.where(long, np.round(off, 2), 180.0)))[0])
    outward = float(np.degrees(np.arctan2(north[nearest], -east[nearest])))
    return float(off[nearest]), nearest_side(outward)


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
