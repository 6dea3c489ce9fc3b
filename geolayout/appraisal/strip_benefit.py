"""Strips wider than those in which neighbours were found to help each other."""

from typing import Final

from geolayout.appraisal.caution import NOTE, Caution
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["benefit_cautions"]

WIDEST: Final = 3.0
"""Most trials of strips lie under this width. [m]"""

SOURCE: Final = (
    "Van Oort and others, European Journal of Agronomy 112:125936, 2020, abstract: best in the "
    "model under 1 m, most trials under 3 m. Others saw good yields at 3 to 6 m"
)


def benefit_cautions(layout: Layout) -> list[Caution]:
    """
    Note once that strips are wider than those in which crops help each other at the border.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        One at most.
    """
    widths = [width for block in layout.blocks for width in _strips(block)]
    wide = [width for width in widths if width > WIDEST + ACROSS_SLACK]
    if not wide:
        return []
    return [
        Caution(
            key="strips-wider-than-benefit",
            severity=NOTE,
            sentence=f"{len(wide)} strips are wider than {WIDEST:g} m, the widest {max(wide):.2f} "
            "m: what one crop does for another reaches the rows at the border, not the middle.",
            remedy="Count on the border rows alone, or weigh narrower strips against the machines.",
            source=SOURCE,
            code="W32",
            value=max(wide),
            threshold=WIDEST,
            unit="m",
            count=len(wide),
        )
    ]


def _strips(block: Block) -> list[float]:
    """Return the widths of strips with another crop right beside them; no alleys and no plots."""
    bands = block.pattern.bands
    if block.crossed_by or block.pattern.repeats == 1 or any(band.trees for band in bands):
        return []
    pairs = list(zip(block.section.cuts, block.stands, strict=True))
    return [
        cut.width
        for i, (cut, stand) in enumerate(pairs)
        if stand is not None
        and cut.grows
        and any(
            other is not None and other.name != stand.name
            for j, (_, other) in enumerate(pairs)
            if abs(i - j) == 1
        )
    ]
