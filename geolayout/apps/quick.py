"""
Rows, strips and alleys of one field or many without a plan file, in the command line and in fio.

Features go to standard output and nothing else does. A stream is not whole or nothing: a field
that cannot be laid out is said on standard error, the others are written, and the exit code is 2.
"""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import Measure, Measures
from geolayout.apps.quickoptions import Output, Source, with_ground, with_output, with_source
from geolayout.apps.refusals import (
    CUT_OFF,
    INTERRUPTED,
    REFUSED,
    Refusal,
    one_line,
    refusing,
)
from geolayout.apps.stream import writing
from geolayout.errors import GeolayoutError
from geolayout.plan.units import Units

if TYPE_CHECKING:
    from pathlib import Path

    from geolayout.jobs.quick import Ground, Tally, Wish
    from geolayout.land.readers import DrawnBoundary
    from geolayout.layout.build import Layout

__all__ = ["alleys", "rows", "strips"]

UNKNOWN = (
    "No ditch, wire, pipe or right of way is known here: "
    "look before going out, or say them in a plan file."
)


class _Filter(click.Command):
    """A command in a pipe: it refuses in one line, and stops quietly when nobody reads on."""

    def invoke(self, ctx: click.Context) -> object:
        """Run the command."""
        try:
            with refusing():
                return super().invoke(ctx)
        except BrokenPipeError:
            # What is still held for standard output must not fail when Python ends.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            ctx.exit(CUT_OFF)
        except KeyboardInterrupt:
            click.echo("Stopped. The fields written so far are whole.", err=True)
            ctx.exit(INTERRUPTED)


ROWS_EXAMPLES = """\b
Examples:
  geolayout rows home.gpkg --spacing 3 > rows.geojson
  geolayout rows home.gpkg --spacing 30in --along west --headland 12
  fio cat farm.gpkg --dst-crs EPSG:4326 | fio rows --spacing 75cm --sequence
"""

STRIPS_EXAMPLES = """\b
Examples:
  geolayout strips home.gpkg --widths 6,6 > strips.geojson
  geolayout strips home.gpkg --widths 20ft,10ft --names maize,beans --from west
  geolayout strips home.gpkg --widths 12,6 --plan-out home.toml > strips.geojson
"""

ALLEYS_EXAMPLES = """\b
Examples:
  geolayout alleys home.gpkg --alley-width 24 --tree-strip 3 --in-row-spacing 8
  geolayout alleys home.gpkg --pitch 27 --tree-strip 3 --in-row-spacing 8 \\
      --setback 5 --what trees > trees.geojson
"""


@click.command(cls=_Filter, epilog=ROWS_EXAMPLES)
@with_source
@click.option("--spacing", type=Measure(), required=True, help="Between neighbouring rows.")
@click.option("--crop", default="crop", show_default=True, help="What grows in them.")
@with_ground
@with_output
def rows(*, source: Source, spacing: float, crop: str, ground: "Ground", output: Output) -> None:
    """
    Lay rows out on FIELD, a boundary file, or on the features of a pipe.

    The first row is half the spacing from the edge of the land, or from --start. A LENGTH may
    have its unit, as 6m, 75cm, 30in, 20ft; a bare number is metres.
    """
    from geolayout.jobs.quick import RowWish  # noqa: PLC0415  (start-up time)

    _run(RowWish(spacing, crop), ground, source, output)


@click.command(cls=_Filter, epilog=STRIPS_EXAMPLES)
@with_source
@click.option(
    "--widths", type=Measures(), required=True, help="Of the strips of one repeat, as 6,6."
)
@click.option("--names", help="What they are called, as maize,beans; else A, B and so on.")
@with_ground
@with_output
def strips(
    *,
    source: Source,
    widths: tuple[float, ...],
    names: str | None,
    ground: "Ground",
    output: Output,
) -> None:
    """
    Lay strips out on FIELD, a boundary file, or on the features of a pipe.

    They repeat until the land ends; what is left at the far side is a narrower strip. A LENGTH
    may have its unit, as 6m, 75cm, 30in, 20ft; a bare number is metres.
    """
    from geolayout.jobs.quick import StripWish  # noqa: PLC0415  (start-up time)

    called = tuple(name.strip() for name in names.split(",")) if names is not None else ()
    _run(StripWish(widths, called), ground, source, output)


@click.command(cls=_Filter, epilog=ALLEYS_EXAMPLES)
@with_source
@click.option("--alley-width", type=Measure(), help="Width of the cropped land.")
@click.option("--pitch", type=Measure(), help="Instead: alley and tree strip together.")
@click.option("--tree-strip", type=Measure(), required=True, help="Width the trees stand in.")
@click.option("--in-row-spacing", type=Measure(), required=True, help="Between trees of a row.")
@click.option(
    "--setback", type=Measure(zero=True), default=0.0, help="Of trees from the field's edge."
)
@click.option(
    "--what",
    type=click.Choice(["bands", "rows", "trees", "all"]),
    default="all",
    show_default=True,
    help="Which features: one kind, for a file of one kind of shape, or all.",
)
@with_ground
@with_output
def alleys(  # noqa: PLR0913  (one parameter an option)
    *,
    source: Source,
    alley_width: float | None,
    pitch: float | None,
    tree_strip: float,
    in_row_spacing: float,
    setback: float,
    what: str,
    ground: "Ground",
    output: Output,
) -> None:
    """
    Lay alleys between tree rows out on FIELD, a boundary file, or on the features of a pipe.

    The field ends with an alley at both sides, at least half as wide as the others. A LENGTH may
    have its unit, as 6m, 75cm, 30in, 20ft; a bare number is metres.
    """
    from geolayout.jobs.quick import alley_wish  # noqa: PLC0415  (start-up time)

    wish = alley_wish(
        (alley_width, pitch),
        tree_strip=tree_strip,
        in_row_spacing=in_row_spacing,
        setback=setback,
        what=what,
    )
    _run(wish, ground, source, output)


def _run(wish: "Wish", ground: "Ground", source: Source, output: Output) -> None:
    """Lay a wish out on every field and write what it came to."""
    from geolayout.jobs.quick import Tally, check_wish, tally  # noqa: PLC0415  (start-up time)

    check_wish(wish, ground)
    if output.plan is not None and str(source.field) == "-":
        raise Refusal("A plan names the file of its boundary. Give --plan-out with a file.")
    total, failed, first = Tally(), 0, 1
    stdout = sys.stdout.buffer
    with writing(stdout, output.form) as write, _progress() as say:
        for number, read in enumerate(source.boundaries(one=output.plan is not None), 1):
            say(f"Field {number}")
            try:
                layout, features = _one(wish, ground, read, (number, first))
            except (GeolayoutError, Refusal) as error:
                click.echo(f"Error: {_said(error)}", err=True)
                failed += 1
                continue
            if output.plan is not None:
                _write_plan(wish, ground, layout, source, output.plan)
            write(features)
            total, first = total + tally(layout), first + len(features)
    _close(wish, total, failed, output.units)


def _one(
    wish: "Wish",
    ground: "Ground",
    read: "Callable[[], DrawnBoundary]",
    numbers: tuple[int, int],
) -> "tuple[Layout, list[str]]":
    """Lay a wish out on one field, with its number and that of its first feature."""
    from geolayout.jobs.quick import field_features, lay_quickly, place_of  # noqa: PLC0415

    number, first = numbers
    drawn = read()
    try:
        layout = lay_quickly(wish, ground, drawn)
        features = field_features(wish, layout, place_of(drawn, number), first)
    except GeolayoutError as error:
        raise Refusal(_named(drawn.name, one_line(error))) from None
    for finding in layout.field.findings:
        click.echo(_named(drawn.name, finding.sentence), err=True)
    return layout, features


def _named(name: str, sentence: str) -> str:
    """Return a sentence behind the name of the field, unless it begins with it."""
    name = " ".join(name.split())
    return sentence if sentence.startswith(name) else f"{name}: {sentence}"


def _write_plan(
    wish: "Wish", ground: "Ground", layout: "Layout", source: Source, path: "Path"
) -> None:
    """Write the plan that was laid out, with its boundary named."""
    from geolayout.jobs.newfile import save_new  # noqa: PLC0415
    from geolayout.jobs.quick import quick_plan, reach_of  # noqa: PLC0415  (start-up time)

    field = layout.field
    text = quick_plan(wish, ground, field.name, reach_of(field, ground), source.plan_keys(path))
    save_new(path, text)
    click.echo(f"Written to {path}", err=True)


def _close(wish: "Wish", total: "Tally", failed: int, units: Units) -> None:
    """Say what was laid, and end with 2 where a field could not be."""
    fields = total.fields + failed
    if not fields:
        raise Refusal("The input holds no feature. Look at the command before this one.")
    if total.fields:
        click.echo(f"{wish.told(total, units)} {UNKNOWN}", err=True)
    if failed and fields > 1:
        click.echo(f"{failed} of {fields} fields could not be laid out.", err=True)
    if failed:
        click.get_current_context().exit(REFUSED)


def _said(error: GeolayoutError | Refusal) -> str:
    """Return what went wrong, in one line."""
    return error.message if isinstance(error, Refusal) else one_line(error)


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """Say what is going on, unless the features themselves run down the terminal."""
    from geolayout.apps.show import progress  # noqa: PLC0415  (start-up time)

    with nullcontext(_silent) if sys.stdout.isatty() else progress() as say:
        yield say


def _silent(_what: str) -> None:
    """Say nothing."""
