"""How a plan's machines fit its section: the operation-by-strip table with its tramlines."""

from dataclasses import dataclass
from typing import Any

from geolayout.appraisal.fit.table import StripLine, strip_table, unsaid_works
from geolayout.appraisal.fit.tramlines import Tramlines, tramlines_of
from geolayout.appraisal.works import Work
from geolayout.layout.build import Layout
from geolayout.plan.grows import season_shift
from geolayout.plan.section.profile import Profile, profile_at

__all__ = ["BlockProfile", "SectionFit", "block_profiles", "fit_dict", "layout_fits", "section_fit"]


@dataclass(frozen=True, slots=True, eq=False)
class BlockProfile:
    """
    The section of one block of a layout.

    Attributes
    ----------
    block : str
        Its name, "" where the field is one.
    profile : Profile
        The section and what is on it.
    shift : float
        How far the season moved it. [m]
    """

    block: str
    profile: Profile
    shift: float


@dataclass(frozen=True, slots=True, eq=False)
class SectionFit:
    """
    What reaches which strip of one section.

    Attributes
    ----------
    block : str
        Its block, "" where the field is one.
    table : tuple of StripLine
        Every operation on every strip.
    unsaid : tuple of (Work, tuple of str)
        Works that nothing is said of.
    tramlines : tuple of Tramlines
        Of each operation that goes across strips of several stands.
    """

    block: str
    table: tuple[StripLine, ...]
    unsaid: tuple[tuple[Work, tuple[str, ...]], ...]
    tramlines: tuple[Tramlines, ...]


def section_fit(profile: Profile, shift: float = 0.0, block: str = "") -> SectionFit:
    """
    Hold the machines of a plan against one section, without any field.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    shift : float, default 0
        How far the season moved it from the anchor. [m]
    block : str, default ""
        Name of its block.
    """
    table = strip_table(profile, shift)
    unsaid = unsaid_works(profile, table)
    return SectionFit(block, tuple(table), tuple(unsaid), tuple(tramlines_of(profile, shift)))


def block_profiles(layout: Layout) -> list[BlockProfile]:
    """Return the section of every block of a layout that has one."""
    found = []
    for block in layout.blocks:
        if not block.section.cuts or block.crossed_by:  # a headland may take all of a block
            continue
        shift = season_shift(block.pattern, layout.season)
        profile = profile_at(layout.plan, block.pattern, block.section, block.stands, shift)
        found.append(BlockProfile(block.name, profile, shift))
    return found


def layout_fits(layout: Layout) -> list[SectionFit]:
    """Return what reaches which strip, for every block of a layout."""
    return [section_fit(one.profile, one.shift, one.block) for one in block_profiles(layout)]


def fit_dict(fit: SectionFit) -> dict[str, Any]:
    """Return a fit as plain mappings, lists and numbers, fit for JSON; lengths in metres."""
    return {
        "block": fit.block,
        "strips": [_line_dict(line) for line in fit.table],
        "tramlines": [_tramlines_dict(one) for one in fit.tramlines],
        "not_said": [{"work": work.value, "of": list(names)} for work, names in fit.unsaid],
    }


def _line_dict(line: StripLine) -> dict[str, Any]:
    """Return one line of the table."""
    return {
        "operation": line.operation.name,
        "said": line.said,
        "work": line.work.value,
        "machine": line.machine.name,
        "working_width_m": line.machine.working_width,
        "stand": line.stand,
        "bands": list(line.bands),
        "widths_m": list(line.widths),
        "strips": line.strips,
        "reach": line.reach.value,
        "with": list(line.others),
        "passes": list(line.passes),
        "ends_where_it_began": line.back,
        "causes": [
            {"kind": one.kind, "crop": one.crop, "figures": list(one.figures)}
            for one in line.causes
        ],
        "rows_under_wheels": [
            {"crop": hit.crop, "under": hit.under, "rows": hit.rows} for hit in line.rows_under
        ],
        "wheels_in": list(line.wheels_in),
    }


def _tramlines_dict(one: Tramlines) -> dict[str, Any]:
    """Return the tramlines of one operation."""
    best = one.best
    return {
        "operation": one.operation.name,
        "at_m": [round(place, 6) for place in one.places.tolist()],
        "from_border_m": [round(room, 6) for room in one.room.tolist()],
        "on_border": int(one.on_border.sum()),
        "strips_repeat": one.repeats,
        "best_move_m": best.move if best is not None else None,
        "best_room_m": best.room if best is not None else None,
    }
