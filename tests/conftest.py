"""The same examples in every run.

Hypothesis mixes numbers found in the modules that happen to be loaded into what it draws, so that a property test would
draw other examples alone than in the whole suite, or after a line of code elsewhere was changed. Here it does not.
"""

from __future__ import annotations

import signal

from hypothesis import settings
from hypothesis.internal.conjecture import providers

settings.register_profile("same", derandomize=True)
settings.load_profile("same")

# a suite begun in the background of a shell, or by `nohup`, would hand its deaf ears on to every process it tests
for number, heard in ((signal.SIGINT, signal.default_int_handler), (getattr(signal, "SIGHUP", None), signal.SIG_DFL)):
    if number is not None and signal.getsignal(number) is signal.SIG_IGN:
        signal.signal(number, heard)

if hasattr(providers, "_get_local_constants"):  # from 6.131 on
    providers._get_local_constants = lambda: providers._local_constants
