"""A station's year as a model in SimPy: written from what the simulation documents, not from its code.

One vessel of purified water that level switches fill, one of salt water that is mixed by hand, tanks, people. Volumes are
followed exactly: between two events every flow is steady, so each crossing of a mark is a division and a timeout.
Processes: the person, the level in the fresh vessel, midnight, each tank's trouble, the feed's odd states; and short
ones for a switch that must settle, the feed's rest, a batch that becomes usable.

What isn't followed, and the other side does follow: energy, the age and salinity of what is drawn, the books of water
and salt by account, alarms, pumps that a cut-out stops (it is an error here if one would).
"""
import math
from bisect import bisect_left

import simpy

DAY = 86_400.0
YEAR = 365.0 * DAY
# How long a switch must say the same, and how long the feed rests between two runs (docs/decisions/012-control.md).
DEBOUNCE = 2.0
REST = 300.0
# House rules of whoever comes: less isn't worth a way; under this share a vessel counts as empty; a batch is made for at
# least this share of a vessel.
WORTH, EMPTY, LEAST_BATCH, LEAST_SPARE = 2e-4, 0.05, 0.25, 0.5
# Grams of absolute salinity to a unit of practical salinity (Millero et al. 2008).
ABSOLUTE = 1e-3 * 35.16504 / 35.0
TOP_OFF, CHANGE, BATCH, MEASURING, EMERGENCY = range(5)
NO_FRESH, MIXING, NO_SALT, NO_TIME = range(4)
READY, FILLING, STIRRED = range(3)


def by_month(months, t):
    """Twelve values in the middle of their months, straight between."""
    at = t / YEAR * 12.0 + 23.5
    below = int(at)
    first = months[below % 12]
    return first + (at - below) * (months[(below + 1) % 12] - first)


class Tank:
    def __init__(self, plain, at, change_day, now):
        self.at = at
        self.top_off = plain["top_off_m3_s"]
        self.change, self.every, self.emergency = plain["change_m3"], plain["change_every_days"], plain["emergency_m3"]
        self.thin = plain["thin_m3"]
        self.topped, self.owed, self.change_day = now, 0.0, change_day
        self.waits = [None, None]
        self.trouble = None


class Trouble:
    def __init__(self, volume):
        self.left, self.seen, self.was_ready = volume, None, False


class Station:
    """One year of a station."""

    def __init__(self, plant, draws):
        self.env = env = simpy.Environment(initial_time=draws["from_s"])
        self.plant, self.draws = plant, draws
        now = env.now
        self.find_vessels(plant)
        self.tanks = [Tank(own, at, day, now) for at, (own, day) in enumerate(zip(plant["tanks"], draws["change_day"]))]
        self.reset()
        # Fresh water, and what flows in and out of it.
        self.fresh, self.looked, self.inflow, self.outflow = self.fresh_full, now, 0.0, 0.0
        self.start_wet, self.stop_wet = True, True
        self.call, self.is_full = False, True
        # The purifier.
        self.on, self.since, self.feed, self.feed_count = False, now, 0, 0
        self.permeate = self.reject = self.solids = 0.0
        self.run = self.made = self.steady = self.hold_up = 0.0
        # Salt water.
        self.water, self.salt = self.target_water(self.salt_full)
        self.moving, self.salt_looked = 0.0, now
        self.batch, self.until, self.usable, self.stood = READY, math.inf, math.inf, 0.0
        self.level_process = env.process(self.level())
        env.process(self.person())
        env.process(self.midnight())
        env.process(self.odd_feeds())
        for tank, times in zip(self.tanks, draws["emergencies_s"]):
            if times:
                env.process(self.trouble(tank, times))

    def find_vessels(self, plant):
        """Refuses what this model isn't written for."""
        purifier = plant["purifier"]
        assert [own["holds"] for own in plant["vessels"]] == ["fresh", "salt"] and purifier["fills"] == [0]
        assert purifier["by_switches"] and not purifier["reject_runs_on"] and purifier["flush_m3"] == 0.0
        assert purifier["float_mol_m3"] is None and not plant["laid_up"] and not plant["delivered"]
        assert all(tank["top_off"] == "fresh" for tank in plant["tanks"]) and plant["mix"]["strength"] is not None
        fresh, salt = plant["vessels"]
        self.fresh_full, self.fresh_low, self.salt_full, self.salt_low = fresh["full_m3"], fresh["low_m3"], salt["full_m3"], salt["low_m3"]
        marks = {switch["mark"]: switch for switch in fresh["switches"]}
        self.start, self.stop = marks["start"], marks["stop"]
        self.cutout_m3 = marks["low cut-out"]["dries_m3"]
        self.purifier, self.phi, self.density = purifier, plant["salt_m3_kg"], plant["water_kg_m3"]
        share = ABSOLUTE * salt["target"]
        self.salt_per_water = share * self.density / (1.0 - share)

    def reset(self):
        self.runs = self.batches = self.visits = self.emergencies = self.met_at_once = self.met = 0
        self.running_s = self.permeate_m3 = self.reject_m3 = self.load = self.batch_m3 = self.mix_kg = self.fresh_out = self.salt_out = self.carries = self.met_after = 0.0
        self.work, self.waited, self.under = [0.0] * 5, [0.0] * 4, [0.0, 0.0]
        self.weeks = [{}, {}]
        self.from_s = self.env.now

    # ---- water ---------------------------------------------------------------------------------------------------------

    def target_water(self, volume):
        """Water and salt of a volume at the target."""
        water = volume / (1.0 + self.phi * self.salt_per_water)
        return water, self.salt_per_water * water

    def salt_volume(self):
        return self.water + self.phi * self.salt

    def fresh_drawable(self):
        return max(self.fresh - self.fresh_low, 0.0)

    def salt_drawable(self):
        return max(self.salt_volume() - self.salt_low, 0.0)

    def salt_ready(self):
        if self.batch == READY or (self.batch == STIRRED and self.usable <= self.env.now):
            return self.salt_drawable()
        return 0.0

    def under_reserve(self, which, first, last, seconds):
        reserve = self.plant["reserve_m3"][which]
        first, last = first - reserve, last - reserve
        if first < -1e-9 and last < -1e-9:
            self.under[which] += seconds
        elif first < -1e-9:
            self.under[which] += first / (first - last) * seconds
        elif last < -1e-9:
            self.under[which] += last / (last - first) * seconds

    def settle(self):
        """What has flowed through the purifier and the fresh vessel since somebody looked."""
        seconds = self.env.now - self.looked
        if seconds == 0.0:
            return
        self.looked = self.env.now
        before = self.fresh_drawable()
        if self.on:
            made = self.permeate * seconds
            self.reject_m3 += self.reject * seconds
            if made > 0.0:
                self.running_s += seconds
                self.permeate_m3 += made
                self.run += made
                self.made += made
                self.steady += self.solids * made
        self.fresh += (self.inflow - self.outflow) * seconds
        assert self.fresh > self.cutout_m3, "the pump's cut-out isn't modelled"
        self.under_reserve(0, before, self.fresh_drawable(), seconds)

    def settle_salt(self, out=0.0):
        """The same for salt water, of which so much has gone out evenly; called before anything else changes it."""
        seconds = self.env.now - self.salt_looked
        self.salt_looked = self.env.now
        before = self.salt_ready()
        if out > 0.0:
            share = min(out / self.salt_volume(), 1.0)
            self.water -= share * self.water
            self.salt -= share * self.salt
        if seconds > 0.0:
            self.under_reserve(1, before, self.salt_ready(), seconds)

    # ---- the purifier and its switches ---------------------------------------------------------------------------------

    def flows_changed(self):
        self.inflow = self.permeate if self.on else 0.0
        if self.level_process.target is not None and self.env.active_process is not self.level_process:
            self.level_process.interrupt()

    def level(self):
        """The switches in the fresh vessel."""
        env = self.env
        while True:
            self.settle()
            net = self.inflow - self.outflow
            wait = math.inf
            if self.start_wet and self.fresh <= self.start["dries_m3"]:
                self.start_wet = False
                env.process(self.low())
            elif not self.start_wet and self.fresh >= self.start["wets_m3"]:
                self.start_wet = True
            if self.stop_wet and self.fresh <= self.stop["dries_m3"]:
                self.stop_wet = self.is_full = False
            elif not self.stop_wet and self.fresh >= self.stop["wets_m3"]:
                self.stop_wet = True
                env.process(self.full())
            if net > 0.0:
                if not self.start_wet:
                    wait = (self.start["wets_m3"] - self.fresh) / net
                elif not self.stop_wet:
                    wait = (self.stop["wets_m3"] - self.fresh) / net
            elif net < 0.0:
                if self.stop_wet:
                    wait = (self.stop["dries_m3"] - self.fresh) / net
                elif self.start_wet:
                    wait = (self.start["dries_m3"] - self.fresh) / net
            try:
                if wait == math.inf:
                    yield env.event()
                else:
                    # A hair beyond the mark, so that rounding doesn't leave it short.
                    yield env.timeout(wait + 1e-6)
            except simpy.Interrupt:
                pass

    def low(self):
        """Dry for as long as a switch must say the same: the vessel calls."""
        yield self.env.timeout(DEBOUNCE)
        if not self.start_wet and not self.is_full:
            self.call = True
            rested = self.since + REST - self.env.now
            if not self.on and rested > 0.0:
                yield self.env.timeout(rested)
            if self.call and not self.on:
                self.switch_on()

    def full(self):
        yield self.env.timeout(DEBOUNCE)
        if self.stop_wet:
            self.is_full, self.call = True, False
            if self.on:
                self.switch_off()

    def note_flows(self):
        feed, now = self.purifier["feeds"][self.feed], self.env.now
        self.permeate = by_month(feed["permeate_m3_s"], now)
        self.reject = by_month(feed["reject_m3_s"], now)
        self.solids = by_month(feed["solids_kg_m3"], now)

    def switch_on(self):
        self.settle()
        now, own = self.env.now, self.purifier
        self.note_flows()
        # The hold-up has drawn nearer to the feed side, which stood at its log-mean (ASTM D4516).
        recovery = self.permeate / (self.permeate + self.reject)
        factor = -math.log1p(-min(recovery, 0.95)) / recovery if recovery > 0.0 else 1.0
        beside = factor * own["feeds"][self.feed]["feed_kg_m3"]
        self.hold_up += own["rest_share"] * -math.expm1((self.since - now) / own["rest_s"]) * (beside - self.hold_up)
        self.on, self.since, self.run = True, now, 0.0
        self.flows_changed()

    def switch_off(self):
        self.settle()
        self.close()
        if self.run > 0.0:
            self.runs += 1
        self.on, self.since, self.run = False, self.env.now, 0.0
        self.flows_changed()

    def close(self):
        """The charge on the resin of what was made: the steady part, and what the start washed out of the hold-up."""
        if self.made <= 0.0:
            return
        own = self.purifier
        steady = self.steady / self.made
        excess = self.hold_up - steady
        washed = -math.expm1(-self.made / own["hold_up_m3"])
        to_resin = steady * self.made + own["hold_up_m3"] * excess * washed
        self.load += to_resin * own["salt_mol_kg"] + own["gas_mol_m3"] * self.made
        self.hold_up = steady + excess * (1.0 - washed)
        self.made = self.steady = 0.0

    def set_feed(self, feed):
        self.settle()
        self.close()
        self.feed = feed
        self.feed_count += 1
        if self.on:
            self.note_flows()
            self.flows_changed()

    def odd_feeds(self):
        env = self.env
        for odd in self.draws["odd_feeds"]:
            yield env.timeout(odd["at_s"] - env.now)
            self.set_feed(odd["feed"])
            env.process(self.usual_feed(odd["ends_s"], self.feed_count))

    def usual_feed(self, at, count):
        yield self.env.timeout(at - self.env.now)
        if self.feed_count == count:
            self.set_feed(0)

    def midnight(self):
        env = self.env
        fresh, salt = self.plant["vessels"]
        while True:
            yield env.timeout(DAY)
            self.settle()
            middle = env.now - 0.5 * DAY
            self.fresh -= min(by_month(fresh["evaporation_m3_s"], middle) * DAY, 0.5 * self.fresh)
            # Water on its way goes on evenly: its part up to now is booked first.
            self.so_far()
            self.water -= min(by_month(salt["evaporation_m3_s"], middle) * DAY, 0.5 * self.water)
            week = int(((env.now - self.from_s) / DAY - 0.5) / 7.0)
            for weeks, ready in zip(self.weeks, (self.fresh_drawable(), self.salt_ready())):
                weeks[week] = min(weeks.get(week, math.inf), ready)
            if self.on:
                self.note_flows()
            self.flows_changed()

    # ---- tanks and people ----------------------------------------------------------------------------------------------

    def trouble(self, tank, times):
        env = self.env
        for at in times:
            yield env.timeout(at - env.now)
            if tank.trouble is None:
                tank.trouble = Trouble(tank.emergency)
                self.emergencies += 1

    def person(self):
        env = self.env
        for visit in self.draws["visits"]:
            if visit["day"] < env.now // DAY:
                continue
            if visit["at_s"] > env.now:
                yield env.timeout(visit["at_s"] - env.now)
            self.visits += 1
            yield from self.stay(env.now + visit["stays_s"], visit["looks_in"])

    def stay(self, leaves, looks_in):
        env, tanks = self.env, self.tanks
        topped, changes, self.began_batch = False, 0, False
        while True:
            in_trouble = next((tank for tank in tanks if tank.trouble is not None), None)
            if in_trouble is not None and (yield from self.help(in_trouble)):
                continue
            time_is_up = env.now >= leaves
            if self.batch == STIRRED and self.until <= env.now:
                yield from self.measure()
                continue
            if self.batch == FILLING:
                yield from self.make_batch(False)
                continue
            if not topped:
                topped = True
                if (yield from self.top_off()):
                    continue
            if looks_in:
                return
            tonight = env.now // DAY + 1.0
            if time_is_up:
                for tank in tanks[changes:]:
                    if tank.change is not None and tank.change_day < tonight:
                        self.wait(tank, 1, NO_TIME)
                return
            done = False
            while changes < len(tanks) and not done:
                done = yield from self.change(tanks[changes], tonight)
                changes += 1
            if done:
                continue
            if (yield from self.make_batch(False)):
                continue
            return

    def wait(self, tank, what, reason):
        if tank.waits[what] is None:
            tank.waits[what] = (self.env.now, reason)

    def served(self, tank, what):
        if tank.waits[what] is not None:
            since, reason = tank.waits[what]
            tank.waits[what] = None
            self.waited[reason] += self.env.now - max(since, self.from_s)

    def why_no_salt(self):
        if self.batch != READY:
            return MIXING
        return NO_SALT if self.fresh_now() > WORTH else NO_FRESH

    def fresh_now(self):
        self.settle()
        return self.fresh_drawable()

    def rate(self, way, source, volume):
        """Mean flow of a stretch by its table, where it has one."""
        times = way["times"]
        if times is None:
            return way["rate_m3_s"]
        volumes, seconds = times["source_m3"], times["seconds"]

        def down(at):
            above = min(max(bisect_left(volumes, at), 1), len(volumes) - 1)
            low, high = volumes[above - 1], volumes[above]
            return seconds[above - 1] + (at - low) / (high - low) * (seconds[above] - seconds[above - 1])

        took = down(source) - down(source - volume)
        return volume / took if took > 0.0 else way["rate_m3_s"]

    def draw_fresh(self, volume, rate):
        self.settle()
        self.outflow = rate
        self.flows_changed()
        yield self.env.timeout(volume / rate)
        self.settle()
        self.outflow = 0.0
        self.flows_changed()

    def so_far(self):
        """What of the salt water on its way has gone by now."""
        out = min(self.moving * (self.env.now - self.salt_looked), self.left) if self.moving > 0.0 else 0.0
        if out > 0.0:
            self.left -= out
        self.settle_salt(out)

    def draw_salt(self, tank, volume, what):
        """Moves salt water to a tank."""
        env, way = self.env, self.plant["to_tank"][1][tank.at]
        self.settle_salt()
        begun, rate = env.now, self.rate(way, self.salt_volume(), volume)
        if way["bucket_m3"] is not None:
            self.carries += math.ceil(volume / way["bucket_m3"] - 1e-9)
        self.moving, self.left = rate, volume
        yield env.timeout(volume / rate)
        self.settle_salt(self.left)
        self.moving = 0.0
        self.salt_out += volume
        self.work[what] += env.now - begun

    def changed(self, tank):
        self.served(tank, 1)
        if tank.change is not None:
            tank.change_day += tank.every
            today = self.env.now / DAY
            if tank.change_day < today:
                tank.change_day = today + tank.every

    def change(self, tank, tonight):
        if tank.change is None or tank.change_day >= tonight or tank.trouble is not None:
            return False
        there = self.salt_drawable() if self.batch == READY else 0.0
        if there <= WORTH or there < tank.change - WORTH:
            self.wait(tank, 1, self.why_no_salt())
            return False
        yield from self.draw_salt(tank, min(tank.change, there), CHANGE)
        self.changed(tank)
        tank.owed += tank.thin
        seconds = self.plant["people"]["change_s"]
        yield self.env.timeout(seconds)
        self.work[CHANGE] += seconds
        return True

    def top_off(self):
        """One round through all tanks with what has evaporated since the last."""
        now, wanted = self.env.now, 0.0
        for tank in self.tanks:
            gone = now - tank.topped
            tank.owed += by_month(tank.top_off, now - 0.5 * gone) * gone
            tank.topped = now
            wanted += tank.owed
        if wanted < WORTH:
            return False
        there = self.fresh_now()
        if there <= WORTH or there < wanted - WORTH:
            for tank in self.tanks:
                if tank.owed > WORTH:
                    self.wait(tank, 0, NO_FRESH)
        if there <= WORTH:
            return False
        left = volume = min(wanted, there)
        seconds = 0.0
        for tank in self.tanks:
            way, share = self.plant["to_tank"][0][tank.at], min(tank.owed, left)
            left -= share
            seconds += share / way["rate_m3_s"]
            if way["bucket_m3"] is not None and share > 0.0:
                self.carries += math.ceil(share / way["bucket_m3"] - 1e-9)
        yield from self.draw_fresh(volume, volume / seconds)
        self.work[TOP_OFF] += self.env.now - now
        self.fresh_out += volume
        for tank in self.tanks:
            share = min(tank.owed, volume)
            tank.owed -= share
            volume -= share
            if tank.owed < 1e-9:
                tank.owed = 0.0
                self.served(tank, 0)
        return True

    def help(self, tank):
        """Helps a tank in trouble with what there is, and mixes more where that isn't enough."""
        env, trouble = self.env, tank.trouble
        there = self.salt_drawable() if self.batch == READY else 0.0
        if trouble.seen is None:
            trouble.seen = env.now
            trouble.was_ready = there >= trouble.left - WORTH
        if there > WORTH:
            volume = min(trouble.left, there)
            yield from self.draw_salt(tank, volume, EMERGENCY)
            trouble.left -= volume
            if trouble.left <= 1e-4:
                tank.trouble = None
                self.met += 1
                self.met_after += env.now - trouble.seen
                self.met_at_once += trouble.was_ready
                self.changed(tank)
            return True
        if self.batch == STIRRED and self.until <= env.now:
            yield from self.measure()
            return True
        if (yield from self.make_batch(True)):
            return True
        if self.batch != STIRRED:
            return False
        self.until = min(self.until, max(self.usable, env.now))
        seconds = max(self.until - env.now, 1.0)
        yield env.timeout(seconds)
        self.work[EMERGENCY] += seconds
        return True

    def measure(self):
        seconds = self.plant["people"]["measuring_s"]
        yield self.env.timeout(seconds)
        self.work[MEASURING] += seconds
        self.settle_salt()
        self.batch = READY

    def spared(self, ready, emergency):
        return ready if emergency else max(ready - self.plant["reserve_m3"][0], 0.0)

    def to_spare(self, emergency):
        return self.spared(self.fresh_now(), emergency)

    def water_for_batch(self):
        """Water that fills the salt vessel once its salt is in."""
        wanting = max(self.salt_per_water * self.water - self.salt, 0.0)
        brought = self.salt_volume() + self.phi * wanting
        return self.target_water(max(self.salt_full - brought, 0.0))[0]

    def make_batch(self, emergency):
        """Begins a batch or goes on with it: one step of water, or else its salt."""
        env = self.env
        if self.batch != FILLING:
            if self.batch == STIRRED or (self.began_batch and not emergency):
                return False
            there = self.salt_drawable()
            if not emergency and there >= self.plant["mix"]["below_m3"] and there / (self.salt_full - self.salt_low) > EMPTY:
                return False
            wanted, spare = self.water_for_batch(), self.to_spare(emergency)
            most = self.spared(max(self.fresh_full - self.fresh_low, 0.0), emergency)
            least = min(LEAST_BATCH * self.salt_full, LEAST_SPARE * most)
            if wanted < WORTH or spare < min(wanted, max(least, WORTH)):
                return False
            self.began_batch = True
            if min(wanted, spare) < WORTH:
                return False
            self.settle_salt()
            self.batch, self.stood, self.poured = FILLING, self.salt_volume(), 0.0
        begun = env.now
        volume = min(self.water_for_batch(), self.to_spare(emergency), self.fresh_now())
        if volume >= WORTH:
            way = self.plant["between"][0][1]
            rate = self.rate(way, self.fresh, volume)
            if way["bucket_m3"] is not None:
                self.carries += math.ceil(volume / way["bucket_m3"] - 1e-9)
            yield from self.draw_fresh(volume, rate)
            self.water += volume
            self.poured += volume
            self.work[BATCH] += env.now - begun
            return True
        yield env.timeout(self.plant["people"]["batch_s"])
        self.work[BATCH] += env.now - begun
        self.settle_salt()
        self.add_salt(emergency)
        return True

    def add_salt(self, emergency):
        now, mix = self.env.now, self.plant["mix"]
        wanting = max(self.salt_per_water * self.water - self.salt, 0.0)
        self.salt += wanting
        self.mix_kg += wanting / mix["strength"]
        self.batches += 1
        self.batch_m3 += max(self.salt_volume() - self.stood, 0.0)
        warming = self.warming()
        self.usable = now + max(mix["emergency_s"], warming)
        self.until = now + max(mix["emergency_s"] if emergency else mix["mixing_s"], warming)
        self.batch = STIRRED
        self.env.process(self.becomes_usable(self.usable))

    def warming(self):
        """How long the heater takes for what was poured in, s; a day at most."""
        own = self.plant["vessels"][1]["warmth"]
        if own is None or own["heater_w"] <= 0.0:
            return 0.0
        rise = own["set_c"] - by_month(self.plant["room_c"], self.env.now)
        if rise <= 0.0:
            return 0.0
        volume = self.salt_volume()
        cold = min(self.poured, volume) if own["keeps_warm"] else volume
        holding = min(max(own["loss_w_k"] * volume / self.salt_full * rise, 0.0), own["heater_w"])
        spare = own["heater_w"] - holding
        return min(own["capacity_j_m3_k"] * cold * rise / spare, DAY) if spare > 0.0 else DAY

    def becomes_usable(self, at):
        yield self.env.timeout(at - self.env.now)
        if self.batch == STIRRED:
            # It wasn't, up to now.
            seconds = self.env.now - self.salt_looked
            self.salt_looked = self.env.now
            self.under_reserve(1, 0.0, 0.0, seconds)

    # ---- the year ------------------------------------------------------------------------------------------------------

    def finish(self):
        self.settle()
        self.so_far()
        self.close()
        for tank in self.tanks:
            for what, waits in enumerate(tank.waits):
                if waits is not None:
                    self.served(tank, what)
                    tank.waits[what] = (self.env.now, waits[1])

    def year(self):
        # What happens at the very moment still belongs to it.
        self.env.run(until=math.nextafter(0.0, math.inf))
        self.finish()
        self.reset()
        self.env.run(until=math.nextafter(YEAR, math.inf))
        self.finish()
        return {
            "runs": self.runs,
            "running_s": self.running_s,
            "permeate_m3": self.permeate_m3,
            "reject_m3": self.reject_m3,
            "load_mol": self.load,
            "batches": self.batches,
            "batch_m3": self.batch_m3,
            "mix_kg": self.mix_kg,
            "fresh_to_tanks_m3": self.fresh_out,
            "salt_to_tanks_m3": self.salt_out,
            "work_s": self.work,
            "carries": self.carries,
            "visits": self.visits,
            "waited_s": self.waited,
            "under_reserve_s": self.under,
            "emergencies": self.emergencies,
            "met_at_once": self.met_at_once,
            "met": self.met,
            "met_after_s": self.met_after,
            "least_m3": [sum(weeks.values()) for weeks in self.weeks],
        }
