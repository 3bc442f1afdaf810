package learn

import (
	"fmt"
	"math"
)

// inside reports whether the first suggestion is in the window.
func inside(w *world, p point, speed float64) bool {
	return p.mismatch < 1 && math.Abs(w.delivered(math.Log(speed/0.0254))-p.best) <= p.half*math.Sqrt(1-p.mismatch*p.mismatch)
}

func suggested(x *exam, q Query) float64 {
	e, err := x.model.Suggest(q)
	if err != nil {
		panic(err)
	}
	return e.WireSpeed
}

type changeShares struct{ silent, flagged float64 }

// simulateChange logs 100 welds, shifts the machine's best settings by 30 %, logs 20 more, and asks: once with the change
// unknown, once flagged where it happened.
func simulateChange(books int, seed uint64) changeShares {
	var silent, flagged, jobs int
	for b := range books {
		w := newWorld(baseTruth, seed+uint64(b))
		log, _ := w.log(nil, 100)
		w.shift = -0.3
		log, spool := w.log(log, 20)
		known := append([]Weld(nil), log...)
		for i := 100; i < len(known); i++ {
			known[i].State = "changed"
		}
		quiet, told := newExam(w, log), newExam(w, known)
		quiet.jobs(spool, func(q Query, p point, _ float64, _ uint64) {
			jobs++
			if inside(w, p, suggested(quiet, q)) {
				silent++
			}
			q.State = "changed"
			if inside(w, p, suggested(told, q)) {
				flagged++
			}
		})
	}
	return changeShares{float64(silent) / float64(jobs), float64(flagged) / float64(jobs)}
}

type poolShares struct{ table, own, all float64 }

// simulatePooling has two users weld on two machines, ten beads for each pair, and asks for each pair with all welds and
// with those of the pair alone.
func simulatePooling(books int, seed uint64) poolShares {
	var table, own, all, jobs int
	for b := range books {
		first := newWorld(baseTruth, seed+uint64(b))
		var worlds []*world
		for user := range 2 {
			hired := *first
			if user > 0 {
				hired.hire()
			}
			worlds = append(worlds, &hired)
		}
		bought := *first
		bought.buy()
		for user := range 2 {
			pair := *worlds[user]
			pair.volts, pair.tapVolts, pair.calibrated = bought.volts, bought.tapVolts, bought.calibrated
			pair.knobOffset, pair.knobSlope, pair.knobWiggle, pair.knobPhase = bought.knobOffset, bought.knobSlope, bought.knobWiggle, bought.knobPhase
			worlds = append(worlds, &pair)
		}
		var log []Weld
		var spools []string
		var rigs []Machine
		for i, w := range worlds {
			w.user, w.machine = fmt.Sprint("u", i%2), fmt.Sprint("m", i/2)
			var spool string
			log, spool = w.log(log, 10)
			spools = append(spools, spool)
			if i%2 == 0 {
				rigs = append(rigs, w.rig())
			}
		}
		for i, w := range worlds {
			pooled := newExam(w, log, rigs[1-i/2])
			alone := newExam(w, log[10*i:10*i+10])
			pooled.jobs(spools[i], func(q Query, p point, _ float64, _ uint64) {
				jobs++
				if inside(w, p, q.TableWireSpeed) {
					table++
				}
				if inside(w, p, suggested(alone, q)) {
					own++
				}
				if inside(w, p, suggested(pooled, q)) {
					all++
				}
			})
		}
	}
	n := float64(jobs)
	return poolShares{float64(table) / n, float64(own) / n, float64(all) / n}
}

type tapShares struct{ table, votes, oracle float64 }

// simulateTaps asks for jobs on which the taps are nearly level, after 100 welds: how often is the first bead good on the
// table's tap, on the tap voted for, and on the better one?
func simulateTaps(books int, seed uint64) tapShares {
	var onTable, onVoted, onBest, jobs int
	for b := range books {
		w := newWorld(baseTruth, seed+uint64(b))
		log, spool := w.log(nil, 100)
		x := newExam(w, log)
		for draws, job := 0, 0; job < 12 && draws < 2000; draws++ {
			s := w.anyJob()
			s.Spool = spool
			other := s
			other.Tap = map[string]string{"low": "high", "high": "low"}[s.Tap]
			here, there := nominal(&s), nominal(&other)
			if math.Abs(here.mismatch-there.mismatch) > 0.35 {
				continue
			}
			job++
			jobs++
			q := Query{Setup: s, TableWireSpeed: table(&s)}
			good := func(tap string) bool {
				o := q
				if tap != q.Tap {
					o.Setup, o.TableWireSpeed = other, table(&other)
				}
				return inside(w, w.actual(&o.Setup, 0), suggested(x, o))
			}
			a, err := x.model.AdviseTap(q)
			if err != nil {
				panic(err)
			}
			if good(s.Tap) {
				onTable++
			}
			if good(a.Tap) {
				onVoted++
			}
			if good(s.Tap) || good(other.Tap) {
				onBest++
			}
		}
	}
	n := float64(jobs)
	return tapShares{float64(onTable) / n, float64(onVoted) / n, float64(onBest) / n}
}

// nearestGood is the good weld on the most like job, the newest of equals; nil if there is none.
func nearestGood(welds []Weld, s *Setup) *Weld {
	var best *Weld
	var least float64
	for i := range welds {
		w := &welds[i]
		if !w.good() {
			continue
		}
		d := -math.Log(closeness(&w.Setup, s))
		if w.Tap != s.Tap {
			d += 0.6
		}
		if best == nil || d <= least {
			best, least = w, d
		}
	}
	return best
}
