"""The command `worked`: a returned file of work laid over its plan."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import Measure

if TYPE_CHECKING:
    from geolayout.appraisal.worked.as_sown import AsSown, Patch
    from geolayout.appraisal.worked.rates import RatesAsSown
    from geolayout.apps.show import Part
    from geolayout.jobs.sown import WorkCompared

__all__ = ["worked"]

_WORKED = """
\b
Examples:
  geolayout worked home.toml --record drill.csv --operation "drill beans"
  geolayout worked home_2027 --record planter.zip --rate-column sown --unit seeds/ha
"""

LEAST = 0.05
"""A lag shorter than this is not worth a line. [m]"""

MOST = 20
"""Patches shown; with --json there are all."""


@click.command(epilog=_WORKED)
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--record", required=True, type=click.Path(path_type=Path), help="File of work that came back."
)
@click.option("--operation", help="Which operation it is; needed where the plan has several.")
@click.option("--season", type=int, help="Harvest year; the first if not said.")
@click.option("--layer", help="Layer of the file, where it has several.")
@click.option("--crs", help="Coordinate system of a file that states none, such as EPSG:25832.")
@click.option("--rate-column", help="Column of rates, where it has a name of its own.")
@click.option("--unit", help="Unit of the rates, such as kg/ha; the plan's if not said.")
@click.option("--product", help="What was put out, where the file does not say.")
@click.option("--width", type=Measure(), help="Width worked, where the file does not say.")
@click.option(
    "--ahead",
    type=float,
    default=0.0,
    metavar="M",
    help="How far places lie ahead of the work, in metres; behind it if negative.",
)
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def worked(  # noqa: PLR0913  (one parameter an option)
    *,
    plan: Path,
    record: Path,
    operation: str | None,
    season: int | None,
    layer: str | None,
    crs: str | None,
    rate_column: str | None,
    unit: str | None,
    product: str | None,
    width: float | None,
    ahead: float,
    in_json: bool,
) -> None:
    """
    Lay a file of work done over PLAN, a plan file or a folder that lay has written.

    Tells what was missed, worked twice or in the wrong strip, how far each pass lay off its line,
    and the rates strip by strip.
    """
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415
    from geolayout.jobs.lines import plan_in  # noqa: PLC0415
    from geolayout.jobs.sown import WorkRecord, compared_dict, work_of  # noqa: PLC0415

    told = WorkRecord(record, layer, crs, rate_column, unit, product, width, ahead)
    with progress() as say:
        say("Laying out")
        job = jobs.read(plan_in(plan))
        say("Laying the record over the plan")
        found = work_of(job, told, operation=operation, season=season)
    if in_json:
        click.echo(json.dumps(compared_dict(found), ensure_ascii=False))
        return
    show_parts(_parts(found))


def _parts(found: "WorkCompared") -> "list[Part]":
    """Return everything that is shown."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    sown = found.sown
    parts = [Part(f"Work done: {sown.operation}", tuple(_lines(sown)))]
    parts += _patch_parts(found, "Missed", sown.missed)
    parts += _patch_parts(found, "Worked twice", sown.doubled)
    parts.append(_pass_part(sown))
    if found.rates is not None:
        parts.append(_rate_part(found.rates))
    parts.append(Part("Of the file", found.notes))
    return parts


def _lines(sown: "AsSown") -> list[str]:
    """Return the short of it."""
    lines = [
        f"{_ha(sown.worked_m2)} of {_ha(sown.planned_m2)} worked.",
        f"Missed {_ha(sown.missed_m2)}, of it {_ha(sown.missed_at_ends_m2)} at the ends of rows.",
        f"Worked twice {_ha(sown.doubled_m2)}, of it {_ha(sown.doubled_at_ends_m2)} at the ends.",
    ]
    lines += [
        f"Wrong strip: {one.band} {one.number}{_in(one.block)}"
        f"{f', {one.stand},' if one.stand else ''} worked over {one.length_m:.0f} m, "
        f"{_ha(one.area_m2)}."
        for one in sown.wrong
    ]
    if sown.mean_across_m is not None and sown.worst_across_m is not None:
        lines.append(
            f"Off line {_cm(sown.mean_across_m)} cm on average, "
            f"{_cm(sown.worst_across_m)} cm at worst; to the right is +."
        )
    if sown.drift_m_per_hour is not None:
        lines.append(f"Drift {_cm(sown.drift_m_per_hour)} cm an hour.")
    if sown.lag is not None and abs(sown.lag.ahead_m) >= LEAST:
        where = "ahead of" if sown.lag.ahead_m >= 0.0 else "behind"
        lines.append(
            f"Passes lie {abs(sown.lag.ahead_m):.2f} m {where} the plan in the direction of "
            f"driving, told by {sown.lag.passes}. --ahead {sown.lag.ahead_m:.2f} takes it out."
        )
    lines.append(f"Turning, or beside all lines: {sown.turning_m:.0f} m, judged no further.")
    return lines


def _patch_parts(found: "WorkCompared", title: str, patches: "tuple[Patch, ...]") -> "list[Part]":
    """Return the table of patches wide enough to see."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    if not patches:
        return []
    head = ("patch", "m2", "longitude", "latitude", "where")
    rows = []
    for number, patch in enumerate(patches[:MOST], start=1):
        lon, lat = found.lonlat(patch)
        where = "end of rows" if patch.at_end else "along rows"
        rows.append(
            (
                f"{number}{_in(patch.block)}",
                f"{patch.ground.area:.0f}",
                f"{lon:.6f}",
                f"{lat:.6f}",
                where,
            )
        )
    left = len(patches) - len(rows)
    return [Part(title, (f"{left} more in --json.",) if left else (), head, tuple(rows))]


def _pass_part(sown: "AsSown") -> "Part":
    """Return the table of passes."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    head = ("pass", "worked m", "mean cm", "worst cm", "drift cm", "missed m2", "twice m2")
    rows = [
        (
            f"{one.number}{_in(one.block)}",
            f"{one.worked_m:.0f}",
            _cm(one.mean_across_m),
            _cm(one.worst_across_m),
            _cm(one.drift_m),
            f"{one.missed_m2:.0f}",
            f"{one.doubled_m2:.0f}",
        )
        for one in sown.passes
    ]
    return Part("Pass by pass", (), head, tuple(rows))


def _rate_part(rates: "RatesAsSown") -> "Part":
    """Return the table of rates."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    lines = [
        f"{amount:,.1f} {_things(rates, product)} of {product} went where none was to go."
        for product, amount in rates.beside.items()
        if amount >= 0.1
    ]
    if rates.unrated_m2 >= 1.0:
        lines.append(f"{_ha(rates.unrated_m2)} were worked without a rate in the file.")
    head = ("product", "strip", "planned", "sown", "least", "most", "unit", "%")
    rows = [
        (
            one.product,
            f"{one.band} {one.number or ''}".strip() + _in(one.block),
            f"{one.planned_rate:g}",
            _rate(one.mean_rate),
            _rate(one.least_rate),
            _rate(one.most_rate),
            one.unit,
            f"{100.0 * one.put_out / one.planned:.0f}" if one.planned else "",
        )
        for one in rates.strips
    ]
    return Part("Rates", tuple(lines), head, tuple(rows))


def _things(rates: "RatesAsSown", product: str) -> str:
    """Return what a product is counted in."""
    unit = next((one.unit for one in rates.strips if one.product == product), "")
    return unit.split("/")[0]


def _rate(value: float | None) -> str:
    """Return a rate."""
    return "" if value is None else f"{value:.4g}" if value < 1000.0 else f"{value:.0f}"


def _cm(metres: float | None) -> str:
    """Return a length in centimetres with its sign."""
    return "" if metres is None else f"{100.0 * metres + 0.0:+.1f}".replace("-0.0", "+0.0")


def _ha(area: float) -> str:
    """Return an area in hectares."""
    return f"{area / 1e4:.4f} ha"


def _in(block: str) -> str:
    """Return the block in words, where it has a name."""
    return f", block {block}" if block else ""
