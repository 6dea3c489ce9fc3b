"""
How kinds of ground look on paper: a tint for the eye, a hatch for the photocopier.

Colours are of Okabe and Ito's palette for people who see colours differently (Masataka Okabe and
Kei Ito, "Color Universal Design", 2008; values from memory), mixed with white so that hatches and
letters stay readable. No two looks that meet on one sheet share a hatch.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import matplotlib as mpl

from geolayout.layout.ground import Ground

__all__ = [
    "MM",
    "OTHER_LOOKS",
    "Look",
    "ground_looks",
    "legend_key",
    "shortened",
    "steady_style",
    "tinted",
    "wrapped",
]

ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"

MM = 1 / 25.4
"""One millimetre. [inch]"""


@dataclass(frozen=True, slots=True)
class Look:
    """
    How one kind of ground is drawn.

    Attributes
    ----------
    tint : str
        Colour of its ground.
    hatch : str
        Pattern drawn over it, in matplotlib's letters.
    """

    tint: str
    hatch: str


def tinted(colour: str, share: float) -> str:
    """
    Mix a colour with white.

    Examples
    --------
    >>> tinted("#000000", 0.2)
    '#cccccc'
    """
    parts = [int(colour[k : k + 2], 16) for k in (1, 3, 5)]
    return "#" + "".join(f"{round(255 - (255 - part) * share):02x}" for part in parts)


STAND_LOOKS = (
    Look(tinted(ORANGE, 0.55), "////"),
    Look(tinted(SKY, 0.40), ""),
    Look(tinted(GREEN, 0.45), "||||"),
    Look(tinted(PURPLE, 0.45), "\\\\\\\\"),
    Look(tinted(YELLOW, 0.60), "----"),
    Look(tinted(BLUE, 0.40), "++++"),
    Look(tinted(VERMILION, 0.45), "OO"),
    Look(tinted(ORANGE, 0.25), "//.."),
    Look(tinted(SKY, 0.25), "||--.."),
)
"""Looks of stands on bands, in the order they are met; they come round again after the last."""

OTHER_LOOKS = {
    "headland": Look("#ffffff", "..."),
    "margin": Look("#ffffff", "oo"),
    "keep-clear": Look("#ffffff", "xxxx"),
    "obstacle": Look("#6e6e6e", ""),
    "left over": Look("#ffffff", "\\\\"),
    "bare": Look("#ffffff", ""),
}
"""Looks of all other ground."""


def ground_looks(ground: Ground) -> dict[tuple[str, str], Look]:
    """
    Return how each kind of ground is drawn.

    Parameters
    ----------
    ground : Ground
        The ground of a layout.

    Returns
    -------
    looks : dict of (str, str) to Look
        By what it is ("band" for bands and tree bands alike, else its kind) and what grows there
        ("" where that does not change its look), in the order of a legend.
    """
    pairs = zip(ground.kind.tolist(), ground.stand.tolist(), strict=True)
    met = dict.fromkeys(legend_key(kind, stand) for kind, stand in pairs)
    stands = [key for key in met if key[0] == "band" and key[1]]
    looks = {key: STAND_LOOKS[i % len(STAND_LOOKS)] for i, key in enumerate(stands)}
    bare = [("band", "")] if ("band", "") in met else []
    looks |= dict.fromkeys(bare, OTHER_LOOKS["bare"])
    return looks | {(kind, ""): look for kind, look in OTHER_LOOKS.items() if (kind, "") in met}


def legend_key(kind: str, stand: str) -> tuple[str, str]:
    """Return what decides the look of a piece of ground."""
    return ("band", stand) if kind in ("band", "tree band") else (kind, "")


@contextmanager
def steady_style() -> Iterator[None]:
    """Draw with the same letters and lines whatever the user's own settings say."""
    settings: dict[Any, Any] = {  # keys of matplotlib
        "font.family": ["DejaVu Sans"],
        "font.size": 6.5,
        "hatch.linewidth": 0.35,
        "svg.hashsalt": "geolayout",
        "svg.fonttype": "path",
        "path.simplify": False,
        "text.parse_math": False,  # a name with two dollar signs is a name
    }
    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(settings)
        yield


def wrapped(words: str, columns: int) -> Sequence[str]:
    """Return a sentence in lines of at most so many letters."""
    lines: list[str] = []
    for word in words.split():
        if lines and len(lines[-1]) + 1 + len(word) <= columns:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def shortened(words: str, letters: int) -> str:
    """
    Return words cut to so many letters, with dots for what is gone.

    Examples
    --------
    >>> shortened("oats and peas", 8)
    'oats...'
    """
    return words if len(words) <= letters else words[: letters - 3].rstrip() + "..."
