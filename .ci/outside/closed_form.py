#!/usr/bin/python3
"""Volume and area of the workloads against their closed forms.

Source: closed form and Gauss quadrature over the pocket's profile, derived; agrees with Open CASCADE
7.6.3 in all digits shown.
usage: closed_form.py PLATEN WORKLOADS DIR
"""
import json
import subprocess
import sys

from stl import volume_and_area

EXACT = {  # mm3, mm2
    "t12": (10106231.991843, 744424.988220),
    "t96": (12321916.137172, 778226.419980),
    "t384": (13362812.228454, 779029.889257),
}
MOST = (2e-4, 5e-4)  # relative error of volume, of area

platen, workloads, folder = sys.argv[1:]
bad = 0
for name, exact in EXACT.items():
    out = f"{folder}/{name}"
    run = subprocess.run([platen, "build", f"{workloads}/{name}.yaml", "--only", "tool.stl", "-o", out, "--json"],
                         stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
    if run.returncode != 0:
        print(f"FAIL {name}: exit status {run.returncode}\n{run.stdout}")
        bad += 1
        continue
    counts = json.loads(run.stdout)["findings"]
    errors = [(got - want) / want for got, want in zip(volume_and_area(f"{out}/tool.stl"), exact)]
    ok = all(abs(e) <= m for e, m in zip(errors, MOST)) and counts["errors"] == 0 and counts["warnings"] == 0
    bad += not ok
    print(f"{'ok  ' if ok else 'FAIL'} {name}: volume {errors[0]:+.2e} (at most {MOST[0]:.0e}), "
          f"area {errors[1]:+.2e} (at most {MOST[1]:.0e}), review {counts['errors']} errors {counts['warnings']} warnings")
sys.exit(bad > 0)
