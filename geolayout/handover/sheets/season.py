"""The farmer's page: what to buy, what is done when and by what, and what to look out for."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from geolayout.appraisal.caution import WARNING
from geolayout.appraisal.hazards.rights import consent_words
from geolayout.handover.cautions import told_whole
from geolayout.handover.sheets.handed import Handed, hazard_items, headline, work_items
from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Blanks, Item, Part, Sentence, Table
from geolayout.handover.sheets.printed import Page
from geolayout.handover.sheets.say import say
from geolayout.handover.words.season import calendar_lines
from geolayout.handover.words.seed import short_order
from geolayout.handover.words.trees import order_lines as tree_order_lines
from geolayout.handover.words.trees import tree_lines

__all__ = ["season_pages"]

TICK = "\u2610"
"""A box to tick."""

MOST_WARNINGS = 6
"""Warnings that are told, worst first; the rest are counted. Our own choice. [-]"""


def season_pages(handed: Handed) -> list[Page]:
    """
    Set the farmer's page of one season.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.

    Returns
    -------
    pages : list of Page
    """
    figures, units = handed.figures, handed.units
    parts = [
        Part(say("Hazards"), hazard_items(handed), True),
        Part(say("What grows where"), _ground(handed)),
        Part(say("Seed to order"), tuple(_seed(handed))),
        Part(say("Trees"), _sentences(tree_lines(figures.trees, units))),
        Part(say("To order for the trees"),
             tuple(_tree_order(handed))),
        Part(say("The work, in the order of the plan"), _work(handed)),
        Part(say("The season"), _sentences(calendar_lines(handed.layout))),
        Part(say("Who has to be asked"), _sentences(consent_words(handed.layout.plan), TICK)),
        Part(say("Warnings"), tuple(_warnings(handed))),
        Part(say("What the work itself brings"), work_items(handed)),
        Part(say("Notes"), tuple(Blanks(("",)) for _ in range(3))),
    ]  # fmt: skip
    title = say("The season: {field}").format(field=handed.layout.field.name)
    return set_pages(title, headline(handed), parts, headline(handed), handed.style())


def _sentences(lines: Iterable[str], lead: str = "") -> tuple[Item, ...]:
    """Return lines as sentences."""
    return tuple(Sentence(line.strip(), lead) for line in lines)


def _ground(handed: Handed) -> tuple[Item, ...]:
    """Return the ground of every stand, on strips, on the headland and beside them."""
    area = handed.units.ground
    rows = [
        (
            one.stand or say("nothing"),
            area.figure(one.band_m2),
            area.figure(one.headland_m2),
            area.figure(one.margin_m2 + one.other_m2),
        )
        for one in handed.figures.stands
    ]
    unit = area.word
    head = (
        say("grows"),
        say("on strips, {unit}").format(unit=unit),
        say("headland, {unit}").format(unit=unit),
        say("other, {unit}").format(unit=unit),
    )
    return (Table(head, tuple(rows)),)


def _seed(handed: Handed) -> Iterator[Item]:
    """Yield the order line by line, with a box to tick and a line for what was bought."""
    order = handed.figures.seed_order
    lines = short_order(order, handed.units)
    for k, line in enumerate(lines):
        yield Sentence(line, TICK if k < len(order.lines) else "")
    if order.lines:
        yield Blanks((say("Ordered from"), say("Lots"), say("Price")))


def _tree_order(handed: Handed) -> Iterator[Item]:
    """Yield what to order for the trees, with boxes to tick, then what the plan does not say."""
    order = handed.figures.tree_order
    if order is None:
        return
    yield from _sentences(tree_order_lines(replace(order, missing=()), handed.units), TICK)
    yield from _sentences(order.missing)


def _work(handed: Handed) -> tuple[Item, ...]:
    """Return every operation with its machine, passes and hours, and room for the day."""
    hours = {one.operation: one.hours.total for one in handed.driving}
    width, distance = handed.units.width, handed.units.distance
    rows = []
    for one in handed.figures.operations:
        span = hours.get(one.operation)
        said = f"{span.least:.1f} - {span.most:.1f}" if span is not None else "-"
        working = f"{width.short(one.working_width_m)} {width.word}"
        rows.append(
            (one.operation, one.machine, working, str(one.passes), distance.said(one.length_m),
             said, "____________")
        )  # fmt: skip
    words = ("work", "machine", "width", "passes", "at work", "hours in the field", "done on")
    return (Table(tuple(map(say, words)), tuple(rows)),) if rows else ()


def _warnings(handed: Handed) -> Iterator[Item]:
    """Yield the first warnings, and how many more there are."""
    warnings = [one for one in handed.cautions if one.severity == WARNING]
    for one in warnings[:MOST_WARNINGS]:
        yield Sentence(told_whole(one), "•")
    if len(warnings) > MOST_WARNINGS:
        more = say("{count} more are in summary.txt.")
        yield Sentence(more.format(count=len(warnings) - MOST_WARNINGS))
