package caution

import "sync"

// use is what the piece was plainly said to be for.
type use struct {
	coupon    bool // practice coupons
	ornament  bool // a toy, an ornament, a thing for show
	furniture bool // a table, a shelf, a fire pit
}

// statements are the phrases that state a use, and those that take it back.
type statements struct {
	coupon, ornament, furniture matcher

	undo    matcher // up to three words before: "not a toy"
	done    matcher // anywhere: practice is over
	onPart  matcher // anywhere: the practice is on the part itself
	load    matcher // in the stated use: it carries, tows, lifts or rides
	vehicle matcher // anywhere: a vehicle is meant after all
}

var stated = sync.OnceValue(func() statements {
	return statements{
		coupon: newMatcher(`coupon, practice, scrap piece, on ~ scrap, piece of scrap`,
			`from|using|with|of|out ~ scrap, from|using|with|of ~ piece of scrap, common|best|good|usual practice, scrap yard`),
		ornament: newMatcher(`toy, art, artwork, sculpture, statue, ornament, decoration, decorative, decor, lawn|garden|pedal|doll cart, scale model, model of|train|railway|railroad|ship|kit
			trophy, wind chime, weathervane, birdhouse, bird feeder|house, candle holder, candlestick, doorstop, door stop, bookend, paperweight, costume, stage|movie|film prop`,
			`toy hauler|box, art car, model a|t, state of ~ art, martial art`),
		furniture: newMatcher(`@object, mailbox, bookend`,
			`@vehicle|truck|trailer|dump|flat|loft|bunk bed, @vehicle seat|door|rack|bench|box|window|stand, roof|ladder|bike|headache|hitch rack, camper|trailer table`),
		undo:   newMatcher(`not, no, isnt, never, nothing, than, without, arent, skip, skipped, skipping, after, instead, beyond, done, finished, enough, past`, ``),
		done:   newMatcher(`passed, already practice|done|welded, practice done|finished|over, real|actual thing|one|part|piece, for real`, `before ~ real|actual thing|one|part|piece`),
		onPart: newMatcher(`practice on`, `practice on ~ scrap|coupon|offcut|strip|plate|flat, practice on ~ flat bar, practice on piece of scrap|plate`),
		load: newMatcher(`tow, towing, towed, pull, pulling, haul, hauling, lift, lifting, hoist, hoisting, carry, carrying, carried, pulled, lifted, load, loaded, ride, riding, rider, drive, driving
			road, street, highway, race, racing, person, people, passenger, hang, hanging, hold, holding, support, suspend, winch, winching, heavy, real, jack`,
			`wall|plant hanging, nothing|not is|be|gets towed|pulled|lifted|carried, not|no|nothing|never tow|towing|pull|lift|lifting|load|carry|carrying|ride|riding|drive|driving|road`),
		vehicle: newMatcher(`@vehicle, @flying, trailer, door|hinge|lock|windscreen pillar, pinch weld, rocker panel, lug nut for|on ~ wheel`, `toy|model|miniature @vehicle|trailer, toy|model|scale @flying`),
	}
})

// useOf reads the use. Practice coupons may be said anywhere; a harmless use
// only in the stated use, with no word there of a load, and no vehicle anywhere.
func useOf(r Request, text []token) use {
	s := stated()
	var u use
	u.coupon = s.say(s.coupon, text) && !s.done.in(text) && !s.onPart.in(text)
	purpose := read(r.For)
	if s.load.in(purpose) || s.vehicle.in(text) {
		return u
	}
	u.ornament = s.say(s.ornament, purpose)
	u.furniture = s.say(s.furniture, purpose)
	return u
}

// say reports whether a use is said, and never taken back.
func (s statements) say(m matcher, text []token) bool {
	said := m.places(text, false)
	return len(said) > 0 && !near(text, said, s.undo.places(text, false), nil)
}
