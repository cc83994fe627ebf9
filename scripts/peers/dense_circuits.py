#!/usr/bin/env python3
"""Random networks solved densely by SciPy, as reference/electric/scipy_dense_circuits.csv: each row one branch with its current.

Another formulation than the program's: node volts and branch currents are unknowns together, one dense system of
Kirchhoff's two laws, solved by LU with pivoting; no conductances, nothing eliminated by hand.
"""

import sys

import numpy as np
import scipy.linalg

HEAD = """# source: {name}, NumPy {numpy}, SciPy {scipy}: node volts and branch currents as unknowns of one dense system, LU with pivoting
# kind: independent calculation
# units: ohm, V, A; node 0 is the return, the source of a branch drives current from its beginning to its end
# rounding: 12 significant digits
# tolerance: 1e-9 of the largest current of the network
# licence: own figures
network,from,to,resistance_ohm,emf_v,current_a
"""


def network(random, nodes):
    """A tree that joins all nodes and as many branches again; one branch in three has a source."""
    ends = [(int(random.integers(0, k)), k) for k in range(1, nodes)]
    while len(ends) < 2 * nodes:
        a, b = (int(k) for k in random.integers(0, nodes, 2))
        if a != b:
            ends.append((a, b))
    ohm = 10.0 ** random.uniform(-4, 1, len(ends))
    emf = np.where(random.random(len(ends)) < 1 / 3, random.uniform(10, 110, len(ends)), 0.0)
    return ends, np.array([float(f"{r:.6g}") for r in ohm]), np.array([float(f"{e:.6g}") for e in emf])


def solve(nodes, ends, ohm, emf):
    count = len(ends)
    matrix, right = np.zeros((count + nodes, count + nodes)), np.zeros(count + nodes)
    for row, (a, b) in enumerate(ends):
        matrix[row, row], matrix[row, count + a], matrix[row, count + b] = -ohm[row], 1.0, -1.0
        right[row] = -emf[row]
        if a:
            matrix[count + a, row] += 1.0
        if b:
            matrix[count + b, row] -= 1.0
    matrix[count, count] = 1.0  # the return's volts are zero
    return scipy.linalg.solve(matrix, right)[:count]


def main():
    random = np.random.default_rng(20261127)
    sys.stdout.write(HEAD.format(name="scripts/peers/dense_circuits.py", numpy=np.__version__, scipy=scipy.__version__))
    for number, nodes in enumerate([3, 5, 8, 13, 21, 34, 47, 60], 1):
        ends, ohm, emf = network(random, nodes)
        for (a, b), r, e, i in zip(ends, ohm, emf, solve(nodes, ends, ohm, emf)):
            sys.stdout.write(f"{number},{a},{b},{r:.6g},{e:.6g},{i:.12g}\n")


main()
