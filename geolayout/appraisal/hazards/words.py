"""
Every sentence that is said of a hazard: what can happen, what to do, who decides. One table.

All doors print these and no others. None of them promises anything about a place, and none gives
leave: the figures of the maker, the label, the owner and the local rule stand above them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["ABSENT", "GENERAL", "HAZARDS", "HazardWords"]

COMMON = "Common practice, no source."


@dataclass(frozen=True, slots=True)
class HazardWords:
    """
    What is said of one kind of hazard.

    Attributes
    ----------
    can_happen : str
        What can happen there. Begins a sentence.
    do : str
        What to do. Begins a sentence.
    decides : str
        Who decides. Begins a sentence.
    source : str
        Where the advice comes from.
    """

    can_happen: str
    do: str
    decides: str
    source: str


HAZARDS: Mapping[str, HazardWords] = MappingProxyType(
    {
        "overhead line": HazardWords(
            "Electricity can jump to a boom, a lid, an auger, a raised body, a pipe or a ladder "
            "that comes near it, and kill.",
            "Look up before every turn, fill and fold, keep everything lowered under it, and ask "
            "for the height of the wires.",
            "The line's operator decides about heights and distances.",
            "HSE (UK), Working safely near overhead electricity power lines, AIS8.",
        ),
        "buried service": HazardWords(
            "A stake, a tine, an auger or a post can strike it.",
            "Have it located and marked on the ground before anything goes in.",
            "The owner of the pipe or cable decides what may be done above it.",
            "Bristol Water, Trees; knowwhatsbelow.co.uk, Planting trees near pipelines.",
        ),
        "buried drain": HazardWords(
            "Ripping and posts break it, roots block it, and the land above it stays wet.",
            "Find it on the drainage map, and lead tree rows and rip lines away from it.",
            "The owner of the land decides.",
            COMMON,
        ),
        "water": HazardWords(
            "Spray, dressed seed and fertiliser can reach it, and a machine can slide in where "
            "the edge is wet.",
            "Keep the distance that the label asks for, and turn, fill and wash away from it.",
            "The label and the local rule decide about distances.",
            "HSE (UK), buffer zones beside water (LERAP); common practice.",
        ),
        "bank": HazardWords(
            "The edge can give way under a wheel, and wet ground slides towards it.",
            "Walk it first, turn away from it, and stay off it when it is wet.",
            "Whoever drives decides on the day; whoever looks after the ditch decides about works.",
            COMMON,
        ),
        "hole": HazardWords(
            "A wheel, an animal or a person can drop into it, and ground beside it can be hollow.",
            "Mark it so that it is seen from the seat and in tall crops, and drive round it.",
            "Whoever drives decides on the day; the owner decides about filling or covering it.",
            COMMON,
        ),
        "bridge": HazardWords(
            "It can break or tip under a loaded machine, and a wide one can go over its edge.",
            "Ask which load it bears, look under it first, and cross it slowly, in the middle.",
            "Whoever owns the bridge decides about loads.",
            COMMON,
        ),
        "walkers": HazardWords(
            "People, children and dogs can be in the crop or behind a machine at any time.",
            "Look along it before each pass, leave the path open, and do not spray onto it.",
            "The authority for rights of way decides what may change.",
            COMMON,
        ),
    }
)
"""What is said of each hazard that a feature can bring, worst first."""

ABSENT: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "overhead line": (
            "No overhead line was given; that does not mean there is none. Look.",
            "Look up from every corner, and add what you see as a feature.",
        ),
        "buried service": (
            "No buried pipe or cable was given; that does not mean there is none. Ask.",
            "Ask the owners of services before a stake or a tine goes in.",
        ),
        "water": (
            "No watercourse, pond or well was given; that does not mean there is none. Look.",
            "Walk the edges, and add what you find as a feature.",
        ),
        "walkers": (
            "No right of way was given; that does not mean there is none. Ask.",
            "Ask the authority for rights of way, and add it as a feature.",
        ),
    }
)
"""What is said where no feature of a hazard was given, and what to do."""

GENERAL: Mapping[str, HazardWords] = MappingProxyType(
    {
        "since drawn": HazardWords(
            "A line on a screen does not know the new pole, the parked trailer, the hole of last "
            "winter or the child.",
            "Walk the lines before the first pass, look ahead all the time, and stop by hand.",
            "Whoever drives decides on the day.",
            COMMON,
        ),
        "blockage": HazardWords(
            "What is blocked starts without warning when it is freed, and takes a hand or an arm.",
            "Stop the engine, take the key out and wait until everything stands still, before "
            "anybody reaches in.",
            "The maker's book decides how it is freed.",
            COMMON,
        ),
        "spraying": HazardWords(
            "Drift reaches the strip beside, water, bees on open flowers and whoever walks past, "
            "and fruit that is picked soon can carry residues.",
            "Read the label for every crop under the boom and beside it, keep to its wind and its "
            "days before harvest, and stop for people.",
            "The label and the local rule decide.",
            "SARE FNC94-082, Weed Management Methods for Strip Intercropping, for drift between "
            "strips; common practice.",
        ),
        "treated seed": HazardWords(
            "Seed that is dressed and spilt or left open poisons birds, dogs and stock, and its "
            "dust harms hands, lungs and bees.",
            "Wear what the bag says, cover spills at once, fill away from water, and let none of "
            "it reach food or feed.",
            "The label on the bag decides.",
            COMMON,
        ),
        "failing trees": HazardWords(
            "A tree or a limb can fail without any wind and fall on people, stock, machines and "
            "wires.",
            "Have old trees looked at, and look at young ones and their stakes each year and after "
            "every storm.",
            "Whoever owns the tree decides, with somebody trained in it.",
            COMMON,
        ),
        "road": HazardWords(
            "A slow machine that comes out is not seen in time, and mud makes the road slippery.",
            "Look from where the view along the road begins, post somebody or a sign, and take "
            "the mud off.",
            "The road authority decides about signs and mud.",
            COMMON,
        ),
        "working alone": HazardWords(
            "Whoever works alone, tired or in the dark is not found in time after a fall or a "
            "fault.",
            "Tell somebody where and until when, carry a telephone that works in this field, and "
            "stop when tired.",
            "Whoever is in charge of the work decides.",
            COMMON,
        ),
        "admixture": HazardWords(
            "Grain of one crop among the other can make people ill who are allergic to it, and "
            "can harm stock that eats it.",
            "Clean drill, header and store between crops, tell the buyer what grew beside it, and "
            "have it tested where it matters.",
            "The buyer and the rules for food and feed decide what may be left in it.",
            "Regulation (EU) No 1169/2011, Annex II, lists allergens (from memory).",
        ),
        "names in files": HazardWords(
            "Whoever is handed this folder reads the names, days and notes in it.",
            "Ask the people first, and take out what the other does not need.",
            "Whoever is named decides.",
            COMMON,
        ),
    }
)
"""What is said where the work itself brings it, without any feature, worst first."""
