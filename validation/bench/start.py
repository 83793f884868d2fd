"""From the start of the program to its first page with the demo proved: start.py BRINEWRIGHT [TIMES].

Each time the program is begun anew in an empty folder. Measured is the time from there until the whole proof is told of
(/api/events) and the page and what it shows have been fetched; what the program had of a core by then; and the memory that
is resident then, and at most until the long weekend and the years are there as well (/proc, so Linux only). Budgets, for a
release build on a quiet machine: 60 ms, and 48 MB throughout. Ends with an error where the middle of all times or the
largest memory is over.
"""
import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from common import holds

PROGRAM = Path(sys.argv[1]).resolve()
TIMES = int(sys.argv[2]) if len(sys.argv) > 2 else 20
MOST_MS, MOST_MB = 60, 48


def resident(process):
    """Memory now and at most, MB."""
    lines = Path(f"/proc/{process.pid}/status").read_text().splitlines()
    kilobytes = {own.split(":")[0]: int(own.split()[1]) for own in lines if own.startswith(("VmRSS", "VmHWM"))}
    return kilobytes["VmRSS"] / 1000, kilobytes["VmHWM"] / 1000


def core_ms(process):
    """What it had of a core, ms, threads that have ended among them; in steps of a tick, mostly 10 ms."""
    fields = Path(f"/proc/{process.pid}/stat").read_text().rsplit(")", 1)[1].split()
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def until(stream, so):
    for line in stream:
        if line.startswith(b"data: ") and so(json.loads(line[6:])):
            return


def once(folder):
    begun = time.perf_counter()
    process = subprocess.Popen(
        [PROGRAM, "open", "--port", "0", "--no-browser"], cwd=folder, stdout=subprocess.PIPE, text=True
    )
    try:
        place = process.stdout.readline().strip().removeprefix("http://").rstrip("/")
        listening = http.client.HTTPConnection(place)
        listening.request("GET", "/api/events")
        stream = listening.getresponse()
        until(stream, lambda news: news["proved"] == news["revision"])
        asking = http.client.HTTPConnection(place)
        for path in ["/", "/api/view?width_mm=190"]:
            asking.request("GET", path)
            answer = asking.getresponse().read()
        took_ms = 1000 * (time.perf_counter() - begun)
        had_ms = core_ms(process)
        view = json.loads(answer)
        holds(view["whole"] and view["drawing"], "the demo is proved and drawn")
        now_mb, _ = resident(process)
        until(stream, lambda news: news["whole"] == news["revision"] and news["work"] is None)
        return took_ms, had_ms, now_mb, resident(process)[1]
    finally:
        process.terminate()
        process.wait(10)


with tempfile.TemporaryDirectory() as folder:
    once(folder)  # The first reads the program from the disk.
    times, cores, first, most = zip(*[once(folder) for _ in range(TIMES)])
middle = statistics.median(times)
print(f"first page with the demo proved: {middle:.0f} ms in the middle of {TIMES}, {min(times):.0f} to {max(times):.0f} ms")
print(f"of a core it had {statistics.median(cores):.0f} ms by then")
print(f"resident then: {max(first):.1f} MB at most; until everything is there: {max(most):.1f} MB at most")
holds(middle <= MOST_MS, f"over {MOST_MS} ms")
holds(max(most) <= MOST_MB, f"over {MOST_MB} MB")
