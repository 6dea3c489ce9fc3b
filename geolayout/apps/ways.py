"""What `which-way` says of the ways of laying a block, as parts to show."""

from geolayout.appraisal.direction.options import Option
from geolayout.appraisal.direction.words import hours_words
from geolayout.apps.show import Part
from geolayout.jobs.direction import Ways
from geolayout.plan.units import METRIC, Units

__all__ = ["ways_parts"]

COLUMNS = (
    "More: for each hectare worked, against the first. Short: pieces of a pass that are short "
    "against their turns. Point: pieces that run out on a side. Twice: ground that one operation "
    "works twice."
)
"""What the columns say."""

ALIKE = 5e-4
"""Hours that differ by less of them are as many. [-]"""


def ways_parts(ways: Ways, units: Units = METRIC) -> list[Part]:
    """
    Return the ways of a block as parts to show.

    Parameters
    ----------
    ways : Ways
        The ways of one block.
    units : Units
        Units of the figures.
    """
    block = f", block {ways.block}" if ways.block else ""
    head = ("", "hours", "more %", "passes", "turns", "short", "point", *_area_heads(units))
    best = ways.best[0][1]
    rows = [(letter, *_figures(option, best, units)) for letter, option in ways.best]
    written = ways.compared.written
    if written is not None and all(option is not written for _, option in ways.best):
        rows.append(("as written", *_figures(written, best, units)))
    return [
        Part(f"Which way{block}", tuple(_compared(ways)), head, tuple(rows)),
        *(_told(ways, letter, option) for letter, option in ways.best),
        Part("Beside that", tuple(ways.beside)),
    ]


def _area_heads(units: Units) -> tuple[str, str]:
    """Return the heads of the columns of areas."""
    return f"headland {units.ground.word}", f"twice {units.ground.word}"


def _compared(ways: Ways) -> list[str]:
    """Say what was compared."""
    written, best = ways.compared.written, ways.best[0][1]
    more = [] if written is None else [_against(written.rate / best.rate - 1.0, written is best)]
    count, laid = len(ways.compared.look.bearings), len(ways.compared.options)
    first = ways.best[0][0]
    looked = (
        f"{count:,} bearings looked at, {laid} ways laid out and measured. {first} takes the "
        "fewest hours of those compared, for each hectare worked."
    )
    return [looked, *more, COLUMNS]


def _against(more: float, best: bool) -> str:
    """Say how the plan's own lines stand against the best."""
    if best:
        return "These are the plan's own lines."
    if more < ALIKE:
        return "The plan's own lines take as long."
    return f"The plan's own lines take {100 * more:.1f} % more."


def _figures(option: Option, best: Option, units: Units) -> tuple[str, ...]:
    """Return the figures of an option for the table."""
    found = option.found
    return (
        hours_words(found.hours).removesuffix(" h").replace(" to ", "-"),
        f"{100 * (option.rate / best.rate - 1.0):.1f}",
        str(sum(found.passes.values())),
        str(sum(found.turns.values())),
        str(found.short),
        str(found.point),
        units.ground.figure(found.headland),
        units.ground.figure(found.double),
    )


def _told(ways: Ways, letter: str, option: Option) -> Part:
    """Return one option in sentences."""
    turns = ", ".join(f"{count} {word}" for word, count in option.found.turns.items())
    share = 100.0 * option.found.hours.efficiency
    short = f"Short pieces: {option.found.short} of {option.found.pieces}."
    return Part(
        f"{letter}: {ways.way(option)}",
        (
            f"Turns: {turns}. {share:.0f} % of these hours are work, the rest turning.",
            *([short] if option.found.short else []),
            *ways.meaning(option),
        ),
    )
