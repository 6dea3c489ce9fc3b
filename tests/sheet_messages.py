"""All words of the house that can come onto a sheet, as they stand in the code."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import geolayout

HOUSE = Path(geolayout.__file__).parent

SPOKEN = (
    *(
        "appraisal/hazards/words.py",
        "appraisal/places.py",
        "appraisal/way_in.py",
        "appraisal/seed/order.py",
    ),
    *("appraisal/seed/passes.py", "appraisal/seed/need.py", "appraisal/trees/order.py"),
    *("appraisal/trees/bundles.py", "appraisal/driving/steps.py", "appraisal/driving/carting.py"),
    *("appraisal/calendar/days.py", "appraisal/calendar/leaves.py"),
    *("appraisal/calendar/season.py", "land/kinds.py", "handover/words/seed.py"),
    *(
        "handover/words/trees.py",
        "handover/pictures/legend.py",
        "handover/pictures/paper.py",
        "handover/pictures/marks.py",
    ),
)
"""Modules beside those of cautions and of sheets whose words come onto sheets."""

PARTS = {
    "handover/words/drive.py": ("rule_words", "order_words", "round_words", "ORDINALS"),
    "handover/words/season.py": ("days_words", "calendar_lines"),
    "handover/stakeout.py": ("_LINES", "_SERVICES", "_ROOTS", "_SIGHT", "_RULES"),
    "appraisal/trees/pegs.py": ("_tree_lines",),
    "appraisal/caution.py": ("NOT_ACKNOWLEDGED",),
    "appraisal/hazards/features.py": (),
    "land/frames/mapgrid.py": ("MapGrid",),
}
"""Of these modules only what is named; all of it where nothing is."""

UNSAID = (
    *("Callable[[View], Bounds]", "offset points", "v ?(", "out and home", "up and back"),
    *("Plain geometry, and the days", "Practical Farmers of Iowa", "SWAT+ reference data"),
    *("Welsh Farmer, Dangers", "England's rules of 2018", "knowwhatsbelow.co.uk"),
    *("Penn State Extension,", "SARE FNC94-082", "fieldcropnews.com", "Ohio State Extension,"),
    *("FiBL, Dierauer", "Common practice, no source.", "Purdue figures", "Wisconsin averages"),
    *("National Farmers' Union, hedgerow", "Van Oort", "PNW STEEP on-farm"),
    "The land equivalent ratio is a yield over",
)
"""How strings begin that never come onto a sheet, or stay as they are: types, patterns, keys of
rules, and names of publications."""

DOORS = ("say", "counted")
"""Functions whose words are messages, however short."""


@cache
def spoken_messages() -> dict[str, str]:
    """Return every message with the module that it stands in."""
    found: dict[str, str] = {}
    for path in _modules():
        named = str(path.relative_to(HOUSE))
        tree = ast.parse(path.read_text(encoding="utf-8"))
        chosen = _chosen(tree) if named.startswith("appraisal/") else ()
        for message in (*_messages(tree, PARTS.get(named, ())), *chosen):
            found.setdefault(message, named)
    return found


def _modules() -> list[Path]:
    """Return the modules whose words come onto sheets."""
    cautions = [
        path
        for path in sorted((HOUSE / "appraisal").rglob("*.py"))
        if "Caution(" in path.read_text(encoding="utf-8") and path.name != "caution.py"
    ]
    sheets = sorted(
        path
        for path in (HOUSE / "handover" / "sheets").glob("*.py")
        if path.stem not in ("catalogue", "retell")
    )
    others = [HOUSE / name for name in (*SPOKEN, *PARTS)]
    return list(dict.fromkeys([*cautions, *sheets, *others]))


def _messages(tree: ast.Module, parts: tuple[str, ...]) -> Iterator[str]:
    """Yield the messages of a module."""
    silent = _silent(tree)
    for top in tree.body:
        if parts and _name(top) not in parts:
            continue
        for node in ast.walk(top):
            if id(node) in silent:
                continue
            text = message_of(node)
            if text is not None and _speaks(text):
                yield text
            if isinstance(node, ast.Call) and _called(node) in DOORS:
                yield from filter(None, map(message_of, node.args))


def _chosen(tree: ast.Module) -> Iterator[str]:
    """Yield single words that one of is chosen, such as `run` and `runs`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.IfExp):
            for branch in (node.body, node.orelse):
                text = message_of(branch) if isinstance(branch, ast.Constant) else None
                if text is not None and text.isalpha() and len(text) > 1 and text != "ha":
                    yield text


def message_of(node: ast.AST) -> str | None:
    """Return a string as a message, the gaps of an f-string counted from 0."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if not isinstance(node, ast.JoinedStr):
        return None
    text, gaps = "", 0
    for value in node.values:
        if isinstance(value, ast.Constant):
            text += str(value.value)
        else:
            text, gaps = f"{text}{{{gaps}}}", gaps + 1
    return text


def _speaks(text: str) -> bool:
    """Whether a string is more than a key: words with a blank between them."""
    words = " " in text.strip() and sum(letter.isalpha() for letter in text) > 1
    return words and not text.startswith(UNSAID)


def _name(top: ast.stmt) -> str:
    """Return what a function, a class or a constant is called."""
    if isinstance(top, ast.FunctionDef | ast.ClassDef):
        return top.name
    if isinstance(top, ast.Assign) and isinstance(top.targets[0], ast.Name):
        return top.targets[0].id
    return ""


def _called(call: ast.Call) -> str:
    """Return the name of what is called."""
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _silent(tree: ast.Module) -> set[int]:
    """Return nodes that are not said: docstrings, formats, sources, errors, parts of f-strings."""
    quiet: list[ast.AST] = []
    sources: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            quiet.append(node.value)
        elif isinstance(node, ast.Raise):
            quiet += ast.walk(node)
        elif isinstance(node, ast.Call) and _called(node) == "HazardWords":
            quiet += ast.walk(node.args[3])
        elif isinstance(node, ast.JoinedStr):
            quiet += [value for value in node.values if isinstance(value, ast.Constant)]
        elif isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            quiet += ast.walk(node.format_spec)
        elif isinstance(node, ast.keyword) and node.arg in ("source", "unit", "code"):
            quiet += ast.walk(node.value)
            sources |= {one.id for one in ast.walk(node.value) if isinstance(one, ast.Name)}
    quiet += [
        node for top in tree.body if _name(top) in sources and isinstance(top, ast.Assign)
        for node in ast.walk(top)
    ]  # fmt: skip
    return set(map(id, quiet))
