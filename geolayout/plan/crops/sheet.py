"""The crop sheet: crops by name, those of the package with a user's own put over them."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from geolayout.plan.crops.crop import Crop, CropFile, over

__all__ = ["CropSheet", "own_sheet", "shipped_sheet"]


@dataclass(frozen=True, slots=True)
class CropSheet:
    """
    Crops and kinds of trees by name.

    Attributes
    ----------
    crops : tuple of Crop
        In the order of the sheet.
    """

    crops: tuple[Crop, ...]

    def find(self, name: str) -> Crop | None:
        """
        Return the crop that a name means; None where none is known.

        The whole name counts first, then the longest name of a crop whose words are all in it:
        "winter wheat" is wheat, "field beans" are field beans, and grapes are no rape.

        Examples
        --------
        >>> [shipped_sheet().find(name).name for name in ("winter wheat", "Peas", "ryegrass")]
        ['wheat', 'pea', 'perennial ryegrass']
        >>> shipped_sheet().find("grapes") is None
        True
        """
        wanted = _words(name)
        named = [(called, crop) for crop in self.crops for called in map(_words, crop.names)]
        held = [(called, crop) for called, crop in named if set(called) <= set(wanted)]
        held.sort(key=lambda pair: (-len(pair[0]), -len(" ".join(pair[0]))))
        whole = [pair for pair in held if pair[0] == wanted]
        return next((crop for _, crop in [*whole, *held]), None)

    def with_own(self, own: Iterable[Crop]) -> "CropSheet":
        """Return the sheet with a user's crops put over it or added to it."""
        crops = list(self.crops)
        for crop in own:
            known = [i for i, one in enumerate(crops) if _same(one, crop.name)]
            if known:
                crops[known[0]] = over(crops[known[0]], crop)
            else:
                crops.append(crop)
        return CropSheet(tuple(crops))


@cache
def shipped_sheet() -> CropSheet:
    """Return the crop sheet that comes with the package."""
    text = files("geolayout.plan.crops").joinpath("crops.toml").read_text("utf-8")
    return CropSheet(CropFile.model_validate(tomllib.loads(text)).with_sources())


@cache
def own_sheet(own: tuple[Crop, ...]) -> CropSheet:
    """Return the sheet of the package with a plan's own crops over it."""
    return shipped_sheet().with_own(own)


def _same(crop: Crop, name: str) -> bool:
    """Whether a name is one of a crop's own."""
    return _words(name) in map(_words, crop.names)


@cache
def _words(name: str) -> tuple[str, ...]:
    """Return the words of a name, small and each of them one thing rather than many."""
    return tuple(_single(word) for word in re.findall(r"[^\W_]+", name.lower()))


def _single(word: str) -> str:
    """
    Return a word for one thing: an English plural without its ending.

    Examples
    --------
    >>> [_single(word) for word in ("peas", "cherries", "potatoes", "grass", "radishes")]
    ['pea', 'cherry', 'potato', 'grass', 'radish']
    """
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word
