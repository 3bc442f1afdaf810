"""Student-t weights, no collapse, against a general optimiser.

Reweighing each bead by (nu + 1) / (nu + e^2 / s^2) with s^2 = v + 0.05^2 + 0.07^2, and solving the normal equations with
variances v / weight, again and again, has the minimum of

    |beta|^2 / 2 + sum (nu + 1) / 2 * s^2 / v * log(1 + e^2 / (nu s^2)),   e = m - phi' beta

for its fixed point: a t log-likelihood with scale s, raised to the power s^2 / v, under the prior N(0, I). Here SciPy's BFGS
looks for that minimum with no knowledge of weights. student.json holds rows (features phi, m, v), drawn with one in six far
off, and where the minimum lies.

Made with Debian packages: Python 3.11.2, numpy 1.24.2, SciPy 1.10.1.   /usr/bin/python3 student.py > student.json
"""
import json
import sys

import numpy as np
import scipy
from scipy.optimize import minimize

NU, BETWEEN = 4.0, 0.05 ** 2 + 0.07 ** 2


def problem(r, rows, columns):
    phi = np.round(r.normal(0, 0.08, (rows, columns)) * (r.random((rows, columns)) < 0.6), 4)
    v = np.round(r.uniform(0.008, 0.09, rows), 5)
    m = phi @ r.normal(0, 1, columns) + r.normal(0, np.sqrt(v))
    m[::6] += r.choice([-1, 1], len(m[::6])) * r.uniform(0.5, 1.5, len(m[::6]))
    return phi, np.round(m, 5), v


def optimum(phi, m, v):
    s2 = v + BETWEEN

    def loss(beta):
        e = m - phi @ beta
        return beta @ beta / 2 + np.sum((NU + 1) / 2 * s2 / v * np.log1p(e * e / (NU * s2)))

    def slope(beta):
        e = m - phi @ beta
        return beta - phi.T @ ((NU + 1) * e / (v * (NU + e * e / s2)))

    start = np.linalg.solve(np.eye(phi.shape[1]) + phi.T @ (phi / v[:, None]), phi.T @ (m / v))
    best = minimize(loss, start, jac=slope, method="BFGS", options=dict(gtol=1e-12, maxiter=10000))
    # BFGS stops where the loss no longer changes in double precision; a second run starts with a fresh Hessian there.
    best = minimize(loss, best.x, jac=slope, method="BFGS", options=dict(gtol=1e-12, maxiter=10000))
    return best.x, float(np.abs(slope(best.x)).max())


def main():
    r = np.random.default_rng(20262)
    cases = []
    for rows, columns in [(6, 3), (12, 4), (40, 6), (120, 10)]:
        phi, m, v = problem(r, rows, columns)
        beta, slope = optimum(phi, m, v)
        cases.append(dict(phi=phi.tolist(), m=m.tolist(), v=v.tolist(), beta=beta.tolist(), slope=slope))
    note = "made by student.py with numpy %s, SciPy %s, Python %s" % (np.__version__, scipy.__version__, sys.version.split()[0])
    print('{"note":%s,\n"cases":[\n%s\n]}' % (json.dumps(note), ",\n".join(json.dumps(c) for c in cases)))


main()
