"""Where the hopper or tank is empty, or the grain tank full, and how many loads the work takes."""

from math import ceil

import numpy as np

from geolayout.appraisal.driving.carting import Carting
from geolayout.appraisal.driving.season import Driving
from geolayout.appraisal.driving.steps import steps_of
from geolayout.appraisal.places import COMPASS
from geolayout.appraisal.works import Work, work_of
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.parts import Item, Sentence, Table
from geolayout.handover.sheets.say import say
from geolayout.handover.tables import pass_title
from geolayout.handover.words.counting import counted
from geolayout.plan.units import METRIC, Units

__all__ = ["filling_items"]

CRUMB = 1e-4
"""A share of a load that no scale on a machine shows. Our own choice. [-]"""

MOST_ENDS = 12
"""Ends of loads that are told; the rest are counted. Our own choice. [-]"""


def filling_items(handed: Handed, index: int) -> tuple[Item, ...]:
    """
    Return where loads end, how many there are, and what the last has to spare.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    index : int
        Which operation of the plan.

    Returns
    -------
    items : tuple of Item
        None where rate, hopper or tank is not said.
    """
    operation = handed.layout.plan.operations[index]
    driven = [one for one in handed.driving if one.operation == operation.name]
    gathers = work_of(handed.layout.plan, operation) is Work.HARVEST
    return tuple(
        item
        for one in driven
        if one.carting is not None
        for item in (
            _count(handed, one, one.carting),
            *_ends(handed, one, one.carting, say("full") if gathers else say("empty")),
            *_before(handed, one.carting),
        )
    )


def _count(handed: Handed, one: Driving, carting: Carting) -> Sentence:
    """Say how many loads the work takes, and what is left of the last."""
    load, units = carting.load, handed.units
    total, loads = _total(handed, one, carting), _loads(handed, one, carting)
    said = say("{total} in all: {loads} of {load}, with {spare} to spare in the last.").format(
        total=_amount(total, load.unit, units),
        loads=counted(loads, say("load"), say("loads")),
        load=_amount(load.holds, load.unit, units),
        spare=_amount(max(loads * load.holds - total, 0.0), load.unit, units),
    )
    return Sentence(said)


def _total(handed: Handed, one: Driving, carting: Carting) -> float:
    """Return what all passes of an operation take. [kg or l]"""
    passes = handed.layout.passes
    width = passes.t1 - passes.t0
    ground = sum((order.length * width[order.piece]).sum() for order in one.orders)
    return float(carting.load.per_ha / 1e4 * ground)


def _loads(handed: Handed, one: Driving, carting: Carting) -> int:
    """Return how many loads the passes take; a crumb more than whole loads is none."""
    return max(ceil(_total(handed, one, carting) / carting.load.holds - CRUMB), 1)


def _amount(amount: float, unit: str, units: Units) -> str:
    """Return what a load holds, litres as litres in every system of units."""
    return units.mass.said(amount) if unit == METRIC.mass.word else f"{amount:,.0f} {unit}"


def _ends(handed: Handed, one: Driving, carting: Carting, state: str) -> tuple[Item, ...]:
    """Return on which passes loads end, if each is driven to its last."""
    ends = carting.run_outs[: _loads(handed, one, carting) - 1]
    if not ends:
        return ()
    layout, length = handed.layout, handed.units.length
    pieces = np.concatenate([order.piece for order in one.orders])
    lengths = np.concatenate([order.length for order in one.orders])
    headings = np.concatenate([steps_of(layout, order).heading for order in one.orders])
    rows = [
        (
            str(number),
            pass_title(layout, one.operation, int(pieces[out.piece])),
            say("{far} from the {end} end").format(
                far=length.said(out.along), end=_behind(float(headings[out.piece]))
            ),
            length.said(float(lengths[out.piece]) - out.along),
        )
        for number, out in enumerate(ends[:MOST_ENDS], start=1)
    ]
    head = (say("load"), say("{state} on").format(state=state), say("after"), say("still to go"))
    more = len(ends) - len(rows)
    told = say("{count} more loads end later.").format(count=more)
    return (Table(head, tuple(rows)), *([Sentence(told)] if more > 0 else []))


def _behind(heading: float) -> str:
    """Return the compass word of the end that a pass is begun from."""
    return COMPASS[round((heading + 180.0) / 45.0) % len(COMPASS)]


def _before(handed: Handed, carting: Carting) -> tuple[Item, ...]:
    """Say how often it goes if it never stops within a pass."""
    if not carting.trips:
        return ()
    to = say("to the {point}").format(point=carting.point) if carting.point else say("to fill")
    way = say(", {length} driven for it").format(length=handed.units.distance.said(carting.length))
    said = say("If it never stops within a pass, it goes {trips} {to} between passes{way}.")
    trips = counted(carting.loads, say("time"), say("times"))
    return (Sentence(said.format(trips=trips, to=to, way=way if carting.point else "")),)
