"""What the shape of the land does: short rows, slivers, lines beyond the edge, odd boundaries."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.growing import nominal_rows, nominal_width
from geolayout.appraisal.places import listed, place_words
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings

__all__ = ["shape_cautions"]

SHORT_ROW = 50.0
"""Rows shorter than this are short, whatever the headland (common practice, no source). [m]"""

SLIVER = 1.0
"""Ground of less mean width is hard to work. Our own choice. [m]"""

COMMON = "Common practice, no source."


def shape_cautions(layout: Layout) -> list[Caution]:
    """
    Say what the shape of the land makes hard.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    return [*_short_rows(layout), *_slivers(layout), *_beyond(layout), *_findings(layout)]


def _limit(layout: Layout) -> float:
    """Return the length below which a row is short: twice the headland, at least 50 m. [m]"""
    plan = layout.plan
    own = [block.headland for block in plan.blocks if block.headland is not None]
    widths = [plan.headland_width(headland) for headland in (plan.headland, *own)]
    return max(SHORT_ROW, *(2.0 * width for width in widths))


def _short_rows(layout: Layout) -> list[Caution]:
    """Return the caution of rows that are short against the turns at their ends."""
    rows, limit = layout.rows, _limit(layout)
    short = rows.counts & (rows.length < limit)
    if not short.any():
        return []
    place = _middle(layout, int(np.flatnonzero(short)[np.argmin(rows.length[short])]))
    count, total = int(short.sum()), float(rows.length[short].sum())
    return [
        Caution(
            key="short-rows",
            code="W07",
            severity=WARNING,
            sentence=(
                f"{count} of {int(rows.counts.sum())} pieces of row "
                f"{'is' if count == 1 else 'are'} shorter than {limit:.0f} "
                f"m: {total:.0f} m in all, on about {_row_ground(layout, short):.0f} m2; the "
                f"shortest, {rows.length[short].min():.1f} m, lies "
                f"{place_words(layout.field, place)}."
            ),
            remedy="Try another bearing, or leave that corner to headland or grass.",
            source=COMMON,
            value=float(rows.length[short].min()),
            threshold=limit,
            unit="m",
            place=place,
            count=count,
        )
    ]


def _middle(layout: Layout, row: int) -> tuple[float, float]:
    """Return the middle of a piece of row. [m]"""
    lines = layout.rows.lines
    x, y = lines.xy[lines.offsets[row] : lines.offsets[row + 1]].mean(axis=0).tolist()
    return x, y


def _row_ground(layout: Layout, chosen: NDArray[np.bool_]) -> float:
    """Return the ground of some pieces of row, each stand by its first sowing in rows. [m2]"""
    rows, total = layout.rows, 0.0
    keys = np.stack([rows.block, rows.cut, rows.sowing], axis=1)[chosen]
    for b, c, j in np.unique(keys, axis=0):
        block, stand = layout.blocks[b], layout.blocks[b].stands[c]
        first = next((k for k, s in enumerate(stand.sowing) if s.in_rows), -1) if stand else -1
        if stand is None or first != j:
            continue
        cut = block.section.cuts[c]
        length = float(rows.length[chosen][(keys == (b, c, j)).all(axis=1)].sum())
        count = nominal_rows(block, cut, stand, int(j))
        total += length * nominal_width(block, cut) / max(count, 1)
    return total


def _slivers(layout: Layout) -> list[Caution]:
    """Return the caution of pieces of band that are very narrow."""
    ground = layout.ground
    chosen = np.flatnonzero(np.isin(ground.kind, ["band", "tree band"]))
    width = np.array([_mean_width(layout, int(i)) for i in chosen])
    thin = width < np.array([_least_width(layout, int(i)) for i in chosen])
    if not thin.any():
        return []
    worst = int(chosen[np.argmin(width)])
    x, y = shapely.get_coordinates(shapely.point_on_surface(ground.geometry[worst]))[0].tolist()
    area = float(ground.area[chosen[thin]].sum())
    count = int(thin.sum())
    return [
        Caution(
            key="slivers",
            code="W08",
            severity=WARNING,
            sentence=(
                f"{count} {'piece of a band is' if count == 1 else 'pieces of bands are'} less "
                f"than {SLIVER:g} m wide on average, {area:.1f} m2 in all; the narrowest, "
                f"{width.min():.2f} m, lies {place_words(layout.field, (x, y))}."
            ),
            remedy="Work it with the strip beside it, or give it to the margin.",
            source="Our own choice of limit.",
            value=float(width.min()),
            threshold=SLIVER,
            unit="m",
            place=(x, y),
            count=count,
        )
    ]


def _mean_width(layout: Layout, piece: int) -> float:
    """Return a piece's area over its length along the rows. [m]"""
    geometry = layout.ground.geometry[piece]
    block = layout.blocks[layout.ground.block[piece]]
    guides = block.guides
    if isinstance(guides, Rings):  # as wide all round, and without ends between which to measure
        cut = block.section.cuts[layout.ground.cut[piece]]
        return float(cut.t1 - cut.t0)
    s = guides.along(shapely.get_coordinates(geometry))
    return float(geometry.area / np.ptp(s))


def _least_width(layout: Layout, piece: int) -> float:
    """Return the mean width below which a piece is a sliver: half of a band meant narrow. [m]"""
    block = layout.blocks[layout.ground.block[piece]]
    cut = block.section.cuts[layout.ground.cut[piece]]
    return min(SLIVER, nominal_width(block, cut) / 2.0)


def _beyond(layout: Layout) -> list[Caution]:
    """Return the caution of passes whose line leaves land that can be driven on."""
    passes = layout.passes
    out = np.flatnonzero(passes.beyond_edge > 0.0)
    if not len(out):
        return []
    worst = int(out[np.argmax(passes.beyond_edge[out])])
    names = [layout.plan.operations[i].name for i in np.unique(passes.operation[out])]
    x, y = passes.lines.ends(worst).mean(axis=0).tolist()
    most = float(passes.beyond_edge[worst])
    return [
        Caution(
            key="beyond-the-edge",
            severity=WARNING,
            sentence=(
                f"{'1 piece of a pass' if len(out) == 1 else f'{len(out)} pieces of passes'} "
                f"({listed(names)}) {'runs' if len(out) == 1 else 'run'} "
                f"{passes.beyond_edge[out].sum():.0f} m in all over ground that cannot be driven "
                "on, to reach the last of their strip; the longest stretch, "
                f"{most:.1f} m in pass {passes.number[worst]} of "
                f"{layout.plan.operations[passes.operation[worst]].name}, is on a line "
                f"{place_words(layout.field, (x, y))}."
            ),
            remedy="Stop at the edge, lift out there, and work the tips from the headland.",
            source="Length of the line outside the drivable land.",
            value=most,
            threshold=0.0,
            unit="m",
            place=(x, y),
            count=len(out),
        )
    ]


def _findings(layout: Layout) -> list[Caution]:
    """Return what was found in the boundary, odd areas as warnings."""
    odd = ("unusual area",)
    return [
        Caution(
            key=f"boundary: {finding.kind}",
            code="W19",
            severity=WARNING if finding.kind in odd else NOTE,
            sentence=finding.sentence,
            remedy="Hold the boundary against a map or the ground before anything is drilled.",
            source=COMMON if finding.kind in odd else "Found in the boundary as it was read.",
            value=layout.field.area / 1e4 if finding.kind in odd else finding.area_change,
            unit="ha" if finding.kind in odd else "m2",
        )
        for finding in layout.field.findings
    ]
