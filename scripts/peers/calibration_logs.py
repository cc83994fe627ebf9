"""Runs of synthetic boats whose truth is known, made by the peer's own steady state and not by the program
that is to find the truth again.

    calibration_logs.py boats.json [--field]

Samples the scatter of the readings as the inference supposes it: Student's t with five degrees of
freedom. `--field` makes it as instruments do instead: normal errors of each leg, steps of the display, gusts.

Growth: the similarity law of granville1987 over the Schoenherr line, iterated with relaxation; blades by the
section drag of holtrop1984. Both are written anew here, from the published forms.
"""

import json
import math
import sys
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from steady_state import GRAVITY, Boat

KNOT = 1852 / 3600
KAPPA = 0.41
# As `Noise::default` of the inference states them.
SPEED, SPEED_SHARE, TURNING, POWER, VOLTS = 0.04, 0.01, 0.005, 0.025, 0.004
FREEDOM = 5


def schoenherr(reynolds):
    return brentq(lambda cf: 0.242 / math.sqrt(cf) - math.log10(reynolds * cf), 1e-4, 0.1, xtol=1e-14)


def rise(speed, length, sand, viscosity):
    """Rise of the frictional coefficient of a plate by sand of that height (Colebrook-type function)."""
    if sand <= 0 or speed <= 0:
        return 0.0
    reynolds = max(speed * length / viscosity, 1e3)
    smooth = rough = schoenherr(reynolds)
    for _ in range(200):
        w = math.sqrt(rough / 2)
        grains = reynolds * sand / length * w * (1 - w / KAPPA)
        shift = math.log1p(grains / math.exp(3.5 * KAPPA))
        new = schoenherr(reynolds * math.exp(-shift))
        if abs(new - rough) < 1e-10:
            break
        rough += 0.5 * (new - rough)
    return rough - smooth


class GrownBoat(Boat):
    """The peer's boat with growth, and a sea that nobody noted."""

    def __init__(self, data):
        super().__init__(data)
        growth, p = data["growth"], self.propeller
        self.bottom, self.sea_factor, self.canal = growth["bottom_sand_height_m"], 1.0, None
        # Chord at three quarters of the radius, as the section-drag form has it.
        chord = 2.073 * p["area_ratio"] * p["diameter_m"] / p["blades"]
        drag = 2 * rise(13.0, chord, growth["blades_sand_height_m"], self.water["viscosity_m2_s"])
        solidity = chord * p["blades"] / p["diameter_m"]
        self.section = {"kt": -0.3 * drag * p["pitch_ratio"] * solidity, "kq": 0.25 * drag * solidity}
        speeds = np.linspace(0.05, 0.6, 12) * math.sqrt(9.80665 * self.hull["length_m"])
        self.grown_at, self.grown_n = speeds, np.array([self.growth_n(v) for v in speeds])

    def growth_n(self, speed):
        h, viscosity = self.hull, self.water["viscosity_m2_s"]
        area = rise(speed, 0.7 * h["length_m"], self.bottom, viscosity) * h["wetted_m2"]
        for foil in h["foils"]:
            t = foil["thickness_ratio"]
            area += rise(speed, foil["chord_m"], self.bottom, viscosity) * (1 + 2 * t + 60 * t**4) * foil["wetted_area_m2"]
        return 0.5 * self.water["density_kg_m3"] * area

    def resistance_n(self, speed):
        apparent = speed + self.sea["head_wind_m_s"]
        wind = 0.5 * self.sea["air_density_kg_m3"] * self.sea["drag_area_m2"] * apparent * abs(apparent)
        return (self.calm_n(self.faster(speed)) * self.sea_factor) + wind

    def calm_n(self, speed):
        # Growth goes with the square of speed times a slowly varying coefficient.
        grown = np.interp(speed, self.grown_at, self.grown_n) * speed**2
        apparent = speed + self.sea["head_wind_m_s"]
        wind = 0.5 * self.sea["air_density_kg_m3"] * self.sea["drag_area_m2"] * apparent * abs(apparent)
        return super().resistance_n(speed) - wind + self.sea["factor"] * grown

    def faster(self, speed):
        """Speed past the water that streams back between walls and bottom: continuity and the head of the stream
        (schijf1949, from memory). Beyond the speed at which no more water gets past, steeply more."""
        if self.canal is None:
            return speed
        blockage, depth = self.canal
        # past^2 = speed^2 + 2 g z: how much speed the past stands for.
        def needs(past):
            return past * (1 - blockage) - past * (past**2 - speed**2) / (2 * GRAVITY * depth) - speed
        most = math.sqrt((2 * GRAVITY * depth * (1 - blockage) + speed**2) / 3)
        if needs(most) <= 0:
            return most * (1 + 3 * -needs(most) / most)
        return brentq(needs, speed, most, xtol=1e-9) if needs(speed) < 0 else speed

    def coefficient(self, name, advance, into_disc, revs):
        return super().coefficient(name, advance, into_disc, revs) + self.section[name]

    def fastest(self):
        return 0.6 * math.sqrt(9.80665 * self.hull["length_m"]) * 0.999

    def in_wind(self, wind):
        self.sea["head_wind_m_s"] = wind
        return self

    def slowest(self):
        """Where thrust begins to be needed: a following wind alone drives her up to there."""
        if self.resistance_n(0.05) > 0:
            return 0.05
        return brentq(self.resistance_n, 0.05, self.fastest(), xtol=1e-9) + 1e-3

    def at_shaft(self, revs):
        speed = brentq(lambda v: self.state(v)["shaft_rev_s"] - revs, self.slowest(), self.fastest(), xtol=1e-9)
        return self.state(speed)

    def full_throttle(self):
        """As the helmsman meets it within minutes: the winding is not hot yet."""
        def excess(v):
            shares = self.state(v)["shares"]
            return max(share for limit, share in shares.items() if limit != "motor_heat") - 1
        return self.state(brentq(excess, self.slowest(), self.fastest() / 0.999, xtol=1e-9))


def power_of(boat, state):
    return state["bank_power_w"] - boat.bank["house_power_w"]


def slipping(boat, leg, most_n_m, setting, wanted_rev_s):
    """A belt that gives no more than a torque at the shaft: the shaft stays at it, the motor runs ahead."""
    d = boat.drive
    if leg["shaft_torque_n_m"] <= most_n_m:
        return {**leg, "motor_rev_s": leg["shaft_rev_s"] * d["ratio"]}
    speed = brentq(lambda v: boat.state(v)["shaft_torque_n_m"] - most_n_m, boat.slowest(), leg["speed_m_s"], xtol=1e-9)
    held = boat.state(speed)
    constant = d["torque_constant_n_m_a"]
    torque = (held["shaft_torque_n_m"] + d["bearing_torque_n_m"]) / (d["ratio"] * d["efficiency"])
    torque += d["reduction_drag_n_m"]

    def at(omega):
        current = (torque + d["drag_constant_n_m"] + d["drag_per_rad_s"] * omega) / constant
        volts = constant * omega + current * d["resistance_ohm"]
        controller = d["fixed_loss_w"] + d["loss_per_a_w"] * current + d["loss_per_a2_ohm"] * current**2
        power, bank = volts * current + controller + boat.bank["house_power_w"], boat.bank
        ohms = bank["packs_resistance_ohm"] + bank["cable_resistance_ohm"]
        inside = bank["open_circuit_v"]**2 / 4 - power * ohms
        bank_v = bank["open_circuit_v"] / 2 + math.sqrt(max(inside, 0.0))
        return volts / (d["maximum_duty"] * bank_v), power, bank_v, power / bank_v

    omega = 2 * math.pi * wanted_rev_s * d["ratio"]
    fastest = brentq(lambda o: at(o)[0] - 1, 1.0, 5000.0)
    omega = fastest if setting["is_full_throttle"] else min(omega, fastest)
    _, power, bank_v, bank_a = at(omega)
    return {**held, "motor_rev_s": omega / (2 * math.pi), "bank_power_w": power, "bank_v": bank_v, "bank_a": bank_a}


def runs_of(case, random, is_field):
    """Both runs of every setting; None where she has no such state."""
    if case["boat"] is None:
        return None
    boat, day = GrownBoat(case["boat"]), dict(case["day"])
    odd = case["disturbance"] or {"kind": None}
    kind, along = odd["kind"], 1.0
    if kind == "confined":
        boat.canal = (odd["blockage"], odd["depth_over_draught"] * boat.hull["draught_m"])
    if kind == "wind":
        day["wind_m_s"], along = odd["wind_m_s"], math.cos(odd["from_rad"])
    if kind == "volts":
        boat.bank["open_circuit_v"] *= odd.get("bank_factor", 1.0)
    try:
        most_n_m = odd["torque_share"] * boat.full_throttle()["shaft_torque_n_m"] if kind == "belt" else None
    except ValueError:
        return None
    runs = []
    for setting in case["settings"]:
        legs = []
        for course, sign in enumerate((1, -1)):
            boat.in_wind(sign * along * day["wind_m_s"] if day["wind_m_s"] >= 0.3 else 0.0)
            boat.sea_factor = 1 + (odd["share"] * (course == 0) if kind == "sea" else 0.0)
            try:
                wanted = setting["shown_rev_s"] / day["turning_factor"]
                leg = boat.full_throttle() if setting["is_full_throttle"] else boat.at_shaft(wanted)
                legs.append(leg if most_n_m is None else slipping(boat, leg, most_n_m, setting, wanted))
            except ValueError:
                return None
        runs += scattered(boat, day, setting, legs, random, is_field, odd)
    return runs


def scattered(boat, day, setting, legs, random, is_field, odd):
    mean = {key: 0.5 * (legs[0][key] + legs[1][key]) for key in ("speed_m_s", "shaft_rev_s", "bank_v")}
    mean["power_w"] = 0.5 * sum(power_of(boat, leg) for leg in legs)
    is_full = setting["is_full_throttle"]
    turning = 0.0 if is_full else TURNING
    scale = {
        "speed_m_s": math.hypot(SPEED / math.sqrt(2), math.hypot(SPEED_SHARE, turning) * mean["speed_m_s"]),
        "shaft_rev_s": math.hypot(TURNING, SPEED_SHARE) * mean["shaft_rev_s"] if is_full else 0.0,
        "power_w": math.hypot(POWER, 3 * turning) * mean["power_w"] * day["meter_factor"],
        "bank_v": VOLTS * mean["bank_v"],
    }
    sample = random.standard_normal if is_field else (lambda: random.standard_t(FREEDOM))
    common = {key: value * sample() for key, value in scale.items()}
    stream, gust = random.uniform(-0.4, 0.4), random.standard_normal()
    runs = []
    for sign, leg in zip((1, -1), legs):
        # What differs from leg to leg goes out in the mean, as between two careful runs; in the field it does not.
        off = random.standard_normal() if is_field else sign * gust
        shaft = leg["shaft_rev_s"] * day["turning_factor"] if is_full else setting["shown_rev_s"]
        run = {
            "speed_over_ground_m_s": leg["speed_m_s"] + sign * stream + common["speed_m_s"] + off * 0.02,
            "shaft_rev_s": shaft + common["shaft_rev_s"],
            "power_w": power_of(boat, leg) * day["meter_factor"] + common["power_w"] + off * 0.005 * mean["power_w"],
            "voltage_v": leg["bank_v"] + common["bank_v"] + off * 0.02,
        }
        disturb(run, odd, boat, leg, shaft, day)
        if is_field:
            run["speed_over_ground_m_s"] = round(run["speed_over_ground_m_s"] / KNOT, 1) * KNOT
            run["power_w"] = 10 * round(run["power_w"] / 10)
            if "voltage_v" in run:
                run["voltage_v"] = round(run["voltage_v"], 1)
            for counter in ("shaft_rev_s", "motor_rev_s"):
                if counter in run:
                    run[counter] = round(run[counter] * 60 / 5) * 5 / 60
        runs.append(run)
    return runs


def disturb(run, odd, boat, leg, shaft, day):
    """What an instrument that is wrong, or not there, makes of the readings."""
    if odd["kind"] == "belt":
        of_shaft = run["shaft_rev_s"] / shaft
        run["shaft_rev_s"] = leg["shaft_rev_s"] * day["turning_factor"] * of_shaft
        if odd["counts_motor"]:
            del run["shaft_rev_s"]
            run["motor_rev_s"] = leg["motor_rev_s"] * day["turning_factor"] * of_shaft
    if odd["kind"] == "volts":
        if odd["is_read"]:
            run["voltage_v"] *= odd["meter_factor"]
            run["power_w"] *= odd["meter_factor"]
        else:
            del run["voltage_v"]


def main():
    boats = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    is_field = "--field" in sys.argv
    logs = []
    for number, case in enumerate(boats["boats"]):
        random = np.random.default_rng([boats["seed"], number])
        logs.append({"runs": runs_of(case, random, is_field)})
    json.dump({"logs": logs}, sys.stdout)


if __name__ == "__main__":
    main()
