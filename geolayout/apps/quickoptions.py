"""What rows, strips and alleys are asked on the command line: where from, which way, where to."""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import Measure, bundled, layer_names, units_option
from geolayout.apps.refusals import Refusal
from geolayout.apps.stream import Form, read_features
from geolayout.plan.units import UNITS, Units

if TYPE_CHECKING:
    from geolayout.jobs.quick import Ground
    from geolayout.land.readers import DrawnBoundary

__all__ = ["Output", "Source", "with_ground", "with_output", "with_source"]

SIDES = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


@dataclass(frozen=True, slots=True)
class Source:
    """Where boundaries come from."""

    field: Path
    layer: str | None
    field_id: str | None
    crs: str | None

    def boundaries(self, *, one: bool) -> "Iterator[Callable[[], DrawnBoundary]]":
        """Give calls that read one boundary each, of the pipe or of the file."""
        if str(self.field) == "-":
            return self._piped()
        return self._of_file(one=one or self.field_id is not None)

    def _piped(self) -> "Iterator[Callable[[], DrawnBoundary]]":
        from geolayout.land.boundary.piped import piped_boundary  # noqa: PLC0415  (start-up time)

        if sys.stdin.isatty():
            raise Refusal("No field is named and none is piped in. Name a file, or pipe GeoJSON.")
        for number, text in enumerate(read_features(sys.stdin.buffer), 1):
            yield partial(piped_boundary, text, number, self.crs)

    def _of_file(self, *, one: bool) -> "Iterator[Callable[[], DrawnBoundary]]":
        from geolayout.land.readers import read_boundaries, read_boundary  # noqa: PLC0415

        if one:
            drawn = [
                read_boundary(self.field, layer=self.layer, field_id=self.field_id, crs=self.crs)
            ]
        else:
            drawn = read_boundaries(self.field, layer=self.layer, crs=self.crs)
        for boundary in drawn:
            yield partial(_itself, boundary)

    def plan_keys(self, plan: Path) -> dict[str, str]:
        """Return the keys by which a plan file finds the boundary."""
        from geolayout.jobs.starting import named_from  # noqa: PLC0415  (start-up time)

        keys = {
            "boundary": named_from(plan.parent, self.field),
            "layer": self.layer,
            "id": self.field_id,
            "crs": self.crs,
        }
        return {key: value for key, value in keys.items() if value is not None}


def _itself(boundary: "DrawnBoundary") -> "DrawnBoundary":
    """Return a boundary that is at hand."""
    return boundary


@dataclass(frozen=True, slots=True)
class Output:
    """Where features go, and how."""

    form: Form
    plan: Path | None
    units: Units


def _output(*, sequence: bool, rs: bool, plan_out: Path | None, units: str) -> Output:
    """Return where features go; a record separator makes a sequence."""
    form = Form.SEQUENCE if sequence else Form.COLLECTION
    return Output(Form.SEPARATED if rs else form, plan_out, UNITS[units])


def _ground(  # noqa: PLR0913  (one parameter an option)
    *,
    bearing: float | None,
    along: str | None,
    from_: str | None,
    start: float,
    headland: float,
    headland_where: str,
    margin: float,
) -> "Ground":
    """Return which way the lines run and what is left free."""
    from geolayout.jobs.quick import Ground  # noqa: PLC0415  (start-up time)

    return Ground(bearing, along, from_, start, headland, headland_where, margin)


with_source = bundled(
    "source",
    Source,
    {
        "field": click.argument(
            "field", type=click.Path(path_type=Path, allow_dash=True), default="-"
        ),
        "layer": click.option("--layer", shell_complete=layer_names, help="Layer of the file."),
        "field_id": click.option("--id", "field_id", help="One field, by its id or name."),
        "crs": click.option("--crs", help="Coordinate system, where it is not stated."),
    },
)

with_ground = bundled(
    "ground",
    _ground,
    {
        "bearing": click.option(
            "--bearing",
            type=click.FloatRange(0, 360, max_open=True),
            help="Way of the lines, degrees from true north.",
        ),
        "along": click.option(
            "--along", type=click.Choice(SIDES), help="Side whose edge they follow."
        ),
        "from_": click.option(
            "--from", "from_", type=click.Choice(SIDES), help="Side they are counted from."
        ),
        "start": click.option(
            "--start",
            type=Measure(-10_000.0, zero=True),
            default=0.0,
            help="From that side to the first.",
        ),
        "headland": click.option(
            "--headland", type=Measure(zero=True), default=0.0, help="Width kept for turning."
        ),
        "headland_where": click.option(
            "--headland-where",
            type=click.Choice(["ends", "all round"]),
            default="ends",
            show_default=True,
            help="Where it is kept.",
        ),
        "margin": click.option(
            "--margin", type=Measure(zero=True), default=0.0, help="Width left at every edge."
        ),
    },
)

with_output = bundled(
    "output",
    _output,
    {
        "sequence": click.option(
            "--sequence/--collection", help="One feature a line, or one collection (the default)."
        ),
        "rs": click.option(
            "--rs/--no-rs", help="A sequence with a record separator before each feature."
        ),
        "plan_out": click.option(
            "--plan-out",
            type=click.Path(path_type=Path),
            help="Write a plan file to go on from.",
        ),
        "units": units_option,
    },
)
