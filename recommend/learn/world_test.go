package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"
)

// A world is one welder with one machine, whose best settings only the simulator knows. Every number here is a
// simulation assumption without a source, chosen to be plausible; only ratios matter. Speeds are ln in/min inside.
type world struct {
	truth
	r *rand.Rand

	jointErr, positionErr, wireErr    map[any]float64 // of the table, on heat
	slopeErr                          float64
	habit, userSlope                  float64 // of the welder, on heat
	userPosition, userJoint           map[any]float64
	userBend                          [2]float64
	volts                             float64
	tapVolts                          map[string]float64
	calibrated                        bool
	knobOffset, knobSlope, knobWiggle float64
	knobPhase                         float64
	spoolHeat, spoolBalance           map[string]float64
	leniency                          float64
	favourites                        []Setup

	user, machine, state string
	shift                float64 // of heat and balance since the machine was changed
}

// truth says what kind of worlds there are.
type truth struct {
	name          string
	scale         float64 // of all effects
	interactions  float64 // of products of effects, which the model has no terms for
	wrongSign     float64 // share of symptoms reported with the wrong sign
	reported      float64 // share of symptoms reported at all
	misrated      float64 // share of welds with random rating and symptoms
	curvedBalance float64 // balance point that bends with thickness
}

var (
	baseTruth   = truth{name: "base", scale: 1, wrongSign: 0.08, reported: 0.7}
	otherTruths = []truth{
		{name: "products of effects", scale: 1, interactions: 1, curvedBalance: 0.10, wrongSign: 0.08, reported: 0.7},
		{name: "products, 25 % wrong symptoms, 10 % mis-rated", scale: 1, interactions: 1, curvedBalance: 0.10, wrongSign: 0.25, reported: 0.7, misrated: 0.1},
		{name: "25 % wrong symptoms", scale: 1, wrongSign: 0.25, reported: 0.7},
		{name: "10 % mis-rated", scale: 1, wrongSign: 0.08, reported: 0.7, misrated: 0.1},
		{name: "no symptoms", scale: 1},
		{name: "effects x 1.7", scale: 1.7, wrongSign: 0.08, reported: 0.7},
		{name: "effects x 0.5", scale: 0.5, wrongSign: 0.08, reported: 0.7},
	}
)

func newWorld(t truth, seed uint64) *world {
	r := rand.New(rand.NewPCG(seed, 40))
	w := &world{truth: t, r: r, user: "u", machine: "m", state: "s",
		spoolHeat: map[string]float64{}, spoolBalance: map[string]float64{}}
	w.jointErr, w.positionErr = w.each(testJoints, 0.06), w.each(testPositions, 0.06)
	w.wireErr = map[any]float64{0.030: w.draw(0.04), 0.035: w.draw(0.04)}
	w.slopeErr = w.draw(0.04)
	w.hire()
	w.buy()
	for range 6 {
		w.favourites = append(w.favourites, w.anyJob())
	}
	return w
}

func (w *world) draw(sd float64) float64 { return sd * w.scale * w.r.NormFloat64() }

func (w *world) each(names []string, sd float64) map[any]float64 {
	m := map[any]float64{}
	for _, name := range names {
		m[name] = w.draw(sd)
	}
	return m
}

// hire draws a welder.
func (w *world) hire() {
	w.habit, w.userSlope = w.draw(0.10), w.draw(0.06)
	w.userPosition, w.userJoint = w.each(testPositions, 0.05), w.each(testJoints, 0.04)
	w.userBend = [2]float64{w.draw(0.04), w.draw(0.04)}
	w.leniency = math.Exp(0.15 * w.r.NormFloat64())
}

// buy draws a machine.
func (w *world) buy() {
	w.volts = w.draw(0.05)
	w.tapVolts = map[string]float64{}
	for _, tap := range testTaps {
		w.tapVolts[tap] = w.draw(0.025)
	}
	w.calibrated = w.r.Float64() < 0.6
	dial, wiggle := 0.15, 0.04
	if w.calibrated {
		dial, wiggle = 0.03, 0.01
	}
	w.knobOffset, w.knobSlope, w.knobWiggle, w.knobPhase = w.draw(dial), w.draw(dial), wiggle*w.scale, 2*math.Pi*w.r.Float64()
}

// rig is the world's machine, with a change of polarity that may come.
func (w *world) rig() Machine {
	return Machine{ID: w.machine, Calibrated: w.calibrated, Taps: testTaps, States: []State{{"s", Original}, {"changed", Output}}}
}

// anyJob favours 18 gauge to 1/4 in, on the table's tap.
func (w *world) anyJob() Setup {
	i := 3 + w.r.IntN(8)
	if w.r.IntN(5) == 0 {
		i = w.r.IntN(len(testSizes))
	}
	s := Setup{User: w.user, Machine: w.machine, State: w.state, ThicknessIn: testSizes[i], Joint: pick(w.r, testJoints),
		Position: pick(w.r, testPositions), WireDiameterIn: pick(w.r, testWires), Tap: "low"}
	high := s
	high.Tap = "high"
	if nominal(&high).mismatch < nominal(&s).mismatch {
		return high
	}
	return s
}

// point is where the arc is good: heat target and balance point, both ln in/min, with their half widths.
type point struct {
	heat, balance   float64
	heatWidth       float64
	best, half      float64 // of wire speed, ln
	mismatch        float64 // above 1 no wire speed is right
	thin            bool
	heatLimitWidths float64 // beyond which the heat does harm
}

const balancePointWidth = 0.45

func (p point) settled() point {
	wh, wb := p.heatWidth, balancePointWidth
	p.half = 1 / math.Sqrt(1/(wh*wh)+1/(wb*wb))
	p.best = (p.heat/(wh*wh) + p.balance/(wb*wb)) * p.half * p.half
	p.mismatch = math.Abs(p.heat-p.balance) / math.Hypot(wh, wb)
	return p
}

// nominal is what the table believes.
func nominal(s *Setup) point {
	p := point{heat: math.Log(min(280, 70*math.Pow(s.ThicknessIn/0.0239, 0.62))), thin: s.ThicknessIn < 0.0598, heatLimitWidths: 2.4}
	p.balance = math.Log(map[string]float64{"low": 105, "high": 215}[s.Tap])
	if s.WireDiameterIn == 0.035 {
		p.heat += math.Log(0.75)
		p.balance += math.Log(0.75)
	}
	p.heatWidth = 0.10 + 0.05*min(1, (s.ThicknessIn-0.0239)/(0.0598-0.0239))
	if p.thin {
		p.heatLimitWidths = 1.8
	}
	return p.settled()
}

// table is the table's wire speed in m/min.
func table(s *Setup) float64 { return 0.0254 * math.Exp(nominal(s).best) }

// actual is where the arc is really good.
func (w *world) actual(s *Setup, session float64) point {
	p := nominal(s)
	x := logThickness(s.ThicknessIn)
	joint, position := w.jointErr[s.Joint], w.positionErr[s.Position]
	p.heat += joint + position + w.wireErr[s.WireDiameterIn] + w.slopeErr*x +
		w.habit + w.userPosition[s.Position] + w.userJoint[s.Joint] + w.userSlope*x +
		w.userBend[0]*math.Sin(2*x) + w.userBend[1]*math.Cos(2*x) + w.spoolHeat[s.Spool] + session
	p.heat += w.interactions * (8*joint*position + 6*w.habit*(joint+position) + 0.5*w.habit*x)
	v := w.volts + w.tapVolts[s.Tap]
	p.heat -= v
	p.heat += w.shift
	p.balance += w.shift
	p.balance += 2*v + w.spoolBalance[s.Spool] + w.curvedBalance*x*x
	return p.settled()
}

// delivered is the ln wire speed that really comes out at a nominal one.
func (w *world) delivered(n float64) float64 {
	return n + w.knobOffset + w.knobSlope*(n-math.Log(170)) + w.knobWiggle*math.Sin(6*n+w.knobPhase)
}

// dial is the nominal ln wire speed at which v comes out.
func (w *world) dial(v float64) float64 {
	n := v
	for range 60 {
		n += 0.7 * (v - w.delivered(n))
	}
	return n
}

func (w *world) newSpool(name string) string {
	w.spoolHeat[name] = 0.03 * w.scale * w.r.NormFloat64()
	w.spoolBalance[name] = 0.05 * w.scale * w.r.NormFloat64()
	return name
}

// weld makes a bead at a wire speed in m/min, and reports whether it was truly good, whatever the rating.
func (w *world) weld(r *rand.Rand, id string, at time.Time, s Setup, name string, speed, session float64) (Weld, bool) {
	p := w.actual(&s, session)
	n := w.delivered(math.Log(speed/0.0254)) + 0.03*r.NormFloat64()
	heat := (n - p.heat + 0.05*r.NormFloat64()) / p.heatWidth
	if p.thin && heat > 0 {
		heat *= 1.3
	}
	balance := (n - p.balance) / balancePointWidth
	z := math.Hypot(heat, balance)
	out := Weld{ID: id, Time: at, Setup: s, Session: name, TableWireSpeed: table(&s), WireSpeed: speed, Rating: 5}
	felt := math.Abs(z+0.2*r.NormFloat64()) * w.leniency
	for _, cut := range []float64{0.5, 1, 1.6, 2.4} {
		if felt > cut {
			out.Rating--
		}
	}
	symptom := func(axis float64) int {
		u, v := r.Float64(), r.Float64()
		if math.Abs(axis)+0.4*r.NormFloat64() < 0.8 || u > w.reported {
			return 0
		}
		if v < w.wrongSign {
			return -sign(axis)
		}
		return sign(axis)
	}
	out.Heat, out.Balance = symptom(heat), symptom(balance)
	if luck := r.Float64(); luck < 0.10 {
		out.Rating = max(1, out.Rating-1-r.IntN(2))
		out.Heat, out.Balance = 0, 0
	} else if luck > 1-w.misrated {
		out.Rating, out.Heat, out.Balance = 1+r.IntN(5), r.IntN(3)-1, r.IntN(3)-1
	}
	return out, z <= 1
}

// log adds n beads as a welder would make them without a recommender: from the table or what worked on the nearest job,
// curing by 12 %, then a few more of the same.
func (w *world) log(welds []Weld, n int) (_ []Weld, lastSpool string) {
	r := w.r
	start := len(welds)
	nextSpool := func() string { return w.newSpool(fmt.Sprintf("%s%s spool %d", w.user, w.machine, len(welds)/45)) }
	spool := nextSpool()
	for len(welds) < start+n {
		s := w.anyJob()
		if r.Float64() < 0.75 {
			s = pick(r, w.favourites)
		}
		s.User, s.Machine, s.State, s.Spool = w.user, w.machine, w.state, spool
		if r.Float64() < 0.10 {
			s.Tap = map[string]string{"low": "high", "high": "low"}[s.Tap]
		}
		speed := table(&s)
		if near := nearestGood(welds, &s); near != nil && r.IntN(2) == 0 {
			speed *= near.WireSpeed / near.TableWireSpeed
		}
		speed *= math.Exp(0.045 * r.NormFloat64())
		session, name := w.draw(0.04), fmt.Sprint(len(welds))
		for try, good := 0, 1+r.IntN(4); try < 5 && good > 0 && len(welds) < start+n; {
			at := testEpoch.Add(time.Duration(len(welds)) * time.Hour)
			bead, _ := w.weld(r, fmt.Sprintf("w%05d", len(welds)), at, s, name, speed, session)
			welds = append(welds, bead)
			if len(welds)%45 == 0 {
				spool = nextSpool()
				s.Spool = spool
			}
			switch d := bead.direction(); {
			case bead.good():
				good--
				continue
			case d != 0:
				speed *= math.Exp(-0.12 * float64(d))
			default:
				speed *= math.Exp(0.12 * float64(2*r.IntN(2)-1))
			}
			try++
			speed = min(maxRatio*bead.TableWireSpeed, max(minRatio*bead.TableWireSpeed, speed))
		}
	}
	return welds, spool
}
