#!/usr/bin/env python3
"""Writes compare.json: what Compare's sums must meet, by other roads.

Run it by hand in this folder; its output is committed, and the tests read that:
    python3 compare.py > compare.json
Ratings: ordinary least squares on dummy columns (numpy.linalg.lstsq) with quantiles of
scipy.stats.t; where there is one lot also scipy.stats.ttest_ind, and where each lot is one
pair also scipy.stats.ttest_rel, which must agree. Chances: every way to deal the values out
within lots, made one by one with itertools. Shares: the two Wilson intervals of
scipy.stats.binomtest, put together as Newcombe's method 10.
"""
import itertools, json, math
import numpy, scipy
from scipy import stats

FLOOR = 1 / 12


def close(a, b):
    assert abs(a - b) < 1e-9, (a, b)


def chance(lots):
    def parts(lots):
        mean = lambda v: sum(v) / len(v)
        return sum(len(b) * len(a) / (len(b) + len(a)) * (mean(a) - mean(b)) for b, a in lots)

    found, far, ways = abs(parts(lots)), 0, 0
    choices = [list(itertools.combinations(range(len(b) + len(a)), len(a))) for b, a in lots]
    for pick in itertools.product(*choices):
        dealt = []
        for (b, a), chosen in zip(lots, pick):
            v = b + a
            dealt.append(([x for i, x in enumerate(v) if i not in chosen], [v[i] for i in chosen]))
        ways += 1
        far += abs(parts(dealt)) >= found - 1e-9
    return far / ways


def ratings(lots):
    rows, y = [], []
    for i, (b, a) in enumerate(lots):
        for side, v in enumerate((b, a)):
            for x in v:
                rows.append([float(i == j) for j in range(len(lots))] + [float(side)])
                y.append(float(x))
    x, y = numpy.array(rows), numpy.array(y)
    beta = numpy.linalg.lstsq(x, y, rcond=None)[0]
    freedom = len(y) - len(lots) - 1
    rss = float(((y - x @ beta) ** 2).sum())
    d = float(beta[-1])
    out = {"lots": lots, "difference": d, "degrees_of_freedom": freedom, "chance": chance(lots)}
    if freedom > 0:
        s = math.sqrt(max(rss / freedom, FLOOR))
        se = s * math.sqrt(numpy.linalg.inv(x.T @ x)[-1, -1])
        out["spread"] = s
        for name, q in (("range_80", 0.9), ("range_95", 0.975)):
            half = stats.t.ppf(q, freedom) * se
            out[name] = [max(d - half, -4), min(d + half, 4)]
        if rss / freedom > FLOOR:
            if len(lots) == 1:
                close(stats.ttest_ind(lots[0][1], lots[0][0]).statistic, d / se)
            if all(len(b) == len(a) == 1 for b, a in lots):
                t = stats.ttest_rel([a[0] for b, a in lots], [b[0] for b, a in lots])
                close(t.statistic, d / se)
                ci = t.confidence_interval(0.95)
                close(max(ci.low, -4), out["range_95"][0])
                close(min(ci.high, 4), out["range_95"][1])
    return out


def shares(x, n, y, m):
    out = {"before": [x, n], "after": [y, m]}
    for name, level in (("range_80", 0.8), ("range_95", 0.95)):
        b = stats.binomtest(x, n).proportion_ci(level, method="wilson")
        a = stats.binomtest(y, m).proportion_ci(level, method="wilson")
        p, q = x / n, y / m
        out[name] = [q - p - math.hypot(q - a.low, b.high - p), q - p + math.hypot(a.high - q, p - b.low)]
    return out


LOTS = [
    [([3, 2, 3], [4, 5, 4])],
    [([2, 3, 3, 4, 2], [3, 5, 4, 4, 5, 4])],
    [([3], [4]), ([2], [4]), ([3], [3]), ([2], [5]), ([4], [4]), ([3], [5])],
    [([2], [4]), ([2], [4]), ([2], [4])],
    [([1, 2], [3]), ([3, 3, 4], [4, 4]), ([2], [2, 4])],
    [([5, 4, 5, 3], [2, 3]), ([4], [2, 1, 3])],
    [([3], [4])],
    [([3, 3], [3, 3]), ([4], [4])],
    [([1, 1, 1, 1], [5, 5, 5, 5])],
]
SHARES = [(48, 80, 56, 70), (0, 3, 3, 3), (2, 6, 5, 6), (1, 1, 0, 1), (7, 9, 4, 11), (0, 10, 0, 12)]
print('{"made_by": "scipy %s, numpy %s, compare.py",' % (scipy.__version__, numpy.__version__))
for name, cases in (("ratings", [ratings(l) for l in LOTS]), ("shares", [shares(*s) for s in SHARES])):
    print(' "%s": [' % name)
    print(",\n".join("  " + json.dumps(c) for c in cases))
    print(" ]" + ("," if name == "ratings" else ""))
print("}")
