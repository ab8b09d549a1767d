"""Working ahead: while a user looks at one answer, the kernel works out the one that the next key press will ask for.

Most of the wait between a key and the repaint is the kernel's work, and a user who goes step by step gives it time between
the steps.  Nothing else changes: an answer made ahead comes from the same calls as one made when it is asked for.
"""

import sys
import threading
import time
from contextlib import suppress

from lamcalc.workbook.turns import one_at_a_time

PAUSE_S = 0.08  # the answer just made is sent and painted first
KEPT = 8  # answers that are remembered
LONGEST_S = 0.6  # an answer that takes longer is not made on suspicion: whoever moves another control would wait for it
REST_S = 1.0  # what can wait is done when nobody has pressed a key for so long: it holds up the next key and the browser
_wish = [None]  # the timer of what is to be worked out next


def soon(work):
    """Do something in a moment, unless something else happens in a panel before; only in the kernel of a notebook.

    Parameters
    ----------
    work : callable
        What to do; called without arguments [-].

    Examples
    --------
    >>> soon(lambda: print("there is no kernel here"))
    """
    stop()
    if not _in_kernel():
        return
    timer = threading.Timer(PAUSE_S, lambda: _do(timer, work))
    timer.daemon = True
    _wish[0] = timer
    timer.start()


def _in_kernel():
    ipython = sys.modules.get("IPython")
    return getattr(ipython and ipython.get_ipython(), "kernel", None) is not None


@one_at_a_time
def _do(timer, work):
    if _wish[0] is timer:  # else somebody pressed a key while it waited for its turn
        with suppress(Exception):  # whatever is wrong is told when it is asked for
            work()


def stop():
    """Give up what was to be done soon.

    Examples
    --------
    >>> stop()
    """
    if _wish[0] is not None:
        _wish[0].cancel()
        _wish[0] = None


class Late:
    """Work that can wait until nothing has asked for it for a moment, such as what follows somebody else's keys.

    Parameters
    ----------
    work : callable
        What to do; called without arguments, outside the kernel of a notebook at once [-].

    Examples
    --------
    >>> Late(lambda: print("there is no kernel here")).ask()
    there is no kernel here
    """

    def __init__(self, work):
        self._work, self._timer = work, None

    def ask(self):
        """Ask for the work; asked again before it began, it waits anew and is done once."""
        if self._timer is not None:
            self._timer.cancel()
        if not _in_kernel():
            self._work()
            return
        self._timer = timer = threading.Timer(REST_S, lambda: self._do(timer))
        timer.daemon = True
        timer.start()

    @one_at_a_time
    def _do(self, timer):
        if self._timer is timer:  # else it was asked for again while it waited for its turn
            self._timer = None
            self._work()


class Answers:
    """Answers given lately or worked out ahead, by what was asked.

    Examples
    --------
    >>> answers = Answers()
    >>> answers.of((0.1 + 0.2,), lambda: "made"), answers.of((0.3,), lambda: "made again")
    ('made', 'made')
    """

    def __init__(self):
        self._kept, self._took = {}, 0.0

    @property
    def quick(self):
        """Whether the last answer that was made took little time [-]."""
        return self._took <= LONGEST_S

    def of(self, question, make):
        """The answer to a question, made if it is not there.

        Parameters
        ----------
        question : tuple
            Values of controls and whatever else the answer depends on; the dust of a slider's steps does not count [-].
        make : callable
            Makes the answer; called without arguments [-].

        Returns
        -------
        object
            Answer [-].
        """
        key = tuple(float(f"{part:.10g}") if isinstance(part, float) else part for part in question)
        answer = self._kept.pop(key) if key in self._kept else self._made(make)
        self._kept[key] = answer  # now the youngest
        while len(self._kept) > KEPT:
            del self._kept[next(iter(self._kept))]
        return answer

    def _made(self, make):
        start = time.perf_counter()
        try:
            return make()
        finally:
            self._took = time.perf_counter() - start

    def forget(self):
        """Forget everything, because something else than the question has changed."""
        self._kept.clear()
