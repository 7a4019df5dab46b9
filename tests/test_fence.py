"""Ways in which a module can misbehave: each is told by the module's name, and nobody else is touched."""

from __future__ import annotations

import decimal
import gc
import io
import locale
import os
import random
import sys
import threading
import time
import warnings
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace

import pytest

from rating import contract, fence
from rating.criterion import Content, Criterion, Finding, History, NotApplicable, Unknown, scale
from rating.facts.context import Buying, SeasonContext
from rating.facts.facts import Facts
from rating.registry import Module

GUIDANCE = ("dozens", "many", "some", "a few", "none")
SCALE = scale("linear", "cards", (0, 100), (10, 50), (40, 0))


def made_facts():
    """Facts with a section that holds mappings, given by hand."""
    content = Content(
        cards=10, kinds={"base": 10}, subsets=(), teams=(), without_team=0, rookies=0, variations=0,
        redemptions=2, subjects=10, tiers=(), signed_on_card=0, signed_on_stickers=0, signed_unknown=0,
        signers=0, relics_by={}, has_signatures=False, has_relics=False,
    )  # fmt: skip
    return Facts(
        release="deep-harbour",
        title="Marlow 2031 Deep Harbour",
        maker="Marlow",
        line="Deep Harbour",
        released_on=date(2031, 3, 12),
        headline="",
        season=SeasonContext(
            name="Trial 2031", currency="USD", teams=(), rookies=None, classes=(), buying=Buying(), aliases={}
        ),
        economics=Unknown("there is no price yet"),
        content=content,
        people=Unknown("there is no rookies.csv"),
        history=History(line="Deep Harbour", since=None, editions=()),
    )


def module(find, key="waiting"):
    criterion = Criterion(
        key=key, group="object", question="How many?", guidance=GUIDANCE, scale=SCALE, needs=(), find=find
    )
    return Module(criterion=criterion, origin="mine", code_hash="0" * 64)


def honest(facts):
    """Another module's answer, which rests on arithmetic, on the facts and on nothing else."""
    third = Decimal(facts.content.kinds["base"]) / Decimal(3)
    return Finding(measure=third, reason=f"A third of {facts.content.cards} is {third}.")


FOUND = Finding(measure=2, reason="Two.")


def doing(*steps):
    """A module that does something, and then answers as if nothing had been."""

    def find(facts):
        for step in steps:
            step(facts)
        return FOUND

    return find


class Loud(Exception):
    def __str__(self):
        raise SystemExit(3)


class Own(Finding):
    """A finding that is one by name only."""

    __slots__ = ()

    @property
    def kept(self):
        return Decimal("NaN")


class Text(str):
    __slots__ = ()


def raising(fault):
    def find(_):
        raise fault

    return find


def giving(make):
    return lambda _: make()


def endless(_):
    while True:
        pass


def stubborn(_):
    while True:
        try:  # noqa: SIM105  (the same)
            sum(range(100))
        except BaseException:  # noqa: BLE001, S110  (what a careless module does)
            pass


def deep(facts):
    return deep(facts)


def put(name, value):
    def step(facts):
        setattr(facts, name, value)

    return step


# none of these gives a score
FAILING = {
    # what it raises
    "an error": (raising(ValueError("no")), "failed: ValueError: no"),
    "system exit": (raising(SystemExit(0)), "failed: SystemExit"),
    "sys.exit": (lambda _: sys.exit("bye"), "failed: SystemExit: bye"),
    "quit": (raising(SystemExit()), "failed: SystemExit"),
    "base exception": (raising(BaseException("odd")), "failed: BaseException: odd"),
    "generator exit": (raising(GeneratorExit()), "failed: GeneratorExit"),
    "keyboard interrupt": (raising(KeyboardInterrupt()), "failed: KeyboardInterrupt"),
    "stop iteration": (raising(StopIteration(1)), "failed: StopIteration"),
    "memory error": (raising(MemoryError()), "failed: MemoryError"),
    "no way back": (deep, "failed: RecursionError"),
    "an error that cannot be told": (raising(Loud()), "failed: Loud: it cannot say why"),
    "an error with a surrogate": (raising(ValueError("\ud800")), "failed: ValueError"),
    "an error of a million letters": (raising(ValueError("x" * 10**6)), "failed: ValueError: xxx"),
    "division by zero": (lambda _: 1 / 0, "failed: ZeroDivisionError"),
    "a decimal divided by zero": (lambda _: Decimal(1) / 0, "failed: DivisionByZero"),
    "assertion": (raising(AssertionError()), "failed: AssertionError"),
    "a closed file": (lambda _: io.StringIO().detach(), "failed: UnsupportedOperation"),
    # what never ends
    "a loop": (endless, "did not end within"),
    "a loop that catches everything": (stubborn, "did not end within"),
    "sleep": (lambda _: time.sleep(60), "did not end within"),
    "a lock nobody opens": (lambda _: threading.Event().wait(60), "did not end within"),
    # what is no answer
    "nothing": (giving(lambda: None), "gave NoneType"),
    "a number": (giving(lambda: 50), "gave int"),
    "a text": (giving(lambda: "good"), "gave str"),
    "the class": (giving(lambda: Finding), "gave type"),
    "a generator": (lambda _: (yield FOUND), "gave generator"),
    "a heir of ours": (giving(lambda: Own(measure=2, reason="Two.")), "gave Own"),
    "a look-alike": (giving(lambda: SimpleNamespace(measure=2, reason="Two.")), "gave SimpleNamespace"),
    # numbers
    "NaN": (giving(lambda: Finding(measure=float("nan"), reason="x.")), "finite"),
    "a decimal NaN": (giving(lambda: Finding(measure=Decimal("NaN"), reason="x.")), "finite"),
    "a signalling NaN": (giving(lambda: Finding(measure=Decimal("sNaN"), reason="x.")), "finite"),
    "infinity": (giving(lambda: Finding(measure=float("inf"), reason="x.")), "finite"),
    "a thousand digits": (giving(lambda: Finding(measure=10**1000, reason="x.")), "could measure"),
    "an exponent of a million": (
        giving(lambda: Finding(measure=Decimal("1e999999"), reason="x.")),
        "could measure",
    ),
    "next to nothing": (giving(lambda: Finding(measure=Decimal("1e-999"), reason="x.")), "could measure"),
    "a large fraction": (giving(lambda: Finding(measure=Fraction(10**400), reason="x.")), "could measure"),
    "a complex number": (giving(lambda: Finding(measure=2j, reason="x.")), "must be a number"),
    "yes": (giving(lambda: Finding(measure=True, reason="x.")), "must be a number"),
    "a number as text": (giving(lambda: Finding(measure="2", reason="x.")), "must be a number"),
    "half a point of spread": (giving(lambda: Finding(measure=2, spread=0.5, reason="x.")), "whole number"),
    "a declared yes": (giving(lambda: Finding(measure=None, declared=True, reason="x.")), "whole number"),
    # texts
    "a surrogate": (giving(lambda: Finding(measure=2, reason="\ud800.")), "U\\+D800"),
    "a mark that turns the line": (giving(lambda: Finding(measure=2, reason="a\u202eb.")), "U\\+202E"),
    "a bell": (giving(lambda: Finding(measure=2, reason="a\x07b.")), "U\\+0007"),
    "bytes": (giving(lambda: Finding(measure=2, reason=b"Two.")), "not a text"),
    "a heir of text": (giving(lambda: Finding(measure=2, reason=Text("Two."))), "not a text"),
    "a novel": (giving(lambda: Finding(measure=2, reason="x" * 10**6)), "at most 5,000"),
    "a surrogate in the evidence": (
        giving(lambda: Finding(measure=2, reason="x.", evidence=("\udfff",))),
        "U\\+DFFF",
    ),
    "a thousand lines of evidence": (
        giving(lambda: Finding(measure=2, reason="x.", evidence=("a",) * 1000)),
        "at most 100",
    ),
    "why as a list": (giving(lambda: Unknown(["why"])), "not a text"),
    "why with a surrogate": (giving(lambda: NotApplicable("\ud800")), "U\\+D800"),
    # facts
    "a fact set": (doing(put("headline", "retail")), "failed: FrozenInstanceError"),
    "a section set": (doing(put("content", None)), "failed: FrozenInstanceError"),
    "a fact deleted": (doing(lambda facts: delattr(facts, "title")), "failed: FrozenInstanceError"),
    "a value set": (doing(lambda facts: setattr(facts.content, "cards", 0)), "failed: FrozenInstanceError"),
    "a mapping changed": (
        doing(lambda facts: facts.content.kinds.update(base=0)),
        "failed: TypeError: facts are not changed",
    ),
    "a mapping emptied": (
        doing(lambda facts: facts.content.kinds.clear()),
        "failed: TypeError: facts are not changed",
    ),
    "a key set": (
        doing(lambda facts: facts.content.kinds.__setitem__("base", 0)),
        "failed: TypeError: facts are not changed",
    ),
    "the season's mapping": (
        doing(lambda facts: facts.season.aliases.setdefault("a", "b")),
        "failed: TypeError: facts are not changed",
    ),
}
# these give their score, and what they did beside is put back and told
STRAYING = {
    "prints": (lambda _: print("hello"), "prints"),
    "prints errors": (lambda _: print("hello", file=sys.stderr), "prints"),
    "closes what it prints to": (lambda _: (print("x"), sys.stdout.close()), "prints"),
    "fewer digits": (lambda _: setattr(decimal.getcontext(), "prec", 2), "how decimals are reckoned"),
    "another context": (lambda _: decimal.setcontext(decimal.Context(prec=1)), "how decimals are reckoned"),
    "rounding": (lambda _: setattr(decimal.getcontext(), "rounding", "ROUND_UP"), "decimals"),
    "the folder": (lambda _: os.chdir("/"), "the working folder"),
    "a variable": (lambda _: os.environ.__setitem__("BOXWRIGHT_TODAY", "1999-01-01"), "the environment"),
    "recursion": (lambda _: sys.setrecursionlimit(4000), "how deep calls may go"),
    "digits": (lambda _: sys.set_int_max_str_digits(5000), "how long a number may be"),
    "the seed": (lambda _: random.seed(1), "the random numbers"),
}
# these are let be, and nobody sees anything of them
QUIET = {
    "warns": lambda _: warnings.warn("old", stacklevel=1),
    "makes warnings errors": lambda _: warnings.simplefilter("error"),
    "no standard output": lambda _: setattr(sys, "stdout", None),
    "collects": lambda _: gc.collect(),
}


@pytest.fixture
def untouched(capfd):
    """Holds the process to being as it was, and another module to its answer."""
    before, facts = of_the_process(), made_facts()
    wanted, _ = module(honest, "other").ask_of(made_facts())
    yield facts
    assert module(honest, "other").ask_of(facts) == (wanted, None)
    assert of_the_process() == before
    assert not sys.stdout.closed
    assert capfd.readouterr() == ("", "")


def of_the_process():
    """What a process has only one of."""
    variables = {name: one for name, one in os.environ.items() if name != "PYTEST_CURRENT_TEST"}
    limits = (sys.getrecursionlimit(), sys.get_int_max_str_digits(), decimal.getcontext().prec)
    return Path.cwd(), variables, limits, random.getstate(), locale.setlocale(locale.LC_ALL)


@pytest.mark.parametrize("name", FAILING)
def test_a_module_that_fails_is_told_and_has_no_score(untouched, name):
    """By its name, with what it did; the criterion is unknown, the others go on."""
    find, told = FAILING[name]
    answer, problem = module(find).ask_of(untouched, limit_s=0.2)
    assert isinstance(answer, Unknown)
    assert problem.severity == "error"
    assert problem.what.startswith("the criterion module mine ")
    assert len(problem.what) < 400
    with pytest.raises(AssertionError, match=told):
        raise AssertionError(problem.what)


@pytest.mark.parametrize("name", STRAYING)
def test_a_module_that_strays_keeps_its_score_and_is_told(untouched, name):
    """A remark where it is graded, a broken promise where it is tried out."""
    step, told = STRAYING[name]
    answer, problem = module(doing(step)).ask_of(untouched)
    assert answer == Finding(measure=Decimal(2), reason="Two.")
    assert problem.severity == "remark"
    assert told in problem.what
    report = contract.run(module(doing(step)), [untouched])
    assert any(told in line for line in report.failed)


@pytest.mark.parametrize("name", QUIET)
def test_what_harms_nobody_is_let_be(untouched, name):
    """It is put back without a word."""
    answer, problem = module(doing(QUIET[name])).ask_of(untouched)
    assert (answer, problem) == (Finding(measure=Decimal(2), reason="Two."), None)


def test_there_are_as_many_as_were_promised():
    """Fifty-four and more, each in a group above."""
    assert len(FAILING) + len(STRAYING) + len(QUIET) >= 54


def test_sections_are_worked_out_by_everybodys_arithmetic():
    """Also where the module that asks first has set its own."""

    def third(_):
        return Decimal(1) / Decimal(3)

    facts = Facts({"content": third})
    with decimal.localcontext(decimal.Context(prec=2)):
        assert facts.content == Decimal("0.3333333333333333333333333333")  # 28 digits, by hand


def test_a_loop_is_stopped_in_a_thread_too():
    """Where no signal reaches."""
    found = []
    thread = threading.Thread(target=lambda: found.append(fence.run(lambda: endless(None), limit_s=0.2)))
    thread.start()
    thread.join(20)
    assert found[0].failed == "did not end within 0.2 seconds"


def test_a_persons_ctrl_c_goes_through():
    """It is no fault of the module that it was at work just then."""
    import signal

    with pytest.raises(KeyboardInterrupt):
        fence.run(lambda: os.kill(os.getpid(), signal.SIGINT))
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_persons_ctrl_c_goes_through_whatever_became_of_it():
    """Compiled modules that load make an ImportError of it (pybind11 does): no score fails for that."""
    import signal

    def loads():
        try:
            os.kill(os.getpid(), signal.SIGINT)
        except KeyboardInterrupt as pressed:
            raise ImportError("initialization failed") from pressed

    with pytest.raises(KeyboardInterrupt):
        fence.run(loads)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
