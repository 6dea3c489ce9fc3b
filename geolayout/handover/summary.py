"""
What a layout means, for people in a yard and for other programs.

`summary_dict` holds every figure with its unit in its key; its schema is a page of the docs.
`summary_text` says the same in sentences and small tables, hazards first.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from importlib.metadata import PackageNotFoundError, version
from itertools import pairwise
from textwrap import wrap
from typing import Any

import numpy as np

from geolayout.appraisal.caution import HAZARD, NOTE, Caution
from geolayout.appraisal.conventions import conventions, row_way
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.traffic import wheeled_ground
from geolayout.appraisal.fit.section import fit_dict, layout_fits
from geolayout.appraisal.hazards.rights import consent_words
from geolayout.appraisal.quantities.figures import BandArea, Figures
from geolayout.appraisal.quantities.rows import told_rows
from geolayout.appraisal.seed.amounts import HALF_EACH_WAY, NOT_AN_ORDER, SeedAmount, seed_amounts
from geolayout.handover.cautions import caution_dict, told_whole
from geolayout.handover.files.drivecolumns import drive_dicts, wheel_dict
from geolayout.handover.files.prescription import prescription_notes
from geolayout.handover.folder import WRITTEN_BY
from geolayout.handover.matchcode import match_code
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.walkpages import walk_dicts
from geolayout.handover.words.counting import counted
from geolayout.handover.words.drive import drive_lines, traffic_line
from geolayout.handover.words.money import money_lines
from geolayout.handover.words.outlook import outlook_lines
from geolayout.handover.words.reach import reach_lines
from geolayout.handover.words.rotation import rotation_dict, rotation_lines
from geolayout.handover.words.rounds import round_lines
from geolayout.handover.words.season import calendar_dict, calendar_lines
from geolayout.handover.words.seed import machine_lines, order_lines
from geolayout.handover.words.shelter import shelter_lines
from geolayout.handover.words.slope import slope_lines
from geolayout.handover.words.trees import order_lines as tree_order_lines
from geolayout.handover.words.trees import tree_lines
from geolayout.handover.words.zones import zone_lines
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.headlands.edges import describe_runs
from geolayout.plan.features import Consent
from geolayout.plan.units import METRIC, Units

__all__ = ["NOT_COMPUTED", "SCHEMA", "summary_dict", "summary_text"]

SCHEMA = 1

NOT_COMPUTED = (
    "The shade of hills.",
    "What rain does to the soil.",
)
"""What a reader may look for and this version does not compute."""

WIDEST = 98
"""Letters of the longest line of text."""


def summary_dict(
    name: str,
    layout: Layout,
    figures: Figures,
    cautions: Sequence[Caution],
    files: Sequence[str],
) -> dict[str, Any]:
    """
    Return the summary as plain mappings, fit for JSON.

    Parameters
    ----------
    name : str
        What the plan is called.
    layout : Layout
        The layout.
    figures : Figures
        What was measured.
    cautions : sequence of Caution
        Worst first.
    files : sequence of str
        What the folder holds.

    Returns
    -------
    summary : dict
        Only the key "written" holds a version and a date.
    """
    frame = layout.field.frame
    return {
        "written_by": WRITTEN_BY,
        "schema": SCHEMA,
        "written": {"version": _version(), "on": dt.date.today().isoformat()},
        "plan": name,
        "match_code": match_code(layout),
        "season": layout.season.year if layout.season is not None else None,
        "files": list(files),
        "field": _field(layout),
        "guides": [_guide(layout, i) for i in range(len(layout.blocks))],
        "hazards": [caution_dict(one, frame) for one in cautions if _is_hazard(one)],
        "cautions": [caution_dict(one, frame) for one in cautions if not _is_hazard(one)],
        "figures": figures.to_dict(),
        "seed": [asdict(amount) for amount in seed_amounts(layout)],
        "seed_note": NOT_AN_ORDER,
        "consents": [_consent(consent) for consent in layout.plan.consents],
        "gave_way": [asdict(given) for given in layout.gave_way],
        "findings": [asdict(finding) for finding in layout.field.findings],
        "driving": drive_dicts(layout),
        "wheeled": wheel_dict(layout),
        "calendar": calendar_dict(layout),
        "field_walks": walk_dicts(layout),
        "rotation": rotation_dict(layout),
        "strip_table": [fit_dict(fit) for fit in layout_fits(layout)],
        "prescription_notes": list(prescription_notes(layout)),
        "conventions": list(conventions(layout)),
        "not_computed": list(NOT_COMPUTED),
    }


def _consent(consent: Consent) -> dict[str, Any]:
    """Return a consent as the plan has it; days as text, what was not said left out."""
    said: dict[str, Any] = consent.model_dump(mode="json", exclude_unset=True, exclude_none=True)
    return said


def _version() -> str:
    """Return the version of the package, "unknown" where it is not installed."""
    try:
        return version(WRITTEN_BY)
    except PackageNotFoundError:
        return "unknown"


def _is_hazard(caution: Caution) -> bool:
    """Whether it can hurt somebody; a note that nothing was given may have a hazard's key too."""
    return caution.severity == HAZARD


def _field(layout: Layout) -> dict[str, Any]:
    """Return what the field is and the frame it is measured in."""
    field = layout.field
    return {
        "name": field.name,
        "area_geodesic_m2": field.area,
        "area_frame_m2": float(field.land.area),
        "frame": field.frame.definition,
        "frame_height_m": field.frame.height,
        "boundary_datum": "WGS 84, longitude and latitude",
    }


def _true_bearing(layout: Layout, block: Block) -> float:
    """Return the bearing of a block's rows at its anchor, as written or as it comes. [degrees]"""
    if block.guide.bearing is not None:
        return block.guide.bearing
    return layout.field.frame.true_bearing(block.anchor, block.bearing)


def _anchor(layout: Layout, block: Block) -> list[float]:
    """Return the longitude and latitude of a block's anchor, as written or as it comes."""
    if block.guide.anchor is not None:
        return list(block.guide.anchor)
    place: list[float] = layout.field.frame.lonlat(np.array([block.anchor]))[0].tolist()
    return place


def _guide(layout: Layout, index: int) -> dict[str, Any]:
    """Return which way a block's rows run, and what they hang on."""
    block = layout.blocks[index]
    guide = block.guide
    return {
        "block": block.name,
        "bearing_true_at_anchor_degrees": _true_bearing(layout, block),
        "bearing_in_frame_degrees": block.bearing,
        "anchor_lon_lat": _anchor(layout, block),
        "counted_from": guide.from_,
        "number_at_anchor": guide.number_at_anchor,
        "headland_edges": describe_runs(block.ends),
    }


def summary_text(
    name: str,
    layout: Layout,
    figures: Figures,
    cautions: Sequence[Caution],
    units: Units = METRIC,
) -> str:
    """
    Return the summary in words: hazards first, then what goes where and how much.

    Parameters
    ----------
    name : str
        What the plan is called.
    layout : Layout
        The layout.
    figures : Figures
        What was measured.
    cautions : sequence of Caution
        Worst first.
    units : Units
        Units of the figures; sentences of cautions stay in metres.

    Returns
    -------
    text : str
        Lines of at most 98 letters.
    """
    season = f", harvest {layout.season.year}" if layout.season is not None else ""
    parts = [
        (f"{layout.field.name}: plan {name}{season}, match code {match_code(layout)}", []),
        ("HAZARDS: look before going out", _hazard_lines(cautions)),
        ("The field", _field_lines(layout, figures, units)),
        ("What lies where", _ground_lines(figures, units)),
        ("Bands, counted from the near side", _band_lines(figures.bands, units)),
        ("Rows", _row_lines(figures, units)),
        ("Seed that must reach the ground", _seed_lines(seed_amounts(layout), units)),
        ("Rate zones", zone_lines(figures.rate_zones, units)),
        ("Seed to order", order_lines(figures.seed_order, units)),
        ("Seed on the machine", machine_lines(figures.sown_by, units)),
        ("Trees", tree_lines(figures.trees, units)),
        ("To order for the trees", tree_order_lines(figures.tree_order, units)),
        ("The season", calendar_lines(layout)),
        ("Year by year", rotation_lines(layout, units)),
        ("Money", money_lines(figures.money, units)),
        ("Passes", _pass_lines(figures, units)),
        ("Driving", drive_lines(driving_of(layout), layout, units)),
        ("Wheels", traffic_line(wheeled_ground(layout))),
        ("What reaches which strip", reach_lines(layout, units)),
        ("Rounds on the headland", round_lines(figures.rounds, units)),
        ("On the slope", slope_lines(figures.slopes, units)),
        ("Shelter", shelter_lines(figures.shelter, units)),
        ("Crops beside trees", outlook_lines(figures.outlook)),
        ("Warnings and notes", _caution_lines(cautions)),
        ("Consents", list(consent_words(layout.plan))),
        ("No prescription", list(prescription_notes(layout))),
        ("What gave way", [given.what for given in layout.gave_way]),
        ("The boundary as read", [finding.sentence for finding in layout.field.findings]),
        ("How figures are meant", list(conventions(layout))),
        ("Not computed by this version", list(NOT_COMPUTED)),
    ]
    return "\n".join(_part(title, lines) for title, lines in parts if lines or title == parts[0][0])


def _part(title: str, lines: Iterable[str]) -> str:
    """Return one part: its title and its lines, indented, long ones broken."""
    broken = [wrap(line, WIDEST, initial_indent="  ", subsequent_indent="    ") for line in lines]
    return "\n".join([title, *(line for part in broken for line in part), ""])


def _hazard_lines(cautions: Sequence[Caution]) -> list[str]:
    """Say the worst hazards, and how many more there are."""
    hazards = [caution for caution in cautions if _is_hazard(caution)]
    lines = [told_whole(caution) for caution in hazards[:MOST_HAZARDS]]
    if len(hazards) > MOST_HAZARDS:
        lines.append(f"{len(hazards) - MOST_HAZARDS} more in summary.json.")
    return lines


def _caution_lines(cautions: Sequence[Caution]) -> list[str]:
    """Say warnings, then notes."""
    return [
        ("Note: " if caution.severity == NOTE else "") + told_whole(caution)
        for caution in cautions
        if not _is_hazard(caution)
    ]


def _field_lines(layout: Layout, figures: Figures, units: Units) -> list[str]:
    """Say how large the field is and which way the rows run."""
    lines = [f"Area {units.ground.said(figures.field.record_m2)}, measured on the ellipsoid."]
    if figures.field.surface_m2 is not None:
        surface = units.ground.said(figures.field.surface_m2)
        lines.append(f"Along the sloping ground {surface}; all other areas are on the plan.")
    for i, block in enumerate(layout.blocks):
        guide = _guide(layout, i)
        where = f"{block.name}: rows" if block.name else "Rows"
        counted = (
            f", bands counted from the {guide['counted_from']}" if guide["counted_from"] else ""
        )
        lon, lat = guide["anchor_lon_lat"]
        lines.append(f"{where} run along {row_way(layout, block)}{counted}.")
        lines.append(
            f"The lines hang on the point at latitude {lat:.9f}, longitude {lon:.9f} (WGS 84)."
        )
        edges = describe_runs(block.ends, units.length)
        lines += [f"Headland: {edge}." for edge in edges]
    return lines


def _ground_lines(figures: Figures, units: Units) -> list[str]:
    """Return areas by kind of ground and by crop."""
    area = units.ground
    lines = [
        f"{kind.kind:<12} {area.figure(kind.area_m2):>9} {area.word} "
        f"{kind.percent_of_field:>6.1f} %"
        for kind in figures.kinds
        if kind.area_m2 > 0
    ]
    lines += [
        f"Left over: {units.patch.said(part.area_m2)}, {part.reason}." for part in figures.left_over
    ]
    lines += [f"{crop.crop}: {area.said(crop.area_m2)} in all." for crop in figures.crops]
    return lines


def _band_lines(bands: Sequence[BandArea], units: Units) -> list[str]:
    """Return bands of one name, width and stand in one line, with their numbers."""
    groups: dict[tuple[str, str, str, str], list[BandArea]] = defaultdict(list)
    for band in bands:
        width = units.width.said(band.width_m)
        key = (band.block, band.band, width, band.stand or "bare")
        groups[key].append(band)
    lines = []
    for (block, name, width, stand), members in groups.items():
        where = f"{block}, " if block else ""
        area = units.ground.said(sum(band.area_m2 for band in members))
        numbers = _numbers([band.number for band in members])
        lines.append(f"{where}{name} ({stand}), {width}: number {numbers}; {area}.")
    return lines


def _numbers(numbers: Sequence[int]) -> str:
    """
    Return whole numbers as words, evenly stepped ones with their step.

    Examples
    --------
    >>> _numbers([1, 3, 5, 7])
    '1, 3 to 7 by 2'
    >>> _numbers([4])
    '4'
    """
    if len(numbers) < 4:
        return ", ".join(str(number) for number in numbers)
    step = numbers[1] - numbers[0]
    if all(b - a == step for a, b in pairwise(numbers)):
        return f"{numbers[0]}, {numbers[1]} to {numbers[-1]} by {step}"
    return ", ".join(str(number) for number in numbers)


def _row_lines(figures: Figures, units: Units) -> list[str]:
    """Say how many rows there are of each crop and how long they are."""
    lines = [
        f"{row.crop or 'all'}: {counted(row.rows, 'row', 'rows')} in "
        f"{counted(row.pieces, 'piece', 'pieces')}, "
        f"{units.distance.said(row.length_m)}; shortest {units.length.said(row.shortest_m)}, "
        f"longest {units.length.said(row.longest_m)}, mean {units.length.said(row.mean_m)}."
        for row in told_rows(figures.rows)
    ]
    if figures.short_pieces:
        lines.append(f"Pieces under 1 m, listed and not counted: {len(figures.short_pieces)}.")
    lines += [
        f"{sowing.sowing} in {sowing.band}: {units.in_row.said(sowing.in_row_spacing_m)} in the "
        f"row, {sowing.number_in_rows:,.0f} {sowing.counted}."
        for sowing in figures.sowings
        if sowing.in_row_spacing_m is not None and sowing.number_in_rows is not None
    ]
    return list(dict.fromkeys(lines))


def _seed_lines(amounts: Sequence[SeedAmount], units: Units) -> list[str]:
    """Say how much of each crop must reach the ground."""
    lines = []
    for one in amounts:
        where = f"{one.sowing} in {one.stand}, {one.place}, {units.ground.said(one.ground_m2)}"
        if one.amount is None:
            lines.append(f"{where}: no rate given.")
            continue
        amount = _amount(one.amount, units) if one.unit == "kg" else f"{one.amount:,.0f} {one.unit}"
        lines.append(f"{where}: {amount}.")
        lines += [f"  {HALF_EACH_WAY}"] if HALF_EACH_WAY in one.note else []
        lines += [
            f"  {variety.variety}: {_amount(variety.amount, units)}."
            for variety in one.varieties
            if variety.amount is not None
        ]
    return [*lines, NOT_AN_ORDER] if lines else []


def _amount(mass: float, units: Units) -> str:
    """Return an amount of seed to the whole kilogram or pound."""
    return f"{units.mass.of(mass):,.0f} {units.mass.word}"


def _short(width: float, units: Units) -> str:
    """Return a width as the maker or the plan gives it."""
    return f"{units.width.short(width)} {units.width.word}"


def _pass_lines(figures: Figures, units: Units) -> list[str]:
    """Say how often each machine passes and how far."""
    lines = []
    for one in figures.operations:
        twice = (
            f"; {units.patch.said(one.worked_twice_m2)} worked twice"
            if one.worked_twice_m2 > 0.5
            else ""
        )
        beyond = (
            f"; {units.length.said(one.beyond_edge_m)} beyond the edge"
            if one.beyond_edge_m > 0.05
            else ""
        )
        lines.append(
            f"{one.operation} ({one.machine}, {_short(one.working_width_m, units)}): "
            f"{counted(one.passes, 'pass', 'passes')}, {units.distance.said(one.length_m)} at work"
            f"{twice}{beyond}."
        )
    return lines
