"""The command `money`: margins, partial budgets, land equivalents and trees over the years."""

import json
from dataclasses import asdict
from pathlib import Path

import click

from geolayout.apps.options import plan_units, plan_units_option

__all__ = ["money"]

EXAMPLES = """
\b
Examples:
  geolayout money home.toml
  geolayout money home.toml --picture margin.png
"""


@click.command(epilog=EXAMPLES)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--season", type=int, help="Harvest year; the first if not said.")
@click.option("--picture", type=click.Path(path_type=Path), help="Draw it too (.png or .svg).")
@click.option("--accept", multiple=True, metavar="KEY", help="Accept an odd figure by its key.")
@plan_units_option
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def money(
    *,
    plan: Path,
    season: int | None,
    picture: Path | None,
    accept: tuple[str, ...],
    units: str | None,
    in_json: bool,
) -> None:
    """
    Reckon the money of PLAN from the prices and yields it gives.

    Every sum is shown with its amount, price and day; what is not said leaves its place empty.
    """
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import Part, progress, show_parts  # noqa: PLC0415
    from geolayout.handover.words.money import money_parts  # noqa: PLC0415
    from geolayout.jobs.money import money_of  # noqa: PLC0415

    with progress() as say:
        say("Reading")
        job = jobs.read(plan)
        say("Laying out")
        found = money_of(job, season, accepted=accept)
        if picture is not None:
            from geolayout.handover.pictures.money import money_picture  # noqa: PLC0415

            money_picture(found, picture)
    if in_json:
        click.echo(json.dumps({"plan": str(plan), "money": asdict(found)}, ensure_ascii=False))
    else:
        shown = plan_units(units, job.plan)
        show_parts([Part(*part) for part in money_parts(found, shown)])
    if picture is not None:
        click.echo(f"Written to {picture}", err=True)
