"""
The command line: parse, call, show.

Results go to standard output, messages and progress to standard error. Exit codes: 0; 2 for
anything a user can mend, in one plain line; 3 with --strict where a hazard is not acknowledged;
130 when interrupted. Libraries load inside the commands, so that help comes at once.
"""

import json as as_json
import signal
import sys
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from geolayout.apps.check import check
from geolayout.apps.compare import compare
from geolayout.apps.completion import completion
from geolayout.apps.light import light
from geolayout.apps.lines import line
from geolayout.apps.money import money
from geolayout.apps.options import (
    Measure,
    asked_files,
    layer_names,
    near_words,
    plan_printing,
    plan_units,
    plan_units_option,
    practice_names,
    printing_options,
)
from geolayout.apps.pegs import pegs, planted
from geolayout.apps.quick import alleys, rows, strips
from geolayout.apps.readback import readback
from geolayout.apps.refusals import INTERRUPTED, NOT_ACKNOWLEDGED, TERMINATED, refusing
from geolayout.apps.whichway import which_way
from geolayout.apps.worked import worked
from geolayout.errors import FileError, GeolayoutError, PlanError

if TYPE_CHECKING:
    from geolayout.jobs import Job
    from geolayout.jobs.profiles import NamedProfile
    from geolayout.layout.build import Layout

__all__ = ["cli", "main"]

_LAY = """\b
Examples:
  geolayout lay home.toml --out home_2027
  geolayout lay home.toml --out home_2028 --season 2028
  geolayout lay home.toml --out home_2027 --replace --keep-lines --strict
"""

_SECTION = """\b
Examples:
  geolayout section home.toml
  geolayout section home.toml --span 60 --picture section.svg
  geolayout section home.toml --widths
"""

_START = """\b
Examples:
  geolayout start home.gpkg --practice alleys --out home.toml
  geolayout start farm.gpkg --layer fields --id 7 --practice strips
"""


class _Door(click.Group):
    """Commands whose refusals are one line and whose interruption leaves nothing behind."""

    def invoke(self, ctx: click.Context) -> object:
        """Run the command that was asked for."""
        try:
            with refusing():
                return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("Stopped. A folder is written whole or not at all.", err=True)
            ctx.exit(INTERRUPTED)


def main() -> None:
    """Run the command line; a termination cleans up as an interruption does."""
    signal.signal(signal.SIGTERM, _terminated)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a name must not stop the work
    try:
        cli(prog_name="geolayout")
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)


def _terminated(_number: int, _frame: object) -> NoReturn:
    """Leave by an exception, so that half-written folders are taken away."""
    sys.exit(TERMINATED)


@click.group(cls=_Door, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="geolayout")
def cli() -> None:
    """Plan mixed crops and tree rows on one field, and hand the plan to the machines."""


@cli.command(epilog=_LAY)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--out", "folder", required=True, type=click.Path(path_type=Path), help="Folder to write."
)
@click.option("--replace", is_flag=True, help="Replace a folder that was written before.")
@click.option("--season", type=int, help="Harvest year to lay out; the first if not said.")
@click.option("--keep-lines", is_flag=True, help="Keep the lines of the folder written before.")
@click.option("--strict", is_flag=True, help="Exit with 3 where a hazard is not acknowledged.")
@click.option("--accept", multiple=True, metavar="KEY", help="Accept an odd figure by its key.")
@click.option(
    "--also",
    multiple=True,
    metavar="NAME",
    shell_complete=near_words(asked_files),
    help="Write one more folder of files: docs/files.md lists their names.",
)
@plan_units_option
@printing_options
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def lay(  # noqa: PLR0913  (one parameter an option)
    *,
    plan: Path,
    folder: Path,
    replace: bool,
    season: int | None,
    keep_lines: bool,
    strict: bool,
    accept: tuple[str, ...],
    also: tuple[str, ...],
    units: str | None,
    paper: str | None,
    language: str | None,
    in_json: bool,
) -> None:
    """Lay PLAN out on its field and write a folder with maps, files and figures."""
    from geolayout import jobs  # noqa: PLC0415
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415

    if also:
        from geolayout.handover.files.asked import check_asked  # noqa: PLC0415

        check_asked(also)
    with progress() as say:
        say("Reading the plan and the field")
        job = jobs.read(plan)
        shown = plan_units(units, job.plan)
        if replace or keep_lines:
            job = _beside_earlier(job, folder, keep=keep_lines)
        say("Laying out")
        layout = jobs.lay(job, season, accepted=accept)
        say("Measuring")
        told = jobs.tell(layout)
        say(f"Writing {folder}")
        from geolayout.jobs.writing import write  # noqa: PLC0415

        write(
            job,
            layout,
            folder,
            replace=replace,
            told=told,
            units=shown,
            asked=also,
            printing=plan_printing(paper, language, job.plan),
        )
    if in_json:
        summary = as_json.loads((folder / "summary.json").read_bytes())
        click.echo(as_json.dumps({"folder": str(folder), **summary}, ensure_ascii=False))
    else:
        from geolayout.apps.report import report  # noqa: PLC0415

        show_parts(report(job.plan, layout, told, shown))
        click.echo(f"Written to {folder}")
    _end_strictly(len(told.open_hazards) if strict else 0)


def _beside_earlier(job: "Job", folder: Path, *, keep: bool) -> "Job":
    """Say how far the lines move against those of a folder, or take those over."""
    from geolayout import jobs  # noqa: PLC0415
    from geolayout.jobs.lines import earlier_plan, keep_lines, moved_lines  # noqa: PLC0415

    earlier = earlier_plan(folder)
    if earlier is None:
        if keep:
            raise FileError(
                f"{folder} holds no plan laid out before.",
                "There are no lines to keep.",
                "Leave --keep-lines out.",
            )
        return job
    said = moved_lines(jobs.resolve(job), earlier)
    if keep:
        said = (f"The lines of {folder} are kept.", *(f"As written: {line}" for line in said))
        job = keep_lines(job, earlier)
    elif said:
        said = (*said, f"Pass --keep-lines to keep those of {folder}.")
    for sentence in said:
        click.echo(sentence, err=True)
    return job


def _end_strictly(unseen: int) -> None:
    """Exit with 3 where hazards are open."""
    if unseen:
        hazards = "1 hazard is" if unseen == 1 else f"{unseen} hazards are"
        click.echo(f"{hazards} not acknowledged; see [[acknowledged]] in the plan file.", err=True)
        click.get_current_context().exit(NOT_ACKNOWLEDGED)


@cli.command(epilog=_SECTION)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--span", type=Measure(), help="Width of land to show, without a field.")
@click.option("--season", type=int, help="Harvest year to show; the first if not said.")
@click.option("--block", metavar="NAME", help="Show one block only.")
@click.option(
    "--picture", type=click.Path(path_type=Path), help="Write a picture too (.svg or .png)."
)
@click.option("--year", type=float, help="Draw an alley with its trees in that year, to scale.")
@click.option("--widths", is_flag=True, help="Show which widths of bands fit all machines.")
@plan_units_option
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def section(  # noqa: PLR0913  (one parameter an option)
    *,
    plan: Path,
    span: float | None,
    season: int | None,
    block: str | None,
    picture: Path | None,
    year: float | None,
    widths: bool,
    units: str | None,
    in_json: bool,
) -> None:
    """
    Draw the cross-section of PLAN: on its field, or one repeat where there is none.

    Below it stands what reaches which strip, and with --widths which widths would fit.
    """
    from geolayout.jobs.profiles import chosen_profile  # noqa: PLC0415

    profiles = _profiles(plan, span, season)
    if block is not None:
        profiles = [chosen_profile(profiles, block)]
    if year is not None and picture is None:
        raise click.UsageError("--year belongs to --picture.")
    if picture is not None:
        _write_picture(profiles, picture, year)
    if in_json:
        sections = [_section_dict(named, widths=widths) for named in profiles]
        click.echo(as_json.dumps({"plan": str(plan), "sections": sections}, ensure_ascii=False))
    else:
        _show_sections(profiles, units, widths=widths)


def _profiles(path: Path, span: float | None, season: int | None) -> "list[NamedProfile]":
    """Return the sections on the field where it can be laid out, else of the plan alone."""
    from geolayout import jobs  # noqa: PLC0415
    from geolayout.jobs.profiles import laid_profiles, plan_profiles  # noqa: PLC0415

    plan = jobs.read_plan(path)
    shown = plan.season(season)
    if span is None and plan.field.boundary is not None:
        try:
            return laid_profiles(plan, _laid(path, season))
        except GeolayoutError as error:
            click.echo(f"Shown without its field. {error}", err=True)
    return plan_profiles(plan, shown, span)


def _laid(path: Path, season: int | None) -> "Layout":
    """Lay a plan out, saying so."""
    from geolayout import jobs  # noqa: PLC0415
    from geolayout.apps.show import progress  # noqa: PLC0415

    with progress() as say:
        say("Laying out")
        return jobs.lay(jobs.read(path), season)


def _section_dict(named: "NamedProfile", *, widths: bool) -> dict[str, object]:
    """Return one section, with widths that fit where they are asked for."""
    from geolayout.jobs.profiles import (  # noqa: PLC0415
        alley_dict,
        alleys_of,
        profile_dict,
        widths_dict,
        widths_of,
    )

    if not widths:
        return profile_dict(named)
    ranked = [widths_dict(one) for one in widths_of(named)]
    alleys = [alley_dict(one) for one in alleys_of(named)]
    return {**profile_dict(named), "widths": ranked, "alleys": alleys}


def _show_sections(profiles: "list[NamedProfile]", units: str | None, *, widths: bool) -> None:
    """Print drawings and words."""
    from geolayout.apps.fitparts import alley_parts, fit_parts, width_parts  # noqa: PLC0415
    from geolayout.apps.show import drawing, show_lines, show_parts, terminal_width  # noqa: PLC0415
    from geolayout.jobs.profiles import alleys_of, widths_of  # noqa: PLC0415
    from geolayout.plan.section.sketch import plain_ascii, section_drawing, section_words  # noqa: PLC0415

    for named in profiles:
        what = f"Block {named.block}, pattern" if named.block else "Pattern"
        click.echo(f"{what} {named.profile.pattern.name}\n")
        shown = plan_units(units, named.profile.plan)
        text = section_drawing(named.profile, columns=terminal_width(), units=shown)
        click.echo(drawing(text, plain_ascii))
        lines = [*section_words(named.profile, shown), *named.notes]
        click.echo()
        show_lines([drawing(line, plain_ascii) for line in lines])
        click.echo()
        parts = fit_parts(named.fit(), shown)
        if widths:
            parts += width_parts(widths_of(named), shown)
            parts += alley_parts(alleys_of(named), shown)
        show_parts(parts)


def _write_picture(profiles: "list[NamedProfile]", path: Path, year: float | None) -> None:
    """Write a picture of the one section there is, or of an alley of it in a year."""
    from geolayout.appraisal.alleys.scene import alley_scene  # noqa: PLC0415  (start-up time)
    from geolayout.handover.pictures.alley import alley_picture  # noqa: PLC0415
    from geolayout.handover.pictures.section import section_picture  # noqa: PLC0415

    if len(profiles) > 1:
        raise PlanError(
            f"The plan has {len(profiles)} blocks.",
            "A picture shows the section of one.",
            f"Add --block NAME, such as --block {profiles[0].block!r}.",
        )
    if year is None:
        section_picture(profiles[0].profile, path)
    else:
        alley_picture(alley_scene(profiles[0].profile, year), path)
    click.echo(f"Written to {path}", err=True)


@cli.command(epilog=_START)
@click.argument("field", type=click.Path(path_type=Path))
@click.option(
    "--practice",
    required=True,
    metavar="NAME",
    shell_complete=near_words(practice_names),
    help="What is to be grown, one of the above.",
)
@click.option("--out", type=click.Path(path_type=Path), help="Plan file to write.")
@click.option("--name", help="What people call the field.")
@click.option("--layer", shell_complete=layer_names, help="Layer of the file.")
@click.option("--id", "field_id", help="Field in the file, by its id or name.")
@click.option("--crs", help="Coordinate system of a file that states none, such as EPSG:25832.")
def start(  # noqa: PLR0913  (one parameter an option)
    *,
    field: Path,
    practice: str,
    out: Path | None,
    name: str | None,
    layer: str | None,
    field_id: str | None,
    crs: str | None,
) -> None:
    """
    Write a plan to begin with for FIELD, a boundary file.

    Practices: strips, wide-rows, mixture, variety-mixture, companion, relay, undersowing,
    perennial-understorey, dormant-pasture, alleys, windbreak, trial.
    """
    from geolayout import jobs  # noqa: PLC0415
    from geolayout.apps.show import progress  # noqa: PLC0415
    from geolayout.plan.start.starter import StarterField  # noqa: PLC0415

    wish = StarterField(name or "", "", 0.0, 0.0, layer, field_id, crs)
    with progress() as say:
        say("Looking at the field")
        text = jobs.start(practice, field, wish, out.parent if out is not None else Path())
    if out is None:
        click.echo(text, nl=False)
    else:
        jobs.save_new(out, text)
        click.echo(f"Written to {out}", err=True)


for _command in (alleys, check, completion, rows, strips, which_way):
    cli.add_command(_command)
cli.add_command(compare)
cli.add_command(light)
cli.add_command(line)
cli.add_command(money)
cli.add_command(pegs)
cli.add_command(planted)
cli.add_command(readback)
cli.add_command(worked)


if __name__ == "__main__":
    main()
