"""What tree rows do to the crop between them as they grow: too near, too high, too much across."""

from dataclasses import dataclass

import numpy as np

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.layout.build import Layout
from geolayout.plan.pattern import BandTrees
from geolayout.plan.trees.growth import FAST, SLOW

__all__ = ["alley_cautions", "year_of_height"]

HEIGHTS_APART = 2.0
"""
Mature heights that tree rows stand apart at least, for the crop's light: alley cropping guides of
extension services (two seen in excerpts). [-]
"""

CROP_SUFFERS = 0.8
"""
Height over alley width from which yields of winter crops start to suffer: European alley trials,
seen in an excerpt. [-]
"""

FIRST_NOTE = 0.5
"""The same as two mature heights between rows. [-]"""

MIDDLE_LATITUDE = 40.0
"""Latitude from which rows that run east shade their alley all day. Our own cut. [degrees]"""

ACROSS_THE_SUN = 60.0
"""From so many degrees off north and south on, rows run east and west. Our own cut. [degrees]"""

LONGEST = 100.0
"""Years looked ahead. [years]"""


@dataclass(frozen=True, slots=True)
class _Rows:
    """Neighbouring tree rows of one band of a pattern."""

    block: str
    trees: BandTrees
    pitch: float
    alley: float
    bearing: float


def alley_cautions(layout: Layout) -> list[Caution]:
    """
    Say which tree rows take the crop's light, and from which year.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        For each band of trees that has rows beside each other.
    """
    found: list[Caution] = []
    for rows in _neighbours(layout):
        found += [*_too_near(rows), *_too_high(rows), *_across_the_sun(rows, layout)]
    return found


def year_of_height(trees: BandTrees, height: float, pace: float) -> float | None:
    """
    Return the first year, to half a year, in which trees are so high; None within 100 years.

    Parameters
    ----------
    trees : BandTrees
        The trees.
    height : float
        [m]
    pace : float
        Years to 95 % of the mature height, where heights are an estimate.
    """
    for half in range(int(2 * LONGEST) + 1):
        reached = trees.growth.height_in(half / 2.0, trees.mature_height, pace)
        if reached is not None and reached >= height:
            return half / 2.0
    return None


def _neighbours(layout: Layout) -> list[_Rows]:
    """Return the closest rows of each band of trees that has more than one of them."""
    found = []
    for block in layout.blocks:
        cuts = block.section.cuts
        for index in sorted({cuts[i].index for i in block.tree_rows.cut}):
            trees = block.pattern.bands[index].trees
            mine = [cut for cut in cuts if cut.index == index]
            if trees is None or len(mine) < 2:
                continue
            middles = np.array([(cut.t0 + cut.t1) / 2.0 for cut in mine])
            pitch = float(np.diff(middles).min())
            alley = pitch - min(cut.t1 - cut.t0 for cut in mine)
            found.append(_Rows(block.name, trees, pitch, alley, block.bearing))
    return found


def _of(rows: _Rows) -> str:
    """Return which rows are meant, in words."""
    return f"Tree rows in block {rows.block}" if rows.block else "Tree rows"


def _too_near(rows: _Rows) -> list[Caution]:
    """Return the caution of rows nearer than two mature heights."""
    mature = rows.trees.mature_height
    if mature is None or rows.pitch >= HEIGHTS_APART * mature:
        return []
    return [
        Caution(
            key="tree-rows-near",
            code="W13",
            severity=WARNING,
            sentence=(
                f"{_of(rows)} stand {rows.pitch:.1f} m apart, and the trees grow {mature:g} m "
                f"high: under {HEIGHTS_APART:g} heights the crop between them lacks light when "
                "they are grown."
            ),
            remedy=(
                f"Set the rows {HEIGHTS_APART * mature:.0f} m apart, prune or thin in time, or "
                "plan on crops that bear shade; `geolayout light` tells the years."
            ),
            source="Guides on alley cropping, seen in excerpts; no single standard.",
            value=rows.pitch,
            threshold=HEIGHTS_APART * mature,
            unit="m",
        )
    ]


def _too_high(rows: _Rows) -> list[Caution]:
    """Return the caution of the years in which trees are high against their alley."""
    found = []
    for share, severity in ((CROP_SUFFERS, WARNING), (FIRST_NOTE, NOTE)):
        height = share * rows.alley
        fast, slow = (year_of_height(rows.trees, height, pace) for pace in (FAST, SLOW))
        if fast is None:
            continue
        found.append(_high(rows, share, severity, (height, fast, slow)))
        break  # the sharper one says it all
    return found


def _high(
    rows: _Rows, share: float, severity: str, when: tuple[float, float, float | None]
) -> Caution:
    """Return the caution of one share of height to alley."""
    height, fast, slow = when
    late = "or never" if slow is None else f"to {slow:g}"
    years = f"{fast:g}" if fast == slow else f"{fast:g} {late}, by our estimate of growth"
    what = (
        f"{_of(rows)}: trees are {height:.1f} m high, {share:g} of the {rows.alley:.1f} m alley, "
        f"in year {years}"
    )
    then = (
        "from there on crops start to suffer"
        if severity == WARNING
        else "keep an eye on the crop's edge from there on"
    )
    return Caution(
        key="trees-high",
        code="W14",
        severity=severity,
        sentence=f"{what}; {then}.",
        remedy="Plan pruning, thinning or another crop for these years.",
        source="European alley trials, seen in an excerpt (0.8); twice the height apart (0.5).",
        value=height / rows.alley,
        threshold=share,
        unit="tree heights to alley width",
    )


def _across_the_sun(rows: _Rows, layout: Layout) -> list[Caution]:
    """Return the caution of rows that run east and west far from the equator."""
    lat = layout.field.frame.lat
    off = abs((rows.bearing + 90.0) % 180.0 - 90.0)
    if abs(lat) <= MIDDLE_LATITUDE or off < ACROSS_THE_SUN:
        return []
    return [
        Caution(
            key="tree-rows-east-west",
            code="W12",
            severity=WARNING,
            sentence=(
                f"{_of(rows)} run {off:.0f} degrees off north and south at {abs(lat):.0f} degrees "
                f"{'north' if lat > 0 else 'south'}: one side of each alley lies in shade most of "
                "the day while a summer crop grows."
            ),
            remedy=(
                "Compare with rows that run north: `geolayout light` shows both. Slope, wind or "
                "the shape of the field may still decide for these."
            ),
            source="Reviews recommend north to south at middle and high latitudes, in excerpts.",
            value=off,
            threshold=ACROSS_THE_SUN,
            unit="degrees off north and south",
        )
    ]
