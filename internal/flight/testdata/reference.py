"""Values that the tests of internal/flight are held to, made with general-purpose libraries.

    python3 reference.py > reference.json      (python3-numpy 1.24.2, python3-geographiclib 2.0)
"""

import json
import math

import numpy as np
from geographiclib.geodesic import Geodesic

NM, FT = 1852.0, 0.3048


def kalman():
    """One measurement taken into seven states, by the textbook formulas in matrix form."""
    random = np.random.default_rng(7)
    root = random.normal(size=(7, 7))
    covariance = root @ root.T
    mean, slope = random.normal(size=7), random.normal(size=7)
    residual, variance = 1.7, 0.6
    h = slope.reshape(1, 7)
    gain = covariance @ h.T @ np.linalg.inv(h @ covariance @ h.T + variance)
    return {
        "mean": mean.tolist(), "covariance": covariance.tolist(), "slope": slope.tolist(), "residual": residual, "variance": variance,
        "mean_after": (mean + (gain * residual).ravel()).tolist(),
        # Joseph's form, which the program does not use
        "covariance_after": ((np.eye(7) - gain @ h) @ covariance @ (np.eye(7) - gain @ h).T + gain @ gain.T * variance).tolist(),
    }


def markov(sigma, hours, minutes, slope):
    """A Gauss-Markov process and the way that it leads along, step by step from a known value."""
    steps = 200_000
    dt = minutes / 60 / steps
    rate = 1 / hours
    f = np.array([[-rate, 0], [slope / (minutes / 60), 0]])
    q = np.array([[2 * sigma**2 * rate, 0], [0, 0]])
    p = np.zeros((2, 2))
    for _ in range(steps):
        p = p + (f @ p + p @ f.T + q) * dt
    return {"sigma": sigma, "hours": hours, "minutes": minutes, "slope": slope, "wind": p[0, 0], "both": p[0, 1], "way": p[1, 1]}


def ahead(sigma, hours, parts):
    """The variance of a sum of parts, each a weight spread evenly over some minutes, of a Gauss-Markov process known at its start."""
    t, weight = [], []
    start, fine = 0.0, 400
    for minutes, part in parts:
        for i in range(fine):
            t.append(start + minutes * (i + 0.5) / fine)
            weight.append(part / fine)
        start += minutes
    t, weight = np.array(t) / 60 / hours, np.array(weight)
    covariance = sigma**2 * (np.exp(-abs(t[:, None] - t[None, :])) - np.exp(-(t[:, None] + t[None, :])))
    return {
        "sigma": sigma, "hours": hours, "parts": parts,
        "variance": float(weight @ covariance @ weight), "recalled": float(weight @ np.exp(-t)),
    }


def readings(along, right):
    """What beacons show at a place along and right of the leg from KVN to GRN of the plan lochs.yaml, at 4000 ft."""
    earth = Geodesic.WGS84
    places = {"KVN": (56 + 22.4 / 60, -(3 + 51.7 / 60), 1250), "GRN": (56.70, -4.30, 900), "OBN": (56 + 27 / 60 + 45 / 3600, -(4 + 32 / 60 + 10 / 3600), 600)}
    kvn, grn = places["KVN"], places["GRN"]
    line = earth.InverseLine(kvn[0], kvn[1], grn[0], grn[1])
    foot = line.Position(along * NM)
    at = earth.Direct(foot["lat2"], foot["lon2"], foot["azi2"] + 90, right * NM)
    shown = {}
    for ident, (lat, lon, elevation) in places.items():
        way = earth.Inverse(lat, lon, at["lat2"], at["lon2"])
        shown[ident] = {
            "radial": (way["azi1"] + 2.5) % 360,  # the stations' declination is -2.5
            "dme": math.hypot(way["s12"] / NM, (4000 - elevation) * FT / NM),
            "bearing_to_true": (way["azi2"] + 180) % 360,
        }
    return {"along": along, "right": right, "lat": at["lat2"], "lon": at["lon2"], "shown": shown}


print(json.dumps({
    "kalman": kalman(),
    "markov": [markov(8, 8, 20, 0.3), markov(8, 2, 60, -0.9), markov(5, 8, 120, 1.8)],
    "ahead": [ahead(8, 8, [[30, -0.3]]), ahead(8, 8, [[15, -0.2], [20, 0.1], [40, 0.5]]), ahead(8, 2, [[25, 0.4], [45, -0.4]])],
    "readings": [readings(10, 0), readings(10, 0.8), readings(19, -1.2), readings(3, 0.3)],
}, indent=1))
