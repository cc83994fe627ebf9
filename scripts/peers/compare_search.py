"""Sets the bench of the search beside its peer in Markdown, with the peak memory of a whole search.

    compare_search.py bench.txt peer.json COMMAND...
"""

import json
import os
import platform
import resource
import subprocess
import sys
import time
from pathlib import Path

import numpy
from compare import processor


def main():
    lines = [line.split(maxsplit=2) for line in Path(sys.argv[1]).read_text(encoding="utf-8").splitlines()]
    single = {line[0]: int(line[1]) for line in lines if len(line) == 2}
    stages = [(float(line[1]), line[2]) for line in lines if line[0] == "stage"]
    runs = {(line[0], int(line[1])): float(line[2]) for line in lines if line[0] == "full"}
    peer = json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))
    count = single["candidates"]
    print(f"{processor()}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; Python {platform.python_version()}, "
          f"NumPy {numpy.__version__}\n")
    print(f"{count:,} candidates, {single['within_limits']:,} within every limit, {single['front']} on the front.\n")
    print("| who | threads | candidates a second | seconds a million | this program / peer |\n|---|---|---|---|---|")
    one_core = count / runs["full", 1]
    for (_, threads), seconds in sorted(runs.items()):
        print(f"| this program | {threads} | {count / seconds:,.0f} | {1e6 * seconds / count:.3f} | |")
    for name, words in (("tables", "NumPy, the same tables"), ("plain", "NumPy, each candidate by itself")):
        rate = peer[name]["per_second"]
        print(f"| {words} | 1 | {rate:,.0f} | {1e6 / rate:.3f} | {one_core / rate:.0f} |")
    print("\n| stage, one thread | share |\n|---|---|")
    total = sum(seconds for seconds, _ in stages)
    for seconds, words in stages:
        print(f"| {words} | {100 * seconds / total:.0f} % |")
    for name in ("tables", "plain"):
        p = peer[name]
        print(f"\nPeer ({name}): {p['disagree']} of {p['compared']} candidates judged otherwise; top speed off by "
              f"{p['median_kn']:.4f} kn (median), {p['worst_kn']:.4f} kn at worst; energy a mile by {p['worst_energy']:.1e} at "
              "worst.")
    start = time.perf_counter()
    subprocess.run(sys.argv[3:], stdout=subprocess.DEVNULL, check=True)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"\nThe command `search` on the demo boat: {time.perf_counter() - start:.2f} s, {peak:.0f} MB at most.")


if __name__ == "__main__":
    main()
