"""The same year of a boat's bank as an engineer would write it with NumPy (all weathers at once, hour by
hour), and the same sun with pvlib. Times both and holds their answers against the program's.

    energy.py measured.json
"""

import json
import os
import platform
import statistics
import sys
import time
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib

REPEATS = 5
RESERVE = 0.2
MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
LOSSES = 1 - (1 - 0.02) ** 3 * (1 - 0.005) * (1 - 0.015) * (1 - 0.01)


def median_s(run):
    times = []
    for _ in range(REPEATS):
        begin = time.perf_counter()
        run()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def glass(cos_incidence):
    index, depth = 1.526, 0.008
    square = (1 - ((index - 1) / (index + 1)) ** 2) * np.exp(-depth)
    inside = np.sqrt(1 - (1 - cos_incidence**2) / index**2)
    along = ((cos_incidence - index * inside) / (cos_incidence + index * inside)) ** 2
    across = ((inside - index * cos_incidence) / (inside + index * cos_incidence)) ** 2
    return (1 - 0.5 * (along + across)) * np.exp(-depth / inside) / square


def erbs(kt):
    middle = 0.9511 - 0.1604 * kt + 4.388 * kt**2 - 16.638 * kt**3 + 12.336 * kt**4
    return np.where(kt <= 0.22, 1 - 0.09 * kt, np.where(kt <= 0.8, middle, 0.165))


def power(rated, light, loss_w_m2_k=29.0):
    cell = 15.0 + light * 0.9 * 0.8 / loss_w_m2_k
    return np.maximum(rated * light / 1000 * (1 - 0.0035 * (cell - 25)) * (1 - LOSSES) * 0.95, 0)


def clear_sky(data, strength):
    """Light of a clear sky on the level, hours of each day."""
    zenith = np.degrees(np.array(data["apparent_zenith_rad"]))
    airmass = pvlib.atmosphere.get_relative_airmass(zenith, model="kastenyoung1989")
    with np.errstate(divide="ignore", invalid="ignore"):
        clear = pvlib.clearsky.ineichen(zenith, np.nan_to_num(airmass), 3.0, 0, strength.reshape(-1))["ghi"]
    return np.where(zenith < 90, clear, 0).reshape(365, 24)


def within(light, limit):
    """No hour beyond its limit, what is cut off given to the others."""
    for _ in range(3):
        is_over = light >= limit
        over = np.where(is_over, light - limit, 0).sum(axis=2, keepdims=True)
        light = np.minimum(light, limit)
        left = np.where(is_over, 0, light).sum(axis=2, keepdims=True)
        with np.errstate(divide="ignore", invalid="ignore"):
            more = np.where((over > 0) & (left > 0), 1 + over / left, 1)
        light = np.where(light < limit, light * more, light)
    return np.minimum(light, limit)


def sun_power(data):
    """Watts of the flat panel: hours x weathers."""
    cos_zenith = np.array(data["cos_zenith"]).reshape(365, 24)
    strength = np.array(data["strength_w_m2"]).reshape(365, 24)
    clearness = np.array(data["clearness"]).reshape(data["weathers"], 365)
    sunset = np.pi / 24 * (cos_zenith > 0).sum(axis=1, keepdims=True)
    lean = np.sin(sunset - np.pi / 3)
    hour_angle = np.pi / 12 * (np.arange(24) + 0.5 - 12)
    shape = np.maximum(0.409 + 0.5016 * lean + (0.6609 - 0.4767 * lean) * np.cos(hour_angle), 0)
    even = strength * cos_zenith
    shape = even * shape * even.sum(axis=1, keepdims=True) / np.maximum((even * shape).sum(axis=1, keepdims=True), 1e-9)
    up = cos_zenith > 0
    clear = np.where(up, clear_sky(data, strength), 0)
    clear_day = clear.sum(axis=1) / np.where(up, even, 0).sum(axis=1)
    brighter = np.maximum(clearness / clear_day, 1)[:, :, None]
    light = within(np.where(up, clearness[:, :, None] * shape, 0), np.minimum(brighter * clear, np.where(up, even, 0)))
    kt = np.clip(light / (strength * np.maximum(cos_zenith, 0.065)), 0, 1)
    diffuse = np.where(cos_zenith < 0.052335956, light, erbs(kt) * light)
    beam = np.where(cos_zenith < 0.052335956, 0, (light - diffuse) / np.maximum(cos_zenith, 1e-9))
    front = cos_zenith * glass(cos_zenith) * 0.9
    around = beam / strength
    sky = 1 - 0.5 * 0.1 * 1.1
    on_panel = beam * front + diffuse * (around * front / np.maximum(cos_zenith, 0.01745) + (1 - around) * sky)
    return np.where(cos_zenith > 0, power(400, on_panel), 0).reshape(data["weathers"], 8760).T.copy()


def year(data):
    sun = sun_power(data)
    rest_v, resistance = np.array(data["rest_v"]), np.array(data["resistance_ohm"])
    capacity, efficiency = data["capacity_coulomb"], data["efficiency"]
    piece = capacity / 200
    below = np.concatenate([[0], np.cumsum(0.5 * (rest_v[1:] + rest_v[:-1]) * piece)])
    house = data["house_w"]
    count = data["weathers"]
    charge, plugged, had_to_stop = np.full(count, 0.9), np.zeros(count, bool), np.zeros(count, bool)
    shore_hours, surplus, lost_hours = np.zeros(count), np.zeros(count), np.zeros(count)
    hour_rate = capacity / 3600

    def held(at):
        node = np.minimum((at * 200).astype(int), 199)
        part = at * 200 - node
        low = rest_v[node]
        return below[node] + part * (low + 0.5 * (rest_v[node + 1] - low) * part) * piece

    def volts(at):
        node = np.minimum((at * 200).astype(int), 199)
        return rest_v[node] + (rest_v[node + 1] - rest_v[node]) * (at * 200 - node)

    def step(charge, offered, floor):
        inner = resistance[np.minimum((charge * 200).astype(int), 199)]
        accepted = 0.05 * hour_rate + 0.45 * hour_rate * (1 - charge) / 0.08
        most_in = np.maximum(np.minimum(accepted, (1 - charge) * capacity / (efficiency * 3600)), 0)
        most_out = np.maximum(charge - floor, 0) * capacity / 3600
        mean = volts(charge)
        for _ in range(6):
            wanted = 2 * offered / (mean + np.sqrt(np.maximum(mean**2 + 4 * offered * inner, 0)))
            current = np.where(offered >= 0, np.minimum(wanted, most_in), np.maximum(wanted, -most_out))
            after = np.clip(charge + current * np.where(current >= 0, efficiency, 1) * 3600 / capacity, 0, 1)
            moved = after - charge
            with np.errstate(divide="ignore", invalid="ignore"):
                mean = np.where(np.abs(moved) < 1e-6, volts(0.5 * (after + charge)), (held(after) - held(charge)) / (moved * capacity))
        return after, mean * current + inner * current**2

    for hour_of_year in range(8760):
        day, hour = divmod(hour_of_year, 24)
        away = day % 7 >= 5
        begin = hour - 9
        overlap = lambda low, high: max(min(high, begin + 1) - max(low, begin), 0) if away and begin >= 0 else 0
        motoring, sailing = overlap(0, 1.5), overlap(1.5, 5.5)
        own = sun[hour_of_year] + sailing * 30 - house[hour]
        is_away = motoring + sailing > 0
        plugged = np.zeros(count, bool) if is_away else (charge < 0.8) & (plugged | had_to_stop | (charge <= 0.3 + 1e-9))
        after, taken = step(charge, own + np.where(plugged, 1200.0, 0.0), 0.0)
        had_to_stop &= is_away
        if motoring > 0:
            # Down to the reserve for the drive; below it the loads alone.
            drive = motoring * 1500
            after_drive, taken_drive = step(charge, own - drive, RESERVE)
            is_driven = (charge >= RESERVE - 1e-9) & (taken_drive - (own - drive) < drive)
            own = np.where(is_driven, own - drive, own)
            after, taken = np.where(is_driven, after_drive, after), np.where(is_driven, taken_drive, taken)
            missing = np.where(is_driven, np.maximum(taken - own, 0), drive)
            had_to_stop |= missing > 1e-3
            lost_hours += np.where(missing > 1e-3 + 1e-6 * drive, motoring * missing / drive, 0)
        from_shore = np.where(plugged, np.clip(taken - own, 0, 1200), 0)
        surplus += np.maximum(own + from_shore - taken, 0) * 3600
        shore_hours += plugged
        charge = after
    return shore_hours, surplus, lost_hours, sun.sum(axis=0) * 3600


def sun_by_pvlib():
    times = pd.date_range("2026-01-01 00:30", periods=8760, freq="1h", tz="UTC")
    position = pvlib.solarposition.get_solarposition(
        times, 50.0, 0.0, altitude=0, pressure=101325, temperature=12, method="nrel_numpy", delta_t=69.2)
    strength = pvlib.irradiance.get_extra_radiation(times, method="spencer", solar_constant=1366.1)
    up = np.maximum(np.cos(np.radians(position["apparent_zenith"])), 0)
    light = 0.5 * strength * up
    split = pvlib.irradiance.erbs(light, position["zenith"], times)
    on_panel = pvlib.irradiance.get_total_irradiance(
        30, 180, position["apparent_zenith"], position["azimuth"], split["dni"], light, split["dhi"],
        dni_extra=strength, albedo=0.06, model="haydavies")["poa_global"].fillna(0)
    cell = pvlib.temperature.pvsyst_cell(on_panel, 15.0, 3.0, u_c=29.0, u_v=0.0, module_efficiency=0.2, alpha_absorption=0.9)
    direct = pvlib.pvsystem.pvwatts_dc(on_panel, cell, 400, -0.0035)
    return float((direct * (1 - LOSSES) * 0.95).clip(lower=0).where(up > 0, 0).sum())


def main():
    data = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    shore_hours, surplus, lost_hours, sun_j = year(data)
    numpy_s = median_s(lambda: year(data))
    sun_wh = sun_by_pvlib()
    pvlib_s = median_s(sun_by_pvlib)
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; Python {platform.python_version()}, "
          f"NumPy {np.__version__}, pvlib {pvlib.__version__}\n")
    print("| what | this program (median) | peer (median) | peer / this program |\n|---|---|---|---|")
    for words, own, theirs in [
        ("a year under 200 weathers, 2 threads (NumPy, all weathers at once)", data["two_threads_s"], numpy_s),
        ("the same, 1 thread", data["one_thread_s"], numpy_s),
        ("the same with motoring on sun alone, 2 threads", data["both_two_threads_s"], None),
        ("sun on a tilted panel, 8,760 hours (pvlib)", data["sun_s"], pvlib_s),
        ("preparing a year's sun on the panels", data["prepare_s"], None),
    ]:
        ratio = f"{theirs / own:.1f}" if theirs else ""
        print(f"| {words} | {own * 1e3:.0f} ms | {f'{theirs * 1e3:.0f} ms' if theirs else ''} | {ratio} |")
    off = {
        "sun of a year": np.max(np.abs(sun_j / np.array(data["sun_j"]) - 1)),
        "hours on shore": np.max(np.abs(shore_hours - np.array(data["shore_hours"]))) / np.mean(data["shore_hours"]),
        "hours of motoring lost": np.max(np.abs(lost_hours - np.array(data["lost_hours"]))) / 156,
        "surplus": np.max(np.abs(surplus - np.array(data["surplus_j"]))) / np.mean(data["surplus_j"]),
        "sun by pvlib": abs(sun_wh / data["sun_wh"] - 1),
    }
    print("\nLargest relative differences: " + ", ".join(f"{words} {value:.1e}" for words, value in off.items()) + ".")
    if max(off["sun of a year"], off["hours on shore"], off["hours of motoring lost"], off["surplus"]) > 1e-6 or off["sun by pvlib"] > 1e-6:
        sys.exit("The peer disagrees: one of the two is wrong.")


if __name__ == "__main__":
    main()
