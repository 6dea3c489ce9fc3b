"""
A section told in words, with numbers that can be checked by hand.

Edges and places of rows are distances from the anchor; half-gaps are what the outermost row
leaves to the edge of its own band.
"""

import itertools

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.section.profile import Profile
from geolayout.plan.section.section import Cut
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing
from geolayout.plan.units import METRIC, Scale, Units

__all__ = ["from_anchor", "section_words", "short_name", "stand_word"]

MOST_PLACES = 12
"""Places of uneven rows that are written out. [-]"""


def section_words(profile: Profile, units: Units = METRIC) -> list[str]:
    """
    Say a section in words: every band, its edges, its rows, its borders, its passes.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    units : Units
        Units of the figures; what gave way is told in metres.

    Returns
    -------
    words : list of str
        Lines of text; distances are from the anchor unless they say otherwise. Bands that come
        again with the same rows are told once.
    """
    words = _band_words(profile, units)
    words += _border_words(profile, units)
    words += _pass_words(profile, units)
    words += [f"{given.what}" for given in profile.section.gave_way]
    return words


def _band_words(profile: Profile, units: Units) -> list[str]:
    """Tell each band, those that come again in one line."""
    words: list[str] = []
    told: dict[tuple[object, ...], str] = {}
    wide = units.width
    for i, cut in enumerate(profile.section.cuts):
        edges = f"{from_anchor(cut.t0, wide)} to {from_anchor(cut.t1, wide)} {wide.word}"
        place = f"{edges}, {wide.said(cut.width)} wide"
        likeness = _likeness(profile, i)
        if likeness in told:
            words.append(_sentence(f"{_name(cut)}: {place}; the same as {told[likeness]}."))
            continue
        told[likeness] = _name(cut)
        note = f" ({cut.note})" if cut.note else ""
        words.append(_sentence(f"{_name(cut)}: {place}; {stand_word(profile, i)}{note}."))
        words += [f"  {line}" for line in _content_words(profile, i, units)]
    return words


def from_anchor(t: float, unit: Scale) -> str:
    """
    Return a distance from the anchor without its unit, nought without a sign.

    Examples
    --------
    >>> from_anchor(-0.001, METRIC.width), from_anchor(12.346, METRIC.width)
    ('0.00', '12.35')
    """
    return f"{round(unit.of(t), unit.decimals) + 0.0:.{unit.decimals}f}"


def _sentence(words: str) -> str:
    """Return words with a capital letter in front."""
    return words[0].upper() + words[1:]


def _name(cut: Cut) -> str:
    """Return what a cut is called in words."""
    return f"band {cut.number} ({cut.band})" if cut.grows else cut.kind.value


def short_name(cut: Cut) -> str:
    """Return what a cut is called in the drawing."""
    if not cut.grows:
        return cut.kind.value
    between = " no. " if cut.band[-1].isdigit() else " "
    return f"{cut.band}{between}{cut.number}"


def stand_word(profile: Profile, i: int) -> str:
    """Return what grows on a cut, or that nothing is sown."""
    stand, cut = profile.stands[i], profile.section.cuts[i]
    if stand is not None:
        return stand.name
    return "bare ground" if cut.grows else "no band"


def _likeness(profile: Profile, i: int) -> tuple[object, ...]:
    """Return what makes one cut the same as another: stand, width and places of its rows."""
    cut = profile.section.cuts[i]
    mine = profile.rows.cut == i
    rows = np.round(profile.rows.t[mine] - cut.t0, 4).tolist()
    trees = np.round(profile.tree_rows.t[profile.tree_rows.cut == i] - cut.t0, 4).tolist()
    stand = profile.stands[i]
    name = stand.name if stand is not None else ""
    sowings = profile.rows.sowing[mine].tolist()
    return cut.kind, name, round(cut.width, 4), *rows, *sowings, "trees", *trees


def _content_words(profile: Profile, i: int, units: Units) -> list[str]:
    """Tell the sowings and tree rows of one cut."""
    cut, stand = profile.section.cuts[i], profile.stands[i]
    words = []
    for j, sowing in enumerate(stand.sowing if stand is not None else ()):
        t = profile.rows.t[(profile.rows.cut == i) & (profile.rows.sowing == j)]
        wheels = (profile.left_out.cut == i) & (profile.left_out.sowing == j)
        gone = f"; {wheels.sum()} left out under wheels" if wheels.any() else ""
        words.append(f"{sowing.label}: {_sowing_words(sowing, t, cut, units)}{gone}")
    trees = profile.tree_rows.t[profile.tree_rows.cut == i]
    if len(trees):
        band = profile.pattern.bands[cut.index].trees
        step = f", a tree every {units.width.said(band.in_row_spacing)}" if band is not None else ""
        words.append(f"trees: {_places(trees, units)}{step}")
    return words


def _sowing_words(sowing: Sowing, t: NDArray[np.float64], cut: Cut, units: Units) -> str:
    """Tell where the rows of one sowing stand, and the half-gaps they leave at the edges."""
    if sowing.place == "standing":
        return "stands there already, over the whole band"
    if sowing.place == "broadcast":
        spared = f", but for the wheel tracks of {' and '.join(sowing.skip)}" if sowing.skip else ""
        return f"broadcast over the whole band{spared}"
    if not len(t):
        return "no row"
    near, far = _small(float(t[0]) - cut.t0, units), _small(cut.t1 - float(t[-1]), units)
    edges = f"; {near} from the near edge, {far} from the far edge"
    cleared = ""
    if sowing.cleared is not None:
        cleared = f"; {_small(sowing.cleared, units)} cleared at each row"
    return f"{_places(t, units)}{edges}{cleared}"


def _small(length: float, units: Units) -> str:
    """Return a small length to the millimetre, with its unit."""
    return f"{units.spacing.short(length)} {units.spacing.word}"


def _places(t: NDArray[np.float64], units: Units) -> str:
    """Return the number of rows and where they stand, by their step where they are even."""
    count = "1 row" if len(t) == 1 else f"{len(t)} rows"
    steps = np.diff(t)
    if len(t) > 2 and np.ptp(steps) < 1e-6:
        first, last = from_anchor(t[0], units.place), from_anchor(t[-1], units.place)
        return f"{count}, {first} to {last} {units.place.word}, {_small(steps[0], units)} apart"
    shown = [from_anchor(place, units.place) for place in t[:MOST_PLACES]]
    more = ["…"] if len(t) > MOST_PLACES else []
    return f"{count} at {', '.join([*shown, *more])} {units.place.word}"


def _border_words(profile: Profile, units: Units) -> list[str]:
    """Tell the gap across each kind of border between bands that grow something else."""
    words: list[str] = []
    told: set[str] = set()
    cuts, rows = profile.section.cuts, profile.rows
    for i, (near, far) in enumerate(itertools.pairwise(cuts)):
        before, beyond = rows.t[rows.cut == i], rows.t[rows.cut == i + 1]
        if not (len(before) and len(beyond)) or profile.stands[i] is profile.stands[i + 1]:
            continue
        gaps = near.t1 - before[-1], beyond[0] - far.t0
        grown = stand_word(profile, i), stand_word(profile, i + 1)
        kind = f"{grown} {gaps[0]:.4f} {gaps[1]:.4f}"
        if kind not in told:
            told.add(kind)
            words.append(
                f"Border of {_name(near)} and {_name(far)} at {units.width.said(near.t1)}: "
                f"the last row {_small(gaps[0], units)} before it, "
                f"the first {_small(gaps[1], units)} beyond it, "
                f"{_small(sum(gaps), units)} from row to row."
            )
    return words


def _pass_words(profile: Profile, units: Units) -> list[str]:
    """Tell the passes of each operation, and how much ground its last passes work twice."""
    words = []
    passes = profile.passes
    for i, operation in enumerate(profile.plan.operations):
        mine = passes.operation == i
        machine = profile.plan.machine(operation.machine)
        width = f"{units.width.short(machine.working_width)} {units.width.word}"
        name = f"{operation.name} ({machine.name}, {width}, {operation.over})"
        if not mine.any():
            words.append(f"{name}: no pass here.")
            continue
        count = int(mine.sum())
        fresh = (passes.t1 - passes.t0)[mine]
        spare = machine.working_width * count - float(fresh.sum())
        twice = (
            f"; {units.width.said(spare)} of its width is no fresh ground"
            if spare > ACROSS_SLACK
            else ""
        )
        words.append(f"{name}: {count} {'pass' if count == 1 else 'passes'}{twice}.")
    return words
