"""The drawn cross-sections of a plan: on its field, or of one repeat where there is no field."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from geolayout.appraisal.alleys.fit import AlleyChoice, AlleyFit, alley_fits
from geolayout.appraisal.fit.band_widths import BandWidths, band_widths
from geolayout.appraisal.fit.section import (
    SectionFit,
    block_profiles,
    fit_dict,
    section_fit,
)
from geolayout.appraisal.fit.widths import WidthChoice
from geolayout.errors import PlanError
from geolayout.layout.build import Layout
from geolayout.plan.ground import Block
from geolayout.plan.grows import season_shift
from geolayout.plan.near import near_names
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.profile import Profile, profile_of, shown_span
from geolayout.trial.design import expand_trials, order_words

__all__ = [
    "NamedProfile",
    "alley_dict",
    "alleys_of",
    "chosen_profile",
    "laid_profiles",
    "plan_profiles",
    "profile_dict",
    "trial_words",
    "widths_dict",
    "widths_of",
]


@dataclass(frozen=True, slots=True, eq=False)
class NamedProfile:
    """
    One section and where it belongs.

    Attributes
    ----------
    block : str
        Name of its block, "" where the plan has none.
    profile : Profile
        The section.
    notes : tuple of str
        What belongs to it and is no band, such as the order of a trial's plots.
    shift : float
        How far its season moved it. [m]
    """

    block: str
    profile: Profile
    notes: tuple[str, ...]
    shift: float = 0.0

    def fit(self) -> SectionFit:
        """Return what reaches which strip of it."""
        return section_fit(self.profile, self.shift, self.block)


def laid_profiles(plan: Plan, layout: Layout) -> list[NamedProfile]:
    """
    Return the section of every block of a layout.

    Parameters
    ----------
    plan : Plan
        The plan as written, for the order of its trials.
    layout : Layout
        A layout of it.
    """
    return [
        NamedProfile(one.block, one.profile, _order(plan, one.profile.pattern.name), one.shift)
        for one in block_profiles(layout)
    ]


def plan_profiles(plan: Plan, season: Season | None, width: float | None) -> list[NamedProfile]:
    """
    Return a section of every block without a field: one repeat, or a width of land.

    Parameters
    ----------
    plan : Plan
        The plan as written.
    season : Season or None
        The season; without one each band grows its own stand.
    width : float or None
        Width of land to show, from the near side. [m]

    Raises
    ------
    MeasureError
        If rows do not fit their bands, or no band lies within the width.
    """
    bands = expand_trials(plan)
    shown = bands.season(season.year) if season is not None else None
    return [_planned(plan, bands, block, shown, width) for block in (bands.blocks or (None,))]


def chosen_profile(profiles: list[NamedProfile], block: str) -> NamedProfile:
    """
    Return the section of one block.

    Raises
    ------
    PlanError
        If there is no block of that name.
    """
    for named in profiles:
        if named.block == block:
            return named
    raise PlanError(
        f"Block {block!r} is asked for.",
        "The plan has no block of that name, or the headland takes all of it.",
        near_names(block, [named.block for named in profiles if named.block]),
    )


def trial_words(plan: Plan) -> list[str]:
    """Return the order of the plots of every trial of a plan as written, in words."""
    return [words for pattern in plan.patterns for words in _order(plan, pattern.name)]


def profile_dict(named: NamedProfile) -> dict[str, Any]:
    """Return a section as plain mappings, lists and numbers, fit for JSON; lengths in metres."""
    profile = named.profile
    fit = fit_dict(named.fit())
    return {
        "block": named.block,
        "pattern": profile.pattern.name,
        "span_m": [profile.section.cuts[0].t0, profile.section.cuts[-1].t1],
        "cuts": [_cut_dict(profile, i) for i in range(len(profile.section.cuts))],
        "passes": _pass_dicts(profile),
        "gave_way": [given.what for given in profile.section.gave_way],
        "notes": list(named.notes),
        **{key: fit[key] for key in ("strips", "tramlines", "not_said")},
    }


def widths_of(named: NamedProfile) -> list[BandWidths]:
    """Return the widths of its bands that would fit all machines."""
    return band_widths(named.profile, named.block)


def alleys_of(named: NamedProfile) -> tuple[AlleyFit, ...]:
    """Return what the widths that fit mean for its trees."""
    return alley_fits(named.profile.plan, named.profile.pattern, widths_of(named))


def alley_dict(fit: AlleyFit) -> dict[str, Any]:
    """Return alleys as plain mappings, lists and numbers, fit for JSON."""
    return {
        "bands": list(fit.bands),
        "wish": _alley_dict(fit.wish),
        "choices": [_alley_dict(one) for one in fit.choices],
        "nearest": None if fit.nearest is None else _alley_dict(fit.nearest),
        "tree_strips": [
            {
                "band": one.band,
                "have_m": one.have,
                "guard_m": one.guard,
                "clearance_m": one.clearance,
                "short_m": one.short,
            }
            for one in fit.strips
        ],
    }


def _alley_dict(one: AlleyChoice) -> dict[str, Any]:
    """Return one alley."""
    return {
        "width_m": one.choice.width,
        "pitch_m": one.pitch,
        "fits_all": not one.choice.misfits,
        "strip_share": one.strip_share,
        "trees_per_ha_by_pitch": one.trees_per_ha,
        "heights_apart": one.heights_apart,
    }


def widths_dict(widths: BandWidths) -> dict[str, Any]:
    """Return ranked widths as plain mappings, lists and numbers, fit for JSON."""
    return {
        "bands": list(widths.bands),
        "wish": _choice_dict(widths.wish),
        "choices": [_choice_dict(choice) for choice in widths.choices],
        "nearest_m": widths.nearest.width if widths.nearest is not None else None,
    }


def _choice_dict(choice: WidthChoice) -> dict[str, Any]:
    """Return one width with what it does not fit."""
    return {
        "width_m": choice.width,
        "fits_all": not choice.misfits,
        "cost_share": round(choice.cost, 6),
        "misfits": [
            {
                "of": one.demand.asked.value,
                "who": one.demand.who,
                "step_m": one.demand.step,
                "steps": one.steps,
                "over_m": one.over,
                "share": round(one.share, 6),
                "step_that_fits_m": round(one.step_that_fits, 6),
            }
            for one in choice.misfits
        ],
        "ends_at_the_far_end": [demand.who for demand in choice.odd],
    }


def _planned(
    plan: Plan, bands: Plan, block: Block | None, season: Season | None, width: float | None
) -> NamedProfile:
    """Return the section of one block, or of the only pattern."""
    pattern = bands.pattern(block.pattern if block is not None else None)
    guide = (block.guide if block is not None else None) or bands.guide
    shift = season_shift(pattern, season)
    start = guide.start if guide is not None else 0.0
    span = shown_span(pattern, start=start, shift=shift, width=width)
    name = block.name if block is not None else ""
    profile = profile_of(bands, pattern, span, season=season, block=name)
    return NamedProfile(name, profile, _order(plan, pattern.name), shift)


def _order(plan: Plan, pattern: str) -> tuple[str, ...]:
    """Return the order of a trial's plots in words."""
    trial = plan.pattern(pattern).trial
    return tuple(order_words(trial)) if trial is not None else ()


def _cut_dict(profile: Profile, i: int) -> dict[str, Any]:
    """Return one cut with its rows and tree rows."""
    cut, stand = profile.section.cuts[i], profile.stands[i]
    here = profile.rows.cut == i
    rows = [
        {
            "crop": sowing.crop,
            "sowing": sowing.label,
            "at_m": profile.rows.t[here & (profile.rows.sowing == j)].tolist(),
        }
        for j, sowing in enumerate(stand.sowing if stand is not None else ())
        if sowing.in_rows
    ]
    return {
        "t0_m": cut.t0,
        "t1_m": cut.t1,
        "width_m": cut.width,
        "band": cut.band,
        "number": cut.number,
        "repeat": cut.repeat,
        "kind": cut.kind.value,
        "stand": stand.name if stand is not None else "",
        "note": cut.note,
        "rows": rows,
        "tree_rows_at_m": profile.tree_rows.t[profile.tree_rows.cut == i].tolist(),
    }


def _pass_dicts(profile: Profile) -> list[dict[str, Any]]:
    """Return every pass across the section."""
    passes = profile.passes
    return [
        {
            "operation": profile.plan.operations[passes.operation[k]].name,
            "number": int(passes.number[k]),
            "t0_m": float(passes.t0[k]),
            "t1_m": float(passes.t1[k]),
            "reach0_m": float(passes.reach0[k]),
            "reach1_m": float(passes.reach1[k]),
        }
        for k in np.arange(len(passes.t0)).tolist()
    ]
