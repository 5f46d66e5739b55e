"""A worker is killed in the middle of a question; run as a program of its own.

Prints one line of JSON: how the question stood after the kill, whether another worker got it within
the lease, and how it ended after the lease.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from datetime import timedelta

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pinset.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402

from farm.small_farm import NOW, describe  # noqa: E402
from pinset.farm import plan_requests  # noqa: E402
from pinset.services.asking import can_promise, questions  # noqa: E402
from pinset.services.plans import work  # noqa: E402
from services.conftest import FULL_BOOK  # noqa: E402

ASKED = {"variety": "grey", "amount": "2", "weekday": "thu", "from_date": "2026-05-01"}


def killed_in_the_middle() -> None:
    """Work as the worker does, and be killed when the farm is planned with the promise."""
    tell = plan_requests.tell

    def told(number: int, progress: str) -> bool:
        is_wanted = tell(number, progress)
        if progress == "planning with it":
            os.kill(os.getpid(), signal.SIGKILL)
        return is_wanted

    plan_requests.tell = told
    work.work_once(NOW)


def state(number: int) -> dict[str, object]:
    """Return how a question stands."""
    asked = questions.by_number(number)
    return {
        "taken": bool(asked and asked.is_taken),
        "ended": bool(asked and asked.is_ended),
        "progress": asked.progress if asked else "",
        "problem": asked.problem if asked else "",
        "verdict": asked.answer.verdict if asked and asked.answer else "",
    }


def main() -> None:
    call_command("migrate", verbosity=0, skip_checks=True)
    describe(FULL_BOOK)
    number = questions.ask_question(can_promise.read(ASKED, NOW), "ada", NOW)
    connection.close()
    worker = os.fork()
    if worker == 0:
        killed_in_the_middle()
        os._exit(0)
    _, status = os.waitpid(worker, 0)
    found: dict[str, object] = {"killed": os.WIFSIGNALED(status), "after": state(number)}
    found["within_the_lease"] = plan_requests.take(NOW + plan_requests.LEASE)
    work.work_once(NOW + plan_requests.LEASE + timedelta(seconds=1))
    found["ended"] = state(number)
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
