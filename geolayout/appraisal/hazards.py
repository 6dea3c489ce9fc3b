"""
Hazards of a field: what is there, where, what can happen, what to do and who decides.

A hazard is never silenced. It can be acknowledged by somebody on a day, and is printed with that.
What was not given is said too, because nobody drew it and not because nothing is there. None of
the sentences promises anything about a place.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import shapely

from geolayout.appraisal.caution import (
    HAZARD,
    NOT_ACKNOWLEDGED,
    NOTE,
    WARNING,
    Caution,
)
from geolayout.appraisal.near import near_cautions
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.appraisal.wires import wire_cautions
from geolayout.land.features import Feature, KeepClear
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.features import Acknowledged
from geolayout.plan.near import near_names

__all__ = ["ABSENT", "HAZARDS", "HazardWords", "acknowledged", "hazards"]


@dataclass(frozen=True, slots=True)
class HazardWords:
    """
    What is said of one kind of hazard.

    Attributes
    ----------
    can_happen : str
        What can happen there. Begins a sentence.
    do : str
        What to do. Begins a sentence.
    decides : str
        Who decides. Begins a sentence.
    source : str
        Where the advice comes from.
    """

    can_happen: str
    do: str
    decides: str
    source: str


HAZARDS: Mapping[str, HazardWords] = MappingProxyType(
    {
        "overhead line": HazardWords(
            "Electricity can jump to a boom, a lid, an auger, a raised body, a pipe or a ladder "
            "that comes near it, and kill.",
            "Look up before every turn, fill and fold, keep everything lowered under it, and ask "
            "for the height of the wires.",
            "The line's operator decides about heights and distances.",
            "HSE (UK), Working safely near overhead electricity power lines, AIS8.",
        ),
        "buried service": HazardWords(
            "A stake, a tine, an auger or a post can strike it.",
            "Have it located and marked on the ground before anything goes in.",
            "The owner of the pipe or cable decides what may be done above it.",
            "Bristol Water, Trees; knowwhatsbelow.co.uk, Planting trees near pipelines.",
        ),
        "buried drain": HazardWords(
            "Ripping and posts break it, roots block it, and the land above it stays wet.",
            "Find it on the drainage map, and lead tree rows and rip lines away from it.",
            "The owner of the land decides.",
            "Common practice, no source.",
        ),
        "water": HazardWords(
            "Spray, dressed seed and fertiliser can reach it, and a machine can slide in where "
            "the edge is wet.",
            "Keep the distance that the label asks for, and turn, fill and wash away from it.",
            "The label and the local rule decide about distances.",
            "HSE (UK), buffer zones beside water (LERAP); common practice.",
        ),
        "bank": HazardWords(
            "The edge can give way under a wheel, and wet ground slides towards it.",
            "Walk it first, turn away from it, and stay off it when it is wet.",
            "Whoever drives decides on the day; whoever looks after the ditch decides about works.",
            "Common practice, no source.",
        ),
        "walkers": HazardWords(
            "People, children and dogs can be in the crop or behind a machine at any time.",
            "Look along it before each pass, leave the path open, and do not spray onto it.",
            "The authority for rights of way decides what may change.",
            "Common practice, no source.",
        ),
    }
)
"""What is said of each hazard that a feature can bring, worst first."""

ABSENT: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "overhead line": (
            "No overhead line was given; that does not mean there is none. Look.",
            "Look up from every corner, and add what you see as a feature.",
        ),
        "buried service": (
            "No buried pipe or cable was given; that does not mean there is none. Ask.",
            "Ask the owners of services before a stake or a tine goes in.",
        ),
        "water": (
            "No watercourse, pond or well was given; that does not mean there is none. Look.",
            "Walk the edges, and add what you find as a feature.",
        ),
        "walkers": (
            "No right of way was given; that does not mean there is none. Ask.",
            "Ask the authority for rights of way, and add it as a feature.",
        ),
    }
)
"""What is said where no feature of a hazard was given, and what to do."""

SLOPE = Caution(
    key="slope",
    severity=NOTE,
    sentence=(
        "No slope was computed: a machine can slide or turn over on a bank or a wet slope that "
        "this layout knows nothing of."
    ),
    remedy="The maker's figure and today's ground decide; whoever drives walks it first.",
    source="HSE (UK) names gradient as a risk and gives no number.",
    hazard="slope",
)


def hazards(layout: Layout) -> tuple[Caution, ...]:
    """
    Say every hazard of a layout, acknowledged or not, and what was not given.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : tuple of Caution
        Hazards and warnings near features, then the hazards themselves, then what is absent.
    """
    near = [*wire_cautions(layout), *near_cautions(layout)]
    found = [*near, *_present(layout), *_absent(layout), SLOPE]
    given = layout.plan.acknowledged
    return (*acknowledged(found, given), *_unmatched(found, given))


def acknowledged(cautions: Iterable[Caution], given: Sequence[Acknowledged]) -> list[Caution]:
    """
    Return cautions with who acknowledged their hazard, and when.

    Parameters
    ----------
    cautions : iterable of Caution
        Those without a hazard stay as they are.
    given : sequence of Acknowledged
        From the plan.

    Returns
    -------
    cautions : list of Caution
    """
    return [
        replace(caution, acknowledged=_by_whom(caution.hazard, given))
        if caution.hazard
        else caution
        for caution in cautions
    ]


def _by_whom(hazard: str, given: Sequence[Acknowledged]) -> str:
    """Return who acknowledged a hazard, and when."""
    who = [f"{one.who} on {one.date.isoformat()}" for one in given if one.hazard == hazard]
    return f"acknowledged by {' and '.join(who)}" if who else NOT_ACKNOWLEDGED


def _unmatched(found: Sequence[Caution], given: Sequence[Acknowledged]) -> list[Caution]:
    """Return the warning of an acknowledgement that meets no hazard, perhaps by a slip."""
    known = list(dict.fromkeys(caution.hazard for caution in found if caution.hazard))
    return [
        Caution(
            key="acknowledged-without-hazard",
            severity=WARNING,
            sentence=f"The plan acknowledges {one.hazard!r}, and this layout has no such hazard.",
            remedy=near_names(one.hazard, known),
            source="The plan as written.",
        )
        for one in given
        if one.hazard not in known
    ]


def _present(layout: Layout) -> list[Caution]:
    """Return a hazard for each kind of feature that brings one, worst first."""
    groups: dict[tuple[str, str], list[Feature]] = defaultdict(list)
    for feature in layout.field.features:
        hazard = KINDS[feature.kind].hazard
        if hazard:
            groups[hazard, feature.kind].append(feature)
    order = list(HAZARDS)
    ordered = sorted(groups.items(), key=lambda group: order.index(group[0][0]))
    return [_hazard(layout, hazard, features) for (hazard, _), features in ordered]


def _hazard(layout: Layout, hazard: str, features: Sequence[Feature]) -> Caution:
    """Return the hazard of some features of one kind."""
    words, land = HAZARDS[hazard], layout.field.land
    shapes = shapely.union_all([feature.geometry for feature in features])
    place = place_of(shapes, land)
    across = shapely.intersection(shapes, land)
    length = across.length if shapely.get_dimensions(across) == 1 else 0.0
    return Caution(
        key=f"{features[0].kind}",
        severity=HAZARD,
        sentence=(
            f"{_names(features)}, {place_words(layout.field, place)}{_extent(length)}. "
            f"{words.can_happen} {_kept_words(features)}"
        ),
        remedy=f"{words.do} {words.decides}",
        source=words.source,
        value=float(length) if length else None,
        unit="m" if length else "",
        place=place,
        count=len(features),
        hazard=hazard,
    )


def _names(features: Sequence[Feature]) -> str:
    """Return what the features are, by their names, as the start of a sentence."""
    kind = features[0].kind
    own = [feature.name for feature in features if feature.name and feature.name != kind]
    name = f" ({listed(own)})" if own else ""
    many = f", {len(features)} of them" if len(features) > 1 else ""
    return f"{kind.capitalize()}{name}{many}"


def _extent(length: float) -> str:
    """Return how far it runs through the field."""
    return f", {length:.0f} m of it in the field" if length >= 1.0 else ""


def _kept_words(features: Sequence[Feature]) -> str:
    """Return what the plan keeps from it, told apart from what would be right."""
    kept = {(f.keep_clear, f.measured_from) for f in features}
    if len(kept) > 1:
        return "The plan keeps a distance of its own from each."
    (distances, start) = next(iter(kept))
    return f"Entered in the plan: {_distances(distances)}, measured from the {start}."


def _distances(kept: KeepClear) -> str:
    """Return the distances of one feature in words."""
    parts = [f"{kept.all:g} m for everything"]
    parts += [f"{kept.trees:g} m for trees"] if kept.trees else []
    parts += [f"{kept.turning:g} m for turning"] if kept.turning else []
    return listed(parts)


def _absent(layout: Layout) -> list[Caution]:
    """Return what was not given."""
    there = {KINDS[feature.kind].hazard for feature in layout.field.features}
    return [
        Caution(
            key=f"no {hazard} given",
            severity=NOTE,
            sentence=sentence,
            remedy=remedy,
            source="Nothing of the kind is in the plan.",
            hazard=hazard,
        )
        for hazard, (sentence, remedy) in ABSENT.items()
        if hazard not in there
    ]
