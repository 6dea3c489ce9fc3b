"""
Alleys of a plan: widths and pitches that fit every machine, and what each costs in trees.

The widths come from what machines and rows ask of the bands between the trees; here each becomes
a pitch, a density and a distance in tree heights, and the tree strip is held against what drives
past it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.alleys.cautions import HEIGHTS_APART
from geolayout.appraisal.fit.band_widths import BandWidths
from geolayout.appraisal.fit.passes import LEAST_TREE_ROOM
from geolayout.appraisal.fit.widths import WidthChoice
from geolayout.plan.pattern import Band, Pattern
from geolayout.plan.plan import Plan
from geolayout.plan.section.rows import tree_places
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.trees.trees import BandTrees

__all__ = ["AlleyChoice", "AlleyFit", "StripRoom", "alley_fits"]


@dataclass(frozen=True, slots=True)
class AlleyChoice:
    """
    One width of the bands between trees.

    Attributes
    ----------
    choice : WidthChoice
        The width, held against every machine.
    pitch : float
        From a tree strip to the like one of the next repeat. [m]
    trees_per_ha : float
        By pitch, of an endless planting, edges left aside. [1/ha]
    strip_share : float
        Width of the tree strips over the pitch. [-]
    heights_apart : float or None
        Pitch over the mature height; None where that is not given, or where a repeat has several
        tree strips. [-]
    """

    choice: WidthChoice
    pitch: float
    trees_per_ha: float
    strip_share: float
    heights_apart: float | None

    @property
    def near(self) -> bool:
        """Whether grown trees stand nearer than the crop's light asks for."""
        return self.heights_apart is not None and self.heights_apart < HEIGHTS_APART


@dataclass(frozen=True, slots=True)
class StripRoom:
    """
    Room beside the trees of a strip.

    Attributes
    ----------
    band : str
        The tree strip.
    have : float
        From its outermost tree row to its edge, the nearer one. [m]
    guard : float
        Radius of the guard. [m]
    clearance : float
        Wanted beside it for what drives past. [m]
    """

    band: str
    have: float
    guard: float
    clearance: float

    @property
    def short(self) -> float:
        """What is lacking, 0 where there is room. [m]"""
        lacking = self.guard + self.clearance - self.have
        return lacking if lacking > ACROSS_SLACK else 0.0


@dataclass(frozen=True, slots=True)
class AlleyFit:
    """
    Alleys of one wished width.

    Attributes
    ----------
    bands : tuple of str
        The bands between the trees that have that width.
    wish : AlleyChoice
        As the plan has it.
    choices : tuple of AlleyChoice
        Best first.
    nearest : AlleyChoice or None
        The nearest to the wish that fits all machines.
    strips : tuple of StripRoom
        The tree strips of the pattern.
    """

    bands: tuple[str, ...]
    wish: AlleyChoice
    choices: tuple[AlleyChoice, ...]
    nearest: AlleyChoice | None
    strips: tuple[StripRoom, ...]


def alley_fits(plan: Plan, pattern: Pattern, widths: Sequence[BandWidths]) -> tuple[AlleyFit, ...]:
    """
    Tell what widths that fit mean for the trees.

    Parameters
    ----------
    plan : Plan
        For the machines that drive past.
    pattern : Pattern
        The pattern.
    widths : sequence of BandWidths
        Widths of its bands without trees.

    Returns
    -------
    fits : tuple of AlleyFit
        None where the pattern has no trees, or is laid once and has no pitch.
    """
    if not pattern.has_trees or pattern.laid_once or pattern.repeats == 1:
        return ()
    rooms = tuple(_room(plan, band, band.trees) for band in pattern.bands if band.trees is not None)
    return tuple(
        AlleyFit(
            one.bands,
            _alley(pattern, one.bands, one.wish),
            tuple(_alley(pattern, one.bands, choice) for choice in one.choices),
            None if one.nearest is None else _alley(pattern, one.bands, one.nearest),
            rooms,
        )
        for one in widths
    )


def _alley(pattern: Pattern, members: Sequence[str], choice: WidthChoice) -> AlleyChoice:
    """Return what one width of some bands means for the trees."""
    pitch = sum(
        choice.width if band.name in members else float(band.width)
        for band in pattern.bands
        if band.width != "rest"
    )
    planted = [(band, band.trees) for band in pattern.bands if band.trees is not None]
    density = sum(t.rows_in_band * 1e4 / (pitch * t.in_row_spacing) for _, t in planted)
    strips = sum(float(band.width) for band, _ in planted if band.width != "rest")
    heights = [trees.mature_height for _, trees in planted if trees.mature_height is not None]
    apart = pitch / heights[0] if len(planted) == len(heights) == 1 else None
    return AlleyChoice(choice, pitch, density, strips / pitch, apart)


def _room(plan: Plan, band: Band, trees: BandTrees) -> StripRoom:
    """Return the room beside the trees of a strip as wide as it is written."""
    width = float(band.width)
    rows = tree_places(trees, (0.0, width))
    have = min(rows[0], width - rows[-1])
    overhangs = [plan.machine(one.machine).overhang or 0.0 for one in plan.operations]
    clearance = max([LEAST_TREE_ROOM, *overhangs])
    return StripRoom(band.name, have, trees.guard_radius or 0.0, clearance)
