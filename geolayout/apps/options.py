"""
Options that several commands share: lengths with their unit, words that the shell completes.

A length is said in the unit people measure it in; a bare number is metres, whatever units the
results are shown in. Everything past this module is metres.
"""

import os
import re
from collections.abc import Callable, Mapping
from functools import wraps
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.shell_completion import CompletionItem, split_arg_string

from geolayout.plan.printing import LANGUAGES, PAPERS, Printing
from geolayout.plan.units import FOOT, METRIC, UNITS, Units

if TYPE_CHECKING:
    from geolayout.plan.plan import Plan

__all__ = [
    "Measure",
    "Measures",
    "asked_files",
    "bundled",
    "layer_names",
    "near_words",
    "plan_printing",
    "plan_units",
    "plan_units_option",
    "practice_names",
    "printing_options",
    "units_option",
]

_UNITS = {
    "": 1.0,
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "km": 1000.0,
    "in": FOOT / 12,
    '"': FOOT / 12,
    "ft": FOOT,
    "'": FOOT,
    "yd": 3 * FOOT,
}
"""Size of the units that a length may be said in. [m]"""

_SAME_MARK = str.maketrans(
    {"\N{PRIME}": "'", "\N{DOUBLE PRIME}": '"', "\N{RIGHT SINGLE QUOTATION MARK}": "'"}
)

_ONE = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+))\s*([a-z'\"]*)", re.IGNORECASE)

_FEET_AND_INCHES = re.compile(
    r"(\d+(?:\.\d*)?)\s*(?:ft|')\s*(\d+(?:\.\d*)?)\s*(?:in|\")", re.IGNORECASE
)

_DECIMALS = 9
"""A length is kept to the nanometre: 0.1 * 3 is 0.3. [-]"""

Completer = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]


class Measure(click.ParamType):  # type: ignore[type-arg]  # generic in the newest click only
    """
    A length, with its unit or in metres.

    Parameters
    ----------
    least : float, default 0
        The least it may be. [m]
    zero : bool, default False
        Whether nought is a length here.

    Examples
    --------
    >>> Measure().convert("30in", None, None)
    0.762
    """

    name = "length"

    def __init__(self, least: float = 0.0, *, zero: bool = False) -> None:
        self.least = least
        self.zero = zero

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:  # noqa: ARG002
        """Return what stands for a length in the help."""
        return "LENGTH"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return a length in metres, or fail in one sentence."""
        metres = value if isinstance(value, float) else _metres(str(value))
        if metres is None:
            self.fail(
                f"{value!r} is no length. Write 6, 6m, 75cm, 30in or 20ft; "
                "a bare number is metres.",
                param,
                ctx,
            )
        if metres < self.least or (metres == 0 and not self.zero):
            least = "more than 0" if self.least == 0 else f"at least {self.least:g}"
            self.fail(f"{value!r} is {metres:g} m, and it must be {least} m.", param, ctx)
        return metres


class Measures(Measure):
    """Lengths with commas between them; 6,6 are two."""

    name = "lengths"

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:  # noqa: ARG002
        """Return what stands for lengths in the help."""
        return "LENGTH,LENGTH..."

    def convert(  # type: ignore[override]  # several of what its parent is one of
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, ...]:
        """Return lengths in metres, or fail in one sentence."""
        if isinstance(value, tuple):
            return value
        convert = super().convert
        return tuple(convert(part.strip(), param, ctx) for part in str(value).split(","))


def _metres(text: str) -> float | None:
    """Return a length in metres, None where the text is none."""
    text = text.strip().translate(_SAME_MARK)
    if both := _FEET_AND_INCHES.fullmatch(text):
        feet, inches = map(float, both.groups())
        return round(feet * _UNITS["ft"] + inches * _UNITS["in"], _DECIMALS)
    one = _ONE.fullmatch(text)
    size = _UNITS.get(one[2].lower()) if one else None
    if one is None or size is None:
        return None
    metres = round(float(one[1]) * size, _DECIMALS)
    return metres if abs(metres) < inf else None


def units_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the option that chooses the units of what is shown."""
    return click.option(
        "--units",
        type=click.Choice(list(UNITS)),
        default="metric",
        show_default=True,
        help="Units of the figures shown; files stay metric.",
    )(command)


def plan_units_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the same option, where the plan's farm may have said it already."""
    return click.option(
        "--units",
        type=click.Choice(list(UNITS)),
        help="Units of the figures shown: the farm's, else metric. JSON and maps stay metric.",
    )(command)


def printing_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options for the paper and the language of sheets."""
    paper = click.option(
        "--paper",
        type=click.Choice(list(PAPERS)),
        help="Paper of the sheets: the farm's, else a4. Maps of narrow strips take A3 or Tabloid.",
    )
    language = click.option(
        "--language",
        type=click.Choice(LANGUAGES),
        help="Language of the sheets: the farm's, else en. Other files stay in English.",
    )
    return paper(language(command))


def plan_printing(paper: str | None, language: str | None, plan: "Plan") -> Printing:
    """Return the paper and the language that were asked for, else those of the plan's farm."""
    own = plan.printing
    return Printing(PAPERS[paper] if paper else own.paper, language or own.language)


def plan_units(said: str | None, plan: "Plan | None") -> Units:
    """Return the units that were asked for, else those of the plan's farm, else metric."""
    if said is not None:
        return UNITS[said]
    return plan.units if plan is not None else METRIC


def bundled(
    name: str, make: Callable[..., object], options: Mapping[str, Callable[..., Any]]
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """
    Return a decorator that adds options to a command and hands it one value made of them.

    Parameters
    ----------
    name : str
        The command's parameter that takes the value.
    make : callable
        Makes the value of the options, by their names.
    options : mapping of str to decorator
        Click's options, by the names of their parameters.

    Returns
    -------
    decorator : callable
    """

    def decorated(command: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(command)
        def called(**given: Any) -> Any:  # noqa: ANN401  (what click parsed, on its way)
            own = {key: given.pop(key) for key in options}
            return command(**given, **{name: make(**own)})

        for option in reversed(list(options.values())):
            called = option(called)
        return called

    return decorated


def near_words(words: Callable[[], list[str]]) -> Completer:
    """Return what completes an option whose words are known only when asked for."""

    def complete(
        _ctx: click.Context, _param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        return [CompletionItem(word) for word in words() if word.startswith(incomplete)]

    return complete


def practice_names() -> list[str]:
    """List the practices that `start` knows a plan for."""
    from geolayout.plan.start.starter import PRACTICES  # noqa: PLC0415  (start-up time)

    return list(PRACTICES)


def asked_files() -> list[str]:
    """List what `lay` writes only if it is asked to."""
    from geolayout.handover.files.asked import ASKED  # noqa: PLC0415  (start-up time)

    return list(ASKED)


def layer_names(
    _ctx: click.Context, _param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Complete the layers of the file that stands on the command line already."""
    from fiona import listlayers  # noqa: PLC0415  (start-up time)
    from fiona.errors import FionaError  # noqa: PLC0415

    # click gives up on arguments before an option without its value, so the words are looked at.
    words = split_arg_string(os.environ.get("COMP_WORDS", ""))
    file = next((word for word in words[2:] if Path(word).is_file()), None)
    if file is None:
        return []
    try:
        layers = listlayers(file)
    except (FionaError, OSError, ValueError):
        return []  # a shell that completes has no place for messages
    return [CompletionItem(layer) for layer in layers if layer.startswith(incomplete)]
