"""Invented fields and plans that the tests share, and where the real fields are, if anywhere."""

import functools
import os
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, affinity

from geolayout.land.field import Field, make_field
from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.frame import Frame
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.drawn import Drawn
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

PLACE = (10.0, 52.0)
"""Longitude and latitude of every invented field: nowhere in particular. [degrees]"""


def centred(land):
    """Move land so that its bounds are centred on the origin, where the field's frame will be."""
    west, south, east, north = land.bounds
    return affinity.translate(land, -(west + east) / 2, -(south + north) / 2)


def field_of(land, *, features: Iterable[DrawnFeature] = (), at=PLACE) -> Field:
    """
    Make a field whose land in its own frame is the land given, to within a micrometre.

    The land must be centred on the origin, within 3 m, or else the frame that the field chooses
    is another one.
    """
    field = make_field(Frame(*at).to_geographic(land), name="invented", features=features)
    assert (field.frame.lon, field.frame.lat) == at, "centre the land first"
    return field


def feature_of(kind, shape, *, at=PLACE, name="it", measured_from="drawn edge", half_width=0.0,
               keep_clear=KeepClear()):
    """Draw a feature given in the same metres as the land."""
    lonlat = Frame(*at).to_geographic(shape)
    return DrawnFeature(kind, name, lonlat, measured_from, half_width, keep_clear)
