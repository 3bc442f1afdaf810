package main

import (
	"context"
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// logged is a weld that is written down, and what there is to say of it.
type logged struct {
	weld       procedures.Weld
	machine    procedures.Machine
	words, use string // as they were said: the gate reads them
	broken     string // kind of the test that the words tell of; "" none
	photos     []procedures.Photo
	supply     []string // what spool and tip want first
}

// tellLogged says what was written down, and what speaks against it: a danger first.
func (a *app) tellLogged(ctx context.Context, l logged, units procedures.Units) error {
	a.tellDanger(l.weld)
	a.printf("logged %s. Paint it on the coupon.\n", l.weld.Mark)
	shown := []procedures.Weld{l.weld}
	if err := a.derive(ctx, shown); err != nil {
		return err
	}
	weld := shown[0]
	a.printWeld(weld, units)
	a.printPhotos(l.photos)
	if other := a.otherWire(ctx, weld); other != "" {
		a.printf("the spool in use is %s, and this was logged with %s: which was it? beadwright amend %s --wire ...\n", other, weld.Job.Wire, weld.Mark)
	}
	if l.broken != "" {
		a.printf("it broke, you say: %s=broke is written with it, so it counts as failed, whatever it looks like. Look at the break and say what you see: beadwright test %s %s --instead\n", l.broken, weld.Mark, l.broken)
	} else if failedTest(weld.Outcome) && weld.Outcome.Rating > 2 {
		a.printf("the test says otherwise than the looks: it counts as failed, whatever it looks like\n")
	}
	a.tellOutweighed(weld)
	stops, _ := caution.Gate(caution.Request{Words: l.words, For: l.use, Job: weld.Job})
	a.printCautions(stops)
	if len(stops) > 0 {
		a.printf("it is kept as a practice coupon and says nothing of the part\n")
	}
	a.storedCharge(l.machine)
	for _, text := range a.doubts(weld, l.machine, units) {
		a.printf("%s\n", text)
	}
	for _, text := range l.supply {
		a.line("mind", text)
	}
	a.printf("wrong? beadwright amend %s, or beadwright strike %s --why WHY\n", weld.Mark, weld.Mark)
	return nil
}

// otherWire names the spool in use where it is of another wire than the weld's.
func (a *app) otherWire(ctx context.Context, w procedures.Weld) string {
	spool, err := a.nb.CurrentSpool(ctx)
	if err != nil || w.Spool != "" || spool.Wire == w.Job.Wire {
		return ""
	}
	return spool.Name
}

func failedTest(o procedures.Outcome) bool {
	return slices.ContainsFunc(o.Tests, func(t procedures.Test) bool { return !t.Passed })
}

// tellOutweighed says what was seen in a bead that outweighs its looks.
func (a *app) tellOutweighed(weld procedures.Weld) {
	if weld.Outcome.Cracked() {
		a.printf("a crack: none passes, whatever its size and however the bead looks, so it counts as no good one and proves nothing. What to do: beadwright remedy --from %s\n", weld.Mark)
	}
	if weld.Outcome.Unfused() && weld.Outcome.Rating > 2 {
		a.printf("not melted in: it counts as no good one, however it looks, until a coupon made so was bent or broken and held. What to do: beadwright remedy --from %s\n", weld.Mark)
	}
}
