"""Run every test: on SQLite, then what touches the database again on PostgreSQL.

Without a PostgreSQL server or without Chromium the tests that need them are skipped, and it is said
loudly; with PINSET_REQUIRE_ALL=1 (set by CI) a missing one is a failure. The last line counts both.
"""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path

ROOT = Path(__file__).parents[1]
POSTGRES = os.environ.get("PINSET_TEST_POSTGRES", "postgresql://postgres@127.0.0.1:5432/postgres")
WITH_DATABASE = ["tests/farm", "tests/services", "tests/web"]
LONGEST_S = 70 * 60  # of one suite; what takes longer hangs, and counts as failed
COUNTED = re.compile(r"(\d+) (passed|failed|skipped|errors?|xfailed)\b")


def end_with(process: subprocess.Popen[str]) -> None:
    """Leave nothing behind that would keep the output open: neither a suite nor its children."""
    try:
        process.wait(LONGEST_S)
    except subprocess.TimeoutExpired:
        print(f"!! NOT ENDED after {LONGEST_S // 60} minutes: it was stopped and FAILED.")
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)


def run(
    title: str, arguments: list[str], environment: dict[str, str]
) -> tuple[int, dict[str, int]]:
    """Run pytest once, show its output as it comes, and return its status and counts."""
    print(f"\n== {title}", flush=True)
    command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile", *arguments]
    process = subprocess.Popen(
        command,
        cwd=ROOT,
        env={**os.environ, **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )
    last = ""
    threading.Thread(target=end_with, args=[process], daemon=True).start()
    try:
        for line in process.stdout or ():
            print(line, end="", flush=True)
            last = line if COUNTED.search(line) else last
    except KeyboardInterrupt:
        os.killpg(process.pid, signal.SIGINT)
        raise
    counts = {
        word.rstrip("s") if word.startswith("error") else word: int(number)
        for number, word in COUNTED.findall(last)
    }
    return process.wait(), counts


def postgres_answers() -> bool:
    """Say whether the PostgreSQL server for tests can be reached."""
    import psycopg

    try:
        psycopg.connect(POSTGRES, connect_timeout=3).close()
    except psycopg.OperationalError:
        return False
    return True


def main() -> int:
    """Run both suites and print one closing line."""
    need_all = os.environ.get("PINSET_REQUIRE_ALL") == "1"
    on_sqlite = {"PINSET_DATABASE": ""}
    if sys.argv[1:]:
        results = [run("SQLite", sys.argv[1:], on_sqlite)]
    else:
        # The browser's own event loop must not share a process with tests of the database.
        results = [
            run("SQLite", ["tests", "--ignore=tests/browser"], on_sqlite),
            run("in a browser", ["tests/browser"], on_sqlite),
        ]
    extra_failed = extra_skipped = 0
    if not sys.argv[1:] and postgres_answers():
        present = [folder for folder in WITH_DATABASE if (ROOT / folder).is_dir()]
        results.append(
            run("PostgreSQL", [*present, "-m", "not browser"], {"PINSET_DATABASE": POSTGRES})
        )
    elif not sys.argv[1:] and need_all:
        print("!! NO POSTGRESQL SERVER: its run FAILED, because PINSET_REQUIRE_ALL=1.")
        extra_failed = 1
    elif not sys.argv[1:]:
        print("!! NO POSTGRESQL SERVER ANSWERS: the run on PostgreSQL was SKIPPED.")
        print("!! Start one and set PINSET_TEST_POSTGRES to its address to run it.")
        extra_skipped = 1
    total = {"passed": 0, "failed": extra_failed, "skipped": extra_skipped, "error": 0}
    for _, counts in results:
        for word, number in counts.items():
            total[word] = total.get(word, 0) + number
    failed = total["failed"] + total["error"]
    broken = [status for status, _ in results if status]
    if broken and not failed:
        failed = len(broken)
    print(f"{total['passed']} passed, {failed} failed, {total['skipped']} skipped")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
