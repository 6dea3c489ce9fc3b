"""Whatever is acknowledged, every hazard is said in the same words, with who looked."""

import datetime as dt
from collections import Counter
from dataclasses import replace
from functools import cache

from appraisal_layouts import HEADLAND, LAND, MACHINES, STANDS, feature_in, layout_of
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point

from geolayout.appraisal.caution import HAZARD, NOT_ACKNOWLEDGED
from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.hazards.words import GENERAL, HAZARDS
from geolayout.land.kinds import KINDS
from geolayout.plan.features import Acknowledged, Consent

EVERY = [*HAZARDS, "slope", "consent", *GENERAL]
BANDS = """
[[pattern]]
name = "alleys"
bands = [
  { name = "C", width = 12.0, stand = "maize" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 3.0 } },
  { name = "D", width = 12.0, stand = "beans" },
]
[[machine]]
name = "sprayer"
working_width = 12.0
[[operation]]
name = "spray"
machine = "sprayer"
"""
ASKED = Consent(
    feature="well",
    owner="the water board (invented)",
    for_what="trees beside it",
    asked=dt.date(2027, 1, 8),
    answer="none yet",
)
FEATURES = [
    (kind, Point(6 + 7 * i % 48, 14 + 4 * i))
    if kind in ("pole", "well", "gateway", "tree")
    else (kind, LineString([(-5, 20 + 3 * i), (65, 20 + 3 * i)]))
    for i, kind in enumerate([*(k for k in KINDS if KINDS[k].hazard), "gateway", "tree"])
]


@cache
def plain():
    """A field with everything on it that brings a hazard, and work that does."""
    drawn = [feature_in(LAND, kind, shape, "centre line", all=0.5) for kind, shape in FEATURES]
    layout = layout_of(STANDS, BANDS, MACHINES, HEADLAND, features=drawn)
    return replace(layout, plan=layout.plan.model_copy(update={"consents": (ASKED,)}))


def signed(keys):
    return tuple(
        Acknowledged(hazard=key, who="the grower (invented)", date=dt.date(2027, 1, 15))
        for key in keys
    )


@cache
def said(keys):
    """Return the cautions of the field, some hazards acknowledged."""
    layout = plain()
    plan = layout.plan.model_copy(update={"acknowledged": signed(keys)})
    return cautions(replace(layout, plan=plan))


def words(found):
    """Count sentences by severity; who is named brings a note of its own."""
    own = [one for one in found if one.hazard != "names in files"]
    return Counter(
        (one.severity, one.sentence) for one in own if one.key != "acknowledged-without-hazard"
    )


def test_the_field_has_every_hazard_there_is():
    there = {one.hazard for one in said(())}
    assert set(EVERY) - there - {"names in files"} == set()
    assert sum(one.severity == HAZARD for one in said(())) > 15


@given(keys=st.frozensets(st.sampled_from(EVERY)))
@settings(max_examples=15, deadline=None)
@example(keys=frozenset(EVERY))
@example(keys=frozenset())
def test_acknowledging_changes_no_sentence_and_leaves_none_out(keys):
    found = said(tuple(sorted(keys)))
    assert words(found) == words(said(()))
    for one in found:
        if one.hazard and one.hazard in keys:
            assert one.acknowledged == "acknowledged by the grower (invented) on 2027-01-15"
        elif one.hazard:
            assert one.acknowledged == NOT_ACKNOWLEDGED
        else:
            assert one.acknowledged == ""
    assert not any(one.open for one in found if one.hazard in keys)
