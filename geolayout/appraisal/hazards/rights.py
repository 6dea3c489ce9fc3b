"""
Rights of others: consents asked and answered, and distances that a country's rule asks for.

No clock is read: a consent is held against the harvest year of the season, never against today.
"""

import datetime as dt
from collections.abc import Sequence

import numpy as np
import shapely

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.hazards.near import distance_from, ends_within, headland_within, reach
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.land.features import Feature
from geolayout.land.field import Field
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.country import Default, default_of
from geolayout.plan.features import Consent
from geolayout.plan.plan import Plan

__all__ = ["CONSENT", "answer_cautions", "consent_words", "default_cautions", "right_cautions"]

CONSENT = "consent"
"""Hazard key by which a consent that was refused or is awaited is acknowledged."""

TREE_REACH = 9.0
"""Watercourse operators often ask to be asked about trees this near to the brink; taken for other
services too. [m]"""

ENTERED = "The plan's own list of consents."
TREE_SOURCE = (
    "Drainage boards' pages (excerpts): consent is often asked for trees within some 8 to 9 m of "
    "the brink. For other services our own choice."
)


def consent_words(plan: Plan) -> tuple[str, ...]:
    """
    Say every consent of a plan, one sentence or a few for each, in the order of the plan.

    Parameters
    ----------
    plan : Plan
        Any plan.

    Returns
    -------
    lines : tuple of str
        Empty where the plan has none.
    """
    return tuple(_told(consent) for consent in plan.consents)


def _told(consent: Consent) -> str:
    """Return one consent in words."""
    asked = (
        f"{consent.feature}: {consent.owner} was asked on {consent.asked.isoformat()} for "
        f"{consent.for_what.rstrip('.')}."
    )
    day = f" on {consent.answered.isoformat()}" if consent.answered else ""
    parts = [asked, f"Answer: {consent.answer}{day}."]
    parts += [f"Conditions: {consent.conditions.rstrip('.')}."] if consent.conditions else []
    parts += [f"Reference: {consent.reference}."] if consent.reference else []
    parts += [f"Expires on {consent.expires.isoformat()}."] if consent.expires else []
    return " ".join(parts)


def _meant(field: Field, consent: Consent) -> list[Feature]:
    """Return the features that a consent speaks of."""
    return [f for f in field.features if consent.feature in (f.name, f.kind)]


def answer_cautions(field: Field, consents: Sequence[Consent]) -> list[Caution]:
    """
    Say which consents were refused or are awaited.

    Parameters
    ----------
    field : Field
        With the features they speak of.
    consents : sequence of Consent
        From the plan.

    Returns
    -------
    cautions : list of Caution
        To be acknowledged under ``CONSENT``.
    """
    return [
        _unanswered(field, consent) for consent in consents if consent.answer in ("no", "none yet")
    ]


def _unanswered(field: Field, consent: Consent) -> Caution:
    """Return the caution of a consent that does not let anybody begin."""
    refused = consent.answer == "no"
    features = _meant(field, consent)
    place = place_of(features[0].geometry, field.land) if features else None
    where = f", {place_words(field, place)}" if place else ""
    day = (consent.answered or consent.asked).isoformat()
    what = consent.for_what.rstrip(".")
    said = (
        f"said no on {day} to {what}"
        if refused
        else f"was asked on {day} for {what} and has not answered"
    )
    owner = consent.owner[0].upper() + consent.owner[1:]
    return Caution(
        key="consent-refused" if refused else "consent-awaited",
        severity=WARNING,
        sentence=f"{owner} {said}: {consent.feature}{where}.",
        remedy=(
            f"Do not begin with it; {consent.owner} decides."
            if refused
            else f"Wait for the answer before it is begun; {consent.owner} decides."
        ),
        source=ENTERED,
        place=place,
        hazard=CONSENT,
    )


def default_cautions(field: Field) -> list[Caution]:
    """
    Say each distance that stands by a country's default, with its year and source.

    Parameters
    ----------
    field : Field
        With its features.

    Returns
    -------
    cautions : list of Caution
    """
    groups: dict[tuple[str, str], list[Feature]] = {}
    for feature in field.features:
        if feature.default_from:
            groups.setdefault((feature.default_from, feature.kind), []).append(feature)
    return [_by_default(field, called, features) for (called, _), features in groups.items()]


def _by_default(field: Field, called: str, features: Sequence[Feature]) -> Caution:
    """Return the caution of features of one kind that are kept clear by default."""
    first = features[0]
    country, _, year = called.rpartition(" ")
    default: Default | None = default_of(called, first.kind)
    kept = max(first.keep_clear.all, first.keep_clear.trees)
    what = "" if first.keep_clear.all else " for trees"
    source = default.source if default else "As the plan has it; this version knows none."
    place = place_of(first.geometry, field.land)
    return Caution(
        key="country-default",
        severity=WARNING,
        sentence=(
            f"{kept:g} m{what} from the {first.measured_from} of the "
            f"{listed([one.label for one in features])}, {place_words(field, place)}, is a "
            f"default for {country or called} of {year or 'no year'} ({source.rstrip('.')}): check."
            f"{' ' + default.scope if default else ''}"
        ),
        remedy=(
            "Look up the rule as it stands for this land and this scheme, and write keep_clear "
            "yourself; the authority decides."
        ),
        source=source,
        value=kept,
        unit="m",
        place=place,
        count=len(features),
    )


def right_cautions(layout: Layout) -> list[Caution]:
    """
    Say which consents end too early, and where nobody was asked.

    Parameters
    ----------
    layout : Layout
        The layout, of one season.

    Returns
    -------
    cautions : list of Caution
    """
    consents = layout.plan.consents
    asked = {consent.feature for consent in consents}
    without = [
        (feature, near)
        for feature in layout.field.features
        if KINDS[feature.kind].asked and not asked & {feature.name, feature.kind}
        if (near := _what_is_near(layout, feature))
    ]
    ending = [_ending(layout, consent) for consent in consents]
    return [
        *(caution for caution in ending if caution is not None),
        *(_nobody_asked(layout, feature, near) for feature, near in without),
    ]


def _ending(layout: Layout, consent: Consent) -> Caution | None:
    """Return the caution of a consent that ends before the harvest year does."""
    season = layout.season
    if season is None or consent.expires is None:
        return None
    if consent.expires >= dt.date(season.year, 12, 31):
        return None
    return Caution(
        key="consent-ends",
        severity=WARNING,
        sentence=(
            f"The consent of {consent.owner} for {consent.feature} ends on "
            f"{consent.expires.isoformat()}, before the harvest year {season.year} does."
        ),
        remedy=f"Ask {consent.owner} again, or be done before that day.",
        source=ENTERED,
        hazard=CONSENT,
    )


def _what_is_near(layout: Layout, feature: Feature) -> list[str]:
    """Return what of a layout lies near a feature about which somebody is usually asked."""
    near = []
    if (count := _trees_near(layout, feature)) > 0:
        near.append("1 tree" if count == 1 else f"{count} trees")
    if KINDS[feature.kind].hazard not in ("water", "bank") and _turned_on(layout, feature):
        near.append("turning ground")
    return near


def _trees_near(layout: Layout, feature: Feature) -> int:
    """Return how many trees stand within reach of a feature."""
    points = np.asarray(shapely.points(layout.trees.xy), dtype=object)
    return int((distance_from(feature, points) < TREE_REACH).sum()) if len(points) else 0


def _turned_on(layout: Layout, feature: Feature) -> bool:
    """Whether machines turn on a feature, or within the distance it keeps from turning."""
    distance = reach(feature, max(feature.keep_clear.turning, feature.keep_clear.all))
    zone = shapely.buffer(feature.geometry, distance) if distance else feature.geometry
    return not (headland_within(layout, zone).is_empty and ends_within(layout, zone).is_empty)


def _nobody_asked(layout: Layout, feature: Feature, near: Sequence[str]) -> Caution:
    """Return the note of a feature near which something is laid and nobody is on record."""
    place = place_of(feature.geometry, layout.field.land)
    return Caution(
        key="no-consent-entered",
        severity=NOTE,
        sentence=(
            f"Near the {feature.label}, {place_words(layout.field, place)}, the plan lays "
            f"{listed(near)}, and has no consent for it."
        ),
        remedy=f"Ask {KINDS[feature.kind].asked}, and keep the answer as [[consent]].",
        source=TREE_SOURCE,
        threshold=TREE_REACH,
        unit="m",
        place=place,
    )
