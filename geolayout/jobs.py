"""
The few calls every door makes: read, resolve, lay, tell, write.

A job is one plan with the field and everything the plan names by file. Each call gives a new
value; only `write` leaves anything on the disk.
"""

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from pathlib import Path

from geolayout.appraisal.caution import Caution
from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.quantities import Figures, figures
from geolayout.errors import FileError, GeolayoutError, LayoutError, PlanError
from geolayout.land.field import Field, make_field
from geolayout.land.readers import read_boundary
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.drawn import Drawn
from geolayout.layout.guides import Straight
from geolayout.layout.resolve import longest_bearing, resolve_guides
from geolayout.plan.parse import farm_file, parse_farm, parse_plan
from geolayout.plan.plan import Plan
from geolayout.plan.starter import StarterField, starter_plan
from geolayout.plan.usual import check_rates
from geolayout.trial.design import expand_trials, missing_plots, trial_width

__all__ = ["Job", "Told", "lay", "read", "read_plan", "resolve", "start", "tell"]

HEADLANDS = (18.0, 12.0, 6.0, 0.0)
"""Headlands a plan to begin with tries, the widest first: 18 m for a radius of 6.5 m. [m]"""

SHARES = (1.0, 0.75, 0.5)
"""Shares of the width across that such a plan tries to use. [-]"""
