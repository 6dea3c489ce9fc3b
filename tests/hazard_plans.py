"""Small invented plans that each bring one hazard, and the field that they lie on."""

import json

import numpy as np

from geolayout.appraisal.hazards.words import GENERAL, HAZARDS
from geolayout.land.frames.frame import Frame
from geolayout.land.kinds import KINDS

FRAME = Frame(10.0, 52.0)

PLAN = """schema = 1
[field]
boundary = "home.geojson"
[guide]
bearing = 0.0
from = "west"
[headland]
where = "ends"
width = 12.0
[[stand]]
name = "mixture"
sowing = [
  { crop = "oats", spacing = 0.25, operation = "sow" },
  { crop = "peas", place = "broadcast" },
]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 12.0, stand = "mixture" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 10.0 } },
]
close_with = "A"
[[machine]]
name = "drill"
working_width = 3.0
[[machine]]
name = "sprayer"
working_width = 12.0
[[operation]]
name = "sow"
machine = "drill"
[[operation]]
name = "spray"
machine = "sprayer"
"""
SIGNED = """[[acknowledged]]
hazard = "{key}"
who = "the grower (invented)"
date = 2027-01-15
"""
CONSENT = """[[consent]]
feature = "well"
owner = "the water board (invented)"
for_what = "trees beside it"
asked = 2027-01-08
answer = "none yet"
"""

ON_FIELD = [*HAZARDS, "slope", "consent"]
"""What a field has before anything is laid out on it."""

EVERY = [*ON_FIELD, *GENERAL]
FIRST_OF = {hazard: next(k for k in KINDS if KINDS[k].hazard == hazard) for hazard in HAZARDS}
KEY = {"consent": "consent-awaited", **FIRST_OF}
"""Key of the caution by which a hazard is looked for, where it is not the hazard's own."""


def feature(kind, x, y, *, as_line=False):
    """Return a feature named in a plan, at metres from the middle of the field."""
    ends = FRAME.lonlat(np.array([(x, y), (x + 8.0, y)], dtype=float)).tolist()
    where = f"points = {ends}" if as_line else f"at = {ends[0]}"
    return (
        f'[[feature]]\nkind = "{kind}"\n{where}\nkeep_clear = 1.0\nmeasured_from = "centre line"\n'
    )


def plan_with(key, *, signed):
    """Return the plan that brings a hazard."""
    parts = [PLAN]
    if key in FIRST_OF:
        parts.append(feature(FIRST_OF[key], 3.0, 5.0, as_line=FIRST_OF[key] != "pole"))
    if key == "consent":
        parts += [feature("well", 3.0, 5.0), CONSENT]
    if key == "road":
        parts.append(feature("gateway", 0.0, -45.0))
    if key == "names in files":  # somebody is named by an acknowledgement of something else
        parts.append(SIGNED.format(key="slope"))
    if signed:
        parts.append(SIGNED.format(key=key))
    return "".join(parts)


def flat(text):
    return " ".join(text.split())


def home(folder, key, *, signed):
    """Write the field, 60 m x 90 m, and the plan."""
    corners = np.array([(-30, -45), (30, -45), (30, 45), (-30, 45), (-30, -45)], dtype=float)
    ring = {"type": "Polygon", "coordinates": [FRAME.lonlat(corners).tolist()]}
    drawn = {"type": "Feature", "properties": {}, "geometry": ring}
    (folder / "home.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": [drawn]})
    )
    (folder / "plan.toml").write_text(plan_with(key, signed=signed))
    return folder / "plan.toml"
