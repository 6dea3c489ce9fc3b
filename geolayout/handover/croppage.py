"""The crop sheet as tables of a page: each value with the number of its source."""

from collections.abc import Sequence

from geolayout.plan.crops.crop import Crop, Fact, Figure, Window
from geolayout.plan.crops.sheet import CropSheet

__all__ = ["sheet_tables"]

HEADS = {
    "crop": (
        "crop",
        "also called",
        "rows, m",
        "plants/m²",
        "TGW, g",
        "come up, %",
        "depth, cm",
        "seed, kg/ha",
        "sown",
        "family",
        "height",
        "fixes N",
        "harvested",
    ),
    "tree": (
        "tree",
        "also called",
        "rows, m",
        "trees/ha",
        "live, %",
        "planted",
        "family",
        "height",
        "fixes N",
        "harvested",
    ),
}

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def sheet_tables(sheet: CropSheet) -> str:
    """
    Write a crop sheet as Markdown: field crops and companions, trees, then the sources by number.

    Parameters
    ----------
    sheet : CropSheet
        The sheet.

    Returns
    -------
    text : str
        Three parts under headings of the third order.
    """
    numbers = _numbers(sheet.crops)
    kinds = {"Field crops": "field crop", "Companions": "companion"}
    parts = []
    for title, kind in kinds.items():
        rows = [_sown(crop, numbers) for crop in sheet.crops if crop.kind == kind]
        parts.append(f"### {title}\n\n{_table(HEADS['crop'], rows)}")
    trees = [_planted(crop, numbers) for crop in sheet.crops if crop.kind == "tree"]
    parts.append(f"### Trees\n\n{_table(HEADS['tree'], trees)}")
    listed = "\n".join(f"{number}. {source}" for source, number in numbers.items())
    parts.append(f"### Sources\n\n{listed}")
    return "\n\n".join(parts) + "\n"


def _numbers(crops: Sequence[Crop]) -> dict[str, int]:
    """Number the sources in the order in which they are met."""
    found: dict[str, int] = {}
    for crop in crops:
        for value in _values(crop):
            for source in value.source.split("; "):
                found.setdefault(source, len(found) + 1)
    return found


def _values(crop: Crop) -> list[Figure | Fact | Window]:
    """Return every value of a crop that has a source."""
    values = [crop.row_spacing, crop.plants_per_m2, crop.tgw, crop.establishment, crop.depth]
    facts = [crop.family, crop.height_class, crop.nitrogen_fixing, crop.harvested]
    every = (*values, crop.kg_per_ha, *crop.windows, *facts)
    return [value for value in every if value is not None]


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a Markdown table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _sown(crop: Crop, numbers: dict[str, int]) -> list[str]:
    """Return the row of a crop that is sown."""
    figures = (
        _range(crop.row_spacing, numbers),
        _range(crop.plants_per_m2, numbers),
        _range(crop.tgw, numbers),
        _range(crop.establishment, numbers),
        _range(crop.depth, numbers, 100.0),
        _range(crop.kg_per_ha, numbers),
    )
    return [crop.name, ", ".join(crop.also), *figures, *_rest(crop, numbers)]


def _planted(crop: Crop, numbers: dict[str, int]) -> list[str]:
    """Return the row of a kind of tree."""
    figures = (
        _range(crop.row_spacing, numbers),
        _range(crop.plants_per_m2, numbers, 1e4),
        _range(crop.establishment, numbers),
    )
    return [crop.name, ", ".join(crop.also), *figures, *_rest(crop, numbers)]


def _rest(crop: Crop, numbers: dict[str, int]) -> list[str]:
    """Return when a crop is sown and what it is."""
    windows = "; ".join(_months(window, numbers) for window in crop.windows)
    facts = (crop.family, crop.height_class, crop.nitrogen_fixing, crop.harvested)
    return [windows, *(_fact(fact, numbers) for fact in facts)]


def _range(figure: Figure | None, numbers: dict[str, int], times: float = 1.0) -> str:
    """Return a range with the numbers of its sources."""
    if figure is None:
        return ""
    ends = [f"{round(end * times, 6):,.10g}" for end in (figure.low, figure.high)]
    return f"{' to '.join(dict.fromkeys(ends))} {_marks(figure, numbers)}"


def _months(window: Window, numbers: dict[str, int]) -> str:
    """Return months with their region."""
    months = [MONTHS[window.first - 1], MONTHS[window.last - 1]]
    where = window.region or f"{window.hemisphere}ern hemisphere"
    return f"{' to '.join(dict.fromkeys(months))} in {where} {_marks(window, numbers)}"


def _fact(fact: Fact | None, numbers: dict[str, int]) -> str:
    """Return a word, or yes or no."""
    if fact is None:
        return ""
    word = {True: "yes", False: "no"}.get(fact.value) if isinstance(fact.value, bool) else None
    return f"{word or fact.value} {_marks(fact, numbers)}"


def _marks(value: Figure | Fact | Window, numbers: dict[str, int]) -> str:
    """Return the numbers of a value's sources."""
    return f"[{', '.join(str(numbers[source]) for source in value.source.split('; '))}]"
