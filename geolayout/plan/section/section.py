"""
The section: a pattern laid across a span of land, in one dimension and without geometry.

Bands hang on the anchor, t = 0, and repeat from there both ways::

      near side                        anchor                               far side
    t0 |  cut  |   B   |   A   |   B   |   A   |   B   |   A   |   B  | what is left | t1
               repeat 0                t=0   repeat 1       repeat 2

What happens at the far side is settled by the pattern, in this order: a leftover up to the
slack joins the last band; a cut band stays if it may be cut and is wide enough; else it goes,
with the bands behind the last `close_with`; and what is left then goes by `remainder`. The near
side is the same, mirrored, so one function serves both.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from geolayout.errors import LayoutError, MeasureError
from geolayout.plan.pattern import Band, Pattern
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["Cut", "CutKind", "GaveWay", "Section", "cut_section", "shifted"]

REST = -1
"""Index of the cut beyond the repeats, and of land that no band takes."""


class CutKind(StrEnum):
    """What a cut of the section is."""

    BAND = "band"
    TREE_BAND = "tree band"
    HEADLAND = "headland"
    LEFT_OVER = "left over"


@dataclass(frozen=True, slots=True)
class Cut:
    """
    One piece of the section, between two distances from the anchor.

    Attributes
    ----------
    t0, t1 : float
        Its edges, growing away from `from`. [m]
    band : str
        Name of the band; "rest" beyond the repeats, "" where no band is.
    index : int
        Place of the band in its pattern, -1 where it has none.
    number : int
        Its place in the section, counted from the near side; 0 where no band is.
    repeat : int
        Repeat it belongs to, 1 at the anchor.
    kind : CutKind
        What it is.
    bed : tuple of float
        Edges that rows are placed by: the uncut band's, or the widened band's. [m]
    note : str
        Why it is not the band as written, if it is not.
    """

    t0: float
    t1: float
    band: str
    index: int
    number: int
    repeat: int
    kind: CutKind
    bed: tuple[float, float]
    note: str = ""

    @property
    def width(self) -> float:
        """Its width. [m]"""
        return self.t1 - self.t0

    @property
    def grows(self) -> bool:
        """Whether it is a band, with or without trees."""
        return self.kind in (CutKind.BAND, CutKind.TREE_BAND)


@dataclass(frozen=True, slots=True)
class GaveWay:
    """
    Something that did not fit and was changed.

    Attributes
    ----------
    what : str
        The sentence that says what was changed.
    amount : float
        By how much. [m]
    """

    what: str
    amount: float


@dataclass(frozen=True, slots=True)
class Section:
    """
    A pattern laid across a span.

    Attributes
    ----------
    cuts : tuple of Cut
        From the near side to the far side, without gaps.
    number_at_anchor : int
        Number of the band that begins at the anchor.
    gave_way : tuple of GaveWay
        What was changed to make it fit.
    """

    cuts: tuple[Cut, ...]
    number_at_anchor: int
    gave_way: tuple[GaveWay, ...]

    @property
    def bands(self) -> tuple[Cut, ...]:
        """The cuts that are bands."""
        return tuple(cut for cut in self.cuts if cut.grows)


@dataclass(slots=True)
class _Slot:
    """
    A band being fitted: its place in the endless pattern, its bed n, and its ground t.

    What the remainder widens or moves on takes its bed with it; what the edge cuts, or joins
    within the slack, leaves its bed behind. Order counts from the anchor, 0 for the first band
    ahead of it and -1 for the first behind.
    """

    order: int
    band: Band
    n0: float
    n1: float
    t0: float
    t1: float
    note: str = ""

    def mirrored(self) -> "_Slot":
        """Return it seen from the other side."""
        return _Slot(-1 - self.order, self.band, -self.n1, -self.n0, -self.t1, -self.t0, self.note)

    def remark(self, why: str) -> None:
        """Say why it is not the band as written; of two cuts the later says all."""
        cut_twice = self.note.startswith("cut") and why.startswith("cut")
        self.note = why if cut_twice or not self.note else f"{self.note}, {why}"


@dataclass(slots=True)
class _Side:
    """One side finished: the slots that stay, and what lies beyond them."""

    slots: list[_Slot]
    beyond: CutKind | None
    gave_way: list[GaveWay]


def cut_section(
    pattern: Pattern, span: tuple[float, float], number_at_anchor: int | None = None
) -> Section:
    """
    Lay a pattern across a span.

    Parameters
    ----------
    pattern : Pattern
        Its bands; a trial must have been turned into bands before.
    span : tuple of float
        Near and far edge of the land, as distances from the anchor. [m]
    number_at_anchor : int, optional
        Number of the band that begins at the anchor, from an earlier season. Numbers count
        from the near side if nothing is said.

    Returns
    -------
    section : Section
        Empty of bands where none fits.

    Raises
    ------
    MeasureError
        If the span is not a span, or fixed bands beside a band of width "rest" do not fit.
    LayoutError
        If the pattern is a trial.
    """
    near, far = span
    if not far > near:
        raise MeasureError(
            f"The land reaches from {near:g} to {far:g} m across the rows.",
            "A section needs some width.",
            "Look at the guide's side and start.",
        )
    if pattern.trial is not None:
        raise LayoutError(
            f"Pattern {pattern.name} is a trial.",
            "Its plots are not in order yet.",
            "Resolve the plan first.",
        )
    if pattern.laid_once:
        slots = _slots_round_the_rest(pattern, near, far)
    else:
        slots = _slots_repeated(pattern, near, far)
    high = _finish(slots, far, pattern)
    low = _finish(_mirror(high.slots), -near, pattern)
    kept = _mirror(low.slots)
    return _assemble(pattern, span, kept, (low, high), number_at_anchor)


def shifted(section: Section, distance: float) -> Section:
    """Return the section moved away from `from` by a distance. [m]"""
    cuts = tuple(
        replace(
            cut,
            t0=cut.t0 + distance,
            t1=cut.t1 + distance,
            bed=(cut.bed[0] + distance, cut.bed[1] + distance),
        )
        for cut in section.cuts
    )
    return replace(section, cuts=cuts)


def _mirror(slots: Sequence[_Slot]) -> list[_Slot]:
    """Return the slots as seen from the other side."""
    return [slot.mirrored() for slot in reversed(slots)]


def _slots_repeated(pattern: Pattern, near: float, far: float) -> list[_Slot]:
    """Return every band of the repeating pattern that reaches into the span by more than slack."""
    bands = [(band, float(band.width)) for band in pattern.bands if band.width != "rest"]
    width = pattern.repeat_width
    first, last = int(near // width) - 1, int(far // width) + 1
    if pattern.repeats is not None:
        first, last = max(first, 0), min(last, pattern.repeats - 1)
    slots = []
    for repeat in range(first, last + 1):
        edge = repeat * width
        for place, (band, band_width) in enumerate(bands):
            n0, n1 = edge, edge + band_width
            edge = n1
            if n1 > near + ACROSS_SLACK and n0 < far - ACROSS_SLACK:
                slots.append(_Slot(repeat * len(bands) + place, band, n0, n1, n0, n1))
    return slots


def _slots_round_the_rest(pattern: Pattern, near: float, far: float) -> list[_Slot]:
    """Return the bands of a pattern in which one takes what the others leave."""
    place = next(i for i, band in enumerate(pattern.bands) if band.width == "rest")
    taker = pattern.bands[place]
    begin = max(0.0, near)
    room = far - begin - pattern.repeat_width
    if room <= taker.least_width:
        raise MeasureError(
            f"The fixed bands of pattern {pattern.name} take {pattern.repeat_width:g} m and the "
            f"land is {far - begin:.2f} m across.",
            f'Band {taker.name} of width "rest" would be {max(room, 0):.2f} m wide.',
            "Narrow or leave out a band.",
        )
    slots, edge = [], begin
    for order, band in enumerate(pattern.bands):
        width = room if band.width == "rest" else band.width
        slots.append(_Slot(order, band, edge, edge + width, edge, edge + width))
        edge += width
    return slots


def _finish(slots: list[_Slot], limit: float, pattern: Pattern) -> _Side:
    """Settle the far side of the slots at the limit of the land."""
    gave_way: list[GaveWay] = []
    complete = bool(slots) and slots[-1].t1 < limit - ACROSS_SLACK
    _settle_last(slots, limit, pattern, gave_way)
    _drop_behind_closing(slots, pattern, gave_way)
    if not slots:
        return _Side(slots, CutKind.LEFT_OVER, gave_way)
    left = limit - slots[-1].t1
    if left <= ACROSS_SLACK:
        slots[-1].t1 = limit
        return _Side(slots, None, gave_way)
    if complete:  # repeats have ended, or the land begins before a pattern laid once
        return _Side(slots, CutKind.LEFT_OVER, gave_way)
    return _share_out(slots, limit, pattern, gave_way)


def _settle_last(
    slots: list[_Slot], limit: float, pattern: Pattern, gave_way: list[GaveWay]
) -> None:
    """Keep the last band whole, keep it cut, or take it out."""
    if not slots or slots[-1].t1 <= limit + ACROSS_SLACK:
        return
    last = slots[-1]
    width = limit - last.t0
    if width <= ACROSS_SLACK:
        slots.pop()
        return
    may_be_cut = not last.band.whole and (
        pattern.remainder == "cut" or last.band.min_width is not None
    )
    if may_be_cut and width >= last.band.least_width - ACROSS_SLACK:
        last.t1 = limit
        last.remark(f"cut to {width:.2f} m")
        gave_way.append(
            GaveWay(f"Band {last.band.name} is cut to {width:.2f} m at the edge.", width)
        )
        return
    slots.pop()
    why = "it may not be cut" if last.band.whole else "it would be too narrow"
    gave_way.append(
        GaveWay(f"Band {last.band.name} is left out at the edge: {width:.2f} m, {why}.", width)
    )


def _drop_behind_closing(slots: list[_Slot], pattern: Pattern, gave_way: list[GaveWay]) -> None:
    """Take out bands until the last is the one that must close the pattern."""
    while slots and pattern.close_with and slots[-1].band.name != pattern.close_with:
        gone = slots.pop()
        gave_way.append(
            GaveWay(
                f"Band {gone.band.name} is left out at the edge, so that "
                f"{pattern.close_with} closes the pattern.",
                gone.t1 - gone.t0,
            )
        )


def _share_out(
    slots: list[_Slot], limit: float, pattern: Pattern, gave_way: list[GaveWay]
) -> _Side:
    """Give what is left to bands, to the headland, or to nobody, as the pattern says."""
    last = slots[-1]
    left = limit - last.t1
    if pattern.remainder == "headland":
        gave_way.append(GaveWay(f"{left:.2f} m at the edge become headland.", left))
        return _Side(slots, CutKind.HEADLAND, gave_way)
    takers = [slot for slot in slots if slot.order >= 0 and not slot.band.whole]
    if pattern.remainder == "spread" and takers:
        _spread(slots, takers, left)
        last.t1 = last.n1 = limit
        over = "1 band" if len(takers) == 1 else f"{len(takers)} bands"
        gave_way.append(GaveWay(f"{left:.2f} m are spread over {over}.", left))
        return _Side(slots, None, gave_way)
    if last.band.whole and pattern.remainder != "widen":
        gave_way.append(GaveWay(f"{left:.2f} m at the edge are left over.", left))
        return _Side(slots, CutKind.LEFT_OVER, gave_way)
    last.t1 = last.n1 = limit
    last.remark(f"widened by {left:.2f} m")
    gave_way.append(GaveWay(f"Band {last.band.name} at the edge is widened by {left:.2f} m.", left))
    return _Side(slots, None, gave_way)


def _spread(slots: list[_Slot], takers: list[_Slot], left: float) -> None:
    """Widen the takers in proportion to their width as written, and move on what lies behind."""
    widths = {slot.order: float(slot.band.width) for slot in takers if slot.band.width != "rest"}
    total = sum(widths.values())
    moved = 0.0
    for slot in slots:
        share = left * widths.get(slot.order, 0.0) / total
        if share:
            slot.remark(f"widened by {share:.2f} m")
        slot.t0, slot.n0 = slot.t0 + moved, slot.n0 + moved
        moved += share
        slot.t1, slot.n1 = slot.t1 + moved, slot.n1 + moved


def _assemble(
    pattern: Pattern,
    span: tuple[float, float],
    slots: list[_Slot],
    sides: tuple[_Side, _Side],
    number_at_anchor: int | None,
) -> Section:
    """Number the slots and put what lies beyond them at either side."""
    low, high = sides
    gave_way = tuple(low.gave_way + high.gave_way)
    near_rest = low.beyond is CutKind.LEFT_OVER and pattern.rest is not None
    base = number_at_anchor
    if base is None:
        base = 1 - (slots[0].order if slots else 0) + (1 if near_rest else 0)
    if not slots:
        return Section((_beyond(pattern, CutKind.LEFT_OVER, span, (0, 0)),), base, gave_way)
    cuts = [_cut_of(slot, base, len(pattern.bands)) for slot in slots]
    first, last = cuts[0], cuts[-1]
    if low.beyond is not None:
        edges = (span[0], first.t0)
        cuts.insert(0, _beyond(pattern, low.beyond, edges, (first.number - 1, first.repeat - 1)))
    if high.beyond is not None:
        edges = (last.t1, span[1])
        cuts.append(_beyond(pattern, high.beyond, edges, (last.number + 1, last.repeat + 1)))
    return Section(tuple(cuts), base, gave_way)


def _cut_of(slot: _Slot, base: int, bands: int) -> Cut:
    """Return the finished cut of a slot."""
    return Cut(
        slot.t0,
        slot.t1,
        slot.band.name,
        slot.order % bands,
        base + slot.order,
        slot.order // bands + 1,
        CutKind.TREE_BAND if slot.band.trees is not None else CutKind.BAND,
        (slot.n0, slot.n1),
        slot.note,
    )


def _beyond(
    pattern: Pattern, kind: CutKind, edges: tuple[float, float], place: tuple[int, int]
) -> Cut:
    """Return the cut of land that no band of the pattern takes."""
    if kind is CutKind.LEFT_OVER and pattern.rest is not None:
        number, repeat = place
        return Cut(*edges, "rest", REST, number, repeat, CutKind.BAND, edges, "beyond the repeats")
    note = "given up by the pattern" if kind is CutKind.LEFT_OVER else "remainder of the pattern"
    return Cut(*edges, "", REST, 0, 0, kind, edges, note)
