"""The documents: what they promise runs, what they point to is there, the rest is not said."""

import json
import os
import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

import geolayout
from geolayout.land.kinds import KINDS
from geolayout.plan.slack import ACROSS_SLACK, EDGE_SLACK

ROOT = Path(__file__).resolve().parents[1]

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "geolayout",
    "tests",
    "sample_fields",
    "docs",
}

TEXT = {".py", ".md", ".toml", ".txt", ".yaml", ".yml", ".geojson", ".json", ".kml", ".cfg", ""}

PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/*.md"), *ROOT.glob("*/README.md")])

# Built from pieces, so that this file does not find itself.
ABSENT = {
    "path of one machine": re.compile(r"(?<![\w.])/(?:" + "home|root|work|Users|opt" + r")/\w"),
    "drive of one machine": re.compile(r"\b[A-Z]:" + r"\\\w"),
    "package registry": re.compile("pypi" + r"\.org|index" + "-url|files\\.python" + "hosted"),
}


def tracked() -> list[str]:
    """Return the files that the repository holds."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a clone: what the repository holds is not known")
    listed = subprocess.run(
        ["git", "-C", ROOT, "ls-files", "-z"], check=True, capture_output=True, text=True
    )
    return [name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


def code_blocks(page: Path, language: str) -> list[str]:
    """Return the fenced blocks of a page that are in one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", page.read_text("utf-8"), re.M | re.S)


def anchor_of(heading: str) -> str:
    """Return the anchor that a heading gets on a page."""
    return re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-")


@pytest.fixture(scope="module")
def laid(tmp_path_factory):
    """Run the Python of the README where it would be run, and return what it left and printed."""
    here = tmp_path_factory.mktemp("clone")
    shutil.copytree(ROOT / "sample_fields", here / "sample_fields")
    printed = []
    before = Path.cwd()
    os.chdir(here)
    try:
        (block,) = code_blocks(ROOT / "README.md", "python")
        exec(  # noqa: S102  (the very lines that a reader would type)
            compile(block, "README.md", "exec"), {"print": lambda *said: printed.append(said)}
        )
    finally:
        os.chdir(before)
    return here / "pond_piece_2028", printed, block


def test_the_readme_begins_with_the_job_in_one_paragraph():
    title, job, *_ = (ROOT / "README.md").read_text("utf-8").split("\n\n")
    assert title == "# geolayout"
    assert len(job) > 200
    assert not job.startswith(("#", "-", "!", "`", "|"))


def test_the_python_of_the_readme_runs_and_writes_its_folder(laid):
    folder, printed, block = laid
    assert (folder / "summary.json").is_file()
    assert "maize: 3.4" in str(printed)  # ha, half of the 6.96 ha of bands
    assert len(block.strip().splitlines()) <= 10


def test_the_python_of_the_readme_shows_the_season_that_it_asks_for(laid):
    folder, _, _ = laid
    assert json.loads((folder / "summary.json").read_text("utf-8"))["season"] == 2028


def test_the_readme_has_one_command_to_run_and_one_to_test():
    text = (ROOT / "README.md").read_text("utf-8")
    assert len(re.findall(r"^python3 -m venv .*geolayout lay sample_fields/", text, re.M)) == 1
    assert len(re.findall(r"bin/pytest", text)) == 1


def test_every_file_that_the_readme_says_the_folder_holds_is_there(laid):
    folder, _, _ = laid
    paragraph = (
        (ROOT / "README.md").read_text("utf-8").split("The folder holds")[1].split("\n\n")[0]
    )
    named = re.findall(r"`([\w.]+)`", paragraph)
    assert {"map.png", "summary.txt", "summary.json"} <= set(named)
    assert [name for name in named if not (folder / name).is_file()] == []


@pytest.mark.parametrize(
    "page", PAGES, ids=lambda page: f"links of {page.relative_to(ROOT)} resolve"
)
def test_links_resolve(page):
    text = re.sub(r"^```.*?^```$", "", page.read_text("utf-8"), flags=re.M | re.S)
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if re.match(r"https?:", target):
            continue
        name, _, anchor = target.partition("#")
        path = (page.parent / name).resolve() if name else page
        assert path.exists(), f"{page.name} points to {target}"
        if anchor:
            headings = re.findall(r"^#+ (.*)$", path.read_text("utf-8"), re.M)
            assert anchor in map(anchor_of, headings), f"{page.name} points to {target}"


def test_every_piece_of_toml_in_a_page_can_be_read():
    pieces = [piece for page in PAGES for piece in code_blocks(page, "toml")]
    assert pieces
    assert all(tomllib.loads(piece) for piece in pieces)


def test_every_page_of_the_docs_is_reached_from_the_readme():
    seen, ahead = set(), [ROOT / "README.md"]
    while ahead:
        page = ahead.pop()
        if page in seen:
            continue
        seen.add(page)
        targets = re.findall(r"\]\(([^)#\s]+\.md)", page.read_text("utf-8"))
        ahead += [(page.parent / target).resolve() for target in targets if ":" not in target]
    assert sorted({*ROOT.glob("docs/*.md")} - seen) == []


def test_the_top_level_holds_what_it_should_and_dot_files():
    top = {Path(name).parts[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL
    assert top >= TOP_LEVEL


@pytest.mark.parametrize("what", ABSENT)
def test_no_tracked_file_names_a(what):
    found = [
        f"{name}:{number}"
        for name in tracked()
        if Path(name).suffix in TEXT
        for number, line in enumerate((ROOT / name).read_text("utf-8").splitlines(), 1)
        if ABSENT[what].search(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    ("what", "line"),
    [
        ("path of one machine", "open('/home" + "/ann/field.gpkg')"),
        ("drive of one machine", "C:" + r"\fields\home.gpkg"),
        ("package registry", "https://pypi" + ".org/simple"),
    ],
)
def test_what_must_be_absent_would_be_found(what, line):
    assert ABSENT[what].search(line)


def test_the_top_names_of_the_package_are_few_and_sorted_and_there():
    assert list(geolayout.__all__) == sorted(geolayout.__all__)
    assert len(geolayout.__all__) <= 30
    assert all(getattr(geolayout, name) is not None for name in geolayout.__all__)


def test_every_key_of_a_summary_is_in_its_schema(laid):
    folder, _, _ = laid
    page = (ROOT / "docs" / "summary-schema.md").read_text("utf-8")
    documented = set(re.findall(r"`(\w+)`", page))
    assert (
        sorted(keys_of(json.loads((folder / "summary.json").read_text("utf-8"))) - documented) == []
    )


def keys_of(value: object) -> set[str]:
    """Return every key anywhere in a value read from JSON."""
    if isinstance(value, dict):
        return set(value).union(*map(keys_of, value.values()))
    return set().union(*map(keys_of, value)) if isinstance(value, list) else set()


def test_the_two_tolerances_stand_in_the_guide_for_developers_as_they_are():
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    assert f"`EDGE_SLACK`, {EDGE_SLACK * 100:g} cm" in text
    assert f"`ACROSS_SLACK`, {ACROSS_SLACK * 100:g} cm" in text


def test_every_sample_plan_is_named_in_the_page_of_the_sample_fields():
    page = (ROOT / "sample_fields" / "README.md").read_text("utf-8")
    plans = {path.name for path in (ROOT / "sample_fields").glob("*.toml")}
    assert plans <= set(re.findall(r"`(\w+\.toml)`", page))


def test_every_hazard_that_a_feature_brings_is_in_the_page_of_cautions():
    page = (ROOT / "docs" / "cautions.md").read_text("utf-8")
    hazards = {kind.hazard for kind in KINDS.values()} - {""}
    assert sorted(hazard for hazard in hazards if f"`{hazard}`" not in page) == []


def test_every_caution_is_in_the_page_of_cautions():
    page = (ROOT / "docs" / "cautions.md").read_text("utf-8")
    modules = (ROOT / "geolayout" / "appraisal").rglob("*.py")
    keys = {key for path in modules for key in re.findall(r'\bkey="([a-z-]+)"', path.read_text())}
    assert len(keys) > 20
    assert sorted(key for key in keys if f"`{key}`" not in page) == []
