"""
Units that a person reads: metric, or imperial on request. Everything inside stays SI.

The sizes are exact, by definition: the yard of 0.9144 m and the pound of 0.45359237 kg
("Refinement of values for the yard and the pound", Federal Register, 1 July 1959, as cited by
Wikipedia, *Acre*), hence the foot of a third of a yard and the acre of 4,840 square yards. These
are the international foot and acre, not the US survey foot and its acre, longer by two and four
parts in a million.
"""

from dataclasses import dataclass

__all__ = ["ACRE", "FOOT", "IMPERIAL", "METRIC", "POUND", "UNITS", "Scale", "Units"]

FOOT = 0.3048
"""The international foot, exact. [m]"""

MILE = 5280 * FOOT
"""The international mile, exact. [m]"""

ACRE = 43_560 * FOOT**2
"""The international acre, exact: 4,840 square yards. [m2]"""

HECTARE = 10_000.0
"""[m2]"""

POUND = 0.45359237
"""The pound, exact. [kg]"""


@dataclass(frozen=True, slots=True)
class Scale:
    """
    A unit to show a quantity in.

    Attributes
    ----------
    word : str
        What stands behind the figure, and in the head of a column.
    size : float
        One of it, in the unit that the engine gives the quantity in.
    decimals : int
        Decimals that are shown.
    kept : int
        Decimals that are shown even where they are noughts and the figure is cut short.
    """

    word: str
    size: float
    decimals: int
    kept: int = 0

    def of(self, value: float) -> float:
        """Return a value of the engine in this unit."""
        return value / self.size

    def figure(self, value: float) -> str:
        """
        Return the figure alone, for a column that names its unit.

        Examples
        --------
        >>> METRIC.ground.figure(20_000.0), IMPERIAL.ground.figure(20_000.0)
        ('2.000', '4.942')
        """
        return f"{self.of(value):.{self.decimals}f}"

    def said(self, value: float) -> str:
        """
        Return the figure with its unit.

        Examples
        --------
        >>> IMPERIAL.length.said(6.0)
        '19.7 ft'
        """
        return f"{self.figure(value)} {self.word}"

    def short(self, value: float) -> str:
        """
        Return the figure without noughts at its end, for a width as the maker gives it.

        Examples
        --------
        >>> METRIC.width.short(6.0), IMPERIAL.width.short(20 * FOOT), IMPERIAL.spacing.short(0.762)
        ('6', '20', '30.0')
        """
        whole, point, decimals = self.figure(value).partition(".")
        decimals = decimals[: self.kept] + decimals[self.kept :].rstrip("0")
        return whole + (point + decimals if decimals else "")


@dataclass(frozen=True, slots=True)
class Units:
    """
    One system of units.

    Attributes
    ----------
    name : str
        What the option calls it.
    ground : Scale
        Areas of a field, a block, a kind of ground; of m2.
    patch : Scale
        Small areas; of m2.
    length : Scale
        Lengths of rows and edges, distances kept; of m.
    width : Scale
        Widths and spacings, that must not be rounded to a decimetre; of m.
    spacing : Scale
        Row spacings and other small lengths, to the millimetre; of m.
    place : Scale
        Where rows stand, from the anchor; of m.
    in_row : Scale
        Distances of plants in a row; of m.
    distance : Scale
        Long ways, such as km at work; of m.
    mass : Scale
        Seed; of kg.
    mass_rate : Scale
        Seed rate by mass; of kg/ha.
    count_rate : Scale
        Plants, trees, seeds by number; of 1/ha.
    """

    name: str
    ground: Scale
    patch: Scale
    length: Scale
    width: Scale
    spacing: Scale
    place: Scale
    in_row: Scale
    distance: Scale
    mass: Scale
    mass_rate: Scale
    count_rate: Scale


METRIC = Units(
    name="metric",
    ground=Scale("ha", HECTARE, 3),
    patch=Scale("m2", 1.0, 0),
    length=Scale("m", 1.0, 1),
    width=Scale("m", 1.0, 2),
    spacing=Scale("m", 1.0, 4),
    place=Scale("m", 1.0, 4),
    in_row=Scale("cm", 0.01, 1),
    distance=Scale("km", 1000.0, 2),
    mass=Scale("kg", 1.0, 1),
    mass_rate=Scale("kg/ha", 1.0, 1),
    count_rate=Scale("/ha", 1.0, 1),
)

IMPERIAL = Units(
    name="imperial",
    ground=Scale("acres", ACRE, 3),
    patch=Scale("sq ft", FOOT**2, 0),
    length=Scale("ft", FOOT, 1),
    width=Scale("ft", FOOT, 2),
    spacing=Scale("in", FOOT / 12, 1, 1),
    place=Scale("ft", FOOT, 3),
    in_row=Scale("in", FOOT / 12, 1),
    distance=Scale("miles", MILE, 2),
    mass=Scale("lb", POUND, 1),
    mass_rate=Scale("lb/acre", POUND * HECTARE / ACRE, 1),
    count_rate=Scale("/acre", HECTARE / ACRE, 1),
)

UNITS = {units.name: units for units in (METRIC, IMPERIAL)}
"""By the word of the option."""
