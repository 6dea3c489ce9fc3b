"""
Stake-out: peg lists as tables, and the sheet that goes to the field with them; all three as files.

A sheet is text, so that it prints anywhere. Coordinates stand in degrees on WGS 84 and on a map
grid that is named beside them.
"""

from collections.abc import Sequence
from textwrap import wrap

import numpy as np

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.appraisal.trees.bands import species_of_trees
from geolayout.appraisal.trees.bundles import Bundle, bundles, position_words
from geolayout.appraisal.trees.pegs import Check, PegBlock, PegLine, border_pegs, tree_pegs
from geolayout.handover.files.tablecsv import table_csv
from geolayout.land.frames.mapgrid import MapGrid
from geolayout.layout.build import Layout

__all__ = [
    "BEFORE_PLANTING",
    "BORDERS_FILE",
    "SHEET_FILE",
    "TREES_FILE",
    "border_csv",
    "peg_files",
    "sheet_text",
    "tree_csv",
]

_LINES = (
    "Overhead lines: look up along every row today; a drawn line has not seen the new pole. "
    "How near a tree may stand, grown and fallen, the line's operator decides."
)
_SERVICES = (
    "Pipes and cables: ask their owners before a stake, a post or a ripper goes in, also where "
    "none was drawn. The owner of the service decides about distances."
)
_ROOTS = (
    "Roots and drains: roots grow into drains and lift pipes and walls. Cross a drain with a "
    "gap in the row. Whoever owns or keeps it knows its course, and decides how near trees may "
    "stand."
)
_SIGHT = (
    "Sight lines: beside roads, junctions and gateways the road authority decides how far "
    "trees stay back."
)
_RULES = (
    "Local rules on planting, protected sites and neighbours' boundaries stand above this sheet."
)

BEFORE_PLANTING = (_LINES, _SERVICES, _ROOTS, _SIGHT, _RULES)
"""What every planting sheet says first; common practice, no source."""

SHEET_FILE, TREES_FILE, BORDERS_FILE = "planting_sheet.txt", "pegs_trees.csv", "pegs_borders.csv"
"""What the sheet and the peg lists are called."""

WIDEST = 98
"""Letters of the longest line that is wrapped. [-]"""

DEGREES = 9
"""Decimals of a degree: a tenth of a millimetre. [-]"""


def peg_files(
    layout: Layout, grid: MapGrid, cautions: Sequence[Caution], most: int | None = None
) -> dict[str, str]:
    """
    Return the planting sheet and the peg lists, by what their files are called.

    Parameters
    ----------
    layout : Layout
        The layout.
    grid : MapGrid
        Grid of the coordinates.
    cautions : sequence of Caution
        Those of the layout; hazards are printed on the sheet.
    most : int, optional
        Trees in a bundle at most.

    Returns
    -------
    texts : dict of str to str
        The sheet, the pegs of borders, and those of trees where there are some.
    """
    texts = {SHEET_FILE: sheet_text(layout, grid, cautions, most)}
    if len(layout.trees):
        texts[TREES_FILE] = tree_csv(layout, grid, most)
    return texts | {BORDERS_FILE: border_csv(layout, grid)}


def tree_csv(layout: Layout, grid: MapGrid, most: int | None = None) -> str:
    """
    Return a peg for every tree as a table, in the order of planting.

    Parameters
    ----------
    layout : Layout
        The layout.
    grid : MapGrid
        Grid of the columns `east_m` and `north_m`.
    most : int, optional
        Trees in a bundle at most.

    Returns
    -------
    text : str
        Comma-separated, with names of the columns.
    """
    species, trees = species_of_trees(layout), layout.trees
    bundle = _bundle_of_trees(layout, bundles(layout, most))
    rows = []
    for block, line, places in _placed(layout, tree_pegs(layout), grid):
        steps = np.diff(line.chainage, prepend=line.chainage[0])
        for i, tree in enumerate(line.trees.tolist()):
            row = (block.block, int(trees.row[tree]), int(trees.position[tree]), species[tree])
            told = (f"{line.across:.2f}", f"{line.chainage[i]:.2f}", f"{steps[i]:.2f}")
            rows.append((*row, bundle[tree], *told, *places[i], grid.code))
    head = ("block", "row", "tree", "species", "bundle", *_DISTANCES, *_PLACES)
    return table_csv(head, rows)


def border_csv(layout: Layout, grid: MapGrid) -> str:
    """
    Return pegs of the borders of bands as a table.

    Parameters
    ----------
    layout : Layout
        The layout.
    grid : MapGrid
        Grid of the columns `east_m` and `north_m`.

    Returns
    -------
    text : str
        Comma-separated, with names of the columns.
    """
    rows = []
    for block, line, places in _placed(layout, border_pegs(layout), grid):
        steps = np.diff(line.chainage, prepend=line.chainage[0])
        for i, along in enumerate(line.chainage.tolist()):
            told = (f"{line.across:.2f}", f"{along:.2f}", f"{steps[i]:.2f}")
            rows.append((block.block, line.name, i + 1, *told, *places[i], grid.code))
    return table_csv(("block", "border", "peg", *_DISTANCES, *_PLACES), rows)


_DISTANCES = ("from_corner_m", "along_m", "from_last_m")
_PLACES = ("east_m", "north_m", "lon", "lat", "grid")


def _bundle_of_trees(layout: Layout, several: Sequence[Bundle]) -> dict[int, int]:
    """Return the number of each tree's bundle."""
    trees = layout.trees
    names = [block.name for block in layout.blocks]
    numbers = {
        (one.block, one.row, position): one.number for one in several for position in one.positions
    }
    keys = zip(trees.block.tolist(), trees.row.tolist(), trees.position.tolist(), strict=True)
    return {i: numbers[names[b], row, position] for i, (b, row, position) in enumerate(keys)}


def _placed(
    layout: Layout, blocks: Sequence[PegBlock], grid: MapGrid
) -> list[tuple[PegBlock, PegLine, list[tuple[str, str, str, str]]]]:
    """Return every line with its pegs as east, north, longitude and latitude in text."""
    return [
        (block, line, _coordinates(layout, line.xy, grid))
        for block in blocks
        for line in block.lines
    ]


def _coordinates(
    layout: Layout, xy: np.ndarray[tuple[int, ...], np.dtype[np.float64]], grid: MapGrid
) -> list[tuple[str, str, str, str]]:
    """Return places as they stand in tables."""
    lonlat = layout.field.frame.lonlat(xy)
    return [
        (f"{e:.3f}", f"{n:.3f}", f"{lon:.{DEGREES}f}", f"{lat:.{DEGREES}f}")
        for (e, n), (lon, lat) in zip(grid.places(lonlat).tolist(), lonlat.tolist(), strict=True)
    ]


def sheet_text(
    layout: Layout, grid: MapGrid, cautions: Sequence[Caution], most: int | None = None
) -> str:
    """
    Return the planting sheet: cautions, pegging lines, checks to fill in, bundles.

    Parameters
    ----------
    layout : Layout
        The layout.
    grid : MapGrid
        Grid of the coordinates.
    cautions : sequence of Caution
        Those of the layout; hazards are printed.
    most : int, optional
        Trees in a bundle at most.

    Returns
    -------
    text : str
        Lines of at most 100 letters.
    """
    lines = [f"Planting sheet: {layout.field.name or 'field'}", ""]
    lines += ["Before anything goes into the ground"]
    for sentence in (*BEFORE_PLANTING, *_hazards(cautions)):
        lines += wrap(sentence, WIDEST, initial_indent="- ", subsequent_indent="  ")
    lines += ["", "How to peg", *_how(grid), *wrap(_lists(layout), WIDEST)]
    for title, blocks in (("Tree rows", tree_pegs(layout)), ("Borders", border_pegs(layout))):
        for block in blocks:
            lines += ["", *_block_lines(layout, title, block, grid)]
    lines += ["", *_bundle_lines(bundles(layout, most))]
    return "\n".join(lines) + "\n"


def _hazards(cautions: Sequence[Caution]) -> list[str]:
    """Return the hazards of the layout, each with what to do and whether anybody looked."""
    return [
        f"{one.sentence} {one.remedy}" + (f" [{one.acknowledged}]" if one.acknowledged else "")
        for one in cautions
        if one.severity == HAZARD
    ]


def _how(grid: MapGrid) -> list[str]:
    """Say how distances and coordinates are meant."""
    return [
        "Distances are level. On ground steeper than about 20 degrees hold the tape level in short",
        "steps, or correct for the slope (SPGS Uganda, Community Tree Planting Guideline).",
        "Lay right angles with 3-4-5, the longest that fits: 12, 16 and 20 m (common practice).",
        f"East and north: {grid.words}.",
        *(wrap(grid.caution, WIDEST) if grid.caution else []),
        "Longitude and latitude: WGS 84, as the boundary was given.",
    ]


def _lists(layout: Layout) -> str:
    """Say where every peg stands."""
    trees = f"Every tree has its peg in {TREES_FILE}. " if len(layout.trees) else ""
    return f"{trees}Every peg of the borders stands in {BORDERS_FILE}."


def _block_lines(layout: Layout, title: str, block: PegBlock, grid: MapGrid) -> list[str]:
    """Tell one block: its pegging line, its rows, its check."""
    where = f"{title}, block {block.block}" if block.block else title
    ends = np.array([block.corner, block.far])
    (corner, far) = _coordinates(layout, ends, grid)
    lines = [where]
    if block.straight:
        lines += [
            f"  Corner peg   E {corner[0]}  N {corner[1]}  lon {corner[2]}  lat {corner[3]}",
            f"  Last peg     E {far[0]}  N {far[1]}  lon {far[2]}  lat {far[3]}",
            "  The pegging line joins them. Rows leave it square.",
            f"  Bearing of the rows {_degrees(block.bearing)} degrees true.",
        ]
    else:
        lines.append("  These lines bend: peg by coordinates; distances run along each line.")
    if block.outside:
        lines.append(f"  Off the field on the pegging line: {', '.join(block.outside)}.")
    lines.append("  line                            from corner  first peg   last peg   pegs")
    lines += [_line_row(line) for line in block.lines]
    return [*lines, *_check_lines(block.check)]


def _degrees(bearing: float) -> str:
    """Return a bearing to the hundredth, never 360."""
    return f"{round(bearing, 2) % 360.0:.2f}"


def _line_row(line: PegLine) -> str:
    """Return the row of one line."""
    first, last = line.chainage[0], line.chainage[-1]
    return (
        f"  {line.name[:30]:<30} {line.across:>10.2f} m {first:>8.2f} m {last:>8.2f} m "
        f"{len(line.chainage):>6}"
    )


def _check_lines(check: Check | None) -> list[str]:
    """Return the box that is filled in before the first tree is planted."""
    if check is None:
        return []
    return [
        f"  Check: {check.first} to {check.last} {check.width:.2f} m, along {check.length:.2f} m.",
        f"  Both diagonals {check.diagonal:.2f} m. Measure all again if one is off by more",
        f"  than {check.tolerance:.2f} m (0.10 m, or 1 in 1000 of it if more; common practice).",
        "  +--------------+--------------+--------------+--------------+",
        "  |  diagonal    |  should be   |  measured    |  misclosure  |",
        f"  |  first       | {check.diagonal:>9.2f} m  |              |              |",
        f"  |  second      | {check.diagonal:>9.2f} m  |              |              |",
        "  +--------------+--------------+--------------+--------------+",
        "  Measured by ______________________  on ______________",
    ]


def _bundle_lines(several: Sequence[Bundle]) -> list[str]:
    """Tell the bundles in the order of planting."""
    if not several:
        return []
    lines = [
        "Bundles, in the order of planting",
        "  no.   row  trees  species, and where in the row",
    ]
    for one in several:
        where = f", block {one.block}" if one.block else ""
        told = f"{one.species}{where}: {position_words(one.positions)}"
        begin = f"  {one.number:>3}  {one.row:>4}  {len(one.positions):>5}  "
        lines += wrap(told, WIDEST, initial_indent=begin, subsequent_indent=" " * (len(begin) + 2))
    return lines
