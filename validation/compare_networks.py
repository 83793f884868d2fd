"""The reference engine's half of scripts/compare-networks: random valve states, their solutions, and how long they take.

    compare_networks.py states FILE           writes random valve states that the engine answers without complaint
    compare_networks.py engine FILE OUT       times the engine on them
    compare_networks.py report OUT OURS...    compares

Needs wntr (its engine through the C toolkit) and nothing else of it. The same list of states goes to both sides.
"""
import ctypes
import glob
import json
import math
import os
import random
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
SEED = 20261126
STATES = 200
# A valve is closed in one of four cases: enough for rings to open and branches to die, seldom for all to stand still.
CLOSED_SHARE = 0.25
# Passes are made for so long, of which the quickest counts: the others met something else on the machine.
PASS_SECONDS = 2.0
# Toolkit constants (toolkit header of version 2.2).
LINK_COUNT, INITIAL_STATUS, FLOW, NO_SAVE, COLD = 2, 4, 8, 0, 10
ITERATIONS, RELATIVE_ERROR, MAX_HEAD_ERROR = 0, 1, 2
UNBALANCED, UNSTABLE, DISCONNECTED = 1, 2, 3
FOOT = 0.3048
# A thousand times the rounding of heads of some metres, m, and a head that nobody can measure.
ROUNDING_M, MEASURABLE_M = 1e-12, 1e-9
# Tight: as tight as it will go (it takes no accuracy below 1e-5; the two others are limits of their own).
# Plain: the accuracy that it has when nothing is said.
SETTINGS = {
    "tight": ["ACCURACY 1e-8", "HEADERROR 1e-9", "FLOWCHANGE 1e-9"],
    "plain": ["ACCURACY 1e-3"],
}


def cases():
    """The network of thirty links first."""
    found = [json.load(open(path)) for path in sorted(glob.glob(os.path.join(HERE, "networks", "*.json")))]
    return found[-1:] + found[:-1]


def input_text(case, accuracy):
    """Engine input in SI (LPS) units; repr keeps full precision. As in generate.py, but for the report."""
    nodes, links = case["nodes"], case["links"]
    pipes = [link for link in links if link["type"] == "pipe"]
    pumps = [link for link in links if link["type"] == "pump"]
    lines = ["[TITLE]", case["name"], "[JUNCTIONS]"]
    lines += [f"{node['id']} {node['elevation_m']!r} 0" for node in nodes if node["type"] == "junction"]
    lines += ["[RESERVOIRS]"]
    lines += [f"{node['id']} {node['head_m']!r}" for node in nodes if node["type"] == "fixed_head"]
    lines += ["[PIPES]"]
    lines += [
        f"{link['id']} {link['from']} {link['to']} {link['length_m']!r} {link['diameter_m'] * 1000!r} "
        f"{link['roughness_m'] * 1000!r} {link['minor_loss_K']!r} {link['status'].upper()}"
        for link in pipes
    ]
    lines += ["[PUMPS]"] + [f"{link['id']} {link['from']} {link['to']} HEAD c_{link['id']}" for link in pumps]
    lines += ["[CURVES]"]
    lines += [f"c_{link['id']} {q * 1000!r} {h!r}" for link in pumps for q, h in link["curve_m3_s_m"]]
    lines += ["[STATUS]"] + [f"{link['id']} CLOSED" for link in pumps if link["status"] == "closed"]
    lines += ["[REPORT]", "STATUS NO", "MESSAGES NO", "[TIMES]", "DURATION 0", "[OPTIONS]", "UNITS LPS", "HEADLOSS D-W"]
    lines += [f"VISCOSITY {case['fluid']['nu_m2_s']!r}", "TRIALS 2000", "UNBALANCED STOP", *accuracy, "[END]"]
    return "\n".join(lines) + "\n"


class Engine:
    """One network, open in the engine. Calls go straight to the library: least overhead in the loop."""

    def __init__(self, case, accuracy, directory):
        from wntr.epanet.toolkit import ENepanet

        path = os.path.join(directory, case["name"] + ".inp")
        with open(path, "w") as file:
            file.write(input_text(case, accuracy))
        self.toolkit = ENepanet(path, path + ".rpt", path + ".bin", version=2.2)
        self.toolkit.ENopen()
        self.toolkit.ENopenH()
        self.library, self.project = self.toolkit.ENlib, self.toolkit._project
        self.index = {link["id"]: self.toolkit.ENgetlinkindex(link["id"]) for link in case["links"]}
        self.pipes = [link["id"] for link in case["links"] if link["type"] == "pipe"]
        self.time = ctypes.c_long()
        self.number = ctypes.c_double()

    def calls(self, states):
        """For each state the arguments of the calls that set every pipe, ready made."""
        integer, real = ctypes.c_int, ctypes.c_double
        return [
            [(integer(self.index[pipe]), integer(INITIAL_STATUS), real(0.0 if pipe in closed else 1.0)) for pipe in self.pipes]
            for closed in map(set, states)
        ]

    def solve(self, calls):
        for arguments in calls:
            self.library.EN_setlinkvalue(self.project, *arguments)
        self.library.EN_initH(self.project, COLD)
        return self.library.EN_runH(self.project, ctypes.byref(self.time))

    def flows_m3_s(self):
        return {name: self.toolkit.ENgetlinkvalue(at, FLOW) / 1000.0 for name, at in self.index.items()}

    def statistic(self, which):
        self.library.EN_getstatistic(self.project, ctypes.c_int(which), ctypes.byref(self.number))
        return self.number.value

    def close(self):
        self.toolkit.ENcloseH()
        self.toolkit.ENclose()


def seconds(engine, all_calls, first, second):
    """One pass: all pipes set, then two more calls, for every state."""
    library, project = engine.library, engine.project
    set_value = library.EN_setlinkvalue
    start = time.perf_counter()
    for calls in all_calls:
        for link, what, value in calls:
            set_value(project, link, what, value)
        first()
        second()
    return time.perf_counter() - start


def write_states(path):
    chosen, own, skipped = {}, {}, {}
    chance = random.Random(SEED)
    for case in cases():
        with tempfile.TemporaryDirectory() as directory:
            engine = Engine(case, SETTINGS["tight"], directory)
            kept, refused, tried = [], {}, 0
            while len(kept) < STATES and tried < 20 * STATES:
                tried += 1
                closed = [pipe for pipe in engine.pipes if chance.random() < CLOSED_SHARE]
                code = engine.solve(engine.calls([closed])[0])
                if code >= 100:
                    sys.exit(f"{case['name']}: error {code}")
                if code in (UNBALANCED, UNSTABLE, DISCONNECTED):
                    refused[code] = refused.get(code, 0) + 1
                else:
                    kept.append(closed)
            engine.close()
        name = case["name"]
        chosen[name], skipped[name] = kept, refused
        own[name] = [[link["id"] for link in case["links"] if link["type"] == "pipe" and link["status"] == "closed"]] * STATES
    with open(path, "w") as file:
        json.dump({"random": chosen, "own": own, "skipped": skipped}, file)


def run_engine(states_path, out_path):
    states = json.load(open(states_path))
    out = {"skipped": states["skipped"], "cases": {}}
    for case in cases():
        name, result = case["name"], {}
        for setting, accuracy in SETTINGS.items():
            with tempfile.TemporaryDirectory() as directory:
                engine = Engine(case, accuracy, directory)
                calls, own = engine.calls(states["random"][name]), engine.calls(states["own"][name])
                library, project, at = engine.library, engine.project, ctypes.byref(engine.time)
                count, links = ctypes.c_int(), ctypes.c_int(LINK_COUNT)

                def start_cold():
                    library.EN_initH(project, COLD)

                def start_warm():
                    library.EN_initH(project, NO_SAVE)

                def solve():
                    library.EN_runH(project, at)

                def trivial():
                    library.EN_getcount(project, links, ctypes.byref(count))

                # Turn about, so that a machine that slows down favours none.
                best = {}
                until = time.perf_counter() + PASS_SECONDS
                while not best or time.perf_counter() < until:
                    for key, list_of_calls, first, second in [
                        ("cold", calls, start_cold, solve),
                        ("warm", calls, start_warm, solve),
                        ("own", own, start_cold, solve),
                        ("start", calls, start_cold, trivial),
                        ("calls", calls, trivial, trivial),
                    ]:
                        best[key] = min(best.get(key, math.inf), seconds(engine, list_of_calls, first, second))
                flows, head_error, relative, steps = [], 0.0, 0.0, 0.0
                for call in calls:
                    engine.solve(call)
                    flows.append(engine.flows_m3_s())
                    head_error = max(head_error, engine.statistic(MAX_HEAD_ERROR) * FOOT)
                    relative = max(relative, engine.statistic(RELATIVE_ERROR))
                    steps += engine.statistic(ITERATIONS)
                engine.close()
            each = {key: value / len(calls) for key, value in best.items()}
            result[setting] = {
                # What the calls of the loop cost by themselves is taken off.
                "cold_s": each["cold"] - each["calls"],
                "warm_s": each["warm"] - each["calls"],
                "own_s": each["own"] - each["calls"],
                # And what its own start costs, too: the call to solve alone.
                "solve_s": each["cold"] - each["start"],
                "calls_s": each["calls"],
                "head_error_m": head_error,
                "relative_error": relative,
                "steps": steps / len(calls),
                "flow_m3_s": flows,
            }
        out["cases"][name] = result
    with open(out_path, "w") as file:
        json.dump(out, file)


def mass_residual(case, flows):
    """Largest sum of flows at a junction, m³/s."""
    junctions = [node["id"] for node in case["nodes"] if node["type"] == "junction"]
    worst = 0.0
    for flow in flows:
        total = dict.fromkeys([node["id"] for node in case["nodes"]], 0.0)
        for link in case["links"]:
            total[link["from"]] -= flow[link["id"]]
            total[link["to"]] += flow[link["id"]]
        worst = max([worst, *(abs(total[junction]) for junction in junctions)])
    return worst


def differences(case, mine, theirs):
    """Largest difference of a flow.

    `own`: relative to itself, of flows that are at least a hundredth of the largest in the network, in states without a
    link in transition. `transition`: the same in the other states. `small`: of lesser flows, relative to the largest,
    since what is left of two large flows may be off by any share of itself.
    """
    bore = {link["id"]: link["diameter_m"] for link in case["links"] if link["type"] == "pipe"}
    nu = case["fluid"]["nu_m2_s"]
    found = {"own": 0.0, "transition": 0.0, "small": 0.0, "clear": 0}
    for ours, other in zip(mine, theirs):
        largest = max(map(abs, other.values()))
        transition = any(
            2000.0 < 4.0 * abs(flow[name]) / (math.pi * width * nu) < 4000.0
            for flow in (ours, other)
            for name, width in bore.items()
        )
        found["clear"] += not transition
        for name, flow in other.items():
            # Where all stands still, its closed links leak some 1e-8 m³/s.
            if abs(flow) < max(0.01 * largest, 1e-6):
                where, difference = "small", abs(ours[name] - flow) / max(largest, 1e-4)
            else:
                where, difference = "transition" if transition else "own", abs(ours[name] / flow - 1.0)
            found[where] = max(found[where], difference)
    return found


def report(engine_path, our_paths):
    engine = json.load(open(engine_path))
    ours = [json.load(open(path)) for path in our_paths]
    names = [case["name"] for case in cases()]
    fastest = {name: {key: min(run[name][key] for run in ours) for key in ("cold_s", "polished_s", "again_s", "own_s", "levels_s")} for name in names}

    print("Solutions a second on one core, from a cold start, in random valve states; ratio: ours / theirs.")
    print("Theirs without what the calls of its loop cost; 'alone' also without what its cold start costs.")
    print("'more': ours with a step more than it takes, which brings its heads to rounding, as theirs, tight, has them;")
    print("'own': all in the valve state of the network itself; 'warm': each from the last answer of the same side.")
    print(f"{'':22} {'states':>6} {'skipped':>7} {'ours':>9} | {'theirs, tight':>13} {'ratio':>6} {'alone':>6} {'more':>6} {'own':>6} {'warm':>6} | "
          f"{'plain':>9} {'ratio':>6} {'alone':>6} {'own':>6}")
    ratios = {}
    for name in names:
        tight, plain = engine["cases"][name]["tight"], engine["cases"][name]["plain"]
        mine = fastest[name]
        ratios[name] = [
            tight["cold_s"] / mine["cold_s"],
            tight["solve_s"] / mine["cold_s"],
            tight["cold_s"] / mine["polished_s"],
            tight["own_s"] / mine["own_s"],
        ]
        a, b, c, d = ratios[name]
        print(f"{name:22} {len(tight['flow_m3_s']):6} {sum(engine['skipped'][name].values()):7} {1 / mine['cold_s']:9.0f} | "
              f"{1 / tight['cold_s']:13.0f} {a:6.1f} {b:6.1f} {c:6.1f} {d:6.1f} {tight['warm_s'] / mine['again_s']:6.1f} | "
              f"{1 / plain['cold_s']:9.0f} {plain['cold_s'] / mine['cold_s']:6.1f} {plain['solve_s'] / mine['cold_s']:6.1f} "
              f"{plain['own_s'] / mine['own_s']:6.1f}")
    # A step more is more than what one tube takes in all; there it isn't asked for.
    least = min(*ratios[names[0]], *(ratio for name in names for ratio in (ratios[name][0], ratios[name][1], ratios[name][3])))
    print(f"Least ratio to the tight setting: {min(ratios[names[0]]):.1f} ({names[0]}, 'more' too), {least:.1f} (all, but for 'more').")
    print(f"Ours when only levels move, by up to 20 mm ({names[0]}): {1 / fastest[names[0]]['levels_s']:.0f} a second.")

    print("\nLeft over: largest sum of flows at a junction, m³/s, as told (of its closed links it tells no flow, but lets")
    print("them leak); largest head of a link, m, and mean number of steps, by each side's own word.")
    print(f"{'':22} {'ours':>8} {'tight':>8} {'plain':>8} | {'ours':>8} {'more':>8} {'tight':>8} {'plain':>8} | {'ours':>5} {'tight':>5} {'plain':>5}")
    looser = False
    for case in cases():
        name = case["name"]
        mine, (tight, plain) = ours[0][name], (engine["cases"][name][key] for key in ("tight", "plain"))
        mass = [mass_residual(case, side["flow_m3_s"]) for side in (mine, tight, plain)]
        print(f"{name:22} {mass[0]:8.1e} {mass[1]:8.1e} {mass[2]:8.1e} | {mine['head_residual_m']:8.1e} {mine['polished_residual_m']:8.1e} {tight['head_error_m']:8.1e} "
              f"{plain['head_error_m']:8.1e} | {mine['steps']:5.1f} {tight['steps']:5.1f} {plain['steps']:5.1f}")
        looser |= mass[0] > max(mass[1], 1e-15) or mine["polished_residual_m"] > max(tight["head_error_m"], ROUNDING_M)
        looser |= mine["head_residual_m"] > MEASURABLE_M

    print("\nLargest difference of a flow from theirs, tight. Two laws of friction: 1.5 % is fair where no line is in transition.")
    print(f"{'':22} {'by itself':>10} {'(states)':>9} | {'in transition':>13} | {'small flows, by the largest':>27}")
    apart = 0.0
    for case in cases():
        name = case["name"]
        found = differences(case, ours[0][name]["flow_m3_s"], engine["cases"][name]["tight"]["flow_m3_s"])
        apart = max(apart, found["own"], found["small"])
        clear = f"({found['clear']})"
        print(f"{name:22} {found['own']:10.1e} {clear:>9} | {found['transition']:13.1e} | {found['small']:27.1e}")
    failed = []
    if least < 3.0:
        failed.append("less than 3 times as many solutions a second")
    if looser:
        failed.append("our residual is the looser one")
    if apart > 0.015:
        failed.append("a flow differs by more than 1.5 %")
    sys.exit("; ".join(failed) if failed else 0)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["states", path]:
            write_states(path)
        case ["engine", states_path, out_path]:
            run_engine(states_path, out_path)
        case ["report", engine_path, *our_paths]:
            report(engine_path, our_paths)
        case _:
            sys.exit(__doc__)
