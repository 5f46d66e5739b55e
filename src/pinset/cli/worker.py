"""The worker process that `pinset serve` keeps running: planning on request and every night."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from types import FrameType

from pinset.errors import PinsetError
from pinset.services.farms import opening


def run(folder: Path) -> int:
    """Work until the process is asked to end, or the one that started it is gone."""
    asked: list[int] = []
    started_by = os.getppid()

    def stop(number: int, _frame: FrameType | None) -> None:
        asked.append(number)

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    try:
        opening.open_farm(folder)
        from pinset.services.plans import work

        work.work_until(lambda: bool(asked) or os.getppid() != started_by)
    except PinsetError as problem:
        sys.stderr.write(f"pinset: {problem}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(run(Path(sys.argv[1])))
