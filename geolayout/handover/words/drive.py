"""Driving in words, for the screen and for paper: which pass next, how long, what is carted."""

from collections.abc import Sequence

import numpy as np

from geolayout.appraisal.driving.carting import Carting
from geolayout.appraisal.driving.hours import HECTARE, Range
from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.driving.patterns import Rule
from geolayout.appraisal.driving.published import Published
from geolayout.appraisal.driving.rounds import RoundsOrder
from geolayout.appraisal.driving.season import Driving
from geolayout.appraisal.driving.steps import Steps, line_words, steps_of
from geolayout.appraisal.driving.traffic import Traffic
from geolayout.appraisal.places import COMPASS
from geolayout.handover.words.counting import counted
from geolayout.layout.build import Layout
from geolayout.plan.units import METRIC, Units

__all__ = [
    "drive_lines",
    "in_turn",
    "order_words",
    "round_words",
    "rule_words",
    "short_drive",
    "traffic_line",
]

NOT_COUNTED = (
    "Hours are those in the field: no road, rain, breakdown or pause is in them, and filling only "
    "where rate and hopper are given. Speeds in turns and on trips are our own choice."
)
"""What hours leave out."""

LEAST_GROUND = 1.0
"""Ground below this is not worth a word. [m2]"""

MOST_RUN_OUTS = 6
"""Run-outs that are named; more are counted."""

ORDINALS = {2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}


def rule_words(rule: Rule | None) -> str:
    """
    Return a rule as one says it to a driver.

    Parameters
    ----------
    rule : Rule or None
        None for a list.

    Examples
    --------
    >>> rule_words(Rule("runs", 2))
    'every second pass out, the others back'
    >>> rule_words(Rule("lands", 3))
    'in lands of 6, 3 passes on and 2 back in turn'
    """
    if rule is None:
        return "by a list of lines"
    step, nth = rule.step, ORDINALS.get(rule.step, f"{rule.step}th")
    if rule.kind == "runs" and step == 2:
        return "every second pass out, the others back"
    return {
        "rings": "one round after the other, from the edge inwards",
        "lands": f"in lands of {2 * step}, {step} passes on and {step - 1} back in turn",
        "runs": f"every {nth} pass, in {step} runs out and back in turn",
        "out and home": f"every {nth} pass out, home over the others, {step} back and "
        f"{step + 1} on in turn",
        "up and back": "up and back, the neighbouring pass every time",
    }[rule.kind]


def order_words(driving: Driving) -> str:
    """Return how one operation drives, in a few words."""
    rules = list(dict.fromkeys(rule_words(order.rule) for order in driving.orders))
    lobes = sum(order.lobes for order in driving.orders)
    parts = f", in {lobes} parts one after the other" if lobes > len(driving.orders) else ""
    said = f"{'; then '.join(rules)}{parts}" if rules else "round the headland"
    worked = {one.worked for one in driving.rounds} if rules else set()
    if len(worked) == 2:
        return f"{said}, headland first and last"
    first = f"{said}, headland first"
    last = f"{said}, headland last"
    return first if worked == {"first"} else last if worked else said


def short_drive(driving: Sequence[Driving], units: Units = METRIC) -> list[tuple[str, ...]]:
    """Return one row an operation: hours, share of turns, ground an hour, and the order."""
    return [
        (
            one.operation,
            _range(one.hours.total),
            f"{100 * one.hours.turning_share:.0f}",
            _ground_an_hour(one, units),
            order_words(one),
        )
        for one in driving
    ]


def drive_lines(driving: Sequence[Driving], layout: Layout, units: Units = METRIC) -> list[str]:
    """
    Say how every operation is driven.

    Parameters
    ----------
    driving : sequence of Driving
        One an operation.
    layout : Layout
        The layout.
    units : Units
        Units of the figures.
    """
    lines = [line for one in driving for line in _operation(one, layout, units)]
    return [*lines, NOT_COUNTED] if lines else []


def traffic_line(traffic: Traffic | None) -> list[str]:
    """Say how much crop land lies under wheels."""
    if traffic is None:
        return []
    parts = ", ".join(
        f"{name} {100 * area / traffic.ground:.1f} %" for name, area in traffic.by_operation
    )
    unsaid = f" Not said: {', '.join(traffic.not_said)}." if traffic.not_said else ""
    told = (
        f"Under wheels on the rows: {100 * traffic.share:.1f} % of the crop land, tracks that "
        f"several use counted once ({parts}). Turns and trailers are not in it.{unsaid}"
    )
    return [told]


def _operation(one: Driving, layout: Layout, units: Units) -> list[str]:
    """Say how one operation is driven."""
    width = f"{units.width.short(one.machine.working_width)} {units.width.word}"
    name = f"{one.operation} ({one.machine.name}, {width})"
    return [
        f"{name}: {order_words(one)}. {_saved(one, units)}{_by_rule(one, units)}"
        + _by_list(one, units),
        f"  {_hours(one, units)}",
        *(f"  {line}" for leg in in_turn(one) for line in _leg(leg, layout, units)),
        *(f"  {line}" for line in _narrow(one)),
        *(f"  {line}" for line in _doubled(one, units)),
        *(f"  {line}" for line in _carting(one.carting, one, layout, units)),
        *(f"  {line}" for line in _fuel(one)),
    ]


def _saved(one: Driving, units: Units) -> str:
    """Say how far it drives without working, beside up and back."""
    driven, usual = one.driven.empty, one.usual_turning
    said = f"{units.distance.said(driven)} driven without working"
    if not usual or abs(usual - driven) < 0.005 * usual:
        return f"{said}."
    word = "less" if driven < usual else "more"
    narrow = f" with {_turns(one.usual_unfit)} too deep" if one.usual_unfit else ""
    share = 100 * abs(1.0 - driven / usual)
    return f"{said}, {share:.0f} % {word} than up and back ({units.distance.said(usual)}{narrow})."


def _by_rule(one: Driving, units: Units) -> str:
    """Say what the best rule would drive where a list is driven."""
    listed = [order for order in one.orders if order.rule is None]
    if not listed:
        return ""
    rules = list(dict.fromkeys(rule_words(order.best_rule) for order in listed))
    other = sum(order.by_rule - order.empty_length for order in listed)
    said = units.distance.said(one.driven.empty + other)
    return f' By the best rule, {"; ".join(rules)}: {said} (order = "rule").'


def _by_list(one: Driving, units: Units) -> str:
    """Say what a list would drive where a rule is driven and a list is worth reading."""
    ruled = [order for order in one.orders if order.rule is not None]
    other = sum(order.by_list - order.empty_length for order in ruled)
    if other > -1.0:
        return ""
    said = units.distance.said(one.driven.empty + other)
    return f' By a list of lines: {said} (order = "shortest").'


def _ground_an_hour(one: Driving, units: Units) -> str:
    """Return how much ground is worked in an hour, least and most."""
    return _range(one.capacity * units.ground.of(HECTARE))


def _hours(one: Driving, units: Units) -> str:
    """Say how long it takes and what comes of an hour."""
    hours = one.hours
    parts = [
        (hours.rows.usual, "on rows"),
        (hours.rounds.usual, "on rounds"),
        (hours.turning.usual, "turning"),
        (hours.way.usual, "on the way"),
        (hours.carting.usual, "carting"),
        (hours.filling.usual, "filling"),
    ]
    told = ", ".join(f"{value:.1f} {word}" for value, word in parts if value >= 0.05)
    return (
        f"{_range(hours.total)} h, usually {hours.total.usual:.1f}: {told}. "
        f"{_ground_an_hour(one, units)} {units.ground.word}/h, "
        f"{100 * one.efficiency:.0f} % of full width and speed{_published(one.published)}."
    )


def _published(published: Published | None) -> str:
    """Say what is published for such work."""
    if published is None:
        return ""
    low, high = 100 * published.range.least, 100 * published.range.most
    return f"; published for a {published.what}: {low:.0f} to {high:.0f} % ({published.source})"


def in_turn(one: Driving) -> list[Order | RoundsOrder]:
    """Return what one operation drives, rows and rounds, in the order driven."""
    legs: list[Order | RoundsOrder] = []
    for k in range(len(one.orders) + 1):
        now = [rounds for rounds in one.rounds if rounds.after == k]
        legs += [rounds for rounds in now if rounds.worked == "last"]
        legs += [rounds for rounds in now if rounds.worked == "first"]
        legs += one.orders[k : k + 1]
    return legs


def _leg(leg: Order | RoundsOrder, layout: Layout, units: Units) -> list[str]:
    """Say how the rows of a block, or the rounds of a headland, are driven."""
    if isinstance(leg, RoundsOrder):
        return _rounds(leg, layout, units)
    return _order(leg, layout, units)


def _rounds(order: RoundsOrder, layout: Layout, units: Units) -> list[str]:
    """Say how far it is to the rounds, which follow which, and how far it is from them."""
    numbers = round_words(order, layout)
    pieces = counted(len(order), "piece", "pieces")
    length, corners = float(order.length.sum()), float(order.corners.sum())
    to = f"{units.length.said(order.way_in)} to them, " if order.way_in else ""
    out = f", {units.length.said(order.way_out)} to the way out" if order.way_out else ""
    told = (
        f"Headland {order.worked}, rounds {numbers} in {pieces}: {to}"
        f"{units.distance.said(length)} at work, {units.distance.said(corners)} of it round "
        f"corners, {units.distance.said(float(order.turn_length.sum()))} from one to the next{out}."
    )
    return [told]


def round_words(order: RoundsOrder, layout: Layout) -> str:
    """
    Return which rounds follow which, those about an obstacle said to be so.

    Parameters
    ----------
    order : RoundsOrder
        Rounds of one headland.
    layout : Layout
        The layout.
    """
    rounds = layout.rounds
    pairs = zip(rounds.number[order.piece], rounds.obstacle[order.piece], strict=True)
    names = [f"{number} about obstacle {what}" if what else f"{number}" for number, what in pairs]
    return ", ".join(name for k, name in enumerate(names) if k == 0 or name != names[k - 1])


def _order(order: Order, layout: Layout, units: Units) -> list[str]:
    """Say where an order begins and ends, and its lines."""
    steps, block = steps_of(layout, order), layout.blocks[order.block].name
    where = f"{block}: begin" if block else "Begin"
    last = f"end on pass {steps.number[-1]}"
    out = f", {units.length.said(order.way_out)} from the way out" if order.way_out else ""
    side = steps.towards if steps.towards == "inwards" else f"towards the {steps.towards}"
    apart = f"{units.width.short(steps.spacing)} {units.width.word} apart"
    counted_up = f"lines {apart} counted from pass {steps.zero}, + {side}"
    return [
        f"{where} on pass {steps.number[0]}, driving {_compass(steps)}; {last}{out}; {counted_up}:",
        f"  {line_words(steps.line.tolist())}.",
    ]


def _compass(steps: Steps) -> str:
    """Return the compass word of the way the first pass is driven."""
    return COMPASS[round(float(steps.heading[0]) / 45.0) % len(COMPASS)]


def _narrow(one: Driving) -> list[str]:
    """Say which turns the headland does not hold."""
    if not one.unfit:
        return []
    return [f"The headland does not hold {_turns(one.unfit)} of this order; see the warnings."]


def _turns(number: int) -> str:
    """Return how many turns."""
    return counted(number, "turn", "turns")


def _doubled(one: Driving, units: Units) -> list[str]:
    """Say what is worked beyond its own ground, by sections, and if it is lifted midway."""
    found, area = one.doubled, units.patch
    if found.twice < LEAST_GROUND:
        return []
    told = f"{area.said(found.twice)} worked beyond its own ground, at slanting ends and beside"
    lines = [f"{told} passes that moved inward ({100 * found.twice / found.own:.1f} %)"]
    if found.twice_by_sections is not None and one.machine.sections is not None:
        lines.append(
            f"; {area.said(found.twice_by_sections)} if its {one.machine.sections} sections shut "
            "off one by one"
        )
    if found.midway_missed >= LEAST_GROUND:
        lines.append(
            f"; {area.said(found.midway_twice)} if it is lifted where its middle crosses the end, "
            f"which leaves {area.said(found.midway_missed)} unworked"
        )
    return ["".join(lines) + "."]


def _carting(carting: Carting | None, one: Driving, layout: Layout, units: Units) -> list[str]:
    """Say where it runs out, and its trips."""
    if carting is None:
        return []
    load = carting.load
    amount = f"{load.holds:g} l at {load.per_ha:.4g} l/ha"
    if load.unit == "kg":
        amount = f"{units.mass.said(load.holds)} at {units.mass_rate.said(load.per_ha)}"
    told = f"A load of {amount}: {_run_outs(carting, one, layout, units)}."
    if not carting.trips:
        return [told]
    to = f"to the {carting.point}" if carting.point else "to fill or tip"
    way = f", {units.distance.said(carting.length)}" if carting.point else ", way not known"
    loads = counted(carting.loads, "trip", "trips")
    return [told, f"Going before the pass that it could not finish: {loads} {to}{way}."]


def _run_outs(carting: Carting, one: Driving, layout: Layout, units: Units) -> str:
    """Say on which passes loads end, and after how many metres."""
    if not carting.run_outs:
        return "one load lasts for all"
    number = np.concatenate([layout.passes.number[order.piece] for order in one.orders])
    told = [
        f"pass {number[out.piece]} after {units.length.said(out.along)}"
        for out in carting.run_outs[:MOST_RUN_OUTS]
    ]
    more = len(carting.run_outs) - len(told)
    return f"it ends on {', '.join(told)}{f' and {more} times more' if more else ''}"


def _fuel(one: Driving) -> list[str]:
    """Say how much fuel it takes, and whose figure that is."""
    if one.fuel is None or one.fuel_per_ha is None:
        return []
    told = (
        f"Fuel {one.fuel.least:.0f} to {one.fuel.most:.0f} l, at {one.fuel_per_ha.range.usual:g} "
        f"l/ha from {one.fuel_per_ha.source}, 35 % more or less."
    )
    return [told]


def _range(figure: Range) -> str:
    """Return least and most."""
    low, high = f"{figure.least:.1f}", f"{figure.most:.1f}"
    return low if low == high else f"{low} to {high}"
