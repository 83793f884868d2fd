"""Memory while Try it runs at 600 times the pace with two who look: stream.py BRINEWRIGHT [--minutes 10].

The resident memory of the server (/proc, so Linux only) is sampled each second. It is judged flat where, without the first
fifth of the time, in which it warms up,
  - the median of the last fifth is at most 0.5 MB above that of the second fifth, and
  - the slope (the median of the slopes of all pairs of ten-second medians, so that single steps don't count) is at most 2 MB an
    hour: 28 bytes that are left behind by each of twenty moments told a second come to that.
Both are house rules. Both pages must have been told throughout, and time must have run.
"""
import argparse
import http.client
import json
import statistics
import subprocess
import tempfile
import threading
import time
from pathlib import Path

from common import holds

asked = argparse.ArgumentParser()
asked.add_argument("program", type=Path)
asked.add_argument("--minutes", type=float, default=10)
asked = asked.parse_args()
MOST_MORE_MB, MOST_MB_PER_H = 0.5, 2.0


class Viewer(threading.Thread):
    """One who looks: reads what is told, and keeps nothing but how much it was."""

    def __init__(self, place):
        super().__init__(daemon=True)
        self.place, self.told, self.last = place, 0, None

    def run(self):
        asking = http.client.HTTPConnection(self.place)
        asking.request("GET", "/api/live/stream")
        for line in asking.getresponse():
            if line.startswith(b"data: "):
                self.told += 1
                self.last = line


def resident_mb(process):
    lines = Path(f"/proc/{process.pid}/status").read_text().splitlines()
    return next(int(own.split()[1]) for own in lines if own.startswith("VmRSS")) / 1000


with tempfile.TemporaryDirectory() as folder:
    process = subprocess.Popen(
        [asked.program.resolve(), "open", "--port", "0", "--no-browser"],
        cwd=folder, stdout=subprocess.PIPE, text=True,
    )
    try:
        place = process.stdout.readline().strip().removeprefix("http://").rstrip("/")
        viewers = [Viewer(place) for _ in range(2)]
        for own in viewers:
            own.start()
        pace = http.client.HTTPConnection(place)
        heads = {"origin": f"http://{place}", "content-type": "application/json"}
        pace.request("POST", "/api/live/pace", json.dumps({"speed": 600}), heads)
        holds(pace.getresponse().read() and True, "time runs")
        samples, begun = [], time.monotonic()
        while (at := time.monotonic() - begun) < 60 * asked.minutes:
            samples.append((at, resident_mb(process)))
            time.sleep(1)
        told = [own.told for own in viewers]
        moment = json.loads(viewers[0].last[6:])
    finally:
        process.terminate()
        ended = process.wait(10)
holds(ended == 0, "it stops cleanly")
fifth = len(samples) // 5
median = lambda own: statistics.median(mb for _, mb in own)
more_mb = median(samples[-fifth:]) - median(samples[fifth:2 * fifth])
tens = [samples[at:at + 10] for at in range(fifth, len(samples) - 9, 10)]
points = [(own[0][0] / 3600, median(own)) for own in tens]
slope = statistics.median(
    (b[1] - a[1]) / (b[0] - a[0]) for at, a in enumerate(points) for b in points[at + 1:]
)
print(f"{asked.minutes:g} minutes, station's clock at {moment['time']}; told {told[0]} and {told[1]} times")
print(f"resident {samples[0][1]:.1f} MB at first, {samples[-1][1]:.1f} MB at last, {max(mb for _, mb in samples):.1f} MB at most")
print(f"without the first fifth: {more_mb:+.2f} MB, slope {slope:+.2f} MB an hour")
holds(min(told) > 60 * asked.minutes, "both were told throughout")
holds(moment["speed"] == 600 and moment["acts"] == 0, "time ran at 600 times the pace")
holds(more_mb <= MOST_MORE_MB and slope <= MOST_MB_PER_H, "memory is flat")
