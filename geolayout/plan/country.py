"""
What is usual in a country: distances kept from protected things, and where on earth it lies.

A distance here is a default and never the last word. It is used only where a plan names its
country and says nothing of its own, and every output says so, with the year and the source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from geolayout.errors import PlanError
from geolayout.plan.near import near_names

__all__ = ["COUNTRIES", "DEFAULTS", "Country", "Default", "check_country", "default_for"]
__all__ += ["default_of", "expected_box"]

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Default:
    """
    One distance that a rule of a country asks for.

    Attributes
    ----------
    country : str
        One of ``COUNTRIES``.
    kind : str
        Kind of feature.
    distance : float
        How far to keep. [m]
    purpose : {"all", "trees"}
        What is kept away: everything sown, or trees.
    measured_from : str
        What the distance starts from.
    since : int
        Year the rule has stood since.
    source : str
        The rule, and where its text was read, in 2026.
    scope : str
        What the rule covers and what it leaves out. Begins a sentence.
    """

    country: str
    kind: str
    distance: float
    purpose: Literal["all", "trees"]
    measured_from: str
    since: int
    source: str
    scope: str

    @property
    def called(self) -> str:
        """Country and year, by which a resolved plan remembers it."""
        return f"{self.country} {self.since}"


DEFAULTS = (
    Default(
        "England",
        "hedge",
        2.0,
        "all",
        "centre line",
        2024,
        "The Management of Hedgerows (England) Regulations 2024; gov.uk, Hedgerow management "
        "rules: buffer strips.",
        "No cultivation, fertiliser or pesticide there; short and young hedges and small fields "
        "have exemptions.",
    ),
    Default(
        "Denmark",
        "watercourse",
        2.0,
        "all",
        "top of bank",
        1992,
        "Vandløbsloven § 69; Vejen Kommune, Sådan beregnes 2 m bræmmen.",
        "No cultivation or planting along natural open watercourses, and along some dug ones; "
        "other rules may ask for more.",
    ),
    Default(
        "Denmark",
        "pond",
        2.0,
        "all",
        "top of bank",
        1992,
        "Vandløbsloven § 69; Vejen Kommune, Sådan beregnes 2 m bræmmen.",
        "No cultivation or planting around natural lakes; isolated ones under 100 m2 are left out.",
    ),
    Default(
        "Germany",
        "watercourse",
        5.0,
        "trees",
        "top of bank",
        2010,
        "Wasserhaushaltsgesetz § 38.",
        "No planting of trees and shrubs foreign to the site; nothing is said here of sowing, and "
        "the states have rules of their own, often wider.",
    ),
)
"""The distances known here. Few, because only those whose text could be read stand in it."""


@dataclass(frozen=True, slots=True)
class Country:
    """
    Where a country lies.

    Attributes
    ----------
    name : str
        As written in a plan.
    box : tuple of float
        West, south, east, north, rounded outward to whole degrees. [degrees]
    source : str
        The coordinate system whose area of use the box was rounded from, or "from memory".
    """

    name: str
    box: Box
    source: str


# Boxes: areas of use of the coordinate systems beside them, EPSG data set as it comes with PROJ 9,
# rounded outward. They only tell a place from its mirror image, so a neighbour may lie in them.
_PLACES = (
    Country("Australia", (112.0, -44.0, 154.0, -9.0), "EPSG:3577"),
    Country("Austria", (9.0, 46.0, 18.0, 50.0), "EPSG:31287"),
    Country("Belgium", (2.0, 49.0, 7.0, 52.0), "EPSG:3812"),
    Country("Bulgaria", (22.0, 41.0, 29.0, 45.0), "EPSG:7801"),
    Country("Canada", (-142.0, 38.0, -40.0, 87.0), "EPSG:3347"),
    Country("Croatia", (13.0, 42.0, 20.0, 47.0), "EPSG:3765"),
    Country("Czechia", (12.0, 47.0, 23.0, 52.0), "EPSG:5514"),
    Country("Denmark", (8.0, 54.0, 16.0, 58.0), "from memory"),
    Country("England", (-10.0, 49.0, 3.0, 62.0), "EPSG:27700"),
    Country("Estonia", (20.0, 57.0, 29.0, 60.0), "EPSG:3301"),
    Country("Finland", (19.0, 58.0, 32.0, 71.0), "EPSG:3067"),
    Country("France", (-10.0, 41.0, 11.0, 52.0), "EPSG:2154"),
    Country("Germany", (5.0, 47.0, 16.0, 56.0), "EPSG:4839"),
    Country("Greece", (19.0, 34.0, 29.0, 42.0), "EPSG:2100"),
    Country("Hungary", (16.0, 45.0, 23.0, 49.0), "EPSG:23700"),
    Country("India", (65.0, 3.0, 98.0, 36.0), "EPSG:7755"),
    Country("Ireland", (-11.0, 51.0, -5.0, 56.0), "EPSG:2157"),
    Country("Italy", (5.0, 34.0, 19.0, 48.0), "EPSG:6875"),
    Country("Japan", (122.0, 17.0, 158.0, 47.0), "EPSG:6668"),
    Country("Kenya", (28.0, -12.0, 42.0, 5.0), "EPSG:4210"),
    Country("Latvia", (19.0, 55.0, 29.0, 59.0), "EPSG:3059"),
    Country("Lithuania", (19.0, 53.0, 27.0, 57.0), "EPSG:3346"),
    Country("Luxembourg", (5.0, 49.0, 7.0, 51.0), "EPSG:2169"),
    Country("Netherlands", (3.0, 50.0, 8.0, 54.0), "EPSG:28992"),
    Country("New Zealand", (166.0, -48.0, 179.0, -34.0), "EPSG:2193"),
    Country("Northern Ireland", (-11.0, 51.0, -5.0, 56.0), "EPSG:2157"),
    Country("Norway", (4.0, 57.0, 32.0, 72.0), "from memory"),
    Country("Poland", (14.0, 49.0, 25.0, 56.0), "EPSG:2180"),
    Country("Portugal", (-10.0, 36.0, -6.0, 43.0), "EPSG:3763"),
    Country("Romania", (20.0, 43.0, 32.0, 49.0), "EPSG:3844"),
    Country("Scotland", (-10.0, 49.0, 3.0, 62.0), "EPSG:27700"),
    Country("Slovakia", (12.0, 47.0, 23.0, 52.0), "EPSG:5514"),
    Country("Slovenia", (13.0, 45.0, 17.0, 47.0), "EPSG:3794"),
    Country("South Africa", (16.0, -35.0, 33.0, -22.0), "from memory"),
    Country("Spain", (-19.0, 27.0, 5.0, 44.0), "from memory"),
    Country("Sweden", (10.0, 54.0, 25.0, 70.0), "EPSG:3006"),
    Country("Switzerland", (5.0, 45.0, 11.0, 48.0), "EPSG:2056"),
    Country("United States", (-125.0, 24.0, -66.0, 50.0), "EPSG:5070"),
    Country("Wales", (-10.0, 49.0, 3.0, 62.0), "EPSG:27700"),
)

COUNTRIES: Mapping[str, Country] = MappingProxyType({place.name: place for place in _PLACES})
"""Countries a plan may name."""


def check_country(name: str | None) -> None:
    """
    Refuse a country that is not known here.

    Raises
    ------
    PlanError
        With near names.
    """
    if name is None or name in COUNTRIES:
        return
    raise PlanError(
        f"The field's country is {name!r}.",
        "It would bring neither defaults nor a check of the place, without a word.",
        f"{near_names(name, COUNTRIES)} Or leave country out and state every keep_clear.",
    )


def default_for(country: str | None, kind: str) -> Default | None:
    """Return the distance that a country asks for beside a kind of feature, if it is known."""
    return next((one for one in DEFAULTS if (one.country, one.kind) == (country, kind)), None)


def default_of(called: str, kind: str) -> Default | None:
    """Return the default that a resolved plan remembers by country and year, if it still stands."""
    return next((one for one in DEFAULTS if (one.called, one.kind) == (called, kind)), None)


def expected_box(country: str | None) -> Box | None:
    """
    Return the box of longitude and latitude in which a country's fields lie.

    Parameters
    ----------
    country : str or None
        One of ``COUNTRIES``.

    Returns
    -------
    box : tuple of float or None
        West, south, east, north; None where no country is named. [degrees]

    Examples
    --------
    >>> expected_box("Denmark")
    (8.0, 54.0, 16.0, 58.0)
    """
    return None if country is None else COUNTRIES[country].box
