"""
Stages of crops by warmth, on every published scale that was found: where they differ, all are told.

A scale is for one crop and counts from sowing. Its figures are as printed, in its own unit and
over its own base. What is told of a crop sown before winter ends with its leaves before winter:
afterwards cold and the length of days decide, and no sum from sowing does.
"""

import re
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from geolayout.appraisal.calendar.heat import MAIZE_BASE, MAIZE_CAP
from geolayout.appraisal.calendar.leaves import FAHRENHEIT_DAYS, SCALES, leaves_of
from geolayout.plan.crops.stages import Stage

__all__ = ["CROP_SCALES", "CropScale", "published_stages"]

Named = tuple[tuple[str, float], ...]


def _celsius(fahrenheit: float) -> float:
    """Return a temperature of the other scale. [°C]"""
    return (fahrenheit - 32.0) / 1.8


@dataclass(frozen=True, slots=True)
class CropScale:
    """
    Warmth to stages of one crop, as one source has it.

    Attributes
    ----------
    crop : str
        Its name in the crop sheet.
    name : str
        What the scale is called here.
    source : str
        Where it was read, with what it leaves open.
    base : float
        Warmth counts from here on. [°C]
    cap : float or None
        More counts no more; None where the source names none. [°C]
    unit : {"°F·d", "°C·d"}
        Unit of its figures.
    leaves : tuple of (leaves, warmth)
        By number of leaves, 0 for being up; straight between.
    stages : tuple of (stage, warmth)
        By name.
    before_winter : float or None
        Leaves up to which it holds for a crop sown before winter; None for crops that no winter
        lies in.
    """

    crop: str
    name: str
    source: str
    base: float
    cap: float | None
    unit: Literal["°F·d", "°C·d"]
    leaves: tuple[tuple[float, float], ...] = ()
    stages: Named = ()
    before_winter: float | None = None

    def heat_to(self, stage: str, *, wintering: bool = False) -> float | None:
        """
        Return the warmth from sowing to a stage; None where the scale has no such stage.

        Parameters
        ----------
        stage : str
            As a grower says it.
        wintering : bool
            Whether the crop was sown before winter.

        Returns
        -------
        heat : float or None
            In the scale's own unit.

        Examples
        --------
        >>> [scale.heat_to("half bloom") for scale in CROP_SCALES if scale.crop == "sorghum"]
        [1440.0, 1908.0]
        """
        leaves = leaves_of(stage)
        last = self.before_winter if wintering else None
        if leaves is not None:
            return self._to_leaves(leaves) if last is None or leaves <= last else None
        if last is not None:
            return None
        key = _key(stage)
        return next((heat for name, heat in self.stages if key == _key(name)), None)

    def _to_leaves(self, leaves: float) -> float | None:
        """Return the warmth to a number of leaves, within those that the source has."""
        if not self.leaves or not self.leaves[0][0] <= leaves <= self.leaves[-1][0]:
            return None
        counts, heats = zip(*self.leaves, strict=True)
        return float(np.interp(leaves, counts, heats))

    def degree_days(self, heat: float) -> float:
        """Return a figure of the scale as warmth over its base. [°C·d]"""
        return heat / FAHRENHEIT_DAYS if self.unit == "°F·d" else heat


SAME: Final = {
    "r6": "black layer",
    "mature": "maturity",
    "physiological maturity": "maturity",
    "r8": "maturity",
    "full maturity": "maturity",
    "mid bloom": "half bloom",
    "flag leaf emergence": "flag leaf",
    "headed": "heading",
    "ear emergence": "heading",
    "anthesis": "flowering",
    "begin of flowering": "flowering",
    "beginning of flowering": "flowering",
    "start of flowering": "flowering",
    "first flower": "flowering",
    "stem elongation": "stem extension",
    "jointing": "stem extension",
    "begin of tillering": "tillering",
    "start of tillering": "tillering",
    "beginning of tillering": "tillering",
}
"""Names that growers use for one stage."""


def _key(stage: str) -> str:
    """Return the name by which a stage is looked up."""
    words = " ".join(re.findall(r"[a-z0-9.]+", stage.lower()))
    return SAME.get(words, words)


SOWN_DEEP: Final = 155.0
"""Warmth to being up of wheat sown 1.5 inches, 38 mm, deep: 80 + 1.5 x 50. [°F·d]"""

MINNESOTA_LEAVES: Final = (0, 72, 215, 358, 501, 644, 715, 895)
"""Wheat from being up on, leaf by leaf, as printed. [°F·d]"""

SORGHUM_EARLY: Final = (
    "Kansas State University, Agronomy eUpdate 661, Too cool too soon?, table 1, medium early; "
    "50 to 100 °F"
)
SORGHUM_LATE: Final = SORGHUM_EARLY.replace("medium early", "medium late")
RAPE_MEMORY: Final = (
    "Miller, Lanier and Brandt, Montana State University MT200103AG, figures from memory: the "
    "table was not seen again; 500 °C·d from seed fill to swathing, as a page of Alberta quotes "
    "it, agree"
)

CROP_SCALES: Final = (
    *(
        CropScale(
            "maize",
            scale.name,
            scale.source,
            MAIZE_BASE,
            MAIZE_CAP,
            "°F·d",
            tuple(zip(scale.leaves, scale.heat, strict=True)),
        )
        for scale in SCALES
    ),
    CropScale(
        "wheat",
        "Minnesota",
        "Hollingsworth, University of Minnesota Extension, early spring wheat, on "
        "mawg.cropdisease.com, growth information; sown 38 mm deep. The page caps a day at 70 °F "
        "up to two leaves and at 95 afterwards; here it is 95 throughout",
        0.0,
        35.0,
        "°F·d",
        tuple((float(i), SOWN_DEEP + heat) for i, heat in enumerate(MINNESOTA_LEAVES)),
        (
            ("tillering", SOWN_DEEP + 215.0),
            ("stem extension", SOWN_DEEP + 715.0),
            ("flag leaf", SOWN_DEEP + 1075.0),
            ("boot", SOWN_DEEP + 1359.0),
            ("heading", SOWN_DEEP + 1502.0),
            ("flowering", SOWN_DEEP + 1590.0),
        ),
        6.0,
    ),
    CropScale(
        "wheat",
        "Kansas",
        "myfields.info, Kansas wheat, Development: half are up after 270 °F·d, first tillers 540 "
        "later; Victoria's crop growth page has 150 °C·d, the same",
        0.0,
        None,
        "°F·d",
        ((0.0, 270.0),),
        (("tillering", 810.0),),
        0.0,
    ),
    CropScale(
        "wheat",
        "FAO",
        "FAO, Rawson, X8234E, section 6, least sums: a short wheat heads after 760 °C·d or more",
        0.0,
        None,
        "°C·d",
        stages=(("heading", 760.0),),
        before_winter=0.0,
    ),
    CropScale(
        "sunflower",
        "Manitoba",
        "cropchatter.com, Manitoba Agriculture, Sunflower Staging and Guessing Maturity, 2014",
        6.7,
        None,
        "°C·d",
        ((0.0, 97.0), (1.0, 117.0), (12.0, 333.0)),
        (
            ("R1", 569.0),
            ("R2", 647.0),
            ("R3", 726.0),
            ("R4", 805.0),
            ("R5.1", 883.0),
            ("flowering", 883.0),
            ("R5.5", 962.0),
            ("R6", 1040.0),
            ("R7", 1119.0),
            ("R8", 1197.0),
            ("R9", 1276.0),
            ("maturity", 1276.0),
        ),
    ),
    CropScale(
        "sunflower",
        "North Dakota",
        "nuseed.com and blog.legendseeds.net, Growing Degree Days for Sunflower, by North Dakota's "
        "weather network: up after 206 °F·d over 44 °F",
        _celsius(44.0),
        None,
        "°F·d",
        ((0.0, 206.0),),
    ),
    CropScale(
        "sorghum",
        "Kansas, medium early",
        SORGHUM_EARLY,
        10.0,
        _celsius(100.0),
        "°F·d",
        ((0.0, 99.0), (3.0, 252.0), (5.0, 396.0)),
        (
            ("growing point differentiation", 702.0),
            ("flag leaf", 954.0),
            ("boot", 1206.0),
            ("half bloom", 1440.0),
            ("soft dough", 1746.0),
            ("hard dough", 2196.0),
            ("black layer", 2556.0),
            ("maturity", 2556.0),
        ),
    ),
    CropScale(
        "sorghum",
        "Kansas, medium late",
        SORGHUM_LATE,
        10.0,
        _celsius(100.0),
        "°F·d",
        ((0.0, 198.0), (3.0, 360.0), (5.0, 594.0)),
        (
            ("growing point differentiation", 1152.0),
            ("flag leaf", 1404.0),
            ("boot", 1647.0),
            ("half bloom", 1908.0),
            ("soft dough", 2196.0),
            ("hard dough", 2646.0),
            ("black layer", 3006.0),
            ("maturity", 3006.0),
        ),
    ),
    CropScale(
        "soya",
        "Wisconsin",
        "thesoyreport.blogspot.com, Soil Temperatures and Soybean Emergence, 2008: some 145 °F·d "
        "of air, preliminary",
        10.0,
        30.0,
        "°F·d",
        ((0.0, 145.0),),
    ),
    CropScale(
        "soya",
        "Iowa",
        "Iowa State University Extension, Go time? Not so fast, 2021: up after 90 to 130 °F·d, the "
        "later taken; of the soil, where it is known",
        10.0,
        30.0,
        "°F·d",
        ((0.0, 130.0),),
    ),
    *(
        CropScale(
            "soya",
            f"North Dakota, maturity {group}",
            "North Dakota State University, NDSU develops soybean growing degree day model, 2016: "
            "mean of its trials to full maturity; day length has its part in it",
            10.0,
            30.0,
            "°F·d",
            stages=(("maturity", heat),),
        )
        for group, heat in (("00.8", 1694.0), ("0.5", 1890.0), ("1.1", 2058.0))
    ),
    *(
        CropScale(
            "oilseed rape",
            f"Saskatchewan, {end}, from memory",
            RAPE_MEMORY,
            0.0,
            None,
            "°C·d",
            tuple(zip((0.0, 2.0, 4.0), heats[:3], strict=True)),
            (("flowering", heats[3]), ("swathing", heats[4])),
            4.0,
        )
        for end, heats in (
            ("earliest", (152.0, 282.0, 411.0, 582.0, 1432.0)),
            ("latest", (186.0, 324.0, 463.0, 666.0, 1557.0)),
        )
    ),
    CropScale(
        "oilseed rape",
        "Canola Council",
        "Canola Council of Canada, Canola Watch, 22 May 2014: roughly 1,500 °C·d over 0 to "
        "maturity",
        0.0,
        None,
        "°C·d",
        stages=(("maturity", 1500.0),),
        before_winter=0.0,
    ),
)
"""All scales that count from sowing. Tables of the High Plains climate centre for sorghum,
sunflower, dry beans and sugar beet begin with the plants up, or do not say, and date nothing."""


def published_stages(
    crop: str, label: str, stage: str, *, wintering: bool
) -> list[tuple[Stage, str]]:
    """
    Return a stage by warmth on every published scale of a crop, and which scale that is.

    Parameters
    ----------
    crop : str
        Its name in the crop sheet.
    label : str
        What the sowing is called.
    stage : str
        As a grower says it.
    wintering : bool
        Whether it was sown before winter.

    Returns
    -------
    entries : list of (Stage, str)
        None for crops and stages without a scale.
    """
    entries = []
    for scale in CROP_SCALES:
        heat = scale.heat_to(stage, wintering=wintering) if scale.crop == crop else None
        if heat is None:
            continue
        warmth = scale.degree_days(heat)
        entry = Stage(
            crop=label, stage=stage, degree_days=warmth, base=round(scale.base, 6), cap=scale.cap
        )
        printed = f", {heat:.0f} °F·d = " if scale.unit == "°F·d" else ", "
        entries.append((entry, f"{scale.name}{printed}"))
    return entries
