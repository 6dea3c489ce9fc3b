"""What `lay` says of a layout, as parts to show: hazards first, then what goes where."""

from collections import defaultdict
from collections.abc import Sequence

from geolayout.appraisal.caution import HAZARD, NOT_ACKNOWLEDGED, NOTE, Caution
from geolayout.appraisal.conventions import row_way
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.hazards.rights import consent_words
from geolayout.appraisal.quantities.figures import BandArea, Figures
from geolayout.appraisal.quantities.rows import told_rows
from geolayout.apps.show import Part
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.words.counting import counted
from geolayout.handover.words.drive import short_drive
from geolayout.handover.words.money import short_money
from geolayout.handover.words.outlook import outlook_lines
from geolayout.handover.words.rounds import round_lines
from geolayout.handover.words.seed import short_order
from geolayout.handover.words.shelter import shelter_lines
from geolayout.handover.words.slope import slope_lines
from geolayout.jobs import Told
from geolayout.jobs.profiles import trial_words
from geolayout.layout.build import Layout
from geolayout.layout.guides.norths import grid_bearing
from geolayout.layout.headlands.edges import describe_runs
from geolayout.plan.plan import Plan
from geolayout.plan.units import METRIC, Units

__all__ = ["hazard_lines", "other_lines", "report"]


def report(plan: Plan, layout: Layout, told: Told, units: Units = METRIC) -> list[Part]:
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
    units : Units
        Units of the figures; sentences of cautions stay in metres.
    """
    figures = told.figures
    return [
        Part("HAZARDS: look before going out", tuple(hazard_lines(told.cautions)), style="red"),
        _field(layout, figures, units),
        Part("Headland", tuple(_edges(layout, units))),
        _ground(figures, units),
        _bands(figures.bands, units),
        Part("Order of the plots", tuple(trial_words(plan))),
        _rows(figures, units),
        Part("Seed to order", tuple(short_order(figures.seed_order, units))),
        _trees(figures, units),
        _passes(figures, units),
        _driving(layout, units),
        Part("Rounds on the headland", tuple(round_lines(figures.rounds, units))),
        Part("On the slope", tuple(slope_lines(figures.slopes, units))),
        Part("Shelter", tuple(shelter_lines(figures.shelter, units))),
        Part("Crops beside trees", tuple(outlook_lines(figures.outlook))),
        Part("Money", tuple(short_money(figures.money, units))),
        Part("Consents", consent_words(layout.plan)),
        Part("Warnings and notes", tuple(other_lines(told.cautions))),
        Part("What gave way", tuple(given.what for given in layout.gave_way)),
        Part("The boundary as read", tuple(found.sentence for found in layout.field.findings)),
    ]


def hazard_lines(cautions: Sequence[Caution], rest: str = "summary.txt holds them") -> list[str]:
    """
    Say the worst hazards, and how many more there are.

    Parameters
    ----------
    cautions : sequence of Caution
        Worst first; those that are no hazards are passed over.
    rest : str
        Where the others are told, as a clause.
    """
    hazards = [_told(caution) for caution in cautions if caution.severity == HAZARD]
    more = len(hazards) - MOST_HAZARDS
    return [*hazards[:MOST_HAZARDS], *([f"{more} more: {rest}."] if more > 0 else [])]


def other_lines(cautions: Sequence[Caution]) -> list[str]:
    """Say warnings and notes, in the order they come."""
    return [_told(caution) for caution in cautions if caution.severity != HAZARD]


def _told(caution: Caution) -> str:
    """Return a caution as sentences, with who looked at it, or that a hazard awaits it."""
    note = "Note: " if caution.severity == NOTE else ""
    seen = caution.acknowledged not in ("", NOT_ACKNOWLEDGED)
    looked = f" ({caution.acknowledged})" if seen or caution.open else ""
    return f"{note}{caution.sentence} {caution.remedy}{looked}"


def _field(layout: Layout, figures: Figures, units: Units) -> Part:
    """Say which field and season it is, how large, and which way the rows run."""
    season = f", harvest {layout.season.year}" if layout.season is not None else ""
    lines = [f"{units.ground.said(figures.field.record_m2)}, measured on the ellipsoid."]
    for block in layout.blocks:
        if block.tier > 1:
            continue  # its rows are those of the tier before it
        guide = block.guide
        where = f"{block.line_name}: rows" if block.line_name else "Rows"
        counted = f", bands counted from the {guide.from_}" if guide.from_ else ""
        lines.append(f"{where} along {row_way(layout, block)}{counted}.")
        if guide.anchor is not None and (by_grid := grid_bearing(guide, guide.anchor)) is not None:
            lines.append(f"By the north of the grid {guide.grid} that is {by_grid:.2f} degrees.")
    return Part(f"{layout.field.name}{season}", tuple(lines))


def _edges(layout: Layout, units: Units) -> list[str]:
    """Say which edges were taken as ends, or that the headland goes all round."""
    lines = []
    for block in layout.blocks:
        where = f"{block.name}: " if block.name else ""
        runs = describe_runs(block.ends, units.length)
        if not runs and not block.headland.is_empty:
            runs = ["all round"]
        lines += [f"{where}{run}." for run in runs]
    return lines


def _ground(figures: Figures, units: Units) -> Part:
    """Return areas by kind of ground."""
    rows = [
        (kind.kind, units.ground.figure(kind.area_m2), f"{kind.percent_of_field:.1f}")
        for kind in figures.kinds
        if kind.area_m2 > 0
    ]
    reasons = tuple(
        f"Left over: {units.patch.said(part.area_m2)}, {part.reason}." for part in figures.left_over
    )
    return Part("Ground", reasons, ("kind", units.ground.word, "% of field"), tuple(rows))


def _bands(bands: Sequence[BandArea], units: Units) -> Part:
    """Return bands of one name, stand and width in one row."""
    groups: dict[tuple[str, ...], list[BandArea]] = defaultdict(list)
    for band in bands:
        width = units.width.figure(band.width_m)
        groups[band.block, band.band, band.stand or "bare", width].append(band)
    wide, area = f"width {units.width.word}", units.ground.word
    head: tuple[str, ...] = ("block", "band", "grows", wide, "bands", "numbers", area)
    rows: list[tuple[str, ...]] = [
        (
            *key,
            str(len(members)),
            _numbers([band.number for band in members]),
            units.ground.figure(sum(band.area_m2 for band in members)),
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


def _rows(figures: Figures, units: Units) -> Part:
    """Return rows by crop."""
    far, long = units.distance, units.length
    head = ("crop", "rows", "pieces", far.word, f"shortest {long.word}", f"longest {long.word}")
    rows = [
        (
            row.crop or "all",
            str(row.rows),
            str(row.pieces),
            far.figure(row.length_m),
            long.figure(row.shortest_m),
            long.figure(row.longest_m),
        )
        for row in told_rows(figures.rows)
    ]
    return Part("Rows", (), head, tuple(rows))


def _trees(figures: Figures, units: Units) -> Part:
    """Say how many trees there are."""
    trees = figures.trees
    if not trees.trees:
        return Part("Trees")
    share, rate = 100 * trees.tree_band_share_of_field, units.count_rate
    in_rows = counted(trees.rows, "row", "rows")
    lines = (
        f"{counted(trees.trees, 'tree', 'trees')} in {in_rows}, counted where they stand.",
        f"{rate.figure(trees.trees_per_ha_of_field)} trees{rate.word} of the whole field.",
        f"Their bands take {share:.1f} % of it.",
    )
    return Part("Trees", lines)


def _passes(figures: Figures, units: Units) -> Part:
    """Return passes by operation."""
    head = (
        "operation",
        "machine",
        f"width {units.width.word}",
        "passes",
        f"{units.distance.word} at work",
    )
    rows = [
        (
            one.operation,
            one.machine,
            units.width.short(one.working_width_m),
            str(one.passes),
            units.distance.figure(one.length_m),
        )
        for one in figures.operations
    ]
    return Part("Passes", (), head, tuple(rows))


def _driving(layout: Layout, units: Units) -> Part:
    """Return hours and order by operation; the lines to drive stand in summary.txt."""
    head = ("operation", "hours", "% turning", f"{units.ground.word}/h", "order")
    rows = tuple(short_drive(driving_of(layout), units))
    return Part("Driving: hours in the field, and which pass next", (), head, rows)
