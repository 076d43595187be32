"""A pile checked by the machines of a Dask cluster.

joblib gives the portions out; each machine checks them in worker processes of its own, with their ceilings.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from sheetgen.errors import DefinitionError
from validators.apart import Refused, check_portion, wait_a_little
from validators.batch import CHUNK, Done
from validators.ceilings import RunLimits
from validators.issued import Issued
from validators.kept import edition_digest
from validators.pile import Piece

LOG = logging.getLogger("boreledger")
SECONDS_TO_ANSWER = 20
PORTIONS_EACH = 2
"""Portions under way for each thread of the cluster, as for a local worker."""

HELD_EACH = 2
"""Portions held here for each that is under way: those that are done wait to be put away."""


def check_in_cluster(
    portions: Iterable[list[Piece]], address: str, jobs: int | None, limits: RunLimits, issued: Issued | None,
    done: Done,
) -> None:
    """Check a pile on a cluster.

    Parameters
    ----------
    portions : iterable of lists of Piece
        The pile in portions.
    address : str
        Of the cluster's scheduler, such as ``tcp://10.0.0.5:8786``.
    jobs : int or None
        Most portions under way; otherwise two for each thread of the cluster.
    limits : RunLimits
        What a workbook may hold, and what a worker may use up; on every machine.
    issued : Issued or None
        What was issued, to compare with.
    done : function
        Called with each file and what came of it as soon as that is there, in whatever order.

    Raises
    ------
    DefinitionError
        The extra is not installed, the cluster does not answer, is lost, or is not fit for the work.
    """
    with _cluster(address) as (joblib, threads):
        under_way = jobs or PORTIONS_EACH * threads
        given = _Given(portions, HELD_EACH * under_way * CHUNK)
        tasks = joblib.Parallel(
            n_jobs=-1, batch_size=1, pre_dispatch=under_way, return_as="generator_unordered"
        )
        check, wait = joblib.delayed(check_portion), joblib.delayed(wait_a_little)
        work = (check(edition_digest(), portion, limits, issued) if portion else wait() for portion in given)
        for outcomes in tasks(work):
            if isinstance(outcomes, Refused):
                raise DefinitionError(address, outcomes.why)
            for number, outcome in outcomes:
                done(given.under_way.pop(number), outcome)
    if given.fault is not None:
        raise given.fault


class _Given:
    """The portions as they are given out, in whatever thread; a fault ends them, and is raised at the end.

    An empty one stands for a little patience: while so many files are held here, a cluster that is quicker
    than this machine waits. To wait here would not do: joblib would keep what is done from being put away.
    """

    def __init__(self, portions: Iterable[list[Piece]], most: int) -> None:
        self._portions = iter(portions)
        self._most = most
        self.under_way: dict[int, Piece] = {}
        self.fault: Exception | None = None

    def __iter__(self) -> Iterator[list[Piece]]:
        try:
            while True:
                if len(self.under_way) >= self._most:
                    yield []
                    continue
                portion = next(self._portions, None)
                if portion is None:
                    return
                self.under_way.update((piece.number, piece) for piece in portion)
                yield portion
        except Exception as fault:  # a thread of joblib's would take it for a fault of the cluster
            self.fault = fault


@contextmanager
def _cluster(address: str) -> Iterator[tuple[Any, int]]:
    """Connect to a cluster; yield joblib, whose work goes there, and how many threads it has."""
    try:
        import distributed
        import joblib
    except ImportError as fault:
        why = "a cluster needs joblib and dask.distributed: pip install joblib distributed"
        raise DefinitionError(address, f"{why} ({fault.name} is missing)") from None
    if not LOG.isEnabledFor(logging.DEBUG):
        logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        client: Any = distributed.Client(  # type: ignore[no-untyped-call]
            address, timeout=SECONDS_TO_ANSWER, set_as_default=False
        )
    except Exception as fault:  # whatever the library makes of an address, or of silence
        raise DefinitionError(address, f"no Dask scheduler answers there ({_said(fault)})") from None
    with client:
        threads = sum(client.nthreads().values())
        if not threads:
            raise DefinitionError(address, "the cluster has no workers yet; start some and try again")
        try:
            with joblib.parallel_config(backend="dask", client=client):
                yield joblib, threads
        except DefinitionError:
            raise
        except Exception as fault:
            LOG.debug("the cluster failed", exc_info=True)
            why = f"the cluster was lost or failed ({_said(fault)}); with --keep the same call goes on"
            raise DefinitionError(address, why) from None


def _said(fault: Exception) -> str:
    return f"{type(fault).__name__}: {fault}".splitlines()[0][:200]
