"""Programs that a test starts and then interrupts."""

import contextlib
import signal
from collections.abc import Iterator


@contextlib.contextmanager
def interruptible() -> Iterator[None]:
    """What is started inside takes an interrupt, which a background job of a shell would ignore."""
    here = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, here)
