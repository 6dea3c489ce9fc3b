"""What an operation works, what it brings there, and what to find by digging behind it."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from geolayout.appraisal.quantities.rows import SowingFigures
from geolayout.appraisal.seed.order import SeedOrder
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.parts import Blanks, Item, Sentence, Table
from geolayout.handover.sheets.say import say
from geolayout.handover.words.counting import counted
from geolayout.handover.words.seed import machine_lines, short_order
from geolayout.plan.machines import Operation
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing
from geolayout.plan.units import FOOT, Units

__all__ = ["measure_items", "numbers_word", "other_widths", "product_items", "strip_items"]

COUNTED_OVER = 5.0
"""Length of row over which seeds are counted; common practice, no source. [m]"""

NARROWEST = 1.0
"""Narrower machines are not told of. Our own choice. [m]"""

MOST_PASSES = 8
"""More passes a strip are not told of. Our own choice. [-]"""


def strip_items(handed: Handed, index: int) -> tuple[Item, ...]:
    """
    Return the strips that an operation works, by name, stand and width.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    index : int
        Which operation of the plan.
    """
    layout, units = handed.layout, handed.units
    operation = layout.plan.operations[index]
    groups: dict[tuple[str, str, str, str], list[tuple[int, float]]] = defaultdict(list)
    areas = {(band.block, band.number): band.area_m2 for band in handed.figures.bands}
    for block in layout.blocks:
        if block.crossed_by:
            continue
        for c in worked_cuts(layout.plan, operation, block.section, block.stands):
            cut, stand = block.section.cuts[c], block.stands[c]
            if cut.grows and stand is not None:
                key = (block.name, cut.band, stand.name, units.width.said(cut.width))
                groups[key].append((cut.number, areas.get((block.name, cut.number), 0.0)))
    head = tuple(map(say, ("strip", "numbers", "grows", "width")))
    rows = [
        (
            f"{block} {band}".strip(),
            numbers_word([number for number, _ in members]),
            stand,
            width,
            units.ground.figure(sum(area for _, area in members)),
        )
        for (block, band, stand, width), members in groups.items()
        if sum(area for _, area in members) > 0.0
    ]
    return (Table((*head, units.ground.word), tuple(rows)),) if rows else ()


def numbers_word(numbers: Sequence[int]) -> str:
    """
    Return numbers as words, evenly stepped ones with their step.

    Examples
    --------
    >>> numbers_word([1, 3, 5, 7]), numbers_word([2, 3])
    ('1, 3 to 7 by 2', '2, 3')
    """
    steps = {b - a for a, b in pairwise(numbers)}
    if len(numbers) < 4 or len(steps) > 1:
        return ", ".join(map(str, numbers))
    step = steps.pop()
    if step == 1:
        return say("{first} to {last}").format(first=numbers[0], last=numbers[-1])
    return say("{first}, {second} to {last} by {step}").format(
        first=numbers[0], second=numbers[1], last=numbers[-1], step=step
    )


def product_items(handed: Handed, operation: Operation) -> tuple[Item, ...]:
    """Return what an operation brings: product, rate, ground, and the order of its seed."""
    units = handed.units
    rows = [
        (
            f"{one.block} {one.band}".strip(),
            one.sowing,
            _rate(one, units),
            _rows_word(one),
            units.ground.figure(one.ground_m2),
        )
        for one in _own_sowings(handed, operation)
    ]
    head = (say("strip"), say("product"), say("rate"), say("rows"), units.ground.word)
    table = [Table(head, tuple(rows))] if rows else []
    lines = [line for line in handed.figures.seed_order.lines if line.operation == operation.name]
    order = [Sentence(line) for line in short_order(SeedOrder(tuple(lines), ()), units)]
    spread = [Sentence(line) for line in _spread(operation, units)]
    return (*table, *order, *spread)


def _own_sowings(handed: Handed, operation: Operation) -> Iterator[SowingFigures]:
    """Yield the sowings that an operation does, where they have ground."""
    for one in handed.figures.sowings:
        sowing = _sowing(handed, one)
        if sowing is not None and sowing.operation == operation.name and one.ground_m2 > 0.0:
            yield one


def _sowing(handed: Handed, one: SowingFigures) -> Sowing | None:
    """Return the sowing of the plan that figures are of."""
    stand = handed.layout.plan.stand(one.stand)
    sowings = stand.sowing if stand is not None else ()
    return next((sowing for sowing in sowings if sowing.label == one.sowing), None)


def _rate(one: SowingFigures, units: Units) -> str:
    """Return a rate as a machine is set to it."""
    if one.rate is None:
        return say("no rate given")
    if one.rate_unit == "kg_per_ha":
        return units.mass_rate.said(one.rate)
    if one.rate_unit == "seeds_per_m2" and units.name == "metric":
        return say("{rate:g} seeds/m2").format(rate=one.rate)
    if one.rate_unit == "seeds_per_m2":
        return say("{rate:.1f} seeds/sq ft").format(rate=one.rate * FOOT**2)
    per = units.count_rate
    return say("{rate:,.0f} plants{per}").format(rate=per.of(one.rate), per=per.word)


def _rows_word(one: SowingFigures) -> str:
    """Return how many rows a full strip has."""
    if one.place != "rows":
        return say(one.place)
    return say("{rows} in a full strip").format(rows=one.rows_in_band)


def _spread(operation: Operation, units: Units) -> Iterator[str]:
    """Yield what is spread or gathered that is not seed."""
    if operation.kg_per_ha is not None:
        yield say("{rate} to be spread or gathered.").format(
            rate=units.mass_rate.said(operation.kg_per_ha)
        )
    if operation.litres_per_ha is not None:
        yield say("{rate:g} l/ha to be sprayed.").format(rate=operation.litres_per_ha)


def measure_items(handed: Handed, operation: Operation) -> tuple[Item, ...]:
    """Return what to find behind the machine, and lines for what was found."""
    found = [
        Sentence(words)
        for one in _own_sowings(handed, operation)
        if (words := _expected(handed, one))
    ]
    if not found:
        return ()
    own = [
        replace(one, missing=())
        for one in handed.figures.sown_by
        if one.operation == operation.name
    ]
    lines = [Sentence(line) for line in machine_lines(own, handed.units)]
    counted_in = say("in {length} of row").format(length=handed.units.length.said(COUNTED_OVER))
    asked = (say("Row to row"), counted_in, say("Depth"), say("Outer row to edge"))
    return (*dict.fromkeys(found), *lines, Blanks(asked))


def _expected(handed: Handed, one: SowingFigures) -> str:
    """Say what one sowing should look like in the ground; "" where nothing can be measured."""
    units, sowing = handed.units, _sowing(handed, one)
    parts = []
    if sowing is not None and sowing.spacing is not None:
        spacing = f"{units.spacing.short(sowing.spacing)} {units.spacing.word}"
        parts.append(say("rows {spacing} apart").format(spacing=spacing))
    if one.in_row_spacing_m:
        parts.append(
            say("{apart} in the row, so {count:.0f} {what} in {length}").format(
                apart=units.in_row.said(one.in_row_spacing_m),
                count=COUNTED_OVER / one.in_row_spacing_m,
                what=one.counted,
                length=units.length.said(COUNTED_OVER),
            )
        )
    named = f"{one.sowing} in {one.band}"
    return f"{named}: {'; '.join(parts)}." if parts else ""


def other_widths(handed: Handed, index: int) -> tuple[Item, ...]:
    """Return which other working widths fill the strips of an operation, and which do not."""
    layout, units = handed.layout, handed.units
    operation = layout.plan.operations[index]
    if operation.over != "band":
        return (
            Sentence(
                say("None by this sheet: the passes go across strips and hang on the width. Ask "
                    "for a new plan before another machine comes.")
            ),
        )  # fmt: skip
    widths = sorted(_whole_widths(handed, operation))
    if not widths:
        return ()
    own = layout.plan.machine(operation.machine).working_width
    fitting = [
        (width, count)
        for count in range(1, MOST_PASSES + 1)
        if (width := widths[0] / count) >= NARROWEST
        and abs(width - own) > ACROSS_SLACK
        and all(abs(one - width * round(one / width)) <= ACROSS_SLACK for one in widths)
    ]
    if not fitting:
        return (Sentence(say("None fills these strips: ask before another machine comes.")),)
    told = ", ".join(
        f"{units.width.short(width)} {units.width.word} "
        f"({counted(count, say('pass'), say('passes'))})"
        for width, count in fitting
    )
    words = say(
        "{told} in a strip of {strip}. An odd number of passes ends at the other end. Rows must "
        "fill the width too, and lines are counted in the new width."
    )
    strip = f"{units.width.short(widths[0])} {units.width.word}"
    return (Sentence(words.format(told=told, strip=strip)),)


def _whole_widths(handed: Handed, operation: Operation) -> set[float]:
    """Return the widths of the strips of an operation as the plan has them. [m]"""
    layout = handed.layout
    return {
        round(cut.bed[1] - cut.bed[0], 3)
        for block in layout.blocks
        for c in worked_cuts(layout.plan, operation, block.section, block.stands)
        if (cut := block.section.cuts[c]).grows
    }
