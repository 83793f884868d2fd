"""The other half of scripts/compare-year: the same years as a SimPy model, how long they take, and both side by side.

    compare_year.py theirs DATA OUT        simulates and times the years of DATA
    compare_year.py report OUT OURS...     compares; the quickest of ours counts

The model is year_model.py.
"""
import gc
import json
import math
import sys
import time

# Passes are made for so long, of which each year's quickest counts: the others met something else on the machine. Time
# of the processor, since a year is long enough here to be interrupted in every pass; ours is measured by the clock, which
# is to their advantage.
PASS_SECONDS = 20.0
LEAST_RATIO = 50.0
# Two programs of one plant differ by rounding and by moments; counts not at all.
AGREES = 1e-3
# Under this a figure isn't compared by its share but by its difference, in its own unit.
SMALL = 1e-3


def run_theirs(data_path, out_path):
    data = json.load(open(data_path))
    if "failed" in data:
        sys.exit(data["failed"])
    from year_model import Station

    # Collecting garbage between the years only, and untimed, is to their advantage.
    gc.disable()
    years = data["years"]
    least, until, totals = [math.inf] * len(years), time.perf_counter() + PASS_SECONDS, []
    while not totals or time.perf_counter() < until:
        totals = []
        for at, draws in enumerate(years):
            begun = time.process_time()
            totals.append(Station(data["plant"], draws).year())
            least[at] = min(least[at], time.process_time() - begun)
            gc.collect()
    with open(out_path, "w") as file:
        json.dump({"year_s": math.fsum(least) / len(years), "totals": totals}, file)


def figures(totals):
    """One list of named numbers."""
    for name, value in totals.items():
        if isinstance(value, list):
            yield from ((f"{name}[{at}]", own) for at, own in enumerate(value))
        else:
            yield name, value


def report(theirs_path, our_paths):
    theirs = json.load(open(theirs_path))
    ours = [json.load(open(path)) for path in our_paths]
    for run in ours:
        if "failed" in run:
            sys.exit(run["failed"])
    years = len(theirs["totals"])
    mine = [dict(figures(year)) for year in ours[0]["totals"]]
    other = [dict(figures(year)) for year in theirs["totals"]]
    failed = []
    print(f"{years} years of Larkhaven, means of a year; the largest difference in any one year.\n")
    print(f"| {'figure':<20} | {'ours':>14} | {'SimPy':>14} | {'difference':>10} |")
    print(f"| {'-' * 20} | {'-' * 13}: | {'-' * 13}: | {'-' * 9}: |")
    for name in other[0]:
        pairs = [(own[name], their[name]) for own, their in zip(mine, other)]
        apart = max(abs(a - b) / max(abs(a), abs(b), SMALL) for a, b in pairs)
        means = [math.fsum(pair[at] for pair in pairs) / years for at in (0, 1)]
        print(f"| {name:<20} | {means[0]:14.6g} | {means[1]:14.6g} | {100 * apart:8.4f} % |")
        if apart > AGREES or (isinstance(pairs[0][1], int) and apart > 0.0):
            failed.append(f"{name} differs")
    year_s = min(run["year_s"] for run in ours)
    events = sum(year["events"] for year in ours[0]["totals"]) / years
    ratio = theirs["year_s"] / year_s
    print(f"\nOne core, one run, a year's quickest: ours {1e6 * year_s:.0f} us in {events:.0f} events; SimPy {1e3 * theirs['year_s']:.2f} ms: {ratio:.0f} times ours.")
    if ratio < LEAST_RATIO:
        failed.append(f"less than {LEAST_RATIO:.0f} times as fast")
    sys.exit("; ".join(failed) if failed else 0)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["theirs", data_path, out_path]:
            run_theirs(data_path, out_path)
        case ["report", theirs_path, *our_paths]:
            report(theirs_path, our_paths)
        case _:
            sys.exit(__doc__)
