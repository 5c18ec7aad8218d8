"""Burn rates from gauge readings by weighted least squares, for TestFitBurnAgreesWithReferenceLibrary.

Made with numpy 1.24.2:  python3 fit.py > fit.txt
Each line of the result: case, gauges, flow per hour, its standard error, quantity at minute 0 of all gauges together, its
standard error, chi square; then each gauge's readings as minutes,quantity,sigma separated by blanks, gauges by "|".
"""

import numpy as np

CASES = {
    "one gauge": [[(0, 98.5, 2), (20, 91.0, 2), (35, 84.6, 1.5), (50, 79.8, 2), (80, 67.4, 1), (110, 56.1, 2.5)]],
    "two tanks in turn": [
        [(0, 48, 1.14), (12, 43.5, 1.14), (25, 38.0, 1.14), (25, 37.5, 1.14), (41, 31.5, 1.14)],
        [(3, 51, 1.14), (3, 50.5, 1.14), (18, 44.0, 1.14), (33, 38.5, 1.14)],
    ],
    "a gauge read once tells nothing": [[(0, 20, 1), (30, 16.2, 1), (60, 11.8, 1)], [(44, 19, 1)]],
    "different gauges": [
        [(0, 30, 0.5), (45, 24.5, 0.7)],
        [(10, 31, 1.5), (70, 22.5, 1.5)],
        [(5, 12, 0.3), (9, 11.5, 0.3), (14, 10.9, 0.3)],
    ],
}

for name, gauges in CASES.items():
    rows, values, sigmas = [], [], []
    for index, readings in enumerate(gauges):
        for minutes, quantity, sigma in readings:
            row = [0.0] * len(gauges) + [float(minutes)]
            row[index] = 1.0
            rows.append(row)
            values.append(quantity)
            sigmas.append(sigma)
    w = 1 / np.array(sigmas)
    a = np.array(rows) * w[:, None]
    b = np.array(values) * w
    solution, _, _, _ = np.linalg.lstsq(a, b, rcond=None)
    covariance = np.linalg.inv(a.T @ a)
    total = np.array([1.0] * len(gauges) + [0.0])
    figures = [
        -60 * solution[-1],
        60 * np.sqrt(covariance[-1, -1]),
        total @ solution,
        np.sqrt(total @ covariance @ total),
        float(np.sum((b - a @ solution) ** 2)),
    ]
    print(name, len(gauges), *(repr(float(f)) for f in figures), sep=";", end=";")
    print("|".join(" ".join(f"{m},{q},{s}" for m, q, s in g) for g in gauges))
