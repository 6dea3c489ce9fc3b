"""The command `light`: how much light the crop between tree rows gets as the trees grow."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import Measure

if TYPE_CHECKING:
    from collections.abc import Callable

    from geolayout.appraisal.light.alley import AlleyLight
    from geolayout.apps.show import Part
    from geolayout.jobs.light import FieldLight, Lights, MapWish, Planting, Site
    from geolayout.plan.trees.growth import Light

__all__ = ["light"]

EXAMPLES = """
\b
Examples:
  geolayout light poplar_ground.toml
  geolayout light poplar_ground.toml --picture light.png
  geolayout light poplar_ground.toml --map light_map.png --raster light.tif --year 15
"""

WAYS = {
    0.0: "north and south",
    45.0: "north-east and south-west",
    90.0: "east and west",
    135.0: "south-east and north-west",
}
"""Bearings in words. [degrees]"""

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


@click.command(epilog=EXAMPLES)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--season", type=int, help="Harvest year; the first if not said.")
@click.option("--picture", type=click.Path(path_type=Path), help="Draw it too (.png or .svg).")
@click.option("--failures", type=click.Path(path_type=Path), help="Table of trees that failed.")
@click.option(
    "--map", "map_file", type=click.Path(path_type=Path), help="Map of the field (.png or .svg)."
)
@click.option("--raster", type=click.Path(path_type=Path), help="The same map as GeoTIFF.")
@click.option(
    "--year", type=click.FloatRange(0, 200), help="Year of the map; the plan's last if not said."
)
@click.option(
    "--site",
    type=click.Choice(["slow", "fast"]),
    help="Growth on the map, where heights are an estimate; fast if not said.",
)
@click.option("--cell", type=Measure(), help="Cells of the map; 2 m if not said.")
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def light(  # noqa: PLR0913  (one parameter an option)
    *,
    plan: Path,
    season: int | None,
    picture: Path | None,
    failures: Path | None,
    map_file: Path | None,
    raster: Path | None,
    year: float | None,
    site: "Site | None",
    cell: float | None,
    in_json: bool,
) -> None:
    """
    Tell the light between the tree rows of PLAN, year by year, or over the whole field.

    As a share of what open ground gets over the months of the crop.
    """
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import progress  # noqa: PLC0415
    from geolayout.jobs.light import MapWish, alley_lights_of, planting_of  # noqa: PLC0415

    if map_file is None and raster is None and (year, site, cell) != (None, None, None):
        raise click.UsageError("--year, --site and --cell belong to --map or --raster.")
    _check_names([one for one in (picture, map_file) if one is not None], raster)
    with progress() as say:
        say("Reading")
        job = jobs.read(plan)
        planting = planting_of(job, season, failures)
        say("Following the sun")
        found = alley_lights_of(planting, job.path.name)
        if picture is not None:
            say(f"Drawing {picture}")
            _draw([one.alley for one in found], picture)
        over = None
        if map_file is not None or raster is not None:
            over = _mapped(planting, MapWish(year, site or "fast", cell), say)
            _write(planting, over, map_file, raster)
    _show(plan, found, over, (job.plan.light, in_json))
    for path in (picture, map_file, raster):
        if path is not None:
            click.echo(f"Written to {path}", err=True)


def _check_names(pictures: "Sequence[Path]", raster: Path | None) -> None:
    """Refuse names that say no known kind of file, before the work begins."""
    from geolayout.handover.files.lightraster import check_raster_name  # noqa: PLC0415  (start-up time)
    from geolayout.handover.pictures.file import picture_form  # noqa: PLC0415

    for path in pictures:
        picture_form(path)
    if raster is not None:
        check_raster_name(raster)


def _mapped(planting: "Planting", wish: "MapWish", say: "Callable[[str], None]") -> "FieldLight":
    """Return the light over the field, and say how far it is."""
    from geolayout.jobs.light import field_light  # noqa: PLC0415  (start-up time)

    return field_light(planting, wish, lambda share: say(f"Light over the field: {share:.0%}"))


def _write(
    planting: "Planting", over: "FieldLight", map_file: Path | None, raster: Path | None
) -> None:
    """Write the map as a picture and as a raster, where they are asked for."""
    from geolayout.handover.files.lightraster import write_light_raster  # noqa: PLC0415
    from geolayout.handover.pictures.light_map import DrawnLight, light_map_picture  # noqa: PLC0415

    if map_file is not None:
        shown = (planting.layout, over.told, over.cells, over.blocks, over.site, over.stands)
        light_map_picture(DrawnLight(*shown), map_file)
    if raster is not None:
        write_light_raster(over.told, over.cells, raster)


def _show(
    plan: Path,
    found: "Sequence[Lights]",
    over: "FieldLight | None",
    how: "tuple[Light, bool]",
) -> None:
    """Print what was found, in words or as one JSON object."""
    from geolayout.apps.show import show_parts  # noqa: PLC0415  (start-up time)
    from geolayout.jobs.light import field_light_dict, light_dict  # noqa: PLC0415

    asked, in_json = how
    if in_json:
        told: dict[str, object] = {
            "plan": str(plan),
            "alleys": [light_dict(one) for one in found],
        }
        if over is not None:
            told["map"] = field_light_dict(over)
        click.echo(json.dumps(told, ensure_ascii=False))
        return
    parts = [part for one in found for part in _parts(one, asked)]
    show_parts([*parts, *([] if over is None else [_map_part(over, asked)])])


def _map_part(over: "FieldLight", asked: "Light") -> "Part":
    """Return what is said of the light over the field."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    told, cell = over.told, over.cells.grid.cell
    site = f" on a {over.site} site" if told.estimated else ""
    lines = (
        f"In year {told.year:g}{site}: {told.trees} trees stand, up to {told.height:.1f} m high.",
        f"Cells of {cell:g} m, {len(told.light)} on the field; figures are those of the crop.",
    )
    head = ("block", "crop ha", "mean", "darkest", f"under {asked.limit:.0%}")
    rows = [
        (
            one.block or "all",
            f"{one.places * over.cells.area / 1e4:.2f}",
            f"{one.mean:.0%}",
            f"{one.darkest:.0%}",
            f"{one.under:.0%}",
        )
        for one in over.blocks
    ]
    return Part("Light over the field", lines, head, tuple(rows))


def _draw(found: "Sequence[AlleyLight]", picture: Path) -> None:
    """Draw the light across alleys into a file."""
    from geolayout.handover.pictures.light import light_picture  # noqa: PLC0415  (start-up time)

    light_picture(found, picture)


def _parts(lights: "Lights", asked: "Light") -> "list[Part]":
    """Return what is said of the light in one block."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    year = lights.alley.years[-1].year
    told = (
        f"Long rows on level ground, in year {year:g} on a fast site. Light is not all: slope, "
        "wind and the shape of the field decide too."
    )
    rows = [
        (f"{WAYS[one.bearing]} ({one.bearing:g})", f"{one.mean:.0%}", f"{one.darkest:.0%}")
        for one in lights.turned
    ]
    head = ("rows", "mean", "darkest")
    turned = Part("If the rows ran another way", (told,), head, tuple(rows))
    return [_part(lights.alley, asked), *([turned] if rows else [])]


def _part(alley: "AlleyLight", asked: "Light") -> "Part":
    """Return what is said of one alley."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    where = f", block {alley.block}" if alley.block else ""
    first, last = (MONTHS[month - 1] for month in alley.months)
    what = (
        f"Tree rows {alley.rows[0]} and {alley.rows[1]}, {alley.pitch:.1f} m apart, "
        f"{alley.width:.0f} m of crop between them"
        if len(alley.rows) > 1
        else f"From tree row {alley.rows[0]} over {alley.width:.0f} m of crop"
    )
    how = (
        f"Shares of open light from {first} to {last}, half way along the rows; "
        f"{asked.direct:.0%} of it straight from the sun under an open sky."
    )
    lines = [f"{what}, bearing {alley.bearing:.0f} degrees.", how]
    if alley.estimated:
        lines.append(
            "Heights are our estimate from the height when grown: the first figure is a slow site, "
            "the second a fast one. Give growth where a neighbour's trees tell more."
        )
    lines += _passed(alley, asked.limit)
    head = ("year", "height m", "mean", "edge 2 m", "darkest", "sun", "sky")
    return Part(f"Light{where}", tuple(lines), head, tuple(_row(alley, i) for i in _years(alley)))


def _years(alley: "AlleyLight") -> range:
    """Return the places of the years told."""
    return range(len(alley.years))


def _row(alley: "AlleyLight", place: int) -> tuple[str, ...]:
    """Return the figures of one year, a slow and a fast site where they differ."""
    year = alley.years[place]
    crop = alley.crop

    def both(slow: float, fast: float, form: str) -> str:
        first, second = format(slow, form), format(fast, form)
        return first if first == second else f"{first} - {second}"

    slow, fast = year.slow, year.fast
    return (
        f"{year.year:g}",
        both(slow.height, fast.height, ".1f"),
        both(slow.mean, fast.mean, ".0%"),
        both(slow.edge, fast.edge, ".0%"),
        both(slow.light[crop].min(), fast.light[crop].min(), ".0%"),
        both(slow.direct[crop].mean(), fast.direct[crop].mean(), ".0%"),
        both(slow.diffuse[crop].mean(), fast.diffuse[crop].mean(), ".0%"),
    )


def _passed(alley: "AlleyLight", limit: float) -> list[str]:
    """Say from which of the years told the mean is under the limit."""
    fast = next((one.year for one in alley.years if one.fast.mean < limit), None)
    slow = next((one.year for one in alley.years if one.slow.mean < limit), None)
    if fast is None:
        return [f"The mean stays over {limit:.0%} in all the years told."]
    if fast == slow:
        return [f"The mean is under {limit:.0%} from year {fast:g} of those told."]
    late = f"year {slow:g} on a slow one" if slow is not None else "in none of them on a slow one"
    told = f"from year {fast:g} of those told on a fast site"
    return [f"The mean is under {limit:.0%} {told}, {late}."]
