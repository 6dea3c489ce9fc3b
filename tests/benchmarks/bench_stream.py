"""How many small fields a second run through a pipe, the start of the command left out."""

import io
import json
import time
from collections.abc import Iterator

from race import Result

from geolayout.apps.stream import read_features
from geolayout.jobs.quick import Ground, RowWish, field_features, lay_quickly
from geolayout.land.boundary.piped import piped_boundary

FIELDS = 1000

AIM = 50.0
"""Fields a second; our own choice."""


def results() -> Iterator[Result]:
    """Yield the measurements of this module."""
    pipe = io.BytesIO("\n".join(map(_field, range(FIELDS))).encode())
    wish, ground = RowWish(3.0), Ground()
    begin = time.perf_counter()
    rows = 0
    for number, text in enumerate(read_features(pipe), 1):
        layout = lay_quickly(wish, ground, piped_boundary(text, number))
        rows += len(field_features(wish, layout, {}, 1))
    rate = FIELDS / (time.perf_counter() - begin)
    yield Result(
        f"{FIELDS:,} fields of 2 ha piped",
        f"{1000 / rate:.2f} ms a field",
        "",
        f"{rate:.0f} fields/s, {rows:,} rows",
        f"{AIM:g} fields/s",
        rate >= AIM,
    )


def _field(number: int) -> str:
    """Return an invented field of some 2 ha."""
    x, y = 10.0 + number % 100 * 0.01, 50.0 + number // 100 * 0.002
    ring = [[x, y], [x + 0.002, y + 0.0001], [x + 0.0023, y + 0.0012], [x, y + 0.0013], [x, y]]
    return json.dumps({"type": "Polygon", "coordinates": [ring]})
