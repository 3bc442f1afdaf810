package caution

import (
	"sync"

	"beadwright/procedures"
)

// topic is one thing to look out for.
type topic struct {
	key     string
	level   Level
	lift    lift
	coating procedures.Coating // the coating of a job that brings it up; "" for none
	match   matcher
	hush    matcher // words anywhere that make it needless; never on a stop
	meant   matcher // words anywhere by which one word means the harmless thing
	settled string  // a topic that says it better
}

// lift says what may turn a stop into a lesser caution.
type lift int

const (
	never     lift = iota // nothing does
	bare                  // the coating is off
	coupon                // practice coupons
	ornament              // coupons, or a plain statement that it is a toy or an ornament
	furniture             // the same, or that it is furniture
)

// topics lists every topic, the most serious first.
var topics = sync.OnceValue(func() []topic {
	stop := func(key string, l lift, dangers, ordinaries string) topic {
		return topic{key: key, level: Stop, lift: l, match: newMatcher(dangers, ordinaries)}
	}
	coated := func(c procedures.Coating, dangers, ordinaries string) topic {
		return topic{key: string(c), level: Stop, lift: bare, coating: c, match: newMatcher(dangers, ordinaries)}
	}
	lesser := func(key string, l Level, dangers, ordinaries, hush string) topic {
		return topic{key: key, level: l, match: newMatcher(dangers, ordinaries), hush: newMatcher(hush, ordinaries)}
	}
	paint := lesser("paint", Care, paintWords, paintOrdinary, "")
	paint.coating, paint.lift = procedures.Paint, bare
	whichFrame := lesser("which-frame", Defer, "frame", frameOrdinary, "@object, trailer, @vehicle")
	whichFrame.settled = "frame"
	whichGate := lesser("which-gate", Defer, "lift gate", "", "")
	whichGate.settled = "lifting"
	whichHSS := stop("which-hss", never, hssWords, steelOrdinary)
	whichHSS.settled, whichHSS.meant = "steel", newMatcher(hollowWords, "")
	return []topic{
		stop("weapon", never, weaponWords, weaponOrdinary),
		stop("container", never, containerWords, containerOrdinary),
		stop("pressure", coupon, pressureWords, pressureOrdinary),
		stop("solvent", never, solventWords, solventOrdinary),
		stop("wet", never, wetWords, wetOrdinary),
		stop("breaker", never, breakerWords, breakerOrdinary),
		stop("roll-cage", coupon, cageWords, cageOrdinary),
		stop("seat", coupon, seatWords, seatOrdinary),
		stop("suspension", furniture, suspensionWords, suspensionOrdinary),
		stop("frame", furniture, frameWords, frameOrdinary),
		stop("hitch", ornament, hitchWords, hitchOrdinary),
		stop("held-up", coupon, heldUpWords, heldUpOrdinary),
		stop("tire", never, tireWords, tireOrdinary),
		stop("wheel", furniture, wheelWords, wheelOrdinary),
		stop("lifting", ornament, liftingWords, liftingOrdinary),
		coated(procedures.Cadmium, cadmiumWords, coatingOrdinary),
		coated(procedures.LeadPaint, leadWords, coatingOrdinary),
		coated(procedures.Galvanized, zincWords, coatingOrdinary),
		coated(procedures.Chrome, chromeWords, coatingOrdinary),
		coated(procedures.OtherCoated, platedWords, coatingOrdinary+platedOrdinary),
		stop("steel", never, steelWords, steelOrdinary),
		whichHSS,
		lesser("people", Defer, peopleWords, peopleOrdinary, ""),
		lesser("building", Defer, buildingWords, buildingOrdinary, ""),
		lesser("trailer", Defer, trailerWords, trailerOrdinary, ""),
		lesser("confined", Defer, confinedWords, "", ""),
		whichFrame,
		whichGate,
		lesser("bed-rail", Care, bedRailWords, bedRailOrdinary, ""),
		lesser("vehicle", Care, vehicleWords, vehicleOrdinary, ""),
		paint,
		lesser("flammable", Care, flammableWords, "", ""),
		lesser("fire", Care, fireWords, "", ""),
		lesser("indoors", Care, indoorsWords, indoorsOrdinary, ""),
		lesser("gear", Care, gearWords, "", ""),
	}
})

// found reports whether the words or the job bring the topic up.
func (t topic) found(text []token, j procedures.Job) bool {
	said := t.match.in(text)
	switch {
	case t.coating != "" && j.Coating == t.coating:
		said = true
	case t.key == "steel" && (j.SteelGroup == "OUT" || j.SteelGroup == "unknown"):
		said = true
	}
	if t.key == "which-hss" && j.Steel == "a500-b" {
		return false
	}
	return said && !t.hush.in(text) && !t.meant.in(text)
}
