#!/usr/bin/env python3
"""Writes library.csv: values from scipy and numpy that the Go code must meet.

Run it by hand in this folder; its output is committed, and the tests read that:
    python3 library.py > library.csv
The numbers come from numerical integration, root finding and statistics, not from the
closed formulas that the Go code uses.
"""
import csv, json, sys
import numpy, scipy
from scipy import integrate, optimize, stats

NOTE = "scipy %s, numpy %s, library.py" % (scipy.__version__, numpy.__version__)
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("id,topic,inputs,expected,unit,tolerance,kind,source,note".split(","))
count = 0


def row(topic, inputs, expected, unit, tolerance, source="SCIPY", how=""):
    global count
    count += 1
    out.writerow(["L%03d" % count, topic, json.dumps(inputs), repr(float(expected)), unit, tolerance, "computed", source, how + "; " + NOTE])


def solve(f, y0, t):
    return integrate.solve_ivp(f, (0, t), [y0], rtol=1e-11, atol=1e-12, method="DOP853").y[0, -1]


# Capacitors through a bleeder.
for v0, r, c, n, t in [(38, 50, 0.047, 1, 4.8), (38, 50, 0.047, 2, 9.5), (42, 29.03, 0.12, 1, 5), (36, 100, 0.06, 1, 7.69), (12, 8e5, 5e-6, 1, 4), (160, 47000, 0.00047, 2, 60)]:
    v = solve(lambda _, v: -v / (r * c * n), v0, t)
    row("bank_voltage", dict(V0=v0, R_ohm=r, C_F=c, count=n, t_s=t), v, "V", 1e-6, how="solve_ivp")
for v0, v, r, c, n in [(38, 5, 50, 0.047, 1), (38, 5, 50, 0.047, 2), (42, 10, 29.03, 0.12, 1), (41.2, 1, 100, 0.1, 3), (36, 10, 100, 0.06, 1)]:
    t = optimize.brentq(lambda t: solve(lambda _, y: -y / (r * c * n), v0, t) - v, 1e-3, 500)
    row("bank_time", dict(V0=v0, V=v, R_ohm=r, C_F=c, count=n), t, "s", 1e-6, how="brentq on solve_ivp")
for v0, v, t, c, n in [(38, 5, 5, 0.047, 1), (38, 5, 5, 0.047, 2), (30, 2, 30, 0.1, 1)]:
    r = optimize.brentq(lambda r: solve(lambda _, y: -y / (r * c * n), v0, t) - v, 1, 1000)
    row("bank_ohms", dict(V0=v0, V=v, t_s=t, C_F=c, count=n), r, "ohm", 1e-6, how="brentq on solve_ivp")

# First-order heating: from a start, and after many periods of arc and rest.
for start, steady, tau, t in [(0, 80, 1800, 600), (60, 0, 1800, 480), (20, 120, 900, 120), (75, 75, 300, 50)]:
    row("body_rise", {"from_K": start, "steady_K": steady, "tau_s": tau, "t_s": t}, solve(lambda _, y: (steady - y) / tau, start, t), "K", 1e-6, how="solve_ivp")
for steady, tau, duty in [(100, 1800, 20), (100, 600, 20), (150, 7200, 35), (90, 300, 60)]:
    y, on = 0.0, 6.0 * duty
    for _ in range(400 if tau > 3000 else 120):
        hot = solve(lambda _, y: (steady - y) / tau, y, on)
        y = solve(lambda _, y: -y / tau, hot, 600 - on) if on < 600 else hot
    row("body_peak", dict(steady_K=steady, tau_s=tau, duty_pct=duty), hot, "K", 1e-4, how="solve_ivp over many periods")

# Rectified sines.
for rms in (22, 28, 30, 115):
    pk = rms * numpy.sqrt(2)
    half = integrate.quad(lambda x: pk * numpy.sin(x), 0, numpy.pi)[0]
    row("bridge_mean", dict(rms_V=rms, diode_drop_V=0), half / numpy.pi, "V", 1e-9, how="quad")
    row("half_wave_average_V", dict(rms_V=rms), half / (2 * numpy.pi), "V", 1e-9, how="quad")
# Ripple with an ideal bridge and constant load current: the capacitor falls from
# the peak until the next half wave catches it.
for amps, hz, c, pk in [(90, 60, 0.5, 36.8), (60, 60, 0.3, 36.8), (20, 50, 0.1, 41), (90, 60, 0.12, 41.2)]:
    w = 2 * numpy.pi * hz
    t = optimize.brentq(lambda t: pk * abs(numpy.cos(w * t)) - (pk - amps * t / c), 0.25 / hz, 0.5 / hz)
    row("ripple_between", dict(load_A=amps, mains_Hz=hz, C_F=c, peak_V=pk), amps * t / c, "V", 0, how="brentq; must lie in the range returned")

# A straight line through clamp readings, and its 80 % interval for one more.
sets = [[(2.0, 48), (3.0, 71), (4.0, 88), (5.0, 114)], [(1.27, 30), (2.286, 90), (2.794, 120)], [(1.5, 41), (1.5, 44), (2.5, 66), (3.5, 83), (4.5, 110), (5.2, 119)]]
for readings in sets:
    x, y = numpy.array(readings).T
    fit = stats.linregress(x, y)
    left = y - fit.intercept - fit.slope * x
    s = numpy.sqrt((left**2).sum() / (len(x) - 2))
    row("fit_intercept", dict(readings=readings), fit.intercept, "A", 1e-9, how="linregress")
    row("fit_slope", dict(readings=readings), fit.slope, "A per m/min", 1e-9, how="linregress")
    row("fit_r2", dict(readings=readings), fit.rvalue**2, "", 1e-9, how="linregress")
    for at in (x.min(), (x.min() + x.max()) / 2, x.max()):
        d = stats.t.ppf(0.9, len(x) - 2) * s * numpy.sqrt(1 + 1 / len(x) + (at - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
        row("fit_low", dict(readings=readings, at_m_min=at), fit.intercept + fit.slope * at - d, "A", 1e-8, how="linregress, t.ppf")

# The printed points of E71T-11, between its rows.
x, amps, volts = [50, 60, 70, 90, 110], [30, 50, 65, 90, 120], [14, 14.5, 15, 16, 16.5]
for ipm in (50, 55, 64, 80, 97.5, 110):
    row("current", {"class": "E71T-11", "diameter_in": 0.035, "wire_speed_in_per_min": ipm}, numpy.interp(ipm, x, amps), "A", 1e-9, "SCIPY;WD-T11", "interp")
for i in (30, 45, 75, 100, 120):
    row("wire_speed", {"class": "E71T-11", "diameter_in": 0.035, "amps": i}, numpy.interp(i, amps, x), "in/min", 1e-9, "SCIPY;WD-T11", "interp")
    row("arc_voltage", {"class": "E71T-11", "diameter_in": 0.035, "amps": i}, numpy.interp(i, amps, volts), "V", 1e-9, "SCIPY;WD-T11", "interp")
    row("wire_speed", {"class": "E71T-11", "diameter_in": 0.030, "amps": i}, numpy.interp(i, amps, x) * (0.035 / 0.030) ** 2, "in/min", 1e-9, "SCIPY;WD-T11", "interp, by wire area")
# Method B and the cooling time are from memory: numpy only checks the arithmetic.
for cet, d, hd, q in [(0.28, 12, 5, 0.8), (0.4, 50, 15, 3), (0.2, 10, 1, 0.5), (0.5, 90, 20, 4)]:
    t = 697 * cet + 160 * numpy.tanh(d / 35) + 62 * hd**0.35 + (53 * cet - 32) * q - 328
    row("preheat_EN1011_2_method_B", dict(CET=cet, d_mm=d, HD_ml_per_100g=hd, Q_kJ_per_mm=q), t, "degC", 1e-9, "SCIPY;MEM", "tanh")
for t0, q, d in [(20, 0.3, 3), (20, 1.0, 25), (100, 1.5, 12), (20, 0.5, 6)]:
    thick = (6700 - 5 * t0) * q * (1 / (500 - t0) - 1 / (800 - t0))
    thin = (4300 - 4.3 * t0) * 1e5 * (q / d) ** 2 * (1 / (500 - t0) ** 2 - 1 / (800 - t0) ** 2)
    row("cooling_time", dict(T0_C=t0, Q_kJ_per_mm=q, d_mm=d), max(thick, thin), "s", 1e-9, "SCIPY;MEM", "float64")
