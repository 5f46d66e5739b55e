"""Today and one lot's page against the bare framework's page, on a long ledger, 20 at a time.

The peer is Django with one view that does one indexed query on the same database, under the same
server. Both are asked in turn in the same run. Then Today is asked again on a ledger of another
length, to see how its time grows. Prints one line of JSON a figure; exits 1 if a limit is broken.

Usage: web_pages.py [ENTRIES [LONG]]   (default: 100000 1000000)
"""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.parse
from collections.abc import Callable
from datetime import date
from pathlib import Path

from past import lengthen

CONNECTIONS = 20
EACH = 15  # requests a connection and round
ROUNDS = 3
MOST_RATIO = 3.0
MOST_GROWTH = 1.3
DAY = date(2026, 3, 12)
HERE = Path(__file__).parent


def build(folder: Path) -> tuple[str, str, str]:
    """Build and plan the demo farm; return the owner's code, password and a living lot."""
    from pinset.demo import build as build_demo

    result = build_demo(folder, DAY, 1, lambda _share, _text: None)
    (folder / "demo-today").write_text(f"{DAY}\n")
    os.environ["PINSET_TODAY"] = DAY.isoformat()
    from pinset.farm.queries import living
    from pinset.services.plans import planning_day

    planning_day.replan(time_limit_s=8.0)
    lot = max(living(DAY), key=lambda each: each.picked_g).code
    return result.people[0].code, result.people[0].password, lot


def serve(folder: Path, application: str, settings: str, port: int) -> subprocess.Popen[bytes]:
    """Start a server and wait until it answers."""
    environment = {
        **os.environ,
        "PINSET_FARM": str(folder),
        "DJANGO_SETTINGS_MODULE": settings,
        "PYTHONPATH": str(HERE),
        "PINSET_TODAY": DAY.isoformat(),
    }
    command = [sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws"]
    command += ["--workers", "2", "--blocking-threads", "1", "--port", str(port)]
    command += ["--log-level", "warning", "--no-access-log", application]
    process = subprocess.Popen(command, env=environment, start_new_session=True)
    for _ in range(100):
        time.sleep(0.1)
        try:
            ask(port, "/", {})
        except OSError:
            continue
        return process
    raise SystemExit("the server does not answer")


def ask(port: int, path: str, headers: dict[str, str]) -> tuple[int, bytes, dict[str, str]]:
    """Ask for one page on a connection of its own."""
    link = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    link.request("GET", path, headers=headers)
    answer = link.getresponse()
    body = answer.read()
    link.close()
    return answer.status, body, dict(answer.getheaders())


def sign_in(port: int, name: str, password: str) -> str:
    """Sign in as a browser would and return the cookie header."""
    _, body, headers = ask(port, "/sign-in/", {})
    first = headers["set-cookie"].split(";")[0]
    found = re.search(rb'name="csrfmiddlewaretoken" value="([^"]+)"', body)
    token = found.group(1).decode() if found else ""
    form = urllib.parse.urlencode(
        {"csrfmiddlewaretoken": token, "name": name, "password": password, "next": "/"}
    )
    link = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    link.request(
        "POST",
        "/sign-in/",
        form,
        {"Cookie": first, "Content-Type": "application/x-www-form-urlencoded"},
    )
    answer = link.getresponse()
    answer.read()
    cookies = [v.split(";")[0] for k, v in answer.getheaders() if k.lower() == "set-cookie"]
    link.close()
    if answer.status != 302:
        raise SystemExit(f"could not sign in: {answer.status}")
    return "; ".join(dict.fromkeys([*cookies, first]))


def load(port: int, path: str, headers: dict[str, str]) -> list[float]:
    """Ask for a page over many connections at once and return every request's seconds."""
    taken: list[float] = []
    wrong: list[int] = []

    def one() -> None:
        link = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        for _ in range(EACH):
            begun = time.perf_counter()
            link.request("GET", path, headers=headers)
            answer = link.getresponse()
            answer.read()
            taken.append(time.perf_counter() - begun)
            if answer.status != 200:
                wrong.append(answer.status)
        link.close()

    threads = [threading.Thread(target=one) for _ in range(CONNECTIONS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if wrong:
        raise SystemExit(f"{path} answered {wrong[0]}")
    return taken


def p95(taken: list[float]) -> float:
    """Return the time that 95 % of requests stayed below, in milliseconds."""
    return 1000 * statistics.quantiles(taken, n=20)[-1]


def compare(folder: Path, name: str, password: str, lot: str) -> dict[str, float]:
    """Return p95 of both pages and of the peer, in ms, the median of rounds taken in turn."""
    ours = serve(folder, "pinset.web.wsgi:application", "pinset.settings", 8741)
    bare = serve(folder, "bare.wsgi:application", "bare.settings", 8742)
    try:
        signed = {"Cookie": sign_in(8741, name, password)}
        asks: dict[str, Callable[[], list[float]]] = {
            "bare": lambda: load(8742, f"/{lot}/", {}),
            "today": lambda: load(8741, "/", signed),
            "lot": lambda: load(8741, f"/books/lots/{lot}/", signed),
        }
        for warm in asks.values():
            warm()
        rounds = {word: [] for word in asks}
        for _ in range(ROUNDS):
            for word, do in asks.items():
                rounds[word].append(p95(do()))
        return {word: statistics.median(found) for word, found in rounds.items()}
    finally:
        for process in (ours, bare):
            process.terminate()
            process.wait()


def uncached(folder: Path) -> float:
    """Return the milliseconds of making Today's view from nothing remembered, median of 15."""
    script = (
        "import json, statistics, sys, time\n"
        "from pathlib import Path\n"
        "from pinset.services.farms import opening\n"
        "opening.open_farm(Path(sys.argv[1]))\n"
        "from pinset.services import memory; from pinset.services.day import today\n"
        "taken = []\n"
        "for _ in range(16):\n"
        "    memory.forget_all()\n"
        "    begun = time.process_time()\n"
        "    today.day_view('')\n"
        "    taken.append(time.process_time() - begun)\n"
        "print(1000 * statistics.median(taken[1:]))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(folder)], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


def main() -> int:
    """Build, measure, print."""
    entries, longest = [*map(int, sys.argv[1:]), *(100_000, 1_000_000)[len(sys.argv) - 1 :]][:2]
    folder = Path(tempfile.mkdtemp(prefix="pinset-bench-"))
    try:
        name, password, lot = build(folder / "farm")
        from django.db import connection

        connection.close()
        base = lengthen(folder / "farm" / "farm.sqlite3", 10_000)
        short_ms = uncached(folder / "farm")
        have = lengthen(folder / "farm" / "farm.sqlite3", entries)
        times = compare(folder / "farm", name, password, lot)
        most = lengthen(folder / "farm" / "farm.sqlite3", longest)
        long_ms = uncached(folder / "farm")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    ratios = {word: times[word] / times["bare"] for word in ("today", "lot")}
    growth = long_ms / short_ms
    print(
        json.dumps(
            {
                "figure": "pages against the bare framework's page, p95 at 20 connections",
                "entries": have,
                "p95_ms": {word: round(value, 1) for word, value in times.items()},
                "ratio": {word: round(value, 2) for word, value in ratios.items()},
                "most": MOST_RATIO,
            }
        )
    )
    print(
        json.dumps(
            {
                "figure": "Today made from nothing remembered, CPU time, as the past grows",
                "entries": [base, most],
                "ms": [round(short_ms, 1), round(long_ms, 1)],
                "ratio": round(growth, 2),
                "most": MOST_GROWTH,
            }
        )
    )
    return int(max(ratios.values()) > MOST_RATIO or growth > MOST_GROWTH)


if __name__ == "__main__":
    sys.exit(main())
