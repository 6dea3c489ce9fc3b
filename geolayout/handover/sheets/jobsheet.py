"""
The job sheet: what one operation needs to know at six in the morning, in the order it is needed.

Hazards stand first, then whether this is the right plan, the way in, whether the receiver is
right, the first pass, and only then what goes where and how it is driven.
"""

from collections.abc import Iterator

import numpy as np

from geolayout.appraisal.driving.rounds import RoundsOrder
from geolayout.appraisal.driving.season import Driving
from geolayout.appraisal.driving.steps import line_words, steps_of
from geolayout.appraisal.way_in import FromGate, gates_of, way_from
from geolayout.handover.cautions import told_whole
from geolayout.handover.sheets.filling import filling_items
from geolayout.handover.sheets.firstpass import FirstPass, first_passes
from geolayout.handover.sheets.handed import Handed, hazard_items, headline, work_items
from geolayout.handover.sheets.known import known_items
from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Blanks, Item, Part, Sentence, Table
from geolayout.handover.sheets.printed import Page
from geolayout.handover.sheets.say import say
from geolayout.handover.sheets.work import measure_items, other_widths, product_items, strip_items
from geolayout.handover.words.drive import order_words, round_words
from geolayout.land.features import Feature
from geolayout.land.kinds import PASSED_THROUGH
from geolayout.plan.machines import Machine, Operation

__all__ = ["job_pages"]

DIG_AFTER = 20.0
"""Way after which somebody gets down and looks; common practice, no source. [m]"""

MOST_WARNINGS = 5
"""Warnings that are told on one sheet, worst first; the rest are counted. Our own choice. [-]"""


def job_pages(handed: Handed, index: int, lines_file: str) -> list[Page]:
    """
    Set the job sheet of one operation.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    index : int
        Which operation of the plan.
    lines_file : str
        The file of its guidance lines in the folder.

    Returns
    -------
    pages : list of Page
    """
    operation = handed.layout.plan.operations[index]
    machine = handed.layout.plan.machine(operation.machine)
    firsts = first_passes(handed, index)
    far = handed.units.length.said(DIG_AFTER)
    parts = [
        Part(say("Hazards and emergency: read before the engine starts"), _first(handed), True),
        Part(say("Is this the right plan?"), _match(handed)),
        Part(say("The way in"), tuple(_way_in(handed, machine))),
        Part(say("Known points: stand on them before the first pass"), known_items(handed)),
        Part(say("The first pass"), tuple(_first_pass(handed, firsts))),
        Part(say("What the screen should show"), _screen(handed, operation, machine, lines_file)),
        Part(say("Which strips"), strip_items(handed, index)),
        Part(say("What goes on, and how much"), product_items(handed, operation)),
        Part(say("Where loads end"), filling_items(handed, index)),
        Part(say("Dig and measure after {far}, and after each change").format(far=far),
             measure_items(handed, operation)),
        Part(say("How to drive"), tuple(_driving(handed, operation, firsts))),
        Part(say("Other widths that work"), other_widths(handed, index)),
        Part(say("Warnings for this work"), tuple(_warnings(handed, operation))),
        Part(say("When it goes wrong"), _wrong()),
        Part(say("Returns and sign-off"), _returns(handed), True),
        Part(say("What the work itself brings"), work_items(handed)),
    ]  # fmt: skip
    title = say("Job sheet: {work}").format(work=operation.name)
    style = handed.style(lines_file)
    return set_pages(title, headline(handed), parts, headline(handed), style)


def _first(handed: Handed) -> tuple[Item, ...]:
    """Return hazards, and where help is to come."""
    places = [
        say("{gate}: latitude {lat:.6f}, longitude {lon:.6f}").format(
            gate=gate.label, lat=lat, lon=lon
        )
        for gate, lon, lat in _gate_places(handed)
    ]
    where = "; ".join(places) or say("no gateway was given: write down where help can drive in")
    wires = say(
        "If a machine touches a line: stay in the cab, keep everybody away, and have the line's "
        "operator and the emergency services called."
    )
    return (
        *hazard_items(handed),
        Sentence(say("Send help to {where}.").format(where=where)),
        Sentence(wires),
        Blanks((say("Emergency number"), say("Somebody who knows where you are"))),
    )


def _gate_places(handed: Handed) -> Iterator[tuple[Feature, float, float]]:
    """Yield gateways with their longitudes and latitudes. [degrees]"""
    frame = handed.layout.field.frame
    for gate in gates_of(handed.layout.field):
        middle = gate.geometry.centroid
        lon, lat = frame.lonlat(np.array([(middle.x, middle.y)]))[0].tolist()
        yield gate, lon, lat


def _match(handed: Handed) -> tuple[Item, ...]:
    """Return the match code, and the blank for what this sheet replaces."""
    words = say(
        "This sheet, the files and the terminal's task belong together where all say {code}. A "
        "sheet of this field with another code is another plan: ask before driving."
    ).format(code=handed.code)
    return (
        Sentence(words),
        Blanks((say("Replaces code"), say("of (day)"), say("Handed over by"))),
    )


def _way_in(handed: Handed, machine: Machine) -> Iterator[Item]:
    """Yield gateways, bridges and culverts with their widths."""
    width = handed.units.width
    transport = machine.transport_width
    for way in handed.layout.field.features:
        if way.kind not in PASSED_THROUGH:
            continue
        wide = (
            say("{width} wide").format(width=width.said(way.width))
            if way.width
            else say("width not measured")
        )
        name = way.label[:1].upper() + way.label[1:]
        yield Sentence(f"{name}: {wide}.{_opens(handed, way)}")
    folded = (
        say("{machine} is {width} wide in transport.").format(
            machine=machine.name, width=width.said(transport)
        )
        if transport is not None
        else say("Nobody gave the width of {machine} in transport.").format(machine=machine.name)
    )
    yield Sentence(folded)
    if not gates_of(handed.layout.field):
        yield Sentence(say("No gateway was given: ask for the way in."))


def _opens(handed: Handed, way: Feature) -> str:
    """Return the address that opens a telephone's map at a gateway; RFC 5870."""
    if way.kind != "gateway":
        return ""
    middle = way.geometry.centroid
    lon, lat = handed.layout.field.frame.lonlat(np.array([(middle.x, middle.y)]))[0].tolist()
    return " " + say("A telephone's map opens it by geo:{lat:.6f},{lon:.6f}.").format(
        lat=lat, lon=lon
    )


def _first_pass(handed: Handed, firsts: tuple[FirstPass, ...]) -> Iterator[Item]:
    """Yield where the first pass of each block begins and which way it goes."""
    if not firsts:
        yield Sentence(say("This work only goes round the headland: see the file of lines."))
    for one in firsts:
        lat, lon = one.lat, one.lon
        where = (
            _from_gate(handed, way)
            if (way := way_from(handed.layout.field, one.start)) is not None
            else say("No gateway was given to count from.")
        )
        said = say(
            "{block}Begin on {line}, at latitude {lat:.7f}, longitude {lon:.7f}, and drive "
            "{compass}, bearing {bearing:.1f}° from true north. {where}"
        ).format(
            block=f"{one.block}: " if one.block else "",
            line=one.title,
            lat=lat,
            lon=lon,
            compass=one.compass,
            bearing=one.bearing,
            where=where,
        )
        yield Sentence(said, "▶")
    yield Sentence(
        say("The line is the middle of the implement. If the implement stands off the middle of "
            "the tractor, enter the offset and write it here.")
    )  # fmt: skip
    yield Blanks((say("Offset entered"), say("to the left / right"), say("Entered by")))


def _from_gate(handed: Handed, way: FromGate) -> str:
    """Say how far the first pass begins from a gateway."""
    return say("From {gate} it is {distance} {side}, along {bearing:.0f}° from true north.").format(
        gate=way.gate.label,
        distance=handed.units.length.said(way.distance),
        side=say(way.side),
        bearing=way.bearing,
    )


def _screen(
    handed: Handed, operation: Operation, machine: Machine, lines_file: str
) -> tuple[Item, ...]:
    """Return what the terminal should show before the machine moves."""
    units = handed.units
    own = [one for one in handed.figures.operations if one.operation == operation.name]
    passes = own[0].passes if own else 0
    driven = [one for one in handed.driving if one.operation == operation.name]
    ground = units.ground.said(sum(one.area for one in driven)) if driven else "-"
    width = units.width.said(machine.working_width)
    way = units.distance.said(own[0].length_m) if own else "-"
    rows = (
        (say("match code"), handed.code, say("width of the implement"), width),
        (say("lines"), lines_file, say("way at work"), way),
        (say("passes"), str(passes), say("ground when it is done"), ground),
    )
    return (Table((), rows),)


def _driving(handed: Handed, operation: Operation, firsts: tuple[FirstPass, ...]) -> Iterator[Item]:
    """Yield the order of the passes, the lines from the first, and where the work ends."""
    layout = handed.layout
    orders = [one for one in handed.driving if one.operation == operation.name]
    for one in orders:
        yield Sentence(say("Order: {order}.").format(order=order_words(one)))
        yield Sentence(_hours(one))
        for rounds in one.rounds:
            yield Sentence(_rounds(handed, rounds))
    for order, first in zip((each for one in orders for each in one.orders), firsts, strict=True):
        steps = steps_of(layout, order)
        said = say(
            "{block}Lines {width} apart, counted from {title}, + towards the {side}: {lines}."
        ).format(
            block=f"{first.block}: " if first.block else "",
            width=handed.units.width.said(layout.plan.machine(operation.machine).working_width),
            title=first.title,
            side=steps.towards,
            lines=line_words(steps.line.tolist()),
        )
        yield Sentence(said)
        yield Sentence(first.ending)


def _hours(one: Driving) -> str:
    """Say how long the work takes in the field, and what it goes on."""
    total, hours = one.hours.total, one.hours
    said = say(
        "In the field {least:.1f} to {most:.1f} h, usually {usual:.1f}: on rows {rows:.1f}, on "
        "rounds {rounds:.1f}, turning {turning:.1f}, on the way {way:.1f}, filling and carting "
        "{filling:.1f}."
    )
    return said.format(
        least=total.least,
        most=total.most,
        usual=total.usual,
        rows=hours.rows.usual,
        rounds=hours.rounds.usual,
        turning=hours.turning.usual,
        way=hours.way.usual,
        filling=hours.carting.usual + hours.filling.usual,
    )


def _rounds(handed: Handed, rounds: RoundsOrder) -> str:
    """Say when the headland is worked, its rounds in turn, and how far it is to them."""
    length = handed.units.length
    first = say(
        "Headland first, before the rows: rounds {rounds}; it is {way} to them from the gateway."
    )
    last = say(
        "Headland last, after the rows: rounds {rounds}; it is {way} to them, and {out} from the "
        "last of them to the way out."
    )
    said = first if rounds.worked == "first" else last
    return said.format(
        rounds=round_words(rounds, handed.layout),
        way=length.said(rounds.way_in),
        out=length.said(rounds.way_out),
    )


def _warnings(handed: Handed, operation: Operation) -> Iterator[Item]:
    """Yield warnings that name this work or its machine."""
    names = (operation.name, operation.machine)
    mine = [
        one
        for one in handed.cautions
        if one.severity == "warning" and any(name in one.sentence for name in names)
    ]
    for one in mine[:MOST_WARNINGS]:
        yield Sentence(told_whole(one), "•")
    if len(mine) > MOST_WARNINGS:
        more = say("{count} more are in summary.txt.")
        yield Sentence(more.format(count=len(mine) - MOST_WARNINGS))


def _wrong() -> tuple[Item, ...]:
    """Return what to do when something goes wrong; common practice, no source."""
    return tuple(
        Sentence(words, lead)
        for lead, words in (
            (
                say("Seed short:"),
                say("leave out whole strips, the last of the order first, and write their numbers "
                    "down; never thin all of them."),
            ),
            (
                say("Row or tube blocked:"),
                say("stop at once, engine off and key out before anybody reaches in; mark both "
                    "ends of the gap with a stick and write down pass and row."),
            ),
            (
                say("Rain:"),
                say("finish the pass or mark where it stopped; write down its number and which "
                    "way it was driven. Go on along the same lines: never set a new A-B line."),
            ),
            (
                say("Signal lost:"),
                say("stop. Do not go on by eye. When it is back, stand on a known point again "
                    "before the next pass."),
            ),
            (
                say("Something in the way:"),
                say("the ground decides, not the line. Go round it, and draw it on the map."),
            ),
        )
    )  # fmt: skip


def _returns(handed: Handed) -> tuple[Item, ...]:
    """Return what comes back to the office, and who signs."""
    units, field = handed.units, handed.figures.field
    words = say(
        "The whole field has {field}, its headland {headland} of that, on the plan and not along "
        "the slope. The bill goes by the ground agreed here."
    ).format(
        field=units.ground.said(field.record_m2),
        headland=units.ground.said(handed.figures.headland.area_m2),
    )
    return (
        Sentence(words),
        Blanks((say("Begun (day, hour)"), say("Ended"), say("Ground by the terminal"))),
        Blanks((say("Ground for the bill"), say("headland in / out"), say("Litres of fuel"))),
        Blanks((say("Used"), say("Returned"), say("Bags returned"), say("Lots"))),
        Blanks((say("Not done, where and why"),)),
        Blanks((say("Driver"), say("Farmer"))),
    )
