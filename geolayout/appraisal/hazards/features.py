"""
Hazards of a field: what is there, where, what can happen, what to do and who decides.

A hazard is never silenced. It can be acknowledged by somebody on a day, and is printed with that.
What was not given is said too, because nobody drew it and not because nothing is there. None of
the sentences promises anything about a place.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

import shapely

from geolayout.appraisal.caution import (
    HAZARD,
    NOT_ACKNOWLEDGED,
    NOTE,
    WARNING,
    Caution,
)
from geolayout.appraisal.hazards.general import general_cautions
from geolayout.appraisal.hazards.near import near_cautions
from geolayout.appraisal.hazards.rights import (
    CONSENT,
    answer_cautions,
    default_cautions,
    right_cautions,
)
from geolayout.appraisal.hazards.standing import standing_cautions
from geolayout.appraisal.hazards.wires import wire_cautions
from geolayout.appraisal.hazards.words import ABSENT, GENERAL, HAZARDS
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.appraisal.slope.cautions import slope_caution
from geolayout.land.features import Feature, KeepClear
from geolayout.land.field import Field
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.features import Acknowledged, Consent
from geolayout.plan.near import near_names

__all__ = ["acknowledged", "field_hazards", "hazards"]


OF_WORK = frozenset([*GENERAL, CONSENT, *(kind.name for kind in KINDS.values() if kind.protected)])
"""Hazard keys that a layout can bring and a bare field need not have."""


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
        Hazards and warnings near features, then the hazards themselves, then what the work
        brings, then what is absent.
    """
    plan = layout.plan
    near = [*wire_cautions(layout), *near_cautions(layout)]
    own = _of_field(layout.field, plan.consents)
    found = [*near, *own, *right_cautions(layout), *general_cautions(layout)]
    return (*acknowledged(found, plan.acknowledged), *_unmatched(found, plan.acknowledged))


def field_hazards(
    field: Field, given: Sequence[Acknowledged] = (), consents: Sequence[Consent] = ()
) -> tuple[Caution, ...]:
    """
    Say every hazard that a field has before anything is laid out on it, and what was not given.

    Parameters
    ----------
    field : Field
        The field, with its features.
    given : sequence of Acknowledged
        Which hazards somebody looked at.
    consents : sequence of Consent
        What was asked of owners, and answered.

    Returns
    -------
    cautions : tuple of Caution
        The same sentences that a layout on the field has.
    """
    found = _of_field(field, consents)
    # What only work on the field brings may be acknowledged already.
    slips = [one for one in given if one.hazard not in OF_WORK]
    return (*acknowledged(found, given), *_unmatched(found, slips))


def _of_field(field: Field, consents: Sequence[Consent]) -> list[Caution]:
    """Return what needs no layout."""
    return [
        *standing_cautions(field),
        *_present(field),
        *answer_cautions(field, consents),
        *default_cautions(field),
        *_absent(field),
        slope_caution(field),
    ]


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
            sentence=f"The plan acknowledges {one.hazard!r}, and there is no such hazard here.",
            remedy=near_names(one.hazard, known),
            source="The plan as written.",
        )
        for one in given
        if one.hazard not in known
    ]


def _present(field: Field) -> list[Caution]:
    """Return a hazard for each kind of feature that brings one, worst first."""
    groups: dict[tuple[str, str], list[Feature]] = defaultdict(list)
    for feature in field.features:
        hazard = KINDS[feature.kind].hazard
        if hazard:
            groups[hazard, feature.kind].append(feature)
    order = list(HAZARDS)
    ordered = sorted(groups.items(), key=lambda group: order.index(group[0][0]))
    return [_hazard(field, hazard, features) for (hazard, _), features in ordered]


def _hazard(field: Field, hazard: str, features: Sequence[Feature]) -> Caution:
    """Return the hazard of some features of one kind."""
    words, land = HAZARDS[hazard], field.land
    shapes = shapely.union_all([feature.geometry for feature in features])
    place = place_of(shapes, land)
    across = shapely.intersection(shapes, land)
    length = across.length if shapely.get_dimensions(across) == 1 else 0.0
    return Caution(
        key=features[0].kind,
        severity=HAZARD,
        sentence=(
            f"{_names(features)}, {place_words(field, place)}{_extent(length)}. "
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
    kept = {(f.keep_clear, f.measured_from, f.default_from) for f in features}
    if len(kept) > 1:
        return "The plan keeps a distance of its own from each."
    (distances, start, default) = next(iter(kept))
    if default:
        return f"By default for {default}: {_distances(distances)}, measured from the {start}."
    return f"Entered in the plan: {_distances(distances)}, measured from the {start}."


def _distances(kept: KeepClear) -> str:
    """Return the distances of one feature in words."""
    parts = [f"{kept.all:g} m for everything"]
    parts += [f"{kept.trees:g} m for trees"] if kept.trees else []
    parts += [f"{kept.turning:g} m for turning"] if kept.turning else []
    return listed(parts)


def _absent(field: Field) -> list[Caution]:
    """Return what was not given."""
    there = {KINDS[feature.kind].hazard for feature in field.features}
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
