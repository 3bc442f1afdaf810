package procedures

import (
	"strings"
	"sync"
)

// Trouble is something said that is not the look of a bead: a danger, or a
// question of the bench in everyday words. What to do about it stands in
// recommend/remedy. (Which words name which is common practice, no source.)
type Trouble struct {
	Key     string
	Grave   bool   // a danger: it is answered before anything else is heard
	Symptom string // the symptom that it is as well; "": none
	Words   []string
}

// Troubles returns every trouble known, the gravest first.
func Troubles() []Trouble {
	var all []Trouble
	for _, t := range troubles() {
		if t.Key != "" {
			all = append(all, t)
		}
	}
	return all
}

// FindTrouble returns the trouble with that key.
func FindTrouble(key string) (Trouble, bool) {
	for _, t := range Troubles() {
		if t.Key == key {
			return t, true
		}
	}
	return Trouble{}, false
}

// troubles are in the order in which they are told. Words with | between stand for
// either. A phrase in quotes is heard word for word, since it lives on the small
// words that are left out of others. Those of no key name nothing: they take
// their words away, so that a fire pit is no fire. "Lean to stopping" is the rule
// for the grave ones.
var troubles = sync.OnceValue(func() []Trouble {
	return []Trouble{
		{"", true, "", ways(`"fire pit|place|wood|ring|box|brick|bricks|bowl|blanket|extinguisher|wall|watch|escape|truck|hydrant|grate|poker", "fire|fires|fired|firing up", "fire it up", "flame cut|cutting|cutter", "spark plug|plugs|arrestor", "plug weld|welds|welding|welded|joint|joints|flat|horizontal|vertical|overhead", "flat|horizontal|vertical|overhead plug", "smoke stack|stacks|house|detector|screen", "smoke alarm", "by accident"`)},
		{"gas-smell", true, "", ways(`smell|smells|smelled|smelling|smelt gas|propane|gasoline|petrol|lpg, gas|propane leak|leaks|leaking|leaked, "gas|propane is hissing", "rotten eggs|egg"`)},
		{"person-down", true, "", ways(`"passed|pass|passing out", fainted, "he|she|somebody|someone|buddy|friend|dad|son collapsed", unconscious, electrocuted, seizure, bleeding, "not breathing|breathe", "stopped breathing", "can't|cannot|cant|couldn't breathe", hard breathe|breathing, short|shortness breath, chest hurts|pain|pains|tight, heart racing|skips|skipped|pounding|stumbles|flutters, "call 911"`)},
		{"fire", true, "", ways(`"fire", caught|catches|catching fire, flame|flames, smoldering|smouldering, smolder|smoulder, glove|gloves|sleeve|shirt|pants|jeans|apron|boot|boots|shoe|shoes|rag|rags|hair|clothes|jacket burning|lit|burns, bench|wood|drywall|plywood|insulation|floor|carpet|cardboard|sawdust|grass|leaves|joist|rafter|stud smoking|smokes|smoked|scorched|charred|glows|glowing, burning|burned up machine|welder`)},
		{"shock", true, "shock", ways(`shock|shocks|shocked|shocking, tingle|tingles|tingling, zap|zaps|zapped|zapping, jolt|jolted|jolts, "bit|bites|buzzed|buzzes|tickles|tickled me", "feel|feels|felt current|electricity|power", "feel|felt it in my", electricity hand|hands|arm|fingers|table, hand|arm|fingers numb, live case|table|frame|cabinet`)},
		{"live-wire", true, "", ways(`wire|tip|gun|nozzle|torch live, wire|tip|gun hot|energized after|off|without trigger, "still|always|stays live|energized", spark|sparks|sparked touch|touched|touching wire|gun|tip, arcs touch|touched|touching wire|gun|tip, "spark|sparks|arcs when|if|before i touch", arcs|arc|sparks|spark|arcing|starts before|without|after trigger, trigger stuck, "won't|wont shut|turn off", "won't|wont|doesn't stop feeding", "keeps feeding|going|running|coming after|when i let", "after i let go|off", run|runs|running|feeds|feeding after|without trigger`)},
		{"plug", true, "", ways(`outlet|outlets|plug|socket|receptacle|cord|extension|prong|prongs|adapter hot|warm|melted|melting|smokes|smoke|smoking|sparks|sparked|sparking|arcs|arcing|burnt|burned|burning|scorched|brown|black|blackened|sizzles|crackles|glows|glowing|smell|smells|soft|discolored|loose|warms|bang, plastic melted|melting, breaker hot|warm|smells|buzzes|buzzing|smokes|smoking|sizzles|melted, breaker box|panel hot|warm|smells|buzzes|smoke|burnt|sparks,
			"outlet|outlets|plug|socket|receptacle buzzes|buzzing|buzzed|hums|humming", "buzzing|humming|popping outlet|plug|socket|receptacle", "outlet|socket|receptacle pops|popped|popping|bubbled", plug|cord|insulation bubbled|frayed|fried, bubbles cord|insulation,
			"cracked|split|bare cord|plug|outlet|receptacle|socket|insulation", "cord|outlet|receptacle|insulation cracked|split|broken", "cord|outlet|receptacle|insulation is cracked|split|broken|bare", "wall|cover plate hot|warm", "cord has holes",
			wall warm|smells|smokes, insulation melted|melting|burnt|burned, cable|lead smokes|smoke|smoking|melted|melting|burnt`)},
		{"machine-smoke", true, "", ways(`machine|welder|transformer|cabinet|vents|electrical smokes|smoke|smoking|smoked|smoky|glows|glowing|sparks|sparked|sparking|stinks|fire|bang, smell|smells|smelled|smelling, stink|stinks|reeks, odor, acrid, "burning|burnt|burned|hot|melting rubber|plastic|varnish", transformer|rectifier|diode burnt|fried|cooked, "hissing|popping|crackling|sizzling|banging|noise inside|in the machine|welder|case|cabinet", magic smoke, "popped loud|loudly", "one loud|big pop|boom", "loud|big boom", machine|welder popped|pop|boom|bang died|dead|quit, smoke inside|case, "out of the back", loud bang, went|big bang, machine|welder blew up`)},
		{"charge", true, "", ways(`discharge|discharging|drain|draining|bleed|short|shorting capacitor|capacitors|cap|caps, open|opened|opening case|cabinet|cover, "take|took|taking the case|cover|lid off", "inside the case|cabinet"`)},
		{"capacitor", true, "", ways(`capacitor|capacitors|electrolytic popped|pop|pops|popping|burst|bursts|bulging|bulged|bulges|swollen|swelled|leaking|leaks|leaked|blew|blown|exploded|explode|hot|vented|venting|hissing|smokes|smoke|bang|cracked|split|fire|fluid|oozing|gone|bad, cap|caps popped|burst|bulging|bulged|swollen|leaking|leaked|blew|exploded|vented|oozing`)},
		{"gfci", true, "", ways(`gfci, gfi, rcd, rcbo, elcb, afci, ground fault, earth leakage, reset button outlet|popped|trips, outlet trips|tripped|tripping, "test reset"`)},
		{"eyes", true, "", ways(`arc|welder|weld flash|flashed, flash burn|burns, arc eye|eyes, flashed eye|eyes|myself, "got|getting|been flashed", "flashed me", eye|eyes hurt|hurts|hurting|sore|burn|burns|burning|burned|gritty|sand|sandy|watering|red|sting|stings|stinging|ache|aches|itch|swollen|pain, vision|sight blurry|blurred|spots|blind|gone|worse, "can't|cant|cannot|couldn't see good|well|right|straight|clearly|today", see|seeing spots, blind spot`)},
		{"eye-grit", true, "", ways(`eye|eyes spark|sparks|ember|splinter|flake|something|metal|slag|grit|chip|sliver|speck|dust|bb|poked|scratched|stuck`)},
		{"hood", true, "", ways(`helmet|hood|lens|visor not|never|no dark|darken|darkens|darkening|darker, helmet|hood|lens|visor not work|working, helmet|hood|lens|visor stopped|quit darkening|working, helmet|hood|lens|visor stays|stayed light|clear, helmet|hood|lens|visor dark|darkens late|slowly, helmet|hood|lens|visor slow|late dark|darken, helmet|hood|lens|visor flicker|flickers|flickering|flickered|blinks|dead, helmet|lens|visor cracked|broken|broke, helmet|hood battery|batteries, "without a|my|the helmet|hood|mask", "no helmet|hood|mask", sunglasses, shade 5|3|4`)},
		{"fumes", true, "", ways(`sick, headache|headaches, head hurts|aches|hurting|pounding, metal|metallic taste|tastes|tasting, metal|fume fever, "taste|tasting|tastes metal|sweet", fever, chills, shivering, shivers, nausea|nauseous|nauseated, dizzy, dizziness, lightheaded, light headed, throat hurts|sore|burns|burning|scratchy, cough|coughing, threw|throw|throwing up, vomit|vomited|vomiting, puke|puked|puking, "the flu", lungs hurt|burn|tight, breathed|inhaled|breathing zinc|galvanized|fumes|smoke|fume, "welded galvanized|galvanised|galv|zinc", "welded on|over galvanized|galvanised|galv|zinc", galvanized|galvanised|galv|zinc smoke|smoked|smokes|fumes|mistake, wheezing, woozy`)},
		{"burn", true, "", ways(`burn|burned|burnt|burns|burning hand|hands|finger|fingers|skin|myself|thumb|wrist|palm, "burned|burnt|burn|burns my leg|face|arm|arms|foot|feet|neck|ear|toe|lap|lip|nose|chest|back|knee|belly", "burned|burnt|burns me", blister|blisters|blistered hand|hands|finger|fingers|arm|skin, sunburn|sunburned, spatter|slag|spark|bb boot|boots|shoe|shirt|ear|skin, "grabbed|touched|picked hot|the|a|it hot|weld|bead|up|metal|steel|piece|part"`)},
		{"hurt", true, "", ways(`hurt|injured|injury, cut|cuts hand|hands|finger|fingers|thumb|myself, accident, emergency`)},
		{"wet-machine", true, "", ways(`machine|welder|plug|outlet|cord wet|soaked|rained|rain|flooded|flood|dripping, "standing in water", "in the rain", raining, "wet floor", "floor is wet"`)},

		{"", false, "", ways(`"hold an arc", "hold the arc", "hot|cold rolled|roll", "hot dip|dipped", "hot pass|passes", "cold saw|chisel|galvanizing|galvanized|galv|spray", "cold|hot|warm out|outside|outdoors|hands|fingers|feet|water", "hands|fingers|feet cold|hot", "hands|fingers|feet were|are|got|too|so cold|hot",
			"wide|wider|narrow|narrower|big|small gap|groove|vee|root", "gap|groove|root too wide|narrow|big|small", "gap|groove|root is|was wide|narrow|big|small", "gap|groove|root is|was too wide|narrow|big|small"`)},
		{"fell-off", false, "lack-of-fusion", ways(`weld|bead|bracket|shelf|tab|hinge|gusset fell|fallen|falls|falling off|apart, weld|bead came|comes apart|loose, weld|welds broke|breaks|broken|failed|tore|ripped|snapped|separated|gave, fell|came|broke|comes|falls apart, gave way, "weld|bead|joint|it|tack let go", failed in use, "it|piece|part|joint|bracket broke|snapped", broke dropped|bent|bending, "bend|break|hammer|coupon|test|coupons broke|failed|snapped", failed bend|break|hammer test, "fell off", pretty|nice|good|great|perfect|beautiful but broke|breaks|snapped|failed|fell, tack|tacks broke|popped|snapped|break`)},
		{"proof", false, "", ways(`strong, strength, stronger, weak weld|bead|joint, "will|would|does|did it|this|that|they hold|break|last|fail", "it holds", "going to hold|break", "gonna hold|break", hold|holds|holding|carry|support|take weight|load|person|people|engine|truck|pounds|lb|lbs, hold|holds|holding|support car, "hold me|up", "how do|can|could i|you|we tell|know", "how will i know", "is it|this good|ok|okay|bad|right", "is it any good", "is the|this|my weld|bead good|ok|okay|bad", "good enough", "did it penetrate|fuse", "trust it|this|the|my|weld|that"`)},
		{"may-i", false, "", ways(`"can|may|could|should i|you|we|it|this weld", "ok|okay|allowed|possible to weld", "how do|can|should|would i|you|we weld", "how to weld"`)},
		{"lights-dim", false, "", ways(`light|lights|lamp|lamps|bulb|led dim|dims|dimmed|dimming|flicker|flickers|flickering|brighter, lights low|down, dim|dims|dimming house|garage|shop, voltage|volts|line|power drops|sags|dips|dropping|sagging, brownout, "brown out"`)},
		{"hums", false, "", ways(`"wire comes|came|feeds|runs out but no arc|spark|weld|sparks", "wire comes|came|feeds but no arc|spark|weld|sparks", hum|hums|humming|buzzes|fan|on|running|runs no arc|spark|sparks|weld|output, feeds|feeding|runs no arc|spark|sparks, but hums|hum|humming, no power tip|gun|clamp|torch, no output|current`)},
		{"fan", false, "", ways(`fan stopped|stops|quit|quits|dead|died|broken|broke|seized|jammed, fan not|won't|wont|doesn't|didn't run|running|spin|spinning|turn|turning|start|working|work, "no fan"`)},
		{"knob", false, "", ways(`"knob|dial don't|dont|doesn't|doesnt do nothing|anything|squat", knob|dial nothing, knob|dial no|not work|working|change|matter|turn|difference|help|effect, knob|dial dead|broken|useless|loose|spins|slips, speed same whatever|anywhere|everywhere|all, wire speed not change`)},
		{"", false, "", ways(`trip|trips|tripped|tripping over, "trip|trips|tripped|tripping on the|a|my", "nothing trips|tripped"`)},
		{"tripped", false, "", ways(`trip, trips, tripped, tripping`)},
		{"dead", false, "", ways(`stopped|quit|quits|stops working, not work|working, "won't|wont|doesn't|will|not turn|come|power|switch on", machine|welder dead|broken|broke|died, totally|completely dead, nothing happens, "no power|lights|life", "it died", "it is|it's dead", "won't|wont run", trigger|switch nothing|dead, trigger not work`)},
		{"smoke", false, "", ways(`smoke|smokes|smoky|smokey|smoking|smoked, fumes, soot, sooty`)},
	}
})

// ways parts the words of a trouble, which stand between commas, and writes out
// what | leaves to choose. Quotes stay on.
func ways(words string) []string {
	var all []string
	for _, phrase := range called(words) {
		quote := ""
		if strings.HasPrefix(phrase, `"`) && strings.HasSuffix(phrase, `"`) && strings.Count(phrase, `"`) == 2 {
			quote, phrase = `"`, strings.Trim(phrase, `"`)
		}
		list := []string{""}
		for _, place := range strings.Fields(phrase) {
			var longer []string
			for _, word := range strings.Split(place, "|") {
				for _, so := range list {
					longer = append(longer, strings.TrimSpace(so+" "+word))
				}
			}
			list = longer
		}
		for _, one := range list {
			all = append(all, quote+one+quote)
		}
	}
	return all
}
