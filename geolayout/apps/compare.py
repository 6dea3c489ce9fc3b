"""The command `compare`: several plans on one field, figure by figure."""

import json
from pathlib import Path

import click

from geolayout.apps.options import plan_units_option
from geolayout.plan.units import UNITS

__all__ = ["compare"]

EXAMPLES = """
\b
Examples:
  geolayout compare strips.toml mixture.toml alleys.toml
  geolayout compare home_2027 home_2028 --csv compared.csv
  geolayout compare strips.toml alleys.toml --page compared.pdf --units imperial
"""


@click.command(epilog=EXAMPLES)
@click.argument("plans", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--season", type=int, help="Harvest year of plan files; the first if not said.")
@click.option("--csv", "table", type=click.Path(path_type=Path), help="Write a table too.")
@click.option("--page", type=click.Path(path_type=Path), help="Write a page to print too (.pdf).")
@click.option("--differences", is_flag=True, help="Show only what differs.")
@click.option("--accept", multiple=True, metavar="KEY", help="Accept an odd figure by its key.")
@plan_units_option
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def compare(  # noqa: PLR0913  (one parameter an option)
    *,
    plans: tuple[Path, ...],
    season: int | None,
    table: Path | None,
    page: Path | None,
    differences: bool,
    accept: tuple[str, ...],
    units: str | None,
    in_json: bool,
) -> None:
    """
    Compare PLANS on one field: plan files, or folders that `lay` wrote.

    Land, seed, trees, work, money, light, grade and warnings; what differs from the first plan is
    marked with a star.
    """
    from geolayout.apps.show import Part, progress, show_parts  # noqa: PLC0415  (start-up time)
    from geolayout.handover.words.compare import compared_pdf, compared_tables  # noqa: PLC0415
    from geolayout.jobs.compare import compare as compare_plans  # noqa: PLC0415
    from geolayout.jobs.compare import comparison_csv, comparison_dict  # noqa: PLC0415
    from geolayout.jobs.newfile import save_new  # noqa: PLC0415

    with progress() as say:
        say(f"Laying {len(plans)} plans out")
        found = compare_plans(plans, season, accepted=accept)
    shown = UNITS[units] if units is not None else found.units
    if table is not None:
        save_new(table, comparison_csv(found))
    if page is not None:
        save_new(page, compared_pdf(found, shown, only_differences=differences))
    if in_json:
        click.echo(json.dumps(comparison_dict(found), ensure_ascii=False))
    else:
        tables = compared_tables(found, shown, only_differences=differences)
        show_parts([Part(*one) for one in tables])
    for path in (table, page):
        if path is not None:
            click.echo(f"Written to {path}", err=True)
