"""Judges `netlead tune` against numpy's least squares on synthetic readings.

The form comes from `netlead coupon`; it is filled with readings of a made-up printer, and the
fit is done here a second time: the model's matrix from the sizes alone, whitened with the
Cholesky factor of the covariance, and solved by numpy.linalg.lstsq (LAPACK gelsd).
"""

import argparse
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib

import numpy as np

from tally import Tally

TERMS = ["scale_x", "scale_y", "scale_z", "z_offset", "outer_growth", "slot_growth",
         "hole_growth", "curvature"]
TRUTH = np.array([-0.0015, 0.0008, 0.002, 0.04, 0.055, 0.03, 0.10, 0.08])
WITHIN, BETWEEN = 0.04, 0.02
# The two fits go through different factorisations of the same matrices.
RELATIVE = 1e-8


def model_row(name, drawn):
    """Weights of the terms, and of the print's own effect."""
    kind = name.rsplit("-", 1)[0]
    row = dict.fromkeys(TERMS, 0.0)
    effect = {"outer-x": 2, "outer-y": 2, "boss": 2, "slot-x": -2, "slot-y": -2, "hole": -2,
              "height": 0}[kind]
    if kind == "height":
        row["scale_z"], row["z_offset"] = drawn, 1.0
    elif kind in ("boss", "hole"):
        row["scale_x"] = row["scale_y"] = drawn / 2
        row["curvature"] = -4 / drawn
        row["outer_growth" if kind == "boss" else "hole_growth"] = effect
    else:
        row[f"scale_{kind[-1]}"] = drawn
        row["outer_growth" if kind.startswith("outer") else "slot_growth"] = effect
    return [row[term] for term in TERMS], effect


def filled(text, readings):
    """The form with readings between its brackets, in file order."""
    lists = iter(["[" + ", ".join(repr(float(x)) for x in row) + "]" for row in readings])
    return re.sub(r"measured = \[\]", lambda _: f"measured = {next(lists)}", text)


def expected(matrix, effects, differences, within, between):
    """Values and covariance by whitened least squares; a column of readings for each print."""
    prints = differences.shape[1]
    one = 2 * within ** 2 * np.eye(len(effects)) + between ** 2 * np.outer(effects, effects)
    white = np.linalg.cholesky(one)
    x = np.vstack([np.linalg.solve(white, matrix)] * prints)
    y = np.concatenate([np.linalg.solve(white, differences[:, p]) for p in range(prints)])
    values, _, rank, _ = np.linalg.lstsq(x, y, rcond=None)
    inverse = np.linalg.pinv(x)
    return values, inverse @ inverse.T, rank


def judge(netlead, folder, text, prints, seed, tally):
    form = tomllib.loads(text)
    drawn = np.array([row["drawn"] for row in form["row"]])
    rows = [model_row(row["name"], row["drawn"]) for row in form["row"]]
    matrix = np.array([weights for weights, _ in rows])
    effects = np.array([effect for _, effect in rows])
    random = np.random.default_rng(seed)
    # A reading lies between two walls, and WITHIN is the scatter of one.
    noise = random.normal(0, WITHIN * np.sqrt(2), (len(drawn), prints))
    noise += np.outer(effects, random.normal(0, BETWEEN, prints))
    differences = (matrix @ TRUTH)[:, None] + noise
    path = folder / f"form-{prints}-{seed}.toml"
    path.write_text(filled(text, drawn[:, None] + differences))
    run = subprocess.run([netlead, "--json", "tune", path, "--out", folder / f"{path.stem}.out"],
                         capture_output=True, text=True, check=False)
    where = f"{prints} prints, seed {seed}"
    if not tally.check(run.returncode == 0, f"{where}: {run.stderr}"):
        return
    found = json.loads(run.stdout)
    if any(row["left_out"] for row in found["rows"]):
        return
    spread = found["spread"]
    if prints < 3:
        tally.near(spread["within_mm"], WITHIN, 1e-12, f"{where}: spread within, as believed")
        tally.near(spread["between_mm"], BETWEEN, 1e-12, f"{where}: spread between, as believed")
    values, covariance, rank = expected(matrix, effects, differences, spread["within_mm"],
                                        spread["between_mm"])
    tally.check(rank == len(TERMS), f"{where}: rank {rank}")
    tally.check([term["term"] for term in found["terms"]] == TERMS, f"{where}: terms")
    errors = np.sqrt(np.diag(covariance))
    for index, term in enumerate(found["terms"]):
        name = f"{where}: {term['term']}"
        tally.near(term["value"], values[index], RELATIVE * errors[index] * 10, name)
        tally.near(term["error"], errors[index], RELATIVE * errors[index] * 10, f"{name}, error")
    scale = np.outer(errors, errors)
    worst = np.max(np.abs(np.array(found["covariance"]) - covariance) / scale)
    tally.check(worst < RELATIVE * 10, f"{where}: covariance off by {worst}")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--netlead", required=True)
    parser.add_argument("kit")
    arguments = parser.parse_args()
    tally = Tally("least squares")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        subprocess.run([arguments.netlead, "coupon", arguments.kit, "--out", folder / "coupons"],
                       capture_output=True, check=True)
        text = (folder / "coupons" / "form.toml").read_text()
        for prints in (1, 2, 3, 5):
            for seed in range(5):
                judge(arguments.netlead, folder, text, prints, seed, tally)
    for failure in tally.failures:
        print(f"FAILED {failure}")
    print(f"{tally.passed} passed, {len(tally.failures)} failed")
    return 1 if tally.failures or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main())
