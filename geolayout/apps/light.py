"""The command `light`: how much light the crop between tree rows gets as the trees grow."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from geolayout.appraisal.light.alley import AlleyLight
    from geolayout.apps.show import Part
    from geolayout.jobs.light import Lights
    from geolayout.plan.growth import Light

__all__ = ["light"]

EXAMPLES = """
\b
Examples:
  geolayout light poplar_ground.toml
  geolayout light poplar_ground.toml --picture light.png
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
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def light(*, plan: Path, season: int | None, picture: Path | None, in_json: bool) -> None:
    """
    Tell the light between the tree rows of PLAN, year by year.

    As a share of what open ground gets over the months of the crop.
    """
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415
    from geolayout.jobs.light import light_dict, light_of  # noqa: PLC0415

    with progress() as say:
        say("Reading")
        job = jobs.read(plan)
        say("Following the sun")
        found = light_of(job, season)
        if picture is not None:
            say(f"Drawing {picture}")
            _draw([one.alley for one in found], picture)
    if in_json:
        alleys = [light_dict(one) for one in found]
        click.echo(json.dumps({"plan": str(plan), "alleys": alleys}, ensure_ascii=False))
    else:
        show_parts([part for one in found for part in _parts(one, job.plan.light)])
    if picture is not None:
        click.echo(f"Written to {picture}", err=True)


def _draw(found: "Sequence[AlleyLight]", picture: Path) -> None:
    """Draw the light across alleys into a file."""
    from geolayout.handover.lightpicture import light_picture  # noqa: PLC0415  (start-up time)

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
