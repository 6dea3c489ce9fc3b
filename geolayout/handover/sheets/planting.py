"""
The planting sheet: what the gang that pegs and plants has in its hand.

Hazards and what nobody drew stand first, then how to peg, the pegging line with a row a line, the
check before the first tree, and the bundles in the order in which they are planted.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.trees.bundles import Bundle, bundles, position_words
from geolayout.appraisal.trees.pegs import Check, PegBlock, PegLine, tree_pegs
from geolayout.handover.sheets.handed import Handed, hazard_items, headline
from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Blanks, Item, Part, Sentence, Table
from geolayout.handover.sheets.printed import Page
from geolayout.handover.sheets.say import say
from geolayout.handover.stakeout import BEFORE_PLANTING, TREES_FILE
from geolayout.land.frames.mapgrid import MapGrid, map_grid, utm_code
from geolayout.plan.units import Scale

__all__ = ["planting_pages"]

PEG_FILE = f"pegs/{TREES_FILE}"
"""Where every tree has its place."""

SAME_STEP = 0.005
"""Steps that differ by less are told as one: a tape is not read nearer. [m]"""

MOST_BUNDLES = 400
"""Bundles that are told; all are in the table of pegs. Our own choice. [-]"""


def planting_pages(handed: Handed, file: str) -> list[Page]:
    """
    Set the planting sheet; to be called of a layout with trees.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    file : str
        Name of the sheet's own file.

    Returns
    -------
    pages : list of Page
    """
    frame = handed.layout.field.frame
    grid = map_grid(utm_code(frame.lon, frame.lat))
    blocks = tree_pegs(handed.layout)
    several = bundles(handed.layout)
    parts = [
        Part(say("Before anything goes into the ground"), _before(handed), True),
        Part(say("How to peg"), tuple(_how(grid))),
        *(part for block in blocks for part in _block_parts(handed, block, grid)),
        Part(say("Bundles, in the order of planting"), _bundles(several)),
        Part(say("Returns and sign-off"), _returns(), True),
    ]
    title = say("Planting sheet: {field}").format(field=handed.layout.field.name)
    return set_pages(title, headline(handed), parts, headline(handed), handed.style(file))


def _before(handed: Handed) -> tuple[Item, ...]:
    """Return hazards by their letters, then what holds whatever was drawn."""
    return (*hazard_items(handed), *(Sentence(words, "•") for words in BEFORE_PLANTING))


def _how(grid: MapGrid) -> Iterator[Item]:
    """Yield how distances and coordinates are meant."""
    yield Sentence(
        say("Distances are level. On ground steeper than about 20 degrees hold the tape level in "
            "short steps, or correct for the slope.")
    )  # fmt: skip
    yield Sentence(say("Lay right angles with 3-4-5, the longest that fits: 12, 16 and 20 m."))
    yield Sentence(say("East and north: {grid}. Longitude and latitude: WGS 84.").format(
        grid=grid.words))  # fmt: skip
    if grid.caution:
        yield Sentence(grid.caution)
    yield Sentence(say("Every tree has its place in {file}.").format(file=PEG_FILE))


def _block_parts(handed: Handed, block: PegBlock, grid: MapGrid) -> Iterator[Part]:
    """Yield the pegging line of a block with its rows, and its check in a frame."""
    named = say("Tree rows of block {block}").format(block=block.block)
    title = named if block.block else say("Tree rows")
    yield Part(title, (*_line(handed, block, grid), *_rows(handed, block)))
    if block.check is not None:
        yield Part(say("Check before the first tree"), _check(handed, block.check), True)


def _line(handed: Handed, block: PegBlock, grid: MapGrid) -> Iterator[Item]:
    """Yield the pegging line: both its ends, and how the rows leave it."""
    if not block.straight:
        yield Sentence(say("These lines bend: peg by coordinates; distances run along each line."))
        return
    head = (say("peg"), say("east m"), say("north m"), say("longitude"), say("latitude"))
    lonlat = handed.layout.field.frame.lonlat(np.array([block.corner, block.far]))
    places = zip(grid.places(lonlat).tolist(), lonlat.tolist(), strict=True)
    rows = [
        (name, f"{east:.2f}", f"{north:.2f}", f"{lon:.8f}", f"{lat:.8f}")
        for name, ((east, north), (lon, lat)) in zip(
            (say("corner peg"), say("last peg")), places, strict=True
        )
    ]
    yield Table(head, tuple(rows))
    yield Sentence(
        say("The pegging line joins them. Rows leave it square, at {bearing:.2f}° from true "
            "north.").format(bearing=round(block.bearing, 2) % 360.0)
    )  # fmt: skip
    if block.outside:
        told = say("Off the field on the pegging line: {lines}.")
        yield Sentence(told.format(lines=", ".join(block.outside)))


def _rows(handed: Handed, block: PegBlock) -> tuple[Item, ...]:
    """Return the rows of a block: where each leaves the line, its first, step and last peg."""
    head = (say("line"), say("from corner"), say("pegs at"), say("trees"))
    return (Table(head, tuple(_row(handed, line) for line in block.lines)),)


def _row(handed: Handed, line: PegLine) -> tuple[str, ...]:
    """Return one row, distances to the centimetre."""
    width = handed.units.width
    return (
        line.name,
        width.said(line.across),
        _chainage(line, width),
        str(len(line.chainage)),
    )


def _chainage(line: PegLine, width: Scale) -> str:
    """Return where the pegs of a row stand, those in equal steps told once."""
    steps = np.diff(line.chainage)
    told = []
    first = 0
    while first < len(line.chainage):
        last = _last_of_run(steps, first)
        told.append(_run(line, (first, last), width))
        first = last + 1
    return "; ".join(told)


def _last_of_run(steps: NDArray[np.float64], first: int) -> int:
    """Return the last peg that follows a first one in equal steps."""
    if first >= len(steps):
        return first
    odd = np.flatnonzero(np.abs(steps[first:] - steps[first]) > SAME_STEP)
    return first + int(odd[0]) if len(odd) else len(steps)


def _run(line: PegLine, ends: tuple[int, int], width: Scale) -> str:
    """Say where pegs in equal steps begin and end."""
    first, last = (float(line.chainage[k]) for k in ends)
    begins = _figure(first, width)
    if ends[0] == ends[1]:
        return f"{begins} {width.word}"
    step = (last - first) / (ends[1] - ends[0])
    if ends[1] - ends[0] == 1:
        return f"{begins}, {width.said(last)}"
    return say("{first} to {last} by {step}").format(
        first=begins, last=width.figure(last), step=width.said(step)
    )


def _figure(distance: float, width: Scale) -> str:
    """Return a distance without its unit, never below nothing by less than is shown."""
    figure = width.figure(distance)
    return figure.lstrip("-") if float(figure) == 0.0 else figure


def _check(handed: Handed, check: Check) -> tuple[Item, ...]:
    """Return the rectangle that proves the right angles, with room for what was measured."""
    width = handed.units.width
    said = say(
        "{first} to {last}: {across}, along the rows {along}. Both diagonals {diagonal}. Measure "
        "all again if one is off by more than {limit}."
    ).format(
        first=check.first,
        last=check.last,
        across=width.said(check.width),
        along=width.said(check.length),
        diagonal=width.said(check.diagonal),
        limit=width.said(check.tolerance),
    )
    head = (say("diagonal"), say("should be"), say("measured"), say("misclosure"))
    line = "_" * 16
    rows = tuple(
        (name, width.said(check.diagonal), line, line) for name in (say("first"), say("second"))
    )
    return Sentence(said), Table(head, rows), Blanks((say("Measured by"), say("on (day)")))


def _bundles(several: Sequence[Bundle]) -> tuple[Item, ...]:
    """Return the bundles in the order of planting."""
    blocks = any(one.block for one in several)
    head = (say("bundle"), say("row"), say("trees"), say("species"), say("where in the row"))
    rows = [
        (
            str(one.number),
            f"{one.block} {one.row}" if blocks else str(one.row),
            str(len(one.positions)),
            one.species,
            position_words(one.positions),
        )
        for one in several[:MOST_BUNDLES]
    ]
    more = len(several) - len(rows)
    told = say("{count} more are in {file}.").format(count=more, file=PEG_FILE)
    return (Table(head, tuple(rows)), *([Sentence(told)] if more > 0 else []))


def _returns() -> tuple[Item, ...]:
    """Return what comes back to the office, and who signs."""
    return (
        Blanks((say("Begun (day, hour)"), say("Ended"), say("Trees set"))),
        Blanks((say("Left over"), say("Not planted, where and why"))),
        Blanks((say("Planted by"), say("Farmer"))),
    )
