"""Every check of the list of practice is there, by its number, and has a test of its own."""

import ast
import re
from pathlib import Path

import pytest
import shapely
from appraisal_layouts import HEADLAND, of_key, strips

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "cautions.md").read_text("utf-8")
ROWS = dict(re.findall(r"^\| (W\d\d) \| (.*) \|$", PAGE, flags=re.M))
KEYS = {code: re.findall(r"`([^`]+)`", cells) for code, cells in ROWS.items()}

TESTS = {
    path: path.read_text("utf-8")
    for path in (ROOT / "tests").rglob("test_*.py")
    if path.name != Path(__file__).name
}


def coded():
    """Return every code that some caution is made with, and the keys that stand beside it."""
    found = {}
    for path in (ROOT / "geolayout" / "appraisal").rglob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            named = {one.arg: one.value for one in getattr(call, "keywords", [])}
            code = getattr(named.get("code"), "value", "")
            if isinstance(code, str) and re.fullmatch(r"W\d\d", code) and "key" in named:
                texts = [
                    one.value for one in ast.walk(named["key"]) if isinstance(one, ast.Constant)
                ]
                found.setdefault(code, set()).update(filter(None, texts))
    return found


def test_the_list_is_whole():
    assert list(ROWS) == [f"W{i:02d}" for i in range(1, 34)]


def test_each_number_of_the_page_is_that_of_its_cautions():
    there = coded()
    assert set(there) == {code for code, keys in KEYS.items() if keys}
    for code, keys in there.items():
        whole = {key for key in keys if "-" in key}
        assert whole <= set(KEYS[code]), code


@pytest.mark.parametrize("code", [code for code, keys in KEYS.items() if keys])
def test_each_caution_has_a_test_that_names_it(code):
    for key in KEYS[code]:
        # some tests ask by the number, and some findings of a boundary by their kind
        asked = (key, key.split(": ")[-1], f'"{code}"')
        assert any(one in text for one in asked for text in TESTS.values()), key


@pytest.mark.parametrize(
    ("code", "severity"),
    [
        # As corrected: a grade is a matter of soil and no hazard; wires are one; 3 m are a note.
        pytest.param("W11", "WARNING", id="row grade"),
        pytest.param("W30", "HAZARD", id="wires"),
        pytest.param("W32", "NOTE", id="wider than the benefit"),
        pytest.param("W33", "WARNING", id="nitrogen"),
        pytest.param("W27", "NOTE", id="volunteers"),
    ],
)
def test_severities_are_those_of_the_corrected_list(code, severity):
    found = set()
    for path in (ROOT / "geolayout" / "appraisal").rglob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            named = {one.arg: one.value for one in getattr(call, "keywords", [])}
            if getattr(named.get("code"), "value", "") == code:
                found |= {n.id for n in ast.walk(named["severity"]) if isinstance(n, ast.Name)}
    assert severity in found
    assert found <= {severity, "WARNING"}


def test_no_ground_counts_twice():
    # W10 has no caution, because such a layout is not made: 60 m x 120 m are 7,200 m2
    ground = strips(HEADLAND).ground
    assert float(ground.area.sum()) == pytest.approx(7200.0, rel=1e-5)
    tree = shapely.STRtree(ground.geometry)
    one, other = tree.query(ground.geometry, predicate="overlaps")
    shared = shapely.area(shapely.intersection(ground.geometry[one], ground.geometry[other]))
    assert float(shared.sum()) <= 1e-9 * 7200.0


def test_the_frame_is_asked_for_once():
    assert len(of_key(strips(HEADLAND), "correction-not-asked")) <= 1
