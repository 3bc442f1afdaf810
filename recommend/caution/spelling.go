package caution

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"beadwright/procedures"
)

// spell returns the word that was meant: singular, and mended where it is a
// common misspelling or one slip away from a long word that matters here.
func spell(w string) string {
	w = stem(w)
	if right, ok := misspelt()[w]; ok {
		return right
	}
	n := utf8.RuneCountInString(w)
	if n < 7 || n > 24 || known().holds(w) {
		return w
	}
	for _, long := range longWords()[w[0]] {
		slips := 1
		if len(long) >= 10 {
			slips = 2
		}
		if d := n - len(long); d <= slips && -d <= slips && procedures.Distance(w, long) <= slips {
			return long
		}
	}
	return w
}

// longWords are the words, by first letter, whose every near neighbour is taken
// for them: one slip in 8 or 9 letters, two in 10 and more.
var longWords = sync.OnceValue(func() map[byte][]string {
	m := map[byte][]string{}
	for w := range strings.FieldsSeq(`suspension subframe unibody crossmember driveshaft turnbuckle
		galvanized cadmium stainless aluminum titanium chlorinated nonchlorinated
		trichloroethylene perchloroethylene tetrachloroethylene cylinder reservoir hydraulic pressurized
		acetylene extinguisher refrigerant motorcycle wheelchair staircase playground scaffold
		balcony gooseneck underwater upsized oversized`) {
		m[w[0]] = append(m[w[0]], w)
	}
	return m
})

// misspelt maps common misspellings and other names of one thing to one word.
var misspelt = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for line := range strings.SplitSeq(misspellings, "\n") {
		right, wrong, ok := strings.Cut(line, ":")
		if !ok {
			continue
		}
		for w := range strings.FieldsSeq(wrong) {
			m[stem(w)] = stem(strings.TrimSpace(right))
		}
	}
	return m
})

const misspellings = `
	hitch: hich hitche htich hithc hictch hicth hytch hitsch hith hitck
	receiver: reciever recever reciver receeiver receivor
	suspension: suspention suspencion suspenion suspesion susspension
	steering: stearing steeering steerring sterring steereing
	chassis: chasis chassi chasy chassie chassy chasi chasses chassies
	frame: fram fraim framme frmae farme
	tongue: tounge toung tonge toungue tonuge
	axle: axel axil axlel
	coupler: cupler couplar
	cage: cadge caige
	trailer: trailor tralier trialer trailler traler trailar triler trailier
	vehicle: vehical vehicule vechicle vehicel vehichle veichle
	truck: truk trcuk turck
	motorcycle: motocycle
	bracket: braket brackett braccket
	seatbelt: seetbelt seatblet
	suv: suvs
	hoist: hoyst hoiste
	sling: slign
	chain: chian chane cahin chainn
	hook: hooke hoook
	crane: craine
	shackle: shackel shakle
	winch: wench winche wintch
	clevis: clevise clevice
	tank: tanck tanc takn
	drum: drumm
	barrel: barrell barel barrle berrel
	container: contianer containor contaner conatiner
	canister: cannister canester
	cylinder: cyclinder cylindar cilinder cyllinder clyinder
	reservoir: resevoir resivoir reservior resevior rezervoir
	boiler: boyler
	pressure: presure preassure pressur presssure
	vessel: vesel vessle
	hydraulic: hydralic hydrolic hydrualic hydralics hydraullic hydrolics
	compressor: compresser compresor
	propane: propain propan
	gasoline: gasolene gasolin
	galvanized: galvanised galvinized galvenized galvanzied galvinised galvenised galvanize galvanise galvanizing galvanising galv galvy galvie galvanneal galvannealed a653
	zinc: zink zync
	cadmium: cadmiun cadnium cadimum
	chrome: crome chromed chroem
	plated: platted
	aluminum: alluminum aluminium aluminun alumnium alum alumimum alluminium aluminim aluminuim
	stainless: stainles stanless staineless stainlees staneless
	titanium: titanum
	copper: coppper coper
	hardened: hardend
	unknown: unknow unkown unknwon
	damp: dampp dampened
	rain: rainning
	breaker: braker breeker brekaer
	upsized: upsize upsizing upzised
	chlorinated: clorinated chlorenated
	brake: brak braek
	cleaner: cleener cleanner
	stair: stiar
	railing: railling raling
	ladder: lader laddder
	scaffold: scafold scafolding scaffolding scaffolds skaffold
	balcony: balconey
	playground: playgroud
	coupon: cupon coupan coopon
	practice: practiced practised practise practicing practising pratice practis
	stripped: strippped stripd
	pressurized: pressurised
	sculpture: sculptor sculpure
	wheelchair: wheelchare
	exhaust: exaust exhuast exhast
	muffler: muffeler
	knife: knive
	axe: ax
	tire: tyre tyres tirs
	suppressor: supressor suppresor supresser surpressor suppresser
	silencer: silincer
	muzzle: muzle
	pillar: piller
	wheel: weel wheal
	pontoon: pontune`

// pairs are two words that are one thing, and the word that stands for both.
var pairs = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for line := range strings.SplitSeq(`go kart=gokart, go cart=gokart, dirt bike=dirtbike, mini bike=minibike, pit bike=pitbike,
		golf cart=golfcart, golf car=golfcart, sand rail=sandrail, dune buggy=dunebuggy, motor home=motorhome, motor cycle=motorcycle, motor bike=motorbike,
		fork lift=forklift, skid steer=skidsteer, back hoe=backhoe, wheel chair=wheelchair, quad bike=quadbike,
		snow mobile=snowmobile, hot rod=hotrod, rat rod=ratrod, e bike=ebike, pick up=pickup, semi truck=semitruck,
		fire pit=firepit, wheel barrow=wheelbarrow, work bench=workbench, seat belt=seatbelt, sub frame=subframe, hand truck=handtruck, hand rail=handrail,
		tree house=treehouse, roll cage=rollcage, roll bar=rollbar, tail gate=tailgate, goose neck=gooseneck, tail pipe=tailpipe, floor pan=floorpan`, ",") {
		if two, one, ok := strings.Cut(strings.TrimSpace(line), "="); ok {
			m[two] = one
		}
	}
	return m
})

// class returns the words of a class, parted by spaces.
func class(name string) string {
	switch name {
	case "motor":
		return `car truck pickup van minivan suv vehicle automobile motorcycle motorbike moped scooter atv utv quadbike 4x4 rv
			camper motorhome bus lorry semitruck tractor gokart kart buggy dunebuggy sandrail dirtbike minibike pitbike golfcart
			forklift loader backhoe excavator skidsteer dozer bulldozer snowmobile hotrod ratrod dragster ute racecar crawler 4wd flatbed`
	case "vehicle":
		return class("motor") + ` bike bicycle ebike tricycle trike wheelchair`
	case "year":
		var years []string
		for y := 1940; y < 2040; y++ {
			years = append(years, strconv.Itoa(y))
		}
		return strings.Join(years, " ")
	case "flying":
		return `aircraft airplane aeroplane helicopter ultralight paramotor gyrocopter`
	case "object":
		return `picture photo mirror bed table tabletop desk bench chair stool sofa couch futon door window screen gate fence shelf shelve
			shelving cabinet cupboard cart workbench stand planter greenhouse coop hive loom quilt canva poster glasse eyeglass easel
			bookcase bookshelf tv sign smoker grill bbq barbecue firepit stove saw sawhorse toolbox box rack lamp clock headboard
			cot aquarium trellis arbor hamper locker drawer counter island vanity sink art firewood bin wheelbarrow handtruck dolly`
	}
	return ""
}

// filler are words that may stand inside an everyday phrase.
var filler = sync.OnceValue(func() map[string]bool {
	m := map[string]bool{}
	for w := range strings.FieldsSeq(`a an the my our your his her their some this that these old new small big little large tall low steel
		metal wooden wood garden patio kitchen coffee dining side end night raised simple square glass`) {
		m[stem(w)] = true
	}
	return m
})

// spelled are the words of every pattern, and the pairs that may be written as one.
type spelled struct {
	words map[string]bool
	pairs []element
}

func (s spelled) holds(w string) bool {
	return s.words[w] || slices.ContainsFunc(s.pairs, func(e element) bool { return e.takes(w) })
}

// known are the words that are spelled right.
var known = sync.OnceValue(func() spelled {
	s := spelled{words: map[string]bool{}}
	for _, t := range topics() {
		for _, x := range []index{t.match.danger, t.match.ordinary, t.hush.danger} {
			for _, ph := range x.phrases {
				for _, e := range ph {
					if e.tail != nil {
						s.pairs = append(s.pairs, e)
						continue
					}
					for w := range e.words {
						s.words[w] = true
					}
				}
			}
		}
	}
	return s
})
