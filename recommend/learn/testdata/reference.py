"""Reference values for the posterior, the collapse of sessions and cells, the four passes and the widening.

Written apart from the Go code: every bead is its own row, every session and every cell has its own column, and
scikit-learn's GaussianProcessRegressor (DotProduct kernel on scaled features, alpha = variance / weight, no optimiser)
does the algebra; leave-one-out residuals are refits without the row.

Made with Debian packages: Python 3.11.2, numpy 1.24.2, scikit-learn 1.2.1.   /usr/bin/python3 reference.py > reference.json
"""
import json
import math
import random
import sys

import numpy as np
import sklearn
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import DotProduct

PULL = {5: (0.25, 0.85), 4: (0.80, 1.10), 3: (1.80, 1.35), 2: (2.70, 1.60), 1: (4.00, 2.20)}
KNOTS = [-1.3, -0.7, -0.1, 0.5, 1.2]
BETWEEN_SESSIONS, CELL, LIVE, IMPUTE = 0.05, 0.07, 0.10, 0.06


def job(o):
    return (o["thickness_in"], o["joint"], o["position"], o["wire_diameter_in"], o["tap"])


def features(o, machines):
    m = machines[o["machine"]]
    x = math.log(o["thickness_in"] / 0.1)
    f = {"all": 0.08, ("machine", m["id"]): 0.08 if m["calibrated"] else 0.15,
         ("slope", m["id"]): x * (0.048 if m["calibrated"] else 0.08),
         ("spool", o["spool"]): 0.04, ("user", o["user"]): 0.08, ("joint", o["joint"]): 0.06,
         ("position", o["position"]): 0.06, ("wire", o["wire_diameter_in"]): 0.05, ("tap", o["tap"]): 0.06,
         "x": 0.08 * x, "tap x": 0.05 * x * (1 if o["tap"] == "high" else -1)}
    for s in m["states"]:
        if s["kind"] != "original":
            f["state", m["id"], s["id"]] = {"output": 0.20, "feed": 0.08}[s["kind"]]
        if s["id"] == o["state"]:
            break
    hats = np.interp(x, KNOTS, range(5))
    k = min(int(hats), 3)
    f["hat", k], f["hat", k + 1] = 0.07 * (1 - (hats - k)), 0.07 * (hats - k)
    return f


def half_window(t):
    u = min(1, max(0, (t - 0.0239) / (0.0598 - 0.0239)))
    return 0.95 / math.sqrt((0.10 + 0.05 * u) ** -2 + 0.45 ** -2)


class GP:
    """Posterior from rows (features, m, v); asks scikit-learn."""

    def __init__(self, rows):
        self.rows = rows
        self.names = {}
        for f, _, _ in rows:
            for k in f:
                self.names.setdefault(k, len(self.names))
        if rows:
            self.gp = GaussianProcessRegressor(DotProduct(0, "fixed"), alpha=np.array([v for _, _, v in rows]), optimizer=None)
            self.gp.fit(np.array([self.vector(f) for f, _, _ in rows]), np.array([m for _, m, _ in rows]))

    def vector(self, f):
        x = np.zeros(len(self.names))
        for k, v in f.items():
            if k in self.names:
                x[self.names[k]] = v
        return x

    def predict(self, f):
        unseen = sum(v * v for k, v in f.items() if k not in self.names)
        if not self.rows:
            return 0.0, unseen
        mean, sd = self.gp.predict([self.vector(f)], return_std=True)
        return float(mean[0]), float(sd[0]) ** 2 + unseen


def ask(machines, welds, query, passes):
    live = query.get("live", [])
    q = features(query, machines)
    q["cell", job(query)] = CELL
    if live:
        q["live"] = LIVE
    beads = []
    for o, today in [(w, False) for w in welds] + [(w, True) for w in live]:
        bad, conflict = o["rating"] <= 3, o["heat"] * o["balance"] < 0
        if bad and conflict:
            continue
        d = int(np.sign(o["heat"] + o["balance"]))
        a, s = PULL[o["rating"]]
        w, y = half_window(o["thickness_in"]), math.log(o["wire_speed"] / o["table_wire_speed"])
        f = features(o, machines)
        own = dict(f)
        if job(o) == job(query):
            own["cell", job(query)] = CELL
        if today:
            own["live"] = LIVE
        group = (job(o), o["machine"], o["state"], o["spool"], o["user"], today)
        full = dict(own)
        if not today:
            full["session", group, o["session"]] = BETWEEN_SESSIONS
        if job(o) != job(query):
            full["cell of", group] = CELL
        beads.append(dict(y=y, w=w, a=a, m=y - a * d * w, v=(s * w) ** 2, weight=1.0, silent=bad and d == 0,
                          own=own, full=full, group=group, session=o["session"], today=today))
    gp = None
    for p in range(passes):
        if p == 1:
            for b in beads:
                if b["silent"]:
                    f, var = gp.predict(b["own"])
                    z = (b["y"] - f) / math.sqrt(var + BETWEEN_SESSIONS ** 2 + CELL ** 2 + IMPUTE ** 2)
                    side = math.erf(z / math.sqrt(2))
                    b["m"] = b["y"] - b["a"] * np.sign(side) * b["w"]
                    b["v"] = 1000.0 if abs(side) < 0.3 else b["v"] / side ** 2
                    b["silent"] = False
        if p > 0:
            for b in beads:
                e = b["m"] - gp.predict(b["own"])[0]
                b["weight"] = 5 / (4 + e * e / (b["v"] + BETWEEN_SESSIONS ** 2 + CELL ** 2))
        gp = GP([(b["full"], b["m"], b["v"] / b["weight"]) for b in beads if not b["silent"]])
    f, var = gp.predict(q)
    return f, math.sqrt(var), widening(beads, query)


def widening(beads, query):
    groups = {}
    for b in beads:
        if not b["silent"]:
            groups.setdefault(b["group"], {}).setdefault(b["session"] if not b["today"] else 0, []).append(b)
    rows = []
    for key, sessions in groups.items():
        today = key[-1]
        ms, vs = [], []
        for bs in sessions.values():
            t = sum(b["weight"] / b["v"] for b in bs)
            ms.append(sum(b["weight"] * b["m"] / b["v"] for b in bs) / t)
            vs.append(1 / t + (0 if today else BETWEEN_SESSIONS ** 2))
        t = sum(1 / v for v in vs)
        free = 0 if key[0] == job(query) else CELL ** 2
        rows.append((bs[0]["own"], sum(m / v for m, v in zip(ms, vs)) / t, 1 / t + free))
    total = 0.0
    for i, (f, m, v) in enumerate(rows):
        mean, var = GP(rows[:i] + rows[i + 1:]).predict(f)
        # The floor of 0.05 on 1 - hat, in terms of the refit: z = (m - mean) / sqrt(v + var) while v / (v + var) >= 0.05.
        loose = max(0.05, v / (v + var))
        whole, _ = GP(rows).predict(f)
        total += min(9.0, (m - whole) ** 2 / (v * loose)) if loose == 0.05 else min(9.0, (m - mean) ** 2 / (v + var))
    return min(1.8, max(1.0, math.sqrt((8 + total) / (8 + len(rows)))))


def notebook(r, n, wild):
    states = [[{"id": "a", "kind": "original"}, {"id": "b", "kind": "output"}, {"id": "c", "kind": "feed"}],
              [{"id": "a", "kind": "original"}]]
    machines = [dict(id="M%d" % i, calibrated=i == 0, taps=["low", "high"], states=states[i]) for i in range(2)]
    jobs = [dict(thickness_in=r.choice([0.0239, 0.0478, 0.0598, 0.1046, 0.125, 0.25, 0.375]), joint=r.choice(["tee", "lap", "butt"]),
                 position=r.choice(["flat", "vertical up"]), wire_diameter_in=r.choice([0.030, 0.035]), tap=r.choice(["low", "high"]))
            for _ in range(6)]

    def setup(i):
        m = r.choice(machines)
        k = len(m["states"])
        return dict(r.choice(jobs), user=r.choice(["ann", "bo"]), machine=m["id"], spool="s%d" % (i // 15),
                    state=m["states"][min(k - 1, i * k // max(1, n))]["id"])

    def bead(i, session, s):
        rating = r.randint(1, 5)
        tell = rating < 5 and r.random() < 0.6
        return dict(s, id="w%03d" % i, session=str(session), table_wire_speed=5.0,
                    wire_speed=5 * math.exp(r.gauss(0.08, wild)), rating=rating,
                    heat=r.randint(-1, 1) if tell else 0, balance=r.randint(-1, 1) if tell else 0)

    welds, session = [], 0
    while len(welds) < n:
        session += 1
        s = setup(len(welds))
        for _ in range(min(n - len(welds), r.randint(1, 4))):
            welds.append(bead(len(welds), session, s))
    query = dict(setup(n), table_wire_speed=5.0)
    live = [bead(900 + i, "today", {k: query[k] for k in query if k != "table_wire_speed"}) for i in range(r.choice([0, 0, 1, 3]))]
    if live:
        query["live"] = live
    return machines, welds, query


def main():
    r = random.Random(20260)
    cases = []
    for i, n in enumerate([0, 1, 2, 5, 8, 12, 20, 30, 45, 60, 60, 60]):
        machines, welds, query = notebook(r, n, 0.15 if i % 3 else 0.45)
        byid = {m["id"]: m for m in machines}
        want = []
        for passes in (1, 4):
            f, sd, widen = ask(byid, welds, query, passes)
            want.append(dict(passes=passes, f=f, sd=sd, widen=widen))
        cases.append(dict(name="notebook %d, %d welds" % (i, n), machines=machines, query=query, want=want, welds=welds))
    note = "made by reference.py with numpy %s, scikit-learn %s, Python %s" % (np.__version__, sklearn.__version__, sys.version.split()[0])
    rows = ",\n".join("{%s}" % ",\n ".join("%s:%s" % (json.dumps(k), json.dumps(v)) for k, v in c.items()) for c in cases)
    print('{"note":%s,\n"cases":[\n%s\n]}' % (json.dumps(note), rows))


main()
