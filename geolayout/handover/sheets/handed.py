"""What every sheet is made of: one layout, what was measured of it, and what it is called."""

from dataclasses import dataclass

from geolayout.appraisal.caution import HAZARD, NOT_ACKNOWLEDGED, Caution
from geolayout.appraisal.driving.season import Driving
from geolayout.appraisal.quantities.figures import Figures
from geolayout.handover.cautions import told_whole
from geolayout.handover.pictures.letters import HAZARD_LETTERS, MOST_HAZARDS
from geolayout.handover.sheets.page import Style
from geolayout.handover.sheets.parts import Sentence
from geolayout.handover.sheets.retell import Tongue, tongue
from geolayout.handover.sheets.say import say
from geolayout.layout.build import Layout
from geolayout.plan.printing import PLAIN, Printing
from geolayout.plan.units import Units

__all__ = ["Handed", "hazard_items", "headline", "work_items"]

ABSENT = "no {} given"
"""Key of the note that says that nobody drew a thing, which does not mean that there is none."""


@dataclass(frozen=True, slots=True, eq=False)
class Handed:
    """
    What sheets are made of.

    Attributes
    ----------
    name : str
        What the plan is called.
    layout : Layout
        The layout.
    figures : Figures
        What was measured.
    driving : tuple of Driving
        How its operations are driven.
    cautions : tuple of Caution
        Worst first.
    units : Units
        Units of the figures; sentences of cautions stay in metres.
    code : str
        Its match code.
    printing : Printing
        Paper and language of the sheets.
    """

    name: str
    layout: Layout
    figures: Figures
    driving: tuple[Driving, ...]
    cautions: tuple[Caution, ...]
    units: Units
    code: str
    printing: Printing = PLAIN

    @property
    def hazards(self) -> tuple[Caution, ...]:
        """What can hurt somebody, worst first."""
        return tuple(one for one in self.cautions if one.severity == HAZARD)

    @property
    def words(self) -> Tongue:
        """The language of the sheets, names of the plan left as they are."""
        return tongue(self.printing.language, _names(self))

    def style(self, file: str = "") -> Style:
        """Return how pages are set; with the squares of the match code and a file, if one is."""
        code = f"{self.code} {file}" if file else ""
        return Style(self.printing.paper.small, code, self.words)


def _names(handed: Handed) -> frozenset[str]:
    """Return what stays as it is in every language: names of the plan, and who looked."""
    plan, field = handed.layout.plan, handed.layout.field
    sowings = [sowing for stand in plan.stands for sowing in stand.sowing]
    named = [
        one.name
        for several in (plan.stands, plan.machines, plan.operations, plan.patterns, plan.blocks)
        for one in several
    ]
    bands = [band.name for pattern in plan.patterns for band in pattern.bands]
    crops = [word for one in sowings for word in (one.label, one.crop)]
    features = [one.name or "" for one in field.features]
    species = [one.species for one in handed.figures.trees.by_species]
    asked = [
        word
        for one in plan.consents
        for word in one.model_dump(mode="json").values()
        if isinstance(word, str)
    ]
    seasons = [one.name or "" for one in plan.seasons]
    own = [handed.name, field.name, *seasons, *bands, *crops, *features, *species, *asked]
    return frozenset([*named, *own])


def headline(handed: Handed) -> str:
    """Return the line under every title: field, season, plan and match code."""
    season = handed.layout.season
    year = say("harvest {year}").format(year=season.year) if season is not None else ""
    plan = say("plan {name}").format(name=handed.name)
    code = say("match code {code}").format(code=handed.code)
    return ", ".join(filter(None, [handed.layout.field.name, year, plan, code]))


def hazard_items(handed: Handed) -> tuple[Sentence, ...]:
    """Return hazards by their letters on the map, the rest counted, and what nobody drew."""
    hazards = handed.hazards
    told = [
        Sentence(told_whole(hazard), f"▲{letter}")
        for letter, hazard in zip(HAZARD_LETTERS, hazards, strict=False)
    ]
    if len(hazards) > MOST_HAZARDS:
        more = say("{count} more hazards are in summary.txt: read them too.")
        told.append(Sentence(more.format(count=len(hazards) - MOST_HAZARDS)))
    absent = [Sentence(one.sentence) for one in _notes(handed) if _is_absence(one)]
    return (*told, *absent)


def work_items(handed: Handed) -> tuple[Sentence, ...]:
    """Return what the work itself brings, wherever it is done."""
    return tuple(
        Sentence(f"{one.sentence} {one.remedy}{_looked(one)}", "•")
        for one in _notes(handed)
        if not _is_absence(one)
    )


def _looked(note: Caution) -> str:
    """Return who looked at what a note speaks of, where somebody did."""
    asked = note.acknowledged in ("", NOT_ACKNOWLEDGED)
    return "" if asked else f" ({note.acknowledged})"


def _notes(handed: Handed) -> list[Caution]:
    """Return notes that speak of a hazard."""
    return [one for one in handed.cautions if one.hazard and one.severity != HAZARD]


def _is_absence(caution: Caution) -> bool:
    """Whether a note says that nobody drew a thing."""
    return caution.key == ABSENT.format(caution.hazard)
