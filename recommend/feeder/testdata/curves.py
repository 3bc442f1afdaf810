#!/usr/bin/env python3
"""Writes curves.csv: wire speeds between marks, and marks for wire speeds, from scipy.

Run it by hand in this folder; its output is committed, and the tests read that:
    python3 curves.py > curves.csv
Speeds are in in/min. The marks for a wire speed are roots found by Brent's method.
"""
import csv, json, sys
import numpy, scipy
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("marks,speeds_in_min,asked,at,expected,note".split(","))
note = "scipy %s, numpy %s, curves.py" % (scipy.__version__, numpy.__version__)
curves = [
    ([1, 3, 5, 7, 9], [70, 130, 190, 250, 310]),              # straight
    ([1, 3, 5, 7, 9], [59, 102, 190, 278, 321]),              # S
    ([1, 3, 5, 7, 9], [139, 250, 299, 322, 332]),             # quick start
    ([0, 1, 3, 4.5, 8, 10], [40, 41, 77, 133, 264, 339]),     # uneven marks, nearly level at the start
    ([2, 3, 5, 9], [60, 60, 150, 290]),                       # level, then rising
    ([2.5, 8], [95.5, 271.25]),                               # two marks
]
for x, y in curves:
    f = PchipInterpolator(x, y)
    for at in numpy.linspace(x[0], x[-1], 14)[1:-1]:
        out.writerow([json.dumps(x), json.dumps(y), "speed", repr(float(at)), repr(float(f(at))), "PchipInterpolator; " + note])
    for share in (0.15, 0.4, 0.65, 0.9):
        v = y[0] + share * (y[-1] - y[0])
        mark = brentq(lambda m: f(m) - v, x[0], x[-1], xtol=1e-12)
        out.writerow([json.dumps(x), json.dumps(y), "mark", repr(float(v)), repr(float(mark)), "brentq on PchipInterpolator; " + note])
