"""The steady state at full throttle as an engineer would write it with NumPy and SciPy, from the same
published tables: a peer for speed and a second opinion on the result.

    steady_state.py boat.json       boat.json is what `cargo run --example dump_boat` writes

Differences on purpose: friction is the line itself (the Rust program puts cubics through it, within
0.1 % of friction), the series are summed term by term, every unknown is found by brentq.
"""

import csv
import json
import math
import sys
import time
from pathlib import Path

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

REFERENCE = Path(__file__).resolve().parents[2] / "reference"
GRAVITY = 9.80665
COPPER_1_K = 0.00393
COPPER_REFERENCE_K = 293.15


def table(path):
    """Rows of a reference table, heads and comments left out."""
    with open(REFERENCE / path, newline="", encoding="utf-8") as lines:
        rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    return np.array([[float(cell) for cell in row] for row in rows[1:]])


RESIDUARY = table("hull/keuning1998_residuary.csv")
KEEL_RESIDUARY = table("hull/keuning1998_keel.csv")
SERIES = {"kt": table("propeller/oosterveld1975_kt.csv"), "kq": table("propeller/oosterveld1975_kq.csv")}


class Boat:
    def __init__(self, data):
        self.water, self.hull, self.sea = data["water"], data["hull"], data["sea"]
        self.propeller, self.drive, self.bank = data["propeller"], data["drive"], data["bank"]
        self.froudes, self.residuary_n = self.residuary()

    def residuary(self):
        """Residuary resistance of body and keel at the columns of the fits."""
        h, weight = self.hull, self.water["density_kg_m3"] * GRAVITY * self.sea["residuary_factor"]
        v13 = h["volume_m3"] ** (1 / 3)
        xb, cp = h["lcb_fraction"], h["prismatic"]
        terms = np.array([
            xb, cp, v13**2 / h["waterplane_m2"], h["beam_m"] / h["length_m"], v13**2 / h["wetted_m2"],
            xb / h["lcf_fraction"], xb**2, cp**2,
        ])
        body = RESIDUARY[:, 1] + v13 / h["length_m"] * (RESIDUARY[:, 2:] @ terms)
        keel_13 = h["keel_volume_m3"] ** (1 / 3)
        keel = KEEL_RESIDUARY[:, 1:] @ np.array([
            1, h["draught_m"] / h["beam_m"],
            (h["body_draught_m"] + h["keel_centroid_below_root_m"]) / keel_13,
            h["volume_m3"] / h["keel_volume_m3"],
        ])
        # Over the fourth power of the Froude number, between the columns as SciPy keeps their order; none is negative.
        froudes = np.linspace(0.0, 0.6, 1201)

        def curve(columns, values):
            held = PchipInterpolator(columns, np.maximum(values, 0) / columns**4)
            return froudes**4 * np.maximum(held(np.clip(froudes, columns[0], columns[-1])), 0)

        body, keel = curve(RESIDUARY[:, 0], body), curve(KEEL_RESIDUARY[:, 0], keel)
        return froudes, weight * (body * h["volume_m3"] + keel * h["keel_volume_m3"])

    def resistance_n(self, speed):
        h, viscosity = self.hull, self.water["viscosity_m2_s"]
        pressure = 0.5 * self.water["density_kg_m3"] * speed**2

        def line(length):
            return 0.075 / (math.log10(max(speed * length / viscosity, 1e3)) - 2) ** 2

        friction = line(0.7 * h["length_m"]) * h["wetted_m2"]
        for foil in h["foils"]:
            t = foil["thickness_ratio"]
            friction += line(foil["chord_m"]) * (1 + 2 * t + 60 * t**4) * foil["wetted_area_m2"]
        friction += self.sea["gear_drag_area_m2"]
        residuary = np.interp(speed / math.sqrt(GRAVITY * h["length_m"]), self.froudes, self.residuary_n)
        apparent = speed + self.sea["head_wind_m_s"]
        wind = 0.5 * self.sea["air_density_kg_m3"] * self.sea["drag_area_m2"] * apparent * abs(apparent)
        return self.sea["factor"] * (pressure * friction + residuary) + wind

    def coefficient(self, name, advance, into_disc, revs):
        """KT or KQ, term by term, with the drag of blades below the series' Reynolds number."""
        p, terms = self.propeller, SERIES[name]
        chord = 2.073 * p["area_ratio"] * p["diameter_m"] / p["blades"]
        reynolds = chord / self.water["viscosity_m2_s"] * math.hypot(into_disc, 0.75 * math.pi * revs * p["diameter_m"])
        friction = [0.075 / (math.log10(min(max(rn, 1e5), 2e6)) - 2) ** 2 for rn in (reynolds, 2e6)]
        thickness = (0.0185 - 0.00125 * p["blades"]) * p["diameter_m"] / chord
        drag = p["low_reynolds"] * (2 + 4 * thickness) * (friction[0] - friction[1]) * 2.073 * p["area_ratio"]
        return self.propeller["thrust_factor" if name == "kt" else "torque_factor"] * float(np.sum(
            terms[:, 0] * advance ** terms[:, 1] * p["pitch_ratio"] ** terms[:, 2]
            * p["area_ratio"] ** terms[:, 3] * float(p["blades"]) ** terms[:, 4])) + (
            -0.3 * p["pitch_ratio"] * drag if name == "kt" else 0.25 * drag)

    def state(self, speed):
        """Everything at one speed."""
        p, d, b, density = self.propeller, self.drive, self.bank, self.water["density_kg_m3"]
        resistance = self.resistance_n(speed)
        thrust = resistance / (1 - p["thrust_deduction"])
        into_disc = speed * (1 - p["wake_fraction"])

        def missing(revs):
            return density * revs**2 * p["diameter_m"] ** 4 * self.coefficient(
                "kt", into_disc / (revs * p["diameter_m"]), into_disc, revs) - thrust

        # Below this the propeller gives no thrust: J would be above the pitch ratio and a half.
        slowest = max(into_disc / (1.2 * p["pitch_ratio"] * p["diameter_m"]), 0.1)
        revs = brentq(missing, slowest, 100, xtol=1e-12)
        torque = density * revs**2 * p["diameter_m"] ** 5 * self.coefficient(
            "kq", into_disc / (revs * p["diameter_m"]), into_disc, revs) / p["relative_rotative_efficiency"]
        omega = 2 * math.pi * revs * d["ratio"]
        motor_torque = (torque + d["bearing_torque_n_m"]) / (d["ratio"] * d["efficiency"]) + d["reduction_drag_n_m"]
        drag = d["drag_constant_n_m"] + d["drag_per_rad_s"] * omega

        def motor(kelvin):
            rise = kelvin - COPPER_REFERENCE_K
            constant = d["torque_constant_n_m_a"] * (1 + d["flux_coefficient_1_k"] * rise)
            current = (motor_torque + drag) / constant
            ohm = d["resistance_ohm"] * (1 + COPPER_1_K * rise)
            return constant, current, ohm

        def too_cold(kelvin):
            _, current, ohm = motor(kelvin)
            copper, iron = current**2 * ohm, drag * omega
            settles = d["ambient_k"] + d["case_to_ambient_k_w"] * (copper + iron) + d["winding_to_case_k_w"] * copper
            return settles - kelvin

        ceiling = d["winding_limit_k"] + 100
        kelvin = ceiling if too_cold(ceiling) > 0 else brentq(too_cold, d["ambient_k"], ceiling, xtol=1e-9)
        constant, current, ohm = motor(kelvin)
        volts = constant * omega + current * ohm
        controller = d["fixed_loss_w"] + d["loss_per_a_w"] * current + d["loss_per_a2_ohm"] * current**2
        drive_w = volts * current + controller
        power = drive_w + b["house_power_w"]
        rest = b["open_circuit_v"]
        ohms = b["packs_resistance_ohm"] + b["cable_resistance_ohm"]
        inside = rest**2 / 4 - power * ohms
        bank_v = rest / 2 + math.sqrt(inside) if inside >= 0 else rest / 2
        bank_a = power / bank_v
        pressure = 0.5 * density * (into_disc**2 + (0.7 * math.pi * revs * p["diameter_m"]) ** 2)
        sigma = self.water["pressure_margin_pa"] / pressure
        shares = {
            "bank_volts": volts / (d["maximum_duty"] * bank_v),
            "battery_amps": drive_w / bank_v / d["battery_current_limit_a"],
            "phase_amps": current / d["phase_current_limit_a"],
            "power": motor_torque * omega / d["peak_power_w"],
            "bms": bank_a / b["discharge_limit_a"],
            "low_voltage": max(
                bank_a * b["packs_resistance_ohm"] / (rest - b["low_voltage_v"]),
                bank_a * ohms / (rest - d["undervoltage_v"]),
                4 * power * ohms / rest**2,
            ),
            "motor_heat": (kelvin - d["ambient_k"]) / (d["winding_limit_k"] - d["ambient_k"]),
            "cavitation": thrust / (pressure * p["projected_area_m2"]) / (0.43 * max(sigma - 0.02, 0.0) ** 0.71),
            "hull_method": speed / (0.6 * math.sqrt(GRAVITY * self.hull["length_m"])),
        }
        return {
            "limit": max(shares, key=shares.get), "share": max(shares.values()), "shares": shares, "speed_m_s": speed,
            "resistance_n": float(resistance), "shaft_rev_s": revs, "shaft_torque_n_m": torque,
            "winding_k": kelvin, "phase_current_a": current, "bank_power_w": power, "bank_v": bank_v,
            "bank_a": bank_a,
        }

    def full_throttle(self):
        fastest = 0.6 * math.sqrt(GRAVITY * self.hull["length_m"])
        speed = brentq(lambda v: self.state(v)["share"] - 1, 0.01, fastest, xtol=1e-10)
        return self.state(speed)


def main():
    data = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    boat, ours = Boat(data), data["answer"]
    seconds = []
    for _ in range(20):
        begin = time.perf_counter()
        found = boat.full_throttle()
        seconds.append(time.perf_counter() - begin)
    differences = {key: found[key] / ours[key] - 1 for key in ours if key != "limit"}
    json.dump({
        "seconds": sorted(seconds)[len(seconds) // 2],
        "limit": found["limit"], "same_limit": found["limit"] == ours["limit"],
        "answer": {key: found[key] for key in differences}, "differences": differences,
    }, sys.stdout, indent=1)


if __name__ == "__main__":
    main()
