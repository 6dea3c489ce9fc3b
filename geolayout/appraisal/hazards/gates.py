"""Ways in: whether machines in transport go through the gateways and over the bridges."""

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.land.features import Feature
from geolayout.land.kinds import PASSED_THROUGH
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine

__all__ = ["gate_cautions"]

TAPE = "A tape between the posts, and the machine's own papers."


def gate_cautions(layout: Layout) -> list[Caution]:
    """
    Say which machines are too wide for a gateway, bridge or culvert, and what nobody measured.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    ways = [f for f in layout.field.features if f.kind in PASSED_THROUGH]
    machines = list(layout.plan.machines)
    if not ways or not machines:
        return []
    measured = [way for way in ways if way.width]
    narrow = [_narrow(layout, way, machines) for way in measured]
    return [
        *(caution for caution in narrow if caution is not None),
        *_no_width(layout, [way for way in ways if not way.width]),
        *(_no_transport_width(machines) if measured else []),
    ]


def _narrow(layout: Layout, way: Feature, machines: list[Machine]) -> Caution | None:
    """Return the caution of the machines that do not go through one way in."""
    left = way.width - way.room
    wide = [one for one in machines if one.transport_width and one.transport_width > left]
    if not wide:
        return None
    widest = max(one.transport_width or 0.0 for one in wide)
    names = listed([f"{one.name} ({one.transport_width:g} m)" for one in wide])
    room = f", less {way.room:g} m of room beside a machine" if way.room else ""
    place = place_of(way.geometry, layout.field.land)
    return Caution(
        key="gateway-too-narrow",
        severity=WARNING,
        sentence=(
            f"The {way.label}, {place_words(layout.field, place)}, is {way.width:g} m wide{room}: "
            f"too narrow in transport for {names}."
        ),
        remedy="Come in another way, take the machine apart, or have the way widened.",
        source="The plan's own widths.",
        value=widest,
        threshold=left,
        unit="m",
        place=place,
        count=len(wide),
    )


def _no_width(layout: Layout, ways: list[Feature]) -> list[Caution]:
    """Return the note of ways in that nobody measured."""
    if not ways:
        return []
    place = place_of(ways[0].geometry, layout.field.land)
    return [
        Caution(
            key="gateway-width-not-given",
            severity=NOTE,
            sentence=(
                f"No width was given for the {listed([way.label for way in ways])}, "
                f"{'first ' if len(ways) > 1 else ''}{place_words(layout.field, place)}; whether "
                "the machines go through was not looked at."
            ),
            remedy="Measure it between the posts or rails, and give width.",
            source=TAPE,
            place=place,
            count=len(ways),
        )
    ]


def _no_transport_width(machines: list[Machine]) -> list[Caution]:
    """Return the note of machines whose width in transport nobody gave."""
    names = [one.name for one in machines if one.transport_width is None]
    if not names:
        return []
    return [
        Caution(
            key="transport-width-not-given",
            severity=NOTE,
            sentence=(
                f"No width in transport was given for {listed(names)}, so the ways in were not "
                "held against it."
            ),
            remedy="Measure it folded, wheels and mirrors included, and give transport_width.",
            source=TAPE,
            count=len(names),
        )
    ]
