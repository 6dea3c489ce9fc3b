"""What `lay` says of a layout, as parts to show: hazards first, then what goes where."""

from collections import defaultdict
from collections.abc import Sequence

from geolayout.appraisal.caution import HAZARD, NOT_ACKNOWLEDGED, NOTE, Caution
from geolayout.appraisal.quantities import BandArea, Figures
from geolayout.apps.show import Part
from geolayout.jobs import Told
from geolayout.jobs.profiles import trial_words
from geolayout.layout.build import Layout
from geolayout.layout.edges import describe_runs
from geolayout.plan.plan import Plan

__all__ = ["report"]

MOST_HAZARDS = 5
"""Hazards told at once, worst first: more are not read. [-]"""


def report(plan: Plan, layout: Layout, told: Told) -> list[Part]:
    """
    Return a layout as parts to show.

    Parameters
    ----------
    plan : Plan
        The plan as written, for the order of its trials.
    layout : Layout
        The layout.
    told : Told
        What it means.
    """
    figures = told.figures
    others = [caution for caution in told.cautions if caution.severity != HAZARD]
    return [
        Part("HAZARDS: look before going out", tuple(_hazards(told.cautions)), style="red"),
        _field(layout, figures),
        Part("Headland", tuple(_edges(layout))),
        _ground(figures),
        _bands(figures.bands),
        Part("Order of the plots", tuple(trial_words(plan))),
        _rows(figures),
        _trees(figures),
        _passes(figures),
        Part("Warnings and notes", tuple(map(_told, others))),
        Part("What gave way", tuple(given.what for given in layout.gave_way)),
        Part("The boundary as read", tuple(found.sentence for found in layout.field.findings)),
    ]


def _hazards(cautions: Sequence[Caution]) -> list[str]:
    """Say the worst hazards, and how many more there are."""
    hazards = [_told(caution) for caution in cautions if caution.severity == HAZARD]
    more = len(hazards) - MOST_HAZARDS
    return [*hazards[:MOST_HAZARDS], *([f"{more} more are in summary.txt."] if more > 0 else [])]


def _told(caution: Caution) -> str:
    """Return a caution as sentences, with who looked at it, or that a hazard awaits it."""
    note = "Note: " if caution.severity == NOTE else ""
    seen = caution.acknowledged not in ("", NOT_ACKNOWLEDGED)
    looked = f" ({caution.acknowledged})" if seen or caution.open else ""
    return f"{note}{caution.sentence} {caution.remedy}{looked}"


def _field(layout: Layout, figures: Figures) -> Part:
    """Say which field and season it is, how large, and which way the rows run."""
    season = f", harvest {layout.season.year}" if layout.season is not None else ""
    lines = [f"{figures.field.record_m2 / 1e4:.3f} ha, measured on the ellipsoid."]
    shapes = layout.plan.blocks or (None,)
    for block, shape in zip(layout.blocks, shapes, strict=True):
        guide = layout.plan.guide_of(shape)
        where = f"{block.name}: rows" if block.name else "Rows"
        counted = f", bands counted from the {guide.from_}" if guide.from_ else ""
        lines.append(f"{where} along {guide.bearing:.2f} degrees from true north{counted}.")
    return Part(f"{layout.field.name}{season}", tuple(lines))


def _edges(layout: Layout) -> list[str]:
    """Say which edges were taken as ends, or that the headland goes all round."""
    lines = []
    for block in layout.blocks:
        where = f"{block.name}: " if block.name else ""
        runs = describe_runs(block.ends)
        if not runs and not block.headland.is_empty:
            runs = ["all round"]
        lines += [f"{where}{run}." for run in runs]
    return lines


def _ground(figures: Figures) -> Part:
    """Return hectares by kind of ground."""
    rows = [
        (kind.kind, f"{kind.area_m2 / 1e4:.3f}", f"{kind.percent_of_field:.1f}")
        for kind in figures.kinds
        if kind.area_m2 > 0
    ]
    reasons = tuple(
        f"Left over: {part.area_m2:.0f} m2, {part.reason}." for part in figures.left_over
    )
    return Part("Ground", reasons, ("kind", "ha", "% of field"), tuple(rows))


def _bands(bands: Sequence[BandArea]) -> Part:
    """Return bands of one name, stand and width in one row."""
    groups: dict[tuple[str, ...], list[BandArea]] = defaultdict(list)
    for band in bands:
        groups[band.block, band.band, band.stand or "bare", f"{band.width_m:.2f}"].append(band)
    head: tuple[str, ...] = ("block", "band", "grows", "width m", "bands", "numbers", "ha")
    rows: list[tuple[str, ...]] = [
        (
            *key,
            str(len(members)),
            _numbers([band.number for band in members]),
            f"{sum(band.area_m2 for band in members) / 1e4:.3f}",
        )
        for key, members in groups.items()
    ]
    if not any(row[0] for row in rows):
        head, rows = head[1:], [row[1:] for row in rows]
    return Part("Bands, counted from the near side", (), head, tuple(rows))


def _numbers(numbers: Sequence[int]) -> str:
    """
    Return the numbers of bands in short.

    Examples
    --------
    >>> _numbers([1, 3, 5]), _numbers([4, 5])
    ('1, 3 ... 5', '4, 5')
    """
    if len(numbers) < 3:
        return ", ".join(map(str, numbers))
    return f"{numbers[0]}, {numbers[1]} ... {numbers[-1]}"


def _rows(figures: Figures) -> Part:
    """Return rows by crop."""
    head = ("crop", "rows", "pieces", "km", "shortest m", "longest m")
    rows = [
        (
            row.crop or "all",
            str(row.rows),
            str(row.pieces),
            f"{row.length_m / 1000:.2f}",
            f"{row.shortest_m:.1f}",
            f"{row.longest_m:.1f}",
        )
        for row in figures.rows
        if row.rows
    ]
    return Part("Rows", (), head, tuple(rows))


def _trees(figures: Figures) -> Part:
    """Say how many trees there are."""
    trees = figures.trees
    if not trees.trees:
        return Part("Trees")
    share = 100 * trees.tree_band_share_of_field
    lines = (
        f"{trees.trees} trees in {trees.rows} rows, counted where they stand.",
        f"{trees.trees_per_ha_of_field:.1f} a hectare of the whole field.",
        f"Their bands take {share:.1f} % of it.",
    )
    return Part("Trees", lines)


def _passes(figures: Figures) -> Part:
    """Return passes by operation."""
    head = ("operation", "machine", "width m", "passes", "km at work")
    rows = [
        (
            one.operation,
            one.machine,
            f"{one.working_width_m:g}",
            str(one.passes),
            f"{one.length_m / 1000:.2f}",
        )
        for one in figures.operations
    ]
    return Part("Passes", (), head, tuple(rows))
