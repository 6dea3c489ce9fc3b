"""
The match code: a few letters that are equal on paper, in the folder and in files of one layout.

Whoever stands in the yard with a sheet and a terminal sees by it whether they belong together. It
comes from what is driven and grown, not from names of files, so a plan that is read back from its
folder has the same code, and one with another width, season, bearing or field has another.
"""

import hashlib
import json
from typing import Any

from geolayout.layout.build import Layout

__all__ = ["match_code"]

LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Thirty-two that nobody takes for another: no 0, 1, I or O."""

LENGTH = 6
"""Letters of a code: two plans in a thousand million share one."""

LINE_KEYS = {"kind", "bearing", "anchor", "from_", "number_at_anchor", "spiral"}
"""What a resolved guide says of its lines."""


def match_code(layout: Layout) -> str:
    """
    Return the match code of a layout.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    code : str
        Six letters with a dash in their middle.
    """
    told = json.dumps(_meant(layout), sort_keys=True, ensure_ascii=False)
    number = int.from_bytes(hashlib.sha256(told.encode()).digest()[:8])
    code = "".join(LETTERS[number >> (5 * k) & 31] for k in range(LENGTH))
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"


def _meant(layout: Layout) -> list[Any]:
    """Return what makes this layout this layout."""
    plan, season = layout.plan, layout.season
    return [
        round(layout.field.area),
        season.year if season is not None else None,
        [one.model_dump(mode="json", exclude_defaults=True) for one in plan.operations],
        [one.model_dump(mode="json", exclude_defaults=True) for one in plan.machines],
        plan.headland.model_dump(mode="json", exclude_defaults=True),
        [_block(layout, index) for index in range(len(layout.blocks))],
    ]


def _block(layout: Layout, index: int) -> list[Any]:
    """Return the lines of a block, its cuts, and what grows on them."""
    block = layout.blocks[index]
    cuts = [
        [
            _millimetres(cut.t0),
            _millimetres(cut.t1),
            cut.band,
            cut.number,
            stand.name if stand else "",
        ]
        for cut, stand in zip(block.section.cuts, block.stands, strict=True)
    ]
    stands = {stand.name: stand for stand in block.stands if stand is not None}
    sown = [stand.model_dump(mode="json", exclude_defaults=True) for stand in stands.values()]
    lines = block.guide.model_dump(mode="json", include=LINE_KEYS)
    return [block.name, block.headland_stand, lines, cuts, sown]


def _millimetres(t: float) -> int:
    """Return a distance to the millimetre, so that rounding changes no code. [mm]"""
    return round(1000.0 * t)
