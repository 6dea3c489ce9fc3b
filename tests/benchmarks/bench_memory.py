"""What a layout weighs: a million trees, and the rows of 1,000 ha."""

import tracemalloc
from collections.abc import Callable, Iterator

import numpy as np
from made_land import blob, field_of, laid
from race import Result

from geolayout.layout.rows import lay_rows
from geolayout.layout.trees.trees import lay_trees

TREES_PLAN = """
[[pattern]]
name = "orchard"
bands = [ { name = "T", width = 4.0, trees = { in_row_spacing = 2.5 } } ]
"""

ROWS_PLAN = """
[[stand]]
name = "crop"
sowing = [ { crop = "crop", spacing = 0.75 } ]
[[pattern]]
name = "all"
bands = [ { name = "A", width = "rest", stand = "crop" } ]
"""

MEBIBYTE = 2**20


def results() -> Iterator[Result]:
    """Yield the measurements of this module."""
    land = field_of(blob(1000.0, 200))
    trees = laid(land, TREES_PLAN).blocks[0]
    yield _weighed("trees", lambda: lay_trees(trees, 0, land, trees.headland), 100)
    rows = laid(land, ROWS_PLAN).blocks[0]
    sown = np.ones(len(rows.rows.t), dtype=bool)
    yield _weighed("rows 0.75 m apart", lambda: lay_rows(rows, 0, sown), 32)


def _weighed(what: str, lay: Callable[[], object], aim: float) -> Result:
    """Measure the most memory that numpy and Python hold while something is laid out."""
    tracemalloc.start()
    try:
        made = lay()
        kept, most = (size / MEBIBYTE for size in tracemalloc.get_traced_memory())
    finally:
        tracemalloc.stop()
    work = f"{len(made):,} {what}, 1,000 ha"
    return Result(
        work, f"{kept:.0f} MiB kept", "", f"{most:.0f} MiB at most", f"{aim:g} MiB", most <= aim
    )
