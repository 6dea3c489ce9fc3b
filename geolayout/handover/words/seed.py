"""The seed order and the seed on the machine in words, for the screen and for paper."""

from collections.abc import Callable, Sequence

from geolayout.appraisal.places import listed
from geolayout.appraisal.seed.order import OrderLine, SeedOrder
from geolayout.appraisal.seed.passes import CALIBRATED, OpenRows, SownBy
from geolayout.appraisal.seed.rate import Span
from geolayout.handover.words.counting import counted
from geolayout.plan.units import METRIC, Scale, Units

__all__ = ["machine_lines", "order_lines", "short_order"]

WANTED = {
    "rows": "rows to shut off",
    "hopper": "passes from one fill",
    "wheel_circumference": "turns of the wheel for a calibration",
}
"""Keys of a machine, and what hangs on them."""


def order_lines(order: SeedOrder, units: Units = METRIC) -> list[str]:
    """
    Say what to buy, line by line, with what is missing and where figures come from.

    Parameters
    ----------
    order : SeedOrder
        The order.
    units : Units
        Units of the figures.
    """
    lines = [f"{_line(line, units)}{_from(line)}" for line in order.lines]
    return [*lines, *order.notes]


def short_order(order: SeedOrder, units: Units = METRIC) -> list[str]:
    """Say what to buy in few words; summary.txt has where each figure comes from."""
    lines = [
        _line(line, units) + (" From the crop sheet, not from your lot." if line.taken else "")
        for line in order.lines
    ]
    return [*lines, *order.notes]


def _line(line: OrderLine, units: Units) -> str:
    """Say what to buy of one crop."""
    for_what = f", {line.operation}" if line.operation else ""
    variety = f" {line.variety}" if line.variety else ""
    where = "" if line.places == ("bands",) else f" ({' and '.join(line.places)})"
    who = f"{line.crop}{variety}{for_what}{where}, {units.ground.said(line.ground_m2)}"
    parts = []
    if line.kg_ordered is not None:
        parts.append(_mass(line.kg_ordered, units))
    if line.seeds_ordered is not None:
        parts.append(f"{_between(line.seeds_ordered, _seeds)} seeds")
    if line.packs is not None and line.pack is not None:
        parts.append(_packs(line.packs, line.pack, line.pack_unit, units))
    spare = f" with {line.spare:g} % spare" if line.spare else ""
    amounts = f"{', '.join(parts)}{spare}" if parts else "nothing can be said"
    lacks = f" Missing: {', '.join(line.missing)}." if line.missing else ""
    return f"{who}: {amounts}.{lacks}"


def _from(line: OrderLine) -> str:
    """Say which figures came from the crop sheet."""
    return f" From the crop sheet: {'; '.join(line.taken)}." if line.taken else ""


def _packs(packs: tuple[int, int], pack: float, unit: str, units: Units) -> str:
    """Say how many packs, and of what."""
    least, most = packs
    many = counted(most, "pack", "packs") if least == most else f"{least} to {most} packs"
    return f"{many} of {units.mass.said(pack) if unit == 'kg' else f'{pack:,.0f} seeds'}"


def _mass(mass: Span, units: Units) -> str:
    """Say a mass of seed, small ones to the tenth."""
    return f"{_between(mass, lambda kg: _weight(kg, units.mass))} {units.mass.word}"


def _weight(kg: float, scale: Scale) -> str:
    """Return a mass to the whole kilogram or pound, to the tenth below ten."""
    return f"{scale.of(kg):,.1f}" if scale.of(kg) < 10 else f"{scale.of(kg):,.0f}"


def _seeds(count: float) -> str:
    """Return a number of seeds, large ones in millions."""
    return f"{count / 1e6:,.2f} million" if count >= 1e6 else f"{count:,.0f}"


def _between(span: Span, said: Callable[[float], str]) -> str:
    """Say a figure that lies between two, once where they look alike."""
    low, high = said(span.low), said(span.high)
    return low if low == high else f"{low} to {high}"


def machine_lines(sown: Sequence[SownBy], units: Units = METRIC) -> list[str]:
    """
    Say of every sowing what its machine needs to know.

    Parameters
    ----------
    sown : sequence of SownBy
        Sowings under their machines.
    units : Units
        Units of the figures; grams stay grams.
    """
    return [*(_machine_line(one, units) for one in sown), *_wanted(sown)]


def _machine_line(one: SownBy, units: Units) -> str:
    """Say what the machine of one sowing needs to know."""
    said = [_rows(group) for group in one.rows]
    parts = [f"rows open {', '.join(said)}"] if said else []
    parts += _calibration(one, units)
    if one.kg_per_pass is not None:
        parts.append(f"all seed of the largest pass is {_mass(one.kg_per_pass, units)}")
    if one.passes_per_fill is not None:
        least, most = one.passes_per_fill
        fill = f"{least}" if least == most else f"{least} to {most}"
        parts.append(f"a full hopper lasts {fill} of these")
    parts += [f"missing: {word}" for word in one.missing if word not in WANTED]
    return f"{one.operation} ({one.machine}), {one.sowing} in {one.stand}: {'; '.join(parts)}."


def _wanted(sown: Sequence[SownBy]) -> list[str]:
    """Say which keys of which machines would tell more."""
    lines = []
    for key, what in WANTED.items():
        machines = sorted({one.machine for one in sown if key in one.missing})
        if machines:
            lines.append(f"Not said without `{key}` of {listed(machines)}: {what}.")
    return lines


def _calibration(one: SownBy, units: Units) -> list[str]:
    """Say what to catch, over which way, and what a machine that counts hectares is set to."""
    if one.grams is None or one.kg_per_ha is None:
        return []
    rate = units.mass_rate
    ground = _between(one.kg_per_ha, rate.figure)
    grams = _between(one.grams, lambda mass: f"{mass:,.0f}")
    way = ""
    if one.distance_m is not None:
        turns = f", {one.turns:.1f} turns" if one.turns is not None else ""
        way = f" ({units.length.said(one.distance_m)} of driving{turns})"
    patch = "1/100 ha" if units.name == METRIC.name else units.patch.said(CALIBRATED)
    lines = [f"{ground} {rate.word} of its ground, {grams} g on {patch}{way}"]
    if one.machine_rate is not None and one.machine_rate != one.kg_per_ha:
        whole = _between(one.machine_rate, rate.figure)
        lines.append(f"{whole} {rate.word} where the machine counts its whole width")
    return lines


def _rows(group: OpenRows) -> str:
    """Say how many rows are open in how many passes, and how many are shut."""
    shut = f", {group.shut} shut" if group.shut else ""
    return f"{group.open}{shut} ({counted(group.passes, 'pass', 'passes')})"
