"""The fine pace's reference: a transfer and a run of the purifier, integrated by SciPy.

Reads plant_flows.json (flows and membranes of Larkhaven, written by the program's own test), writes plant_fine.json. Knows
nothing of events, books or controls: two systems of equations, their ends found by SciPy's own root finding.

    dV/dt = -Q(V)                                  a vessel that a task empties
    dM/dt = P(T(t)), dR/dt = J(T(t))               permeate and reject while the feed warms
    dc/dt = P(T(t)) (s(T(t)) - c) / h              salt in the hold-up, washed towards that of a long run
    dK/dt = P(T(t)) c                              salt that it gives
"""
import argparse
import json
import math
import pathlib

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline

YEAR_S = 365 * 86400.0
TIGHT = {"method": "DOP853", "rtol": 1e-12, "atol": 1e-15}


def transfer(given):
    order = np.argsort(given["volume_m3"])
    flow = CubicSpline(np.array(given["volume_m3"])[order], np.array(given["flow_m3_s"])[order])
    full, moved = max(given["volume_m3"]), given["moved_m3"]

    def done(t, v):
        return v[0] - (full - moved)
    done.terminal = True
    got = solve_ivp(lambda t, v: [-flow(v[0])], (0.0, 1e5), [full], events=done, **TIGHT)
    return float(got.t_events[0][0])


def run(given):
    temperatures = given["temperature_c"]
    of = {key: CubicSpline(temperatures, given[key]) for key in ("permeate_m3_s", "reject_m3_s", "solids_kg_m3")}
    middles = [(month + 0.5) * YEAR_S / 12 for month in range(12)]

    def warmth(t):
        return float(np.interp(t, middles, given["months_c"]))

    begins = given["drawn_s"] + given["switch_says_s"]
    permeate, reject = (float(of[key](warmth(begins))) for key in ("permeate_m3_s", "reject_m3_s"))
    recovery = permeate / (permeate + reject)
    feed_side = given["feed_kg_m3"] * -math.log1p(-recovery) / recovery
    rest = begins - given["stood_since_s"]
    # At rest from pure water: two mixed volumes, alike after a long time.
    start = given["rest_share"] * feed_side * -math.expm1(-rest / given["rest_s"])

    def slopes(t, y):
        c = warmth(t)
        flow = float(of["permeate_m3_s"](c))
        return [flow, float(of["reject_m3_s"](c)),
                flow * (float(of["solids_kg_m3"](c)) - y[2]) / given["hold_up_m3"], flow * y[2]]

    def flushed(t, y):
        return y[0] - given["flush_m3"]
    flushed.terminal = True
    ends = begins + 30 * 86400.0
    flush = solve_ivp(slopes, (begins, ends), [0.0, 0.0, start, 0.0], events=flushed, max_step=1.0, **TIGHT)
    after, at = flush.y_events[0][0], flush.t_events[0][0]

    def full(t, y):
        return y[0] - given["flush_m3"] - given["drawn_m3"]
    full.terminal = True
    # The wash-out is stiff against days: its first minutes by small steps, the rest implicitly.
    fill = solve_ivp(slopes, (at, ends), after, events=full, method="Radau", rtol=1e-10, atol=1e-14, max_step=3600.0)
    met, state = fill.t_events[0][0], fill.y_events[0][0]
    last = solve_ivp(slopes, (met, met + given["switch_says_s"]), state, **TIGHT)
    stopped, state = last.t[-1], last.y[:, -1]
    return {"running_s": stopped - begins, "stopped_s": stopped, "made_m3": state[0] - given["flush_m3"],
            "reject_m3": state[1], "hold_up_kg_m3": state[2], "resin_kg": state[3] - after[3], "start_kg_m3": start}


def main():
    here = pathlib.Path(__file__).parent
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--date", required=True)
    date = parser.parse_args().date
    given = json.loads((here / "plant_flows.json").read_text())
    told = {"header": {"what": "A transfer and a run of the purifier by an independent integration", "date": date,
                       "libraries": f"scipy {scipy.__version__}; numpy {np.__version__}",
                       "source": "the equations of plant_fine.py; DOP853 and Radau",
                       "units": "s, m3, kg, kg/m3"},
            "transfer_s": transfer(given), "run": run(given)}
    (here / "plant_fine.json").write_text(json.dumps(told, indent=1, allow_nan=False) + "\n")


if __name__ == "__main__":
    main()
