"""Judges the least squares of `trial` against numpy's on the same invented rows.

Usage: trial.py NETLEAD KIT. The design matrix is written down anew from the model: an offset,
the net lead, one lost motion for the rows of the way back, sine and cosine of the turn.
Critical values of t are from the NIST/SEMATECH e-Handbook, 1.3.6.7.2 (from memory).
"""

import json
import subprocess
import sys
import tempfile

import numpy as np

SEED = 20261125
RUNS = 40
T_975 = {8: 2.306, 9: 2.262, 10: 2.228, 11: 2.201, 12: 2.179, 13: 2.160, 14: 2.145}
NEAR = 1e-6


def rows(rng):
    forward = np.sort(rng.choice(np.arange(0, 12, 0.25), 11, replace=False))
    back = np.sort(rng.choice(np.arange(0.5, 9, 0.25), 6, replace=False))[::-1]
    turns = np.concatenate([forward, [12.0], back])
    way = np.array([0.0] * 12 + [1.0] * 6)
    lead, lost = rng.uniform(0.745, 0.755), rng.uniform(0.2, 0.6)
    travel = 3.0 + lead * turns + lost * way + rng.normal(0, 0.03, len(turns))
    return turns, way, np.round(travel, 6)


def reported(program, kit, turns, way, travel, folder):
    listed = ", ".join(
        f'[{n}, {x:.6f}, "{"back" if w else "forward"}"]' for n, w, x in zip(turns, way, travel)
    )
    form = f"{folder}/rows.toml"
    with open(form, "w", encoding="utf-8") as file:
        file.write(f'reading = "travel"\nresolution = 0.001\nrows = [{listed}]\n')
    command = [program, "--json", "trial", kit, form, "--out", f"{folder}/page"]
    return json.loads(subprocess.run(command, check=True, capture_output=True).stdout)


def expected(turns, way, travel):
    angle = 2 * np.pi * turns
    matrix = np.stack([np.ones_like(turns), turns, way, np.sin(angle), np.cos(angle)], axis=1)
    unknowns, squares, rank, _ = np.linalg.lstsq(matrix, travel, rcond=None)
    freedom = len(turns) - rank
    variance = squares[0] / freedom
    errors = np.sqrt(np.diag(np.linalg.inv(matrix.T @ matrix)) * variance)
    return unknowns, errors, freedom


def main(program, kit):
    rng = np.random.default_rng(SEED)
    compared = 0
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(RUNS):
            turns, way, travel = rows(rng)
            report = reported(program, kit, turns, way, travel, folder)
            if any(row["state"] != "settled" for row in report["rows"]):
                continue
            unknowns, errors, freedom = expected(turns, way, travel)
            measured = report["measured"]
            assert measured["degrees_of_freedom"] == freedom, measured
            for name, at in [("net_lead", 1), ("lost_motion", 2)]:
                got = measured[name]
                assert abs(got["value_mm"] - unknowns[at]) < NEAR, (name, got, unknowns)
                assert abs(got["standard_error_mm"] - errors[at]) < NEAR, (name, got, errors)
                half = (got["high_mm"] - got["low_mm"]) / 2
                assert abs(half / errors[at] - T_975[freedom]) < 1e-3, (name, half, errors)
            assert abs(measured["within_turn"]["sine_mm"] - unknowns[3]) < NEAR
            compared += 1
    # A run in five may take its first row for one before the play, and is then another model.
    assert compared >= 0.8 * RUNS, compared
    print(f"trial: {compared} fits as numpy has them")


if __name__ == "__main__":
    main(*sys.argv[1:])
