"""
The one door into another language, through which every word of a sheet goes.

Sentences are made in English all over the house, also where no sheet is known of, and their figures
are in them already. The catalogue has each of them once with gaps, as it stands in the code. A
sentence is held against the catalogue; what stood in the gaps is retold by the same means; names
of the plan stay as they are, so that paper and files agree, and figures take the language's comma.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import islice

from geolayout.handover.sheets.catalogue import Message, messages

__all__ = ["GAP", "Tongue", "figures_of", "tongue"]

GAP = re.compile(r"\{(\w*)(?:![rs])?(?::[^{}]*)?\}")
"""A gap of a message, with how its figure is written."""

STOP = ". "
"""Between sentences."""

COMMA = ", "
"""Between parts of a list."""

MOST_PARTS, BEGINNING = 12, 6
"""A list of more parts than the first is read as one sentence for so many, then part by part."""

JOINTS = ("; ", ": ", ", ", " and ", " or ", " (")
"""Between parts of a sentence, the widest apart first."""

EDGES = " .;,:()"
"""What may stand round a part of a sentence."""

MARKS = str.maketrans(",.", ".,")

FIGURE = re.compile(
    r"(?<![\w.,:])(?<!= )([-+]?\d{1,3}(?:,\d{3})+(?:\.\d+)?|[-+]?\d+\.\d{1,5})(?![\d\w])"
)
"""A figure with a point or with parted thousands. Coordinates, of six decimals and more, are as
the screen of a receiver shows them, and keys of a plan as the plan has them."""

DAY = re.compile(
    r"\b(\d{1,2} )?(January|February|March|April|May|June|July|August|September|October"
    r"|November|December)\b( \d{4})?"
)
"""A month, with a day before it and a year behind it where there are some."""

PLAIN = re.compile(r"'[^']*'|[^A-Za-z]*(?:(?:m|ha|cm|km|kg|kg/ha|/ha|g|l|l/ha|ft|h|m2|m3)\b)?\W*")
"""Figures and units that all languages write alike, and names in quotes."""

YEAR = re.compile(r"(?:19|20)\d\d\b")
"""A year."""

COUNT = re.compile(r"([-+]?\d[\d,.]*) (.+)", re.DOTALL)
"""A number and what is counted."""

OWN, ENOUGH = 0.2, 0.9
"""Where a message has so much of some words outside its gaps, and knows so much of them with what
stands in the gaps, no other way is tried; messages that say most come first. [-]"""

SHORT = 40
"""So many letters hardly hold more than a name and a number. [-]"""

FEW = 1
"""What is wholly known in so few pieces is read in no other way. [-]"""

MOST_READINGS = 20
"""Ways to fill the gaps of one message that are tried. [-]"""


@dataclass(frozen=True, slots=True)
class _Told:
    """Words in another language, how many of their letters are known, and of how many pieces."""

    words: str
    sure: int
    pieces: int = 1

    @property
    def worth(self) -> tuple[int, int]:
        """By what the better of two is chosen: letters that are known, then few pieces."""
        return self.sure, -self.pieces


@dataclass(frozen=True, slots=True, eq=False)
class _Pattern:
    """A message with gaps: the words between them, the longest, and how many letters they are."""

    found: re.Pattern[str]
    chunk: str
    letters: int
    between: tuple[str, ...]
    gaps: tuple[str, ...]
    target: tuple[str, ...]
    own: frozenset[str]

    def kept(self, k: int) -> bool:
        """Whether a gap holds the plan's own words: between quotes, or marked so by `!s`."""
        quoted = self.between[k].endswith('"') and self.between[k + 1].startswith('"')
        return quoted or self.gaps[k] in self.own

    def readings(self, words: str) -> Iterator[tuple[str, ...]]:
        """Yield what may have stood in the gaps."""
        if self.found.fullmatch(words):
            rest = words[len(self.between[0]) :]
            yield from _filled(rest, self.between[1:])

    def filled(self, told: dict[str, str]) -> str:
        """Return the message in the other language."""
        return "".join(part if k % 2 == 0 else told[part] for k, part in enumerate(self.target))


def _filled(words: str, between: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Yield the words of gaps, each followed by words that are known; the last to the end."""
    known, later = between[0], between[1:]
    if not later:
        if words.endswith(known):
            yield (words[: len(words) - len(known)],)
        return
    at = words.find(known)
    while at >= 0:
        if known or at in (0, len(words)) or words[at] in " ,;(":
            for rest in _filled(words[at + len(known) :], later):
                yield (words[:at], *rest)
        at = words.find(known, at + 1) if at < len(words) else -1


class Tongue:
    """
    A language that words are retold in; call it with words.

    Parameters
    ----------
    language : str
        Its code.
    names : iterable of str
        What stays as it is.
    """

    def __init__(self, language: str, names: Iterable[str] = ()) -> None:
        self.language = language
        self._names = frozenset(name for name in names if name)
        self._known: dict[str, _Told] = {}

    def __call__(self, words: str) -> str:
        """Return words in this language."""
        if self.language == "en" or not words:
            return words
        return self._marked(self._told(words).words)

    def _marked(self, words: str) -> str:
        """Return words with figures and days in the language's way, names left alone."""
        odd = sorted((name for name in self._names if _marks(name)), key=len, reverse=True)
        if not odd:
            return self._dated(words)
        parts = re.split("(" + "|".join(map(re.escape, odd)) + ")", words)
        return "".join(part if part in odd else self._dated(part) for part in parts)

    def _dated(self, words: str) -> str:
        """Return words with months, and with figures in the language's way."""
        whole = _whole(self.language)

        def month(found: re.Match[str]) -> str:
            day = f"{found[1].strip()}. " if found[1] else ""
            return f"{day}{whole[found[2]]}{found[3] or ''}"

        return DAY.sub(month, figures_of(words))

    def _told(self, words: str) -> _Told:
        """Return the best of all ways to read some words."""
        if words not in self._known:
            best = self._known[words] = _Told(words, 0)  # what comes back to itself is no way
            for way in self._ways(words):
                best = way if way.worth > best.worth else best
                if best.sure >= len(words) and best.pieces <= FEW:
                    break
            self._known[words] = best
        return self._known[words]

    def _ways(self, words: str) -> Iterator[_Told]:
        """Yield the ways to read some words, the simplest first."""
        known = self._word(words)
        if known is not None:
            yield _Told(known, len(words), 2 if words in self._names else 1)
        elif PLAIN.fullmatch(words) or DAY.fullmatch(words):
            yield _Told(words, len(words))
        elif STOP in words.rstrip():
            yield self._by_sentences(words)
        elif words.count(COMMA) > MOST_PARTS:
            yield self._by_beginning(words)
        else:
            if len(words) <= SHORT:
                yield from self._by_ends(words)  # a name with its number is no message
            for letters, told in self._by_messages(words, _patterns(self.language)):
                yield told
                if letters >= OWN * len(words) and told.sure >= ENOUGH * len(words):
                    return
            yield from self._without_edges(words)
            yield from self._by_counts(words)
            for joint in JOINTS:
                yield from self._parted(words, joint)
            yield from self._by_ends(words)

    def _by_sentences(self, words: str) -> _Told:
        """Return sentences retold one by one, or several together where a message has several."""
        ends = [found.end() - 1 for found in re.finditer(re.escape(STOP), words)] + [len(words)]
        starts = [0, *ends[:-1]]
        best = [_Told("", 0)]
        for k, end in enumerate(ends):
            ways = [self._after(best[i], words[starts[i] : end], k - i) for i in range(k + 1)]
            best.append(max(ways, key=lambda told: told.worth))
        return best[-1]

    def _by_beginning(self, words: str) -> _Told:
        """Return a long list with its beginning retold as one, and each other part by itself."""
        parts = words.split(COMMA)
        told = [self._told(COMMA.join(parts[:BEGINNING]))]
        told += [self._told(part) for part in parts[BEGINNING:]]
        sure = sum(one.sure for one in told) + len(COMMA) * (len(told) - 1)
        return _Told(COMMA.join(one.words for one in told), sure, len(told))

    def _after(self, before: _Told, words: str, more: int) -> _Told:
        """Return what was retold with one sentence more, or with several that are one message."""
        core = words.strip()
        told = self._told(core) if not more else self._as_one(core)
        said = told.words[:1].upper() + told.words[1:] if core[:1].isupper() else told.words
        whole = words.replace(core, said) if core else words
        sure = before.sure + told.sure + len(words) - len(core)
        return _Told(before.words + whole, sure, before.pieces + told.pieces)

    def _as_one(self, words: str) -> _Told:
        """Return several sentences as the one message that they are; not sure if they are none."""
        whole = _whole(self.language)
        if words in whole:
            return _Told(whole[words], len(words))
        ways = (told for _, told in self._by_messages(words, _long_patterns(self.language)))
        return max(ways, key=lambda one: one.worth, default=_Told(words, -len(words)))

    def _by_messages(
        self, words: str, patterns: tuple[_Pattern, ...]
    ) -> Iterator[tuple[int, _Told]]:
        """Yield words as messages with gaps have them, with the letters outside the gaps."""
        for pattern in patterns:
            if pattern.chunk in words:
                readings = islice(pattern.readings(words), MOST_READINGS)
                told = [self._by(pattern, texts) for texts in readings]
                if told:
                    yield pattern.letters, max(told, key=lambda one: one.worth)

    def _by(self, pattern: _Pattern, texts: tuple[str, ...]) -> _Told:
        """Return words as a message has them, with the texts of its gaps retold."""
        told = {
            gap: _Told(text, len(text)) if pattern.kept(k) else self._told(text)
            for k, (gap, text) in enumerate(zip(pattern.gaps, texts, strict=True))
        }
        sure = pattern.letters + sum(one.sure for one in told.values())
        pieces = 1 + sum(one.pieces for one in told.values() if one.words)
        return _Told(pattern.filled({gap: one.words for gap, one in told.items()}), sure, pieces)

    def _without_edges(self, words: str) -> Iterator[_Told]:
        """Yield words retold without the blanks, marks and brackets at their edges."""
        core = words.strip(EDGES)
        if core and core != words:
            before, after = words.split(core, 1)
            told = self._told(core)
            sure = told.sure + len(words) - len(core)
            yield _Told(f"{before}{told.words}{after}", sure, told.pieces)

    def _by_counts(self, words: str) -> Iterator[_Told]:
        """Yield a number with what is counted retold."""
        if counted := COUNT.fullmatch(words):
            told = self._told(counted[2])
            sure = told.sure + len(counted[1]) + 1
            yield _Told(f"{counted[1]} {told.words}", sure, told.pieces + 1)

    def _parted(self, words: str, joint: str) -> Iterator[_Told]:
        """Yield words retold on both sides of each place where they may be parted."""
        between = _whole(self.language).get(joint, joint)
        at = words.find(joint)
        while at >= 0:
            one, other = self._told(words[:at]), self._told(words[at + len(joint) :])
            sure, pieces = one.sure + other.sure + len(joint), one.pieces + other.pieces
            yield _Told(f"{one.words}{between}{other.words}", sure, pieces)
            at = words.find(joint, at + 1)

    def _by_ends(self, words: str) -> Iterator[_Told]:
        """Yield words whose beginning or end is known of itself, without a mark between."""
        at = words.find(" ")
        while at >= 0:
            first, last = words[:at], words[at + 1 :]
            if YEAR.match(last):
                return  # "harvest 2027" is a message, also where a work is called harvest
            known = self._word(first), self._word(last)
            if known[1] is not None and (told := self._told(first)).sure == len(first):
                own = 0 if last in self._names else 1
                yield _Told(f"{told.words} {known[1]}", len(words), told.pieces + own)
            if known[0] is not None and (told := self._told(last)).sure == len(last):
                own = 0 if first in self._names else 1
                yield _Told(f"{known[0]} {told.words}", len(words), told.pieces + own)
            at = words.find(" ", at + 1)

    def _word(self, words: str) -> str | None:
        """Return a name, or a message without gaps in this language; None if it is neither."""
        whole = _whole(self.language)
        if words in self._names or words in whole:
            return whole.get(words, words) if words not in self._names else words
        small = words[:1].lower() + words[1:]
        return whole[small][:1].upper() + whole[small][1:] if small in whole else None


def _marks(name: str) -> bool:
    """Whether a name has what looks like a figure or a month."""
    return bool(FIGURE.search(name) or DAY.search(name))


@cache
def _all(language: str) -> tuple[Message, ...]:
    """Return the messages of a language, and each without the marks at its edges."""
    said = messages(language)
    bare = [Message(one.source.strip(EDGES), one.target.strip(EDGES)) for one in said]
    return tuple(dict.fromkeys([*said, *(one for one in bare if one.source and one.target)]))


@cache
def _whole(language: str) -> dict[str, str]:
    """Return messages without gaps."""
    return {one.source: one.target for one in reversed(_all(language))}


@cache
def _patterns(language: str) -> tuple[_Pattern, ...]:
    """Return messages with gaps, those that say most first."""
    found = [_pattern(one) for one in _all(language) if GAP.search(one.source)]
    return tuple(sorted(found, key=lambda one: -one.letters))


@cache
def _long_patterns(language: str) -> tuple[_Pattern, ...]:
    """Return messages with gaps that are several sentences."""
    return tuple(
        one for one in _patterns(language) if any(STOP in between for between in one.between)
    )


def _pattern(message: Message) -> _Pattern:
    """Return a message as a pattern."""
    parts = GAP.split(message.source)
    between = tuple(parts[::2])
    found = "(?:.*)".join(map(re.escape, between))
    return _Pattern(
        re.compile(found, re.DOTALL),
        max(between, key=len),
        sum(map(len, between)),
        between,
        tuple(parts[1::2]),
        tuple(GAP.split(message.target)),
        frozenset(re.findall(r"\{(\w*)!s\}", message.target)),
    )


def figures_of(words: str) -> str:
    """
    Return words with a comma before decimals, and a point between thousands.

    Examples
    --------
    >>> figures_of("12.50 m, 80,000 plants; 52.1234567 and geo:52.123456,0.123456")
    '12,50 m, 80.000 plants; 52.1234567 and geo:52.123456,0.123456'
    """
    return FIGURE.sub(lambda figure: figure[1].translate(MARKS), words)


@cache
def tongue(language: str, names: frozenset[str] = frozenset()) -> Tongue:
    """Return a language with the names that stay as they are, made once."""
    return Tongue(language, names)
