package caution

import "sync"

// unfamiliar is said of a stated use that no list knows: no list is complete,
// and the welder knows what hangs on the part.
var unfamiliar = Caution{
	Level:   Care,
	Key:     "unknown-use",
	Text:    "I don't know that part. If it holds a person up, holds pressure, tows, lifts, or was ever shut with something in it, stop here and take it to a shop.",
	Instead: "Otherwise a plainer word for what it is helps me: a shelf, a gate latch, a table.",
	Source:  []string{"CP"},
}

// familiar are the uses that are plainly harmless, and the words that put them
// in doubt.
type familiar struct{ harmless, doubt matcher }

var homely = sync.OnceValue(func() familiar {
	return familiar{
		harmless: newMatcher(`castor|caster|cart|wagon wheel|bracket|plate, bike|bicycle rack|stand|hook, latch, hinge, shelf, shelf bracket, bracket for ~ shelf, knob, drawer|door|cabinet handle|pull, hose reel|hanger, boot scraper|rack|tray, trivet, fire poker, tong, jig, fixture, template, clamp, vise|vice stand|mount|base
			coat|hat|key|towel|plant|flower|tool|hose|pan|pot|wall|broom|rake hook|rack|hanger|stand|holder|pole, house number, nameplate, name plate, edging, border, obelisk, pot stand, grate, pizza oven, toast rack, soap dish, bottle opener, pencil|pen|phone holder|stand|cup
			fence, gate, grille, grill, hasp, letter box, letterbox, mail box, bird bath, dog bowl, tool tray, tray, cover plate, face plate, vent cover, drip pan, ash pan, welding|weld table|cart|screen|booth, cupboard, footing form, log holder, wood bin, compost
			kennel, trough, stall, hutch, feeder, wagon, basket, bucket holder, knife|axe|hammer|wrench rack|holder|block, hanger, curtain rod, flag|light|candle holder, robot, rose, flower, figurine, dragon, headlight|license|horn bracket|plate, downspout, ice scraper
	fender, exhaust, muffler, tailpipe, floorpan, quarter panel, body panel, patch panel, door skin, wheel arch|well, mower deck, sheet metal, machine guard
			fun, learning, learn, test, test piece|plate, testing, trying, class, homework, school, exercise, nothing, gift, hobby`, ``),
		doubt: newMatcher(`tow, towing, towed, pulling, pulled, haul, hauling, lift, lifting, lifted, hoist, winch, ride, riding, rider, drive, driving, road, race, racing, passenger, person, people, sealed, shut, tractor, loader, boat, bike|bicycle|kayak|canoe|ski|roof|ladder|cargo rack + @motor`,
			`not|no|nothing|never ~ tow|towing|pull|lift|lifting|ride|riding|drive|driving|road|person|people`),
	}
})

// aboutUse are the topics that say what a part is for; the others are about its
// metal or what surrounds it.
var aboutUse = map[string]bool{
	"people": true, "building": true, "trailer": true, "which-frame": true, "which-gate": true,
	"roll-cage": true, "seat": true, "suspension": true, "frame": true, "hitch": true, "held-up": true, "wheel": true, "lifting": true, "pressure": true,
}

// strange reports whether a use is stated that nothing here knows.
func strange(purpose []token) bool {
	said := false
	for _, t := range purpose {
		said = said || t.word != wall
	}
	if !said {
		return false
	}
	for _, t := range topics() {
		if aboutUse[t.key] && t.match.in(purpose) {
			return false
		}
	}
	s, h := stated(), homely()
	known := h.harmless.in(purpose) || s.say(s.coupon, purpose) || s.say(s.ornament, purpose) || s.say(s.furniture, purpose)
	return !known || h.doubt.in(purpose)
}
