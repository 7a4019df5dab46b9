"""Asking a person for what the points of a rubric are made from, a question at a time.

What asks and what says are passed in, so that nothing here knows a terminal; nothing is written either.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from rating import tenths, text
from rating.rubric import choosing
from rating.rubric.choosing import Answers, Comparison
from rating.rubric.rubric import Rubric

Ask = Callable[[str], str]
Say = Callable[[str], None]
Value = TypeVar("Value")


def answers(rubric: Rubric, method: str, *, questions: Mapping[str, str], ask: Ask, say: Say) -> Answers:
    """What a person answers about every criterion of a rubric, by one of `choosing.METHODS`.

    Parameters
    ----------
    questions : the question of each criterion, as far as known
    ask : shows a prompt and gives the line that was typed
    say : shows a line
    """
    if method == "pairwise":
        return Answers(method=method, comparisons=_pairs(rubric, questions, ask, say))
    by = {"points": _points, "rank": _rank, "swing": _swing}[method]
    for number, criterion in enumerate(rubric.criteria, start=1):
        say(f"{number:>3}  {criterion.key}: {questions.get(criterion.key, rubric.groups[criterion.group])}")
    say("")
    return Answers(method=method, numbers=by(rubric, ask, say))


def _until(ask: Ask, say: Say, prompt: str, read: Callable[[str], Value], please: str) -> Value:
    """The first answer that can be read."""
    while True:
        try:
            return read(text.tidy(ask(prompt)))
        except ValueError:
            say(f"  {please}")


def _named(names: Sequence[str], typed: str) -> str:
    """The name that was typed, or that of the number that was."""
    if typed in names:
        return typed
    if typed.isascii() and typed.isdigit() and 0 < int(typed) <= len(names):
        return names[int(typed) - 1]
    raise ValueError(typed)


def _points(rubric: Rubric, ask: Ask, say: Say) -> dict[str, int]:
    say("Give each its points. Enter keeps what it has; they are scaled to 100 in the end.")
    please = "points in whole tenths, please, such as 12 or 12.5"
    points: dict[str, int] = {}
    while not any(points.values()):
        for criterion in rubric.criteria:

            def read(typed: str, now: int = criterion.points) -> int:
                return tenths.read(typed) if typed else now

            prompt = f"  {criterion.key} (now {tenths.show_points(criterion.points)}): "
            points[criterion.key] = _until(ask, say, prompt, read, please)
        say(f"  {tenths.show_points(sum(points.values()))} in all")
    return points


def _rank(rubric: Rubric, ask: Ask, say: Say) -> dict[str, int]:
    keys = [one.key for one in rubric.criteria]
    say("Put them in order, the most important first. Type the number of one in the list, or its word.")
    order: list[str] = []

    def read(typed: str) -> str:
        named = _named(keys, typed)
        if named in order:
            raise ValueError(typed)
        return named

    while len(order) < len(keys) - 1:
        please = f"one of these, please: {', '.join(key for key in keys if key not in order)}"
        order.append(_until(ask, say, f"  place {len(order) + 1} of {len(keys)}: ", read, please))
    order += [key for key in keys if key not in order]
    return {key: place for place, key in enumerate(order, start=1)}


def _swing(rubric: Rubric, ask: Ask, say: Say) -> dict[str, int]:
    keys = [one.key for one in rubric.criteria]
    say("Think of a release that is at the bottom, 0, in everything. Which one would you lift to 100 first?")

    def read(typed: str) -> str:
        return _named(keys, typed)

    first = _until(ask, say, "  first: ", read, f"one of these, please: {', '.join(keys)}")
    say(f"Lifting {first} is worth 100. What is it worth to lift each of the others, from 0 to 100?")
    swings = {first: choosing.FULL}
    for key in keys:
        if key != first:
            swings[key] = _until(ask, say, f"  {key}: ", choosing.swing_of, "a number from 0 to 100, please")
    return swings


def _pairs(rubric: Rubric, questions: Mapping[str, str], ask: Ask, say: Say) -> tuple[Comparison, ...]:
    say("How many times as much does the first count as the second? 3 is three times, 1/3 the other way")
    say("round, 1 the same. Enter leaves a pair open, as long as something joins all.")
    comparisons: list[Comparison] = []
    for within, names in choosing.sets(rubric).items():
        if len(names) > 1:
            many = text.count(len(names) * (len(names) - 1) // 2, "question")
            say("")
            say(f"{rubric.groups[within] if within else 'Groups'}: {many}")
            for name in names:
                told = questions.get(name, "") if within else rubric.groups[name]
                say(f"  {name}: {told}")
            comparisons += _set(within, names, ask, say)
    return tuple(comparisons)


def _set(within: str, names: Sequence[str], ask: Ask, say: Say) -> list[Comparison]:
    """The comparisons of one set, all joined; where they contradict each other, three can be given again."""
    given: dict[tuple[str, str], Fraction] = {}

    def pair(first: str, second: str, *, may_be_open: bool) -> None:
        def read(typed: str) -> Fraction | None:
            return None if may_be_open and not typed else choosing.times_of(typed)

        times = _until(ask, say, f"  {first} against {second}: ", read, "a number from 1/9 to 9, please")
        if times is not None:
            given[first, second] = times

    def listed() -> list[Comparison]:
        return [Comparison(within=within, first=a, second=b, times=times) for (a, b), times in given.items()]

    for first, second in itertools.combinations(names, 2):
        pair(first, second, may_be_open=True)
    while len(parts := choosing.joined(names, choosing.matrix_of(within, names, listed()))) > 1:
        say(f"  nothing joins {text.listed(parts[0])} with the others yet")
        pair(parts[0][0], parts[1][0], may_be_open=False)
    while (compared := choosing.compare(within, names, listed())).pairwise.is_inconsistent:
        say(f"  {choosing.told(compared)}")
        if compared.triple is None or text.tidy(ask("  answer these three again? y or n: ")) != "y":
            break
        for first, second in itertools.combinations(compared.triple, 2):
            pair(first, second, may_be_open=False)
    return listed()
