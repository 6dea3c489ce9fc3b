"""Tables that stand in columns, in a pipe and on a terminal."""

import io
import re

import pytest

from geolayout.apps import show
from geolayout.apps.show import Part

TABLE = Part(
    "Rows", ("Counted.",), ("crop", "rows", "km"), (("maize", "8", "1.50"), ("pea", "120", "20.25"))
)


class Terminal(io.StringIO):
    """Standard output that says it is a terminal."""

    encoding = "utf-8"

    def isatty(self):
        return True


def test_a_pipe_gets_plain_columns_figures_to_the_right(capsys):
    show.show_parts([TABLE, Part("Empty")])
    assert capsys.readouterr().out.split("\n") == [
        "Rows",
        "  Counted.",
        "  crop   rows     km",
        "  maize     8   1.50",
        "  pea     120  20.25",
        "",
        "",
    ]


def test_a_terminal_gets_a_drawn_table(monkeypatch):
    terminal = Terminal()
    monkeypatch.setattr("sys.stdout", terminal)
    show.show_parts([TABLE])
    text = terminal.getvalue()
    assert "\x1b[1m" in text or "Rows" in text
    assert "│" in text
    assert "maize" in text


def test_progress_is_silent_in_a_pipe(capsys):
    with show.progress() as say:
        say("Laying out")
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("", "")


@pytest.mark.parametrize(
    ("encoding", "expected"),
    [
        pytest.param("utf-8", "│ a", id="a terminal that knows the letters"),
        pytest.param("ascii", "| a", id="one that does not"),
        pytest.param("no-such", "| a", id="one that does not say"),
    ],
)
def test_a_drawing_is_shown_as_the_output_can(encoding, expected, monkeypatch):
    monkeypatch.setattr(
        "sys.stdout", type("Out", (), {"encoding": encoding, "isatty": lambda _: False})()
    )
    assert show.drawing("│ a", lambda text: text.replace("│", "|")) == expected


def test_long_lines_are_wrapped_under_themselves(capsys):
    show.show_lines(["  " + "word " * 30])
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[1].startswith("    word")


def test_a_table_wider_than_the_terminal_is_folded_and_no_cell_cut(monkeypatch):
    terminal = Terminal()
    monkeypatch.setattr("sys.stdout", terminal)
    monkeypatch.setattr(show, "terminal_width", lambda: 40)
    head = ("crop", "rows", "shortest m", "longest m", "pieces")
    show.show_parts([Part("Rows", (), head, (("white clover", "996", "56.9", "355.8", "1264"),))])
    lines = re.sub(r"\x1b\[[0-9;]*m", "", terminal.getvalue()).splitlines()
    assert lines[1] == "  white clover"
    assert " ".join(line.strip() for line in lines[2:]).strip() == (
        "rows: 996, shortest m: 56.9, longest m: 355.8, pieces: 1264"
    )
    assert max(map(len, lines)) <= 40


@pytest.mark.parametrize("terminal", [True, False], ids=["on a terminal", "in a pipe"])
def test_a_drawing_is_shown_letter_by_letter(terminal, monkeypatch, capsys):
    out = Terminal()
    if terminal:
        monkeypatch.setattr("sys.stdout", out)
    show.show_parts([Part("Drawn", drawing=("⡇  [x] ⢸", ""))])
    text = out.getvalue() if terminal else capsys.readouterr().out
    assert "  ⡇  [x] ⢸\n" in text


def test_a_terminal_of_plain_letters_gets_them(monkeypatch):
    monkeypatch.setattr("sys.stdout", Terminal())
    monkeypatch.setenv("TERM", "linux")
    assert show.drawing("│", lambda _: "|") == "|"
    monkeypatch.setenv("TERM", "xterm-256color")
    assert show.drawing("│", lambda _: "|") == "│"
