"""Sets the benches beside the peer in one Markdown table.

    compare.py benches.txt peer.json
"""

import json
import os
import platform
import re
import sys
from pathlib import Path

import numpy
import scipy

UNITS = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}


def medians(text):
    """Median seconds by bench name, from divan's tree; an argument follows its bench's name."""
    found, group = {}, ""
    for line in text.splitlines():
        columns = [column.strip() for column in line.split("│")]
        match = re.search(r"([├╰]─) (\S+)", line)
        if not match:
            continue
        name = match.group(2)
        times = [cell for cell in columns if re.fullmatch(r"[\d.]+ (ns|µs|ms|s)", cell)]
        if not times:
            group = name
            continue
        nested = line.startswith(("│  ", "   "))
        number, unit = times[-2 if len(times) > 2 else 0].split()
        found[f"{group} {name}" if nested else name] = float(number) * UNITS[unit]
    return found


def in_words(seconds):
    for unit, size in (("s", 1.0), ("ms", 1e-3), ("µs", 1e-6)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds * 1e9:.3g} ns"


def processor():
    try:
        info = Path("/proc/cpuinfo").read_text(encoding="utf-8")
        return re.search(r"model name\s*: (.*)", info).group(1)
    except (OSError, AttributeError):
        return platform.processor() or platform.machine()


def main():
    ours = medians(Path(sys.argv[1]).read_text(encoding="utf-8"))
    peer = json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))
    rows = [
        ("one steady state at full throttle, boat prepared", "solve_full_throttle"),
        ("the same over 256 sampled boats", "solve_full_throttle_sampled_boats"),
        ("the same at half throttle", "solve_half_throttle"),
        ("the same, blades above Rn 2e6", "solve_full_throttle_large_blades"),
        ("asked by shaft speed", "solve_shaft_speed"),
        ("asked by power", "solve_power"),
        ("asked by speed", "solve_speed"),
        ("preparing a boat", "prepare"),
        ("running a bank down", "run_bank_down"),
        ("study of 2,000 samples, ten throttle positions, 1 thread", "ten_throttles 1"),
        ("the same, 2 threads", "ten_throttles 2"),
        ("ranges at ten speeds, 2,000 samples, 2 threads", "range_at_ten_speeds 2"),
    ]
    print(f"{processor()}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; "
          f"Python {platform.python_version()}, NumPy {numpy.__version__}, SciPy {scipy.__version__}\n")
    print("| what | this program (median) | peer (median) | peer / this program |\n|---|---|---|---|")
    for words, name in rows:
        beside = name == "solve_full_throttle"
        theirs = in_words(peer["seconds"]) if beside else ""
        ratio = f"{peer['seconds'] / ours[name]:,.0f}" if beside else ""
        print(f"| {words} | {in_words(ours[name])} | {theirs} | {ratio} |")
    agrees = "the same limit" if peer["same_limit"] else f"ANOTHER LIMIT: {peer['limit']}"
    worst = max(peer["differences"].items(), key=lambda item: abs(item[1]))
    print(f"\nPeer's answer: {agrees}; largest relative difference {worst[1]:+.1e} ({worst[0]}), "
          f"speed {peer['differences']['speed_m_s']:+.1e}.")
    if not peer["same_limit"] or abs(worst[1]) > 1e-4:
        sys.exit("The peer disagrees by more than 1e-4: one of the two is wrong.")


if __name__ == "__main__":
    main()
