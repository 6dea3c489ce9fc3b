"""The commands `pegs` and `planted`: to the field with a tape, and back with what was planted."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import Measure

if TYPE_CHECKING:
    from geolayout.appraisal.trees.as_planted import AsPlanted, RowLosses
    from geolayout.apps.show import Part

__all__ = ["pegs", "planted"]

_PEGS = """
\b
Examples:
  geolayout pegs crooked_hedge.toml
  geolayout pegs crooked_hedge.toml --out pegs_2027 --grid EPSG:27700 --bundle 25
"""

_PLANTED = """
\b
Examples:
  geolayout planted crooked_hedge.toml --points survey.gpx
  geolayout planted crooked_hedge.toml --failures losses_2028.csv
"""


@click.command(epilog=_PEGS)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="New folder for sheet and lists.")
@click.option("--season", type=int, help="Harvest year; the first if not said.")
@click.option("--grid", metavar="CODE", help="Map grid, such as EPSG:27700; UTM if not said.")
@click.option("--bundle", type=int, metavar="N", help="Trees that the nursery ties together.")
def pegs(
    *, plan: Path, out: Path | None, season: int | None, grid: str | None, bundle: int | None
) -> None:
    """
    Print the planting sheet of PLAN: pegging lines, distances, checks, bundles.

    With --out also every peg as a table, with coordinates.
    """
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import progress  # noqa: PLC0415
    from geolayout.jobs.pegs import peg_lists, write_pegs  # noqa: PLC0415

    with progress() as say:
        say("Laying out")
        found = peg_lists(jobs.read(plan), season=season, grid=grid, bundle=bundle)
    if out is None:
        click.echo(found.sheet, nl=False)
        return
    for path in write_pegs(found, out):
        click.echo(f"Written to {path}", err=True)


@click.command(epilog=_PLANTED)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--points", type=click.Path(path_type=Path), help="Surveyed points, one a tree.")
@click.option("--failures", type=click.Path(path_type=Path), help="Table of row and position.")
@click.option("--season", type=int, help="Harvest year; the first if not said.")
@click.option(
    "--reach",
    type=Measure(),
    help="How far a point may lie from its tree; half the in-row spacing if not said.",
)
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def planted(
    *,
    plan: Path,
    points: Path | None,
    failures: Path | None,
    season: int | None,
    reach: float | None,
    in_json: bool,
) -> None:
    """Hold what was planted, or what failed, against the trees of PLAN."""
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415
    from geolayout.jobs.planted import failures_of, planted_of  # noqa: PLC0415

    if points is None and failures is None:
        raise click.UsageError("Give --points or --failures, or both.")
    with progress() as say:
        say("Laying out")
        job = jobs.read(plan)
        found = None if points is None else planted_of(job, points, season=season, reach=reach)
        lost = () if failures is None else failures_of(job, failures, season=season)
    if in_json:
        click.echo(json.dumps(_told(found, lost), ensure_ascii=False))
        return
    show_parts([*([] if found is None else [_planted_part(found)]), *_lost_parts(lost)])


def _told(found: "AsPlanted | None", lost: "tuple[RowLosses, ...]") -> dict[str, object]:
    """Return what was found, fit for JSON."""
    told: dict[str, object] = {"losses": [asdict(row) for row in lost]}
    if found is not None:
        told["rows"] = [asdict(row) for row in found.rows]
        told |= {"extra_points": len(found.extra), "reach_m": found.reach}
    return told


def _planted_part(found: "AsPlanted") -> "Part":
    """Return the table of trees found and missing."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    missing = sum(len(row.missing) for row in found.rows)
    here = f"{sum(row.found for row in found.rows)} trees found within {found.reach:.2f} m"
    lines = [f"{here}, {missing} missing, {len(found.extra)} points too many."]
    lines += [
        f"Row {row.row}{_in(row.block)}: missing {', '.join(map(str, row.missing))}."
        for row in found.rows
        if row.missing
    ]
    rows = [
        (
            f"{row.row}{_in(row.block)}",
            str(row.planned),
            str(row.found),
            "" if row.mean_across_m is None else f"{row.mean_across_m:+.2f}",
            "" if row.greatest_off_m is None else f"{row.greatest_off_m:.2f}",
        )
        for row in found.rows
    ]
    head = ("row", "planned", "found", "mean to the right m", "greatest off m")
    return Part("As planted", tuple(lines), head, tuple(rows))


def _lost_parts(lost: "tuple[RowLosses, ...]") -> "list[Part]":
    """Return the table of failures."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    if not lost:
        return []
    failed, planted_trees = sum(row.failed for row in lost), sum(row.planted for row in lost)
    share = 100.0 * failed / planted_trees
    to_replace = sum(row.open for row in lost)
    told = f"{failed} of {planted_trees} trees failed, {share:.1f} %; {to_replace} to replace."
    rows = [
        (
            f"{row.row}{_in(row.block)}",
            str(row.planted),
            str(row.failed),
            f"{row.failed_percent:.1f}",
            str(row.replaced),
            str(row.open),
        )
        for row in lost
    ]
    head = ("row", "planted", "failed", "%", "replaced", "to replace")
    return [Part("Failures", (told,), head, tuple(rows))]


def _in(block: str) -> str:
    """Return the block in words, where it has a name."""
    return f", block {block}" if block else ""
