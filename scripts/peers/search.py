"""The search as an engineer would write it with NumPy, twice: with every candidate solved by itself, in
long arrays ("plain"), and with the same tables that the Rust program uses ("tables").

    search.py search.json       search.json is what `cargo run --example dump_search` writes

Prints JSON: candidates per second of processor time of both, and how far the answers lie from the Rust program's. The plain
one runs on part of the propellers. Neither knows the Reynolds correction above 2e6 nor builds a front.
"""

import csv
import json
import os
import sys
import time
from pathlib import Path

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import numpy as np

REFERENCE = Path(__file__).resolve().parents[2] / "reference"
COPPER, BASE_K, CEILING_K, OVERSPEED = 0.00393, 293.15, 100.0, 1.5
NODES, PLAIN_EVERY, BISECTIONS = 96, 10, 26


def table(path):
    with open(REFERENCE / path, newline="", encoding="utf-8") as lines:
        rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    head = rows[0]
    return [dict(zip(head, map(float, row))) for row in rows[1:]], head


class Search:
    def __init__(self, data):
        self.data = data
        self.speeds = np.array(data["resistance"]["speed_m_s"])
        self.newtons = np.array(data["resistance"]["n"])
        self.cruise = np.array(data["cruise_m_s"])
        self.d, self.p, self.z, self.area, self.torque = np.array(data["propellers"]).T
        self.kt, self.kq = self.series("kt"), self.series("kq") * self.torque[:, None]
        machines, banks = data["machines"], data["banks"]
        of = lambda rows, key, none=np.nan: np.array([none if r[key] is None else r[key] for r in rows], dtype=float)
        # Axes of a candidate's arrays: machine, reduction, bank.
        m = {k: of(machines, k, np.inf)[:, None, None] for k in machines[0] if k not in ("loss", "is_present", "undervoltage_v")}
        m["loss"] = np.array([r["loss"] for r in machines]).T[:, :, None, None]
        m["uv"] = of(machines, "undervoltage_v", 0.0)[:, None, None]
        b = {k: of(banks, k)[None, None, :] for k in banks[0]}
        self.m, self.b = m, b
        lines = np.array(data["lines"])
        self.ratio, self.efficiency, self.drag = (lines[:, :, k][:, :, None] for k in range(3))
        self.supply()

    def series(self, which):
        rows, head = table(f"propeller/oosterveld1975_{which}.csv")
        c, s, t, u, v = (np.array([row[key] for row in rows]) for key in head[:5])
        terms = c * (self.p / self.d)[:, None] ** t * self.area[:, None] ** u * self.z[:, None] ** v
        return np.stack([terms[:, s == power].sum(axis=1) for power in range(4)], axis=1)

    def supply(self):
        """Limits of bank and controller as powers of the drive."""
        m, b, house = self.m, self.b, self.data["house_w"]
        e, r = b["rest_v"], b["packs_ohm"] + b["cable_ohm"]
        self.scale = b["nominal_v"] / m["nominal_v"]
        at = lambda amps: np.minimum(amps, 0.5 * e / r) * (e - np.minimum(amps, 0.5 * e / r) * r) - house
        half = 0.5 * (e - m["battery_a"] * r)
        root = half**2 - house * r
        by_controller = np.where((half > 0) & (root >= 0), m["battery_a"] * (half + np.sqrt(np.maximum(root, 0))), np.inf)
        low = np.minimum((e - b["low_v"]) / b["packs_ohm"], (e - m["uv"] * self.scale) / r)
        self.most = np.minimum.reduce(np.broadcast_arrays(m["power_w"], by_controller, at(b["limit_a"]), at(np.maximum(low, 0))))
        self.e, self.r = e, r
        present = np.array([r["is_present"] for r in self.data["machines"]])[:, None, None]
        hers = present & (np.abs(b["nominal_v"] - m["nominal_v"]) < 1e-9)
        self.is_overspeed = ~hers & (e / m["kt"] / (OVERSPEED * m["rated_rad_s"]) > 1)

    def revs(self, i, advance, thrust):
        """Revolutions for a thrust by Newton's method on the cubic; `i` numbers the propellers."""
        a, tau = advance / self.d[i], thrust / (self.data["water"]["density_kg_m3"] * self.d[i] ** 4)
        k0, k1, k2, k3 = (self.kt[i, power] for power in range(4))
        half = 0.5 * a / (self.p[i] / self.d[i])
        n = half + np.sqrt(half * half + tau / k0)
        for _ in range(5):
            value = ((k0 * n + k1 * a) * n + k2 * a * a - tau) * n + k3 * a**3
            n = n - value / ((3 * k0 * n + 2 * k1 * a) * n + k2 * a * a - tau)
        j = a / n
        kq = self.kq[i, 0] + j * (self.kq[i, 1] + j * (self.kq[i, 2] + j * self.kq[i, 3]))
        torque = self.data["water"]["density_kg_m3"] * n * n * self.d[i] ** 5 * kq / self.data["stern"]["rotative"]
        return n, torque

    def demand(self, i, speed):
        """Revolutions, torque and cavitation share of propellers at speeds."""
        stern = self.data["stern"]
        thrust = np.interp(speed, self.speeds, self.newtons) / (1 - stern["deduction"])
        advance = speed * (1 - stern["wake"])
        n, torque = self.revs(i, advance, thrust)
        tip = np.pi * n * self.d[i]
        pressure = 0.5 * self.data["water"]["density_kg_m3"] * (advance**2 + 0.49 * tip**2)
        sigma = self.data["water"]["pressure_margin_pa"] / pressure
        disc = np.pi / 4 * self.d[i] ** 2
        projected = self.area[i] * disc * (1.067 - 0.229 * self.p[i] / self.d[i])
        cavitation = thrust / (pressure * projected) / (0.43 * np.maximum(sigma - 0.02, 1e-9) ** 0.71)
        return n, torque, cavitation

    def motor(self, n, torque):
        """Bus volts, power, controller loss and the worst share of a motor's own limits."""
        m, ambient = self.m, self.data["ambient_k"]
        omega = 2 * np.pi * self.ratio * n
        t = (torque + self.data["bearing_n_m"]) / (self.efficiency * self.ratio) + self.drag
        drag = m["drag_n_m"] + m["drag_per_rad_s"] * omega
        rise = m["heat_total"] * m["ohm"] * ((t + drag) / m["kt"]) ** 2
        floor = ambient - BASE_K + m["heat_case"] * drag * omega
        ceiling = m["winding_limit_k"] + CEILING_K - BASE_K
        beta = m["flux_1_k"]
        gain = rise * (COPPER - 2 * beta)
        runs_away = gain >= 1
        x = np.minimum((floor + rise) / np.where(runs_away, 1.0, 1 - gain), ceiling)
        for _ in range(2):
            flux = 1 + beta * x
            slope = flux * (flux + 2 * beta * (x - floor)) - rise * COPPER
            runs_away |= slope <= 0
            x = np.minimum(x + (rise * (1 + COPPER * x) - (x - floor) * flux**2) / np.where(slope <= 0, 1.0, slope), ceiling)
        x = np.where(runs_away, ceiling, x)
        kt, ohm = m["kt"] * (1 + beta * x), m["ohm"] * (1 + COPPER * x)
        amps = (t + drag) / kt
        heat = (x - (ambient - BASE_K)) / (m["winding_limit_k"] - ambient)
        own = np.maximum.reduce([amps / m["phase_a"], heat, t * omega / m["peak_w"]])
        loss = m["loss"][0] + amps * (m["loss"][1] + amps * m["loss"][2])
        return (kt * omega + amps * ohm) / m["duty"], t * omega + drag * omega + amps**2 * ohm, loss, own

    def worst(self, volts, watts, loss, own):
        """Worst share of motor and bank."""
        drive = watts + self.scale * loss
        root = np.maximum((0.5 * self.e) ** 2 - (drive + self.data["house_w"]) * self.r, 0)
        bank = np.maximum(volts / (0.5 * self.e + np.sqrt(root)), drive / self.most)
        return np.maximum(own, bank), drive

    def at_cruise(self, i):
        """Within all limits, and energy per metre, of propellers `i` (leading axis)."""
        ok, energy = True, None
        for speed in self.cruise:
            n, torque, cavitation = (a[:, None, None, None] for a in self.demand(i, np.full(len(i), speed)))
            worst, drive = self.worst(*self.motor(n, torque))
            ok = ok & (np.maximum(worst, cavitation) <= 1)
            energy = (drive + self.data["house_w"]) / speed if energy is None else energy
        return ok & ~self.is_overspeed, energy

    def plain(self, i):
        """Full throttle of every candidate by bisection along the speed."""
        ok, energy = self.at_cruise(i)
        shape = ok.shape
        low, high = np.full(shape, self.cruise.max()), np.full(shape, self.speeds[-1])
        which = np.broadcast_to(i[:, None, None, None], shape)
        for _ in range(BISECTIONS):
            speed = 0.5 * (low + high)
            n, torque, cavitation = self.demand(which, speed)
            worst, _ = self.worst(*self.motor(n, torque))
            over = np.maximum(worst, cavitation) > 1
            low, high = np.where(over, low, speed), np.where(over, speed, high)
        return ok, energy, np.where(ok, low, np.nan)

    def tables(self, i):
        """Full throttle from the demand of the propeller and the curve of each motor and ratio."""
        ok, energy = self.at_cruise(i)
        grid = np.linspace(self.cruise.max(), self.speeds[-1], NODES)
        top = np.full(ok.shape, np.nan)
        for row, number in enumerate(i):
            if not ok[row].any():
                continue
            n, torque, cavitation = self.demand(number, grid)
            points = slice(0, max(2, min(NODES, int(np.argmax(cavitation > 1)) + 1 or NODES)))
            if not (cavitation > 1).any():
                points = slice(0, NODES)
            speed = grid[points]
            # Machine and reduction with any bank within the limits; speeds on the last axis.
            wanted = np.argwhere(ok[row].any(axis=2))
            volts, watts, loss, own = self.curve(wanted, n[points], torque[points])
            own = np.maximum(own, cavitation[points])
            mi, ri = wanted[:, 0], wanted[:, 1]
            for bank in range(ok.shape[3]):
                e, r = self.e[0, 0, bank], self.r[0, 0, bank]
                drive = watts + self.scale[mi, 0, bank][:, None] * loss
                root = np.maximum((0.5 * e) ** 2 - (drive + self.data["house_w"]) * r, 0)
                share = np.maximum.reduce([own, volts / (0.5 * e + np.sqrt(root)), drive / self.most[mi, 0, bank][:, None]])
                over = share > 1
                node = np.where(over.any(axis=1), over.argmax(axis=1), len(speed) - 1)
                lines = np.arange(len(node))
                below, above = share[lines, np.maximum(node - 1, 0)], share[lines, node]
                part = np.clip((1 - below) / np.where(above > below, above - below, 1.0), 0, 1)
                found = speed[np.maximum(node - 1, 0)] + part * (speed[node] - speed[np.maximum(node - 1, 0)])
                top[row, mi, ri, bank] = np.where(ok[row, mi, ri, bank], found, np.nan)
        return ok, energy, top

    def curve(self, wanted, n, torque):
        keep = self.m, self.ratio, self.efficiency, self.drag
        pick = lambda a: a[wanted[:, 0], 0, 0][:, None]
        self.m = {k: np.stack([pick(line) for line in v]) if k == "loss" else pick(v) for k, v in self.m.items()}
        self.ratio, self.efficiency, self.drag = (
            a[wanted[:, 0], wanted[:, 1], 0][:, None] for a in (self.ratio, self.efficiency, self.drag)
        )
        try:
            return self.motor(n, torque)
        finally:
            self.m, self.ratio, self.efficiency, self.drag = keep

    def timed(self, way, numbers, at_a_time):
        start, parts = time.thread_time(), []
        for first in range(0, len(numbers), at_a_time):
            parts.append(way(numbers[first:first + at_a_time]))
        seconds = time.thread_time() - start
        return seconds, [np.concatenate([part[k] for part in parts]) for k in range(3)]


def compare(search, ok, energy, top, numbers):
    """Largest differences from the Rust program's answers."""
    per = int(np.prod(ok.shape[1:]))
    place = {number: row for row, number in enumerate(numbers)}
    speeds, energies, disagree, compared = [], [], 0, 0
    for index, speed, joules in search.data["answers"]:
        if index // per not in place:
            continue
        at = (place[index // per],) + np.unravel_index(index % per, ok.shape[1:])
        compared += 1
        disagree += bool(ok[at]) != (speed is not None)
        if ok[at] and speed is not None:
            speeds.append(abs(top[at] - speed) * 3600 / 1852)
            energies.append(abs(energy[at] / joules - 1))
    return {"compared": compared, "within_both": len(speeds), "disagree": disagree,
            "median_kn": float(np.median(speeds)), "worst_kn": max(speeds), "worst_energy": max(energies)}


def main():
    search = Search(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8")))
    per = len(search.data["machines"]) * len(search.data["lines"][0]) * len(search.data["banks"])
    everything = np.arange(len(search.d))
    result = {"candidates": per * len(everything)}
    for name, way, numbers, at_a_time in [
        ("plain", search.plain, everything[::PLAIN_EVERY], 4),
        ("tables", search.tables, everything, 16),
    ]:
        with np.errstate(all="ignore"):
            seconds, (ok, energy, top) = search.timed(way, numbers, at_a_time)
        result[name] = {"per_second": per * len(numbers) / seconds, "seconds": seconds, "within": int(ok.sum()),
                        **compare(search, ok, energy, top, numbers.tolist())}
    print(json.dumps(result, indent=1))


if __name__ == "__main__":
    main()
