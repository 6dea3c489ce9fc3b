"""The operation-by-strip table, tramlines and widths in words and columns."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from geolayout.appraisal.fit.reach import Cause, Reach, RowsUnder
from geolayout.appraisal.fit.row_units import (
    WIDE_ROWS,
    rows_of_header,
    straddles,
    straddling_tracks,
)
from geolayout.appraisal.fit.table import StripLine
from geolayout.appraisal.fit.tramlines import Tramlines
from geolayout.appraisal.places import listed
from geolayout.appraisal.works import SUPPOSED, Work
from geolayout.plan.units import METRIC, Units

__all__ = [
    "STRIP_HEAD",
    "STRIP_LEGEND",
    "strip_lines",
    "strip_reasons",
    "strip_rows",
    "tramline_words",
    "unsaid_words",
]

STRIP_HEAD = ("operation", "machine", "strips", "grows", "reached", "passes")
"""Columns of the table."""

STRIP_LEGEND = (
    "Reached alone, together with what grows beside it, or not; passes in each strip, and whether "
    "the machine is back after them, at the far end, or out there by a way of its own."
)
"""What the columns mean."""

SHORT = {Reach.ALONE: "alone", Reach.TOGETHER: "together", Reach.NOT_POSSIBLE: "no"}
"""How a strip is reached, in the table."""

FEW_NAMES = 2
"""Bands of more names than this are counted. Our own choice."""

FEW_PLACES = 4
"""Tramlines that are told by their places. Our own choice."""

PLAIN = {
    "no sections": "nothing of it shuts off",
    "sows both": "one pass sows all of them",
    "other rows": "what it would reach beside stands in other rows or in none",
    "tree row": "it would meet a tree row",
    "wheels on rows": "its wheels run on rows",
    "trailer": "one pass takes the strip, so a trailer alongside runs in the strip beside",
}
"""Causes without figures."""

OF_WIDTH = {
    "sections off": "its parts of {} do not end on the borders",
    "sections fit": "its parts of {} end on the borders and can be shut off",
    "overhang": "it stands out {} over the strips beside",
}
"""Causes with one width."""

BESIDES = ("part rows", "header passes", "guess row", "overhang", "trailer")
"""Causes that are good to know, and no reason why a strip is reached as it is."""

OF_SPACINGS = {
    "coulters": "rows of {crop} stand {} apart, those of the machine {}",
    "guess row": "rows are {} apart from pass to pass, {} within one",
}
"""Causes with what was found and what it is held against."""


def strip_rows(lines: Sequence[StripLine], units: Units = METRIC) -> list[tuple[str, ...]]:
    """
    Return the table's rows as text, under `STRIP_HEAD`.

    Parameters
    ----------
    lines : sequence of StripLine
        The table.
    units : Units
        Units of the widths.
    """
    told = Counter((line.operation.name, line.stand) for line in lines)
    return [
        (
            line.operation.name,
            line.machine.name,
            f"{_bands(line, told)}, {_widths(line, units)}",
            line.stand,
            SHORT[line.reach],
            _ends(line),
        )
        for line in lines
    ]


def _bands(line: StripLine, told: Mapping[tuple[str, str], int]) -> str:
    """Return what the bands of a line are called, with their count where it tells lines apart."""
    name = " and ".join(line.bands) if len(line.bands) <= FEW_NAMES else "strips"
    alone = told[line.operation.name, line.stand] == 1 and len(line.bands) <= FEW_NAMES
    return name if alone else f"{name} ({line.strips})"


def _widths(line: StripLine, units: Units) -> str:
    """Return the width of strips, or the narrowest and widest."""
    narrow, wide = (units.width.short(width) for width in line.widths)
    between = narrow if narrow == wide else f"{narrow} to {wide}"
    return f"{between} {units.width.word}"


def _ends(line: StripLine) -> str:
    """Return the passes in a strip, and at which end the machine is after them."""
    if not line.passes:
        return ""
    if _mixed(line):
        return _counts(line)
    far = "out" if line.machine.far_side_access else "far"
    return f"{_counts(line)}, {'back' if line.back else far}"


def strip_lines(lines: Sequence[StripLine], units: Units = METRIC) -> list[str]:
    """
    Return the table as sentences, for text without columns.

    Parameters
    ----------
    lines : sequence of StripLine
        The table.
    units : Units
        Units of the widths.
    """
    rows = zip(lines, strip_rows(lines, units), strict=True)
    return [
        f"{operation} ({machine}) on {strips}, {grows}: {line.reach.value}{_ends_words(line)}."
        for line, (operation, machine, strips, grows, *_) in rows
    ]


def _ends_words(line: StripLine) -> str:
    """Return the passes in a strip and where the machine is after them, as a clause."""
    if not line.passes:
        return ""
    passes = "pass" if line.passes == (1,) else "passes"
    told = f"; {_counts(line)} {passes}"
    if line.back:
        return f"{told}, back where it began"
    if _mixed(line):
        return told
    way_out = ", where it has a way out" if line.machine.far_side_access else ""
    return f"{told}, ends at the far end{way_out}"


def _counts(line: StripLine) -> str:
    """Return the passes in a strip, or the least and most of them."""
    counts = line.passes
    return f"{counts[0]} to {counts[-1]}" if len(counts) > 2 else " or ".join(map(str, counts))


def _mixed(line: StripLine) -> bool:
    """Whether some strips have even and others odd numbers of passes."""
    return len({count % 2 for count in line.passes}) > 1


def strip_reasons(lines: Sequence[StripLine], units: Units = METRIC) -> list[str]:
    """
    Say why, for every line that is not simply alone, and what wheels do.

    Parameters
    ----------
    lines : sequence of StripLine
        The table.
    units : Units
        Units of the widths.

    Returns
    -------
    sentences : list of str
        Strips of which the same is said are told together.
    """
    told: dict[tuple[str, str], list[str]] = {}
    for line in lines:
        for words in _why(line, units):
            told.setdefault((line.operation.name, words), []).append(line.stand)
    sentences = [
        f"{name}, {'; '.join(dict.fromkeys(stands))}: {words}."
        for (name, words), stands in told.items()
    ]
    if any(not line.said for line in lines):
        sentences.append(
            f'"{SUPPOSED}": no operation of the plan says so; one of its machines could.'
        )
    return sentences


def _why(line: StripLine, units: Units) -> Iterator[str]:
    """Yield what is to say of one line."""
    causes = [_cause(line, cause, units) for cause in line.causes if cause.kind not in BESIDES]
    if causes:
        others = f" with {listed(line.others)}" if line.reach is Reach.TOGETHER else ""
        yield f"{line.reach}{others}: {'; '.join(causes)}"
    yield from (_cause(line, cause, units) for cause in line.causes if cause.kind in BESIDES)
    for hit in line.rows_under:
        yield from _wheel_words(line, hit, units)
    if line.wheels_in:
        yield f"its wheels run in {listed(line.wheels_in)} beside it"


def _cause(line: StripLine, cause: Cause, units: Units) -> str:
    """Return one cause in words."""
    if cause.kind in PLAIN:
        return PLAIN[cause.kind]
    if cause.kind in OF_WIDTH:
        return OF_WIDTH[cause.kind].format(units.width.said(cause.figures[0]))
    if cause.kind in ("header rows", "part rows"):
        return _header_rows(line, cause, units)
    if cause.kind == "header passes":
        return _header_passes(cause)
    if cause.kind == "wider":
        machine = units.width.said(cause.figures[0])
        return f"{machine} at once over strips of {_widths(line, units)}"
    first, second = (f"{units.spacing.short(x)} {units.spacing.word}" for x in cause.figures)
    return OF_SPACINGS[cause.kind].format(first, second, crop=cause.crop)


def _header_rows(line: StripLine, cause: Cause, units: Units) -> str:
    """Say how many rows a header covers that does not gather them."""
    width, spacing = cause.figures
    header = line.machine.header
    made = f", made for {header.rows} rows," if header is not None and header.rows else ""
    rows = rows_of_header(width, spacing)
    apart = f"{units.spacing.short(spacing)} {units.spacing.word}"
    return (
        f"the header of {units.width.said(width)}{made} covers {rows:.1f} rows of {cause.crop} "
        f"at {apart}" + (", so a row stands under its edge" if cause.kind == "part rows" else "")
    )


def _header_passes(cause: Cause) -> str:
    """Say how rows come out in headers."""
    a_pass, rows, passes, last = cause.figures
    return (
        f"{a_pass:.0f} rows of {cause.crop} a pass, {rows:.0f} in the strip: {passes:.0f} passes, "
        f"the last takes {last:.0f}"
    )


def _wheel_words(line: StripLine, hit: RowsUnder, units: Units) -> Iterator[str]:
    """Yield what wheels do to the rows of one crop, and which tracks would spare them."""
    track, spacing = line.machine.track_width or 0.0, hit.spacing
    if hit.under:
        yield f"its wheels run on {hit.under} of {hit.rows} rows of {hit.crop}"
    if not hit.rows or spacing is None or spacing < WIDE_ROWS:
        return
    apart = f"rows of {hit.crop} {units.spacing.short(spacing)} {units.spacing.word} apart"
    here = f"a track of {units.width.said(track)} straddles"
    if not straddles(track, spacing):
        better = " or ".join(
            f"{units.width.said(t)} (middle of the pass {where})"
            for t, where in straddling_tracks(track, spacing)
        )
        yield f"{here} no {apart}; {better} does"
    elif hit.under:
        gaps = round(track / spacing)
        place = next(where for _, where in straddling_tracks((gaps + 0.5) * spacing, spacing))
        yield f"{here} {apart} with the middle of the pass {place}"


def tramline_words(tramlines: Sequence[Tramlines], units: Units = METRIC) -> list[str]:
    """
    Say where tramlines fall, and how strips would lie better against them.

    Parameters
    ----------
    tramlines : sequence of Tramlines
        Of each operation that goes across strips.
    units : Units
        Units of the lengths.
    """
    return [_tramlines(one, units) for one in tramlines]


def _tramlines(one: Tramlines, units: Units) -> str:
    """Say where the tramlines of one operation fall."""
    wide, name = units.width, one.operation.name
    on, count = int(one.on_border.sum()), len(one.places)
    shown = [wide.figure(place) for place in one.places[:FEW_PLACES]]
    places = ", ".join([*shown, *(["…"] if count > FEW_PLACES else [])])
    if on == 0:
        least = wide.said(float(np.min(one.room)))
        return f"{name}: tramlines at {places} {wide.word}; each keeps {least} from a border."
    lines, run = "tramline" if count == 1 else "tramlines", "runs" if on == 1 else "run"
    told = (
        f"{name}: {on} of {count} {lines} at {places} {wide.word} {run} on a border, a wheel in "
        "each crop."
    )
    return f"{told} {_better(one, units)}"


def _better(one: Tramlines, units: Units) -> str:
    """Say how strips would lie better, or that no place of them helps."""
    wide, best = units.width, one.best
    if best is None:
        return "Strips or trees that stay where they are leave only another boom."
    if best.room <= one.needed:
        return f"Nowhere do these strips leave room for all: at best {wide.said(best.room)}."
    if best.move == 0.0:
        others = f"; those between them keep {wide.said(best.room)}" if len(one.places) > 1 else ""
        return f"Only passes moved inward at the land's edges do{others}."
    if not one.repeats:
        return (
            f"With {best.move:g} m more in the operation's offset all but those at the land's "
            f"edges keep {wide.said(best.room)}."
        )
    return (
        f"With the strips {wide.said(best.move)} farther from the near side, so with a first strip "
        f"of that width, each keeps {wide.said(best.room)}: add {best.move:g} m to the guide's "
        f"start and take it from the operation's offset."
    )


def unsaid_words(works: Sequence[tuple[Work, tuple[str, ...]]]) -> list[str]:
    """
    Say which works nothing is said of.

    Parameters
    ----------
    works : sequence of (Work, tuple of str)
        Works, with the crops or stands left without one.
    """
    what = {Work.SOW: "what sows", Work.HARVEST: "what harvests"}
    told = [f"Not said: {what[work]} {listed(names)}." for work, names in works if work in what]
    others = [work.value for work, _ in works if work not in what]
    return [*told, *([f"Not said, with no machine for it: {', '.join(others)}."] if others else [])]
