"""Watch the functions of the reference core while a test runs, and put one of them a little off.

A check that does not fail when the figure is wrong checks nothing.  So the ledger does not ask what
a test says about itself: it runs the test again with one function's answer moved by a known share,
and counts the test as a check of that function only where it then fails.
"""

import types
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from validators.reference import extremes, verdict
from validators.reference.wiring import find_functions

SHARES = (1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10, 1e-11, 1e-12)
"""By how much of itself an answer is moved, coarsest first."""

HOOK = "__watched_call__"


def _template(*args: Any, **kwargs: Any) -> Any:
    return __watched_call__("name of the function", args, kwargs)  # type: ignore[name-defined] # noqa: F821


def watched_functions() -> dict[str, Callable[..., Any]]:
    """Every result of the core, and the three lines that limited quantities share."""
    found = {function.__name__: function for function in find_functions()}
    shared = (verdict.verdict, verdict.limit_state, extremes.extreme_guard)
    return found | {function.__name__: function for function in shared}


class Watch:
    """The functions of the core, replaced for a while by ones that take note of being called.

    A test that has imported a function holds the function itself, so its code is exchanged and not
    its name.
    """

    def __init__(self, codes: frozenset[str]) -> None:
        self.codes = codes
        """Names of results that are words or whole numbers: a share of those means nothing."""
        self.functions = watched_functions()
        self.originals: dict[str, types.FunctionType] = {}
        self.called: set[str] = set()
        self.moved = ""
        self.share = 0.0

    @contextmanager
    def in_place(self, moved: str = "", share: float = 0.0) -> Iterator["Watch"]:
        """Watch, and move the answers of one function, inside this block."""
        self.called, self.moved, self.share = set(), moved, share
        for name, function in self.functions.items():
            self._replace(name, function)
        try:
            yield self
        finally:
            for name, function in self.functions.items():
                self._restore(name, function)

    def _replace(self, name: str, function: Any) -> None:
        original = types.FunctionType(
            function.__code__, function.__globals__, name, function.__defaults__, function.__closure__
        )
        original.__kwdefaults__ = function.__kwdefaults__
        self.originals[name] = original
        constants = tuple(
            name if constant == "name of the function" else constant
            for constant in _template.__code__.co_consts
        )
        function.__globals__[HOOK] = self._call
        function.__code__ = _template.__code__.replace(co_consts=constants)
        function.__defaults__, function.__kwdefaults__ = None, None
        # The signature, which the wiring reads, stays that of the original.
        function.__wrapped__ = original

    def _restore(self, name: str, function: Any) -> None:
        original = self.originals[name]
        function.__code__ = original.__code__
        function.__defaults__, function.__kwdefaults__ = original.__defaults__, original.__kwdefaults__
        function.__globals__.pop(HOOK, None)
        del function.__wrapped__

    def _call(self, name: str, args: Any, kwargs: Any) -> Any:
        self.called.add(name)
        answer = self.originals[name](*args, **kwargs)
        if name != self.moved:
            return answer
        return answer + 1 if name in self.codes else answer * (1.0 + self.share)

    def agreement(self, name: str, run: Callable[[], Any]) -> float | None:
        """Smallest share by which the answers of one function can be moved and the test fails.

        None if the test does not fail at the coarsest; 0 for words and whole numbers, where any
        other answer fails.
        """
        if name in self.codes:
            return 0.0 if self._fails(name, 0.0, run) else None
        if not self._fails(name, SHARES[0], run):
            return None
        noticed, unnoticed = 0, len(SHARES)
        while unnoticed - noticed > 1:
            middle = (noticed + unnoticed) // 2
            if self._fails(name, SHARES[middle], run):
                noticed = middle
            else:
                unnoticed = middle
        return SHARES[noticed]

    def _fails(self, name: str, share: float, run: Callable[[], Any]) -> bool:
        with self.in_place(name, share):
            try:
                run()
            except AssertionError:
                return True
            except Exception:
                # Some other failure says that the route broke down, not that the figures differ.
                return False
            return False
