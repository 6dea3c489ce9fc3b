"""Where cold air lies: hollows that it does not run out of, and what grows in them."""

import shapely

from geolayout.appraisal.caution import NOTE, Caution
from geolayout.appraisal.places import place_words
from geolayout.land.terrain.flow import hollows
from geolayout.land.terrain.terrain import FIELD_SCALE
from geolayout.layout.build import Layout

__all__ = ["cold_cautions"]

DEPTH = 0.3
"""Ground that lies less below the rim of its hollow is not told. Our own choice. [m]"""

DEEP = 0.5
"""A hollow that is nowhere so deep is not told. Our own choice. [m]"""

LEAST = 200.0
"""A hollow on less of the land is not told. Our own choice. [m2]"""


def cold_cautions(layout: Layout) -> list[Caution]:
    """
    Say where cold air gathers on the land, and how many trees would stand in it.

    Parameters
    ----------
    layout : Layout
        The layout; without heights of its field nothing is said.

    Returns
    -------
    cautions : list of Caution
        One note, for the hollows of heights averaged over 20 m.
    """
    terrain, land = layout.field.terrain, layout.field.land
    if terrain is None:
        return []
    all_of_them = hollows(terrain.smoothed(FIELD_SCALE), land, DEPTH)
    found = [
        one
        for one in all_of_them
        if one.depth >= DEEP and shapely.intersection(one.ground, land).area >= LEAST
    ]
    if not found:
        return []
    ground = shapely.union_all([one.ground for one in found])
    area = float(shapely.intersection(ground, land).area)
    trees = int(shapely.contains_xy(ground, *layout.trees.xy.T).sum())
    of_trees = f" {trees} of the trees would stand in it." if trees else ""
    count = "A hollow" if len(found) == 1 else f"{len(found)} hollows"
    return [
        Caution(
            key="frost-hollow",
            severity=NOTE,
            sentence=(
                f"{count} of {area:,.0f} m2 in this land, up to {found[0].depth:.1f} m deep "
                f"({place_words(layout.field, found[0].deepest)}), hold cold air on still, clear "
                f"nights, by heights averaged over {FIELD_SCALE:.0f} m.{of_trees}"
            ),
            remedy=(
                "Ask who has seen frost there; plant there late, or what bears frost, and leave "
                "tree rows open where the air runs off. A closed row across a slope makes a hollow "
                "of its own."
            ),
            source="Cold air runs downhill and lies in hollows: common practice, no source.",
            value=found[0].depth,
            threshold=DEEP,
            unit="m",
            place=found[0].deepest,
        )
    ]
