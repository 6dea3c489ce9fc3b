"""Sheets, and the whole folder, of 300 strips with 5,000 trees: seconds of this process."""

import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from made_land import field_of, laid
from race import Result
from shapely import box

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.contents import Parcel, write_contents
from geolayout.handover.matchcode import match_code
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.write import write_sheets
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout
from geolayout.plan.printing import LANGUAGES, PLAIN, Printing
from geolayout.plan.units import METRIC

PLAN = """
[headland]
where = "ends"
width = 12.0
[[stand]]
name = "maize"
sowing = [ { crop = "maize", rows = 4, spacing = 0.75, operation = "plant" } ]
[[pattern]]
name = "alleys"
bands = [
  { name = "A", width = 3.0, stand = "maize" },
  { name = "T", width = 1.0, trees = { in_row_spacing = 14.0, species = "walnut" } },
]
[[machine]]
name = "planter"
working_width = 3.0
turning_radius = 4.0
[[operation]]
name = "plant"
machine = "planter"
"""

WIDTH, LENGTH = 600.0, 500.0
"""Of the land: 150 repeats of 4 m, two strips each. [m]"""

SHEETS, FOLDER = 5.0, 20.0
"""Longest that sheets, and the folder with them, may take. [s]"""


def results() -> Iterator[Result]:
    """Yield a measurement for sheets of each language, and for the folder."""
    layout = laid(field_of(box(0.0, 0.0, WIDTH, LENGTH)), PLAN)
    strips = sum(cut.grows for block in layout.blocks for cut in block.section.cuts)
    what = f"{strips} strips, {len(layout.trees):,} trees"
    handed = _handed(layout)
    for language in LANGUAGES:
        told = replace(handed, printing=Printing(PLAIN.paper, language))
        yield _measured(
            f"sheets, {language}, {what}", SHEETS, lambda at, t=told: write_sheets(t, at)
        )
    parcel = Parcel("plan", "", layout, Drawn(), handed.figures, handed.cautions)
    yield _measured(f"folder, {what}", FOLDER, lambda at: write_contents(at, parcel))


def _handed(layout: Layout) -> Handed:
    """Return what sheets are made of."""
    told = (figures(layout), driving_of(layout), cautions(layout))
    return Handed("plan", layout, *told, METRIC, match_code(layout))


def _measured(work: str, aim: float, write: Callable[[Path], object]) -> Result:
    """Measure one writing into a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        begin = time.process_time()
        write(Path(folder))
        taken = time.process_time() - begin
    return Result(work, f"{taken:.2f} s", "-", f"{taken:.2f} s", f"{aim:g} s", taken <= aim)
