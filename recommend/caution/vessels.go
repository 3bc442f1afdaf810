package caution

// The words of what can explode, burst, burn, poison or shock. What is said of the
// purpose never takes these stops away, but for lines under pressure, on which
// practice coupons may be asked for.

const weaponWords = `
	bomb, pipebomb, grenade, explosive, detonator, landmine, molotov, firework, firecracker, gunpowder, black|smokeless powder, ammunition, ammo, bullet, warhead, thermite
	firearm, handgun, pistol, rifle, shotgun, revolver, musket, machine gun, zip gun, slam fire, gun barrel|receiver|part|trigger|frame, lower|upper receiver, firing pin, auto sear, muzzle
	suppressor, silencer, solvent trap, cannon, mortar tube, flamethrower, flame thrower, potato|spud|bb|pellet|air|pneumatic gun|launcher, rocket launcher|engine|motor|nozzle, launch tube
	weapon, crossbow, brass knuckle, knuckle duster, kill|hurt|stab|shoot ~ him|her|them|someone|somebody|people|neighbor|neighbour`

const weaponOrdinary = `
	bath|cherry|seed bomb, exhaust|car|motorcycle|engine|generator|lawnmower|mower silencer, surge|noise|spark|arc suppressor, dog muzzle, muzzle for ~ dog, air gun|pneumatic nozzle
	toy|model|scale|ornament|ornamental|decorative|garden|lawn|dummy|miniature cannon, cannon ball|ornament, ammo can|box, cannon photo|picture
	gun|rifle|shotgun|pistol|ammo|bullet rack|case|rest|stand|cabinet|holder|shelf|target|trap|storage|locker, target for ~ rifle|pistol|shotgun, rack|case|stand|holder|shelf for ~ rifle|shotgun|pistol, rifle|pistol|shotgun shooting target`

const containerWords = `
	tank, tanker, drum, barrel, keg, canister, cylinder, reservoir, silo, vat, vessel, septic, container, boiler, water heater
	jerry|gas|fuel|petrol|diesel|kerosene|gasoline|propane|oil|paint|spray|solvent|thinner|aerosol can, jerrycan, jerrican, aerosol
	gas|gasoline|propane|oxygen|acetylene|argon|co2|nitrogen|helium|lpg bottle, fuel cell, fuel filler, filler neck, oil pan|sump
	sealed|capped|plugged|closed|airtight tube|tubing|pipe|box|can|end, sealed shut|up, both end ~ sealed|capped|plugged|closed|shut
	sealed|capped|plugged|closed at|on both end, cap|plate .. both end, cap both end, trapped air, air trapped, airtight, air tight
	pontoon, float, buoy, carburetor float|bowl, gas|fuel|petrol|filler|radiator cap, fuel|gas|petrol filter|pump|rail|sender, fuel|gasoline|propane|oil|septic|vacuum truck|bowser, bowser
	dumbbell|kettlebell|barbell|tube|tubing|pipe|leg|ball|hollow|box .. filled, filled ~ dumbbell|kettlebell|barbell|tube|pipe|leg|ball, sand|shot|water|oil|lead filled ~ dumbbell|kettlebell|barbell|tube|pipe|leg|ball
	sealed dumbbell|kettlebell|barbell|sphere|ball|chamber|float|weight|leg|handle|hull, hollow ball|sphere|globe|float, weld|welded|weld ~ shut, seal both end, weld ~ both end
	air receiver, accumulator, shock absorber, gas strut|spring|shock, hydraulic jack|ram, extinguisher shell|body|smoker|bottle, old|empty|spent ~ extinguisher
	gas|fuel|petrol smell|fume|vapor|vapour|leak|residue, smell of|like gas|fuel|petrol|gasoline|diesel
	leaking|leaked|spilled gas|fuel|petrol|gasoline|diesel, gasoline|petrol|diesel inside|soaked|residue|spill
	soaked|washed|cleaned|rinsed in|with gasoline|petrol|diesel|kerosene
	held|contained .. gas|fuel|oil|petrol|gasoline|diesel|kerosene|chemical|solvent|propane|grease|tar
	used to|for hold|store|holding|storing .. gas|fuel|oil|petrol|gasoline|diesel|kerosene|chemical|solvent|propane|grease|paint`

const containerOrdinary = `
	cart for ~ gas|oxygen|acetylene|argon|nitrogen|co2 bottle|cylinder, cart for ~ cylinder, gas|oxygen|acetylene|argon|nitrogen|co2 bottle|cylinder cart, cylinder cart
	wine|whiskey barrel rack, fish tank, think tank, toy|model|army tank, tank tread, wearing|wore|wear ~ tank top, tank top shirt
	drum brake, brake drum, snare|bass|kick drum, drum kit|set|stick|throne|sander
	barrel hinge|bolt|nut|lock, hinge barrel, lock|door cylinder, cylinder lock|head, shipping|plant container, boiler plate|suit
	parade|carnival|bull|concrete|hand|mag|rootbeer|beer float, float valve arm|rod|bracket, float switch|glass|charger|shelf, slag|puddle|bead|pool|weld|arc float, float up|out|off|away|to|on|ball
	filled with|in ~ weld|wire|bead|flux, box filled with ~ tool|wood|firewood|plant, gas|fuel pump rack|shelf|display, pipe rack filled
	paint|spray|oil can rack|shelf|holder|opener|storage, rack|shelf|holder|storage for ~ paint|spray|oil can`

const pressureWords = `
	pressure vessel|tank|pot|pipe|line|cooker|chamber|piping|fitting, pressurized, high pressure, under pressure, autoclave
	air receiver|tank|reservoir|compressor|line|pipe|manifold, compressor tank, compressed air line|tank|pipe|system
	oxygen|acetylene|propane|nitrogen|argon|co2|helium|lpg|butane|scuba tank|bottle, gas bottle, cylinder, boiler
	steam line|pipe|vessel|engine|chest, hydraulic, accumulator, water heater, expansion tank, heat exchanger, radiator
	gas|propane|lpg|fuel|brake|oil|refrigerant|coolant|clutch line, gas|propane pipe|main|piping|manifold, natural gas, refrigerant
	gas|propane|lpg|butane burner|firepit|grill|bbq|heater|stove|fireplace|forge|ring, firepit + propane|gas|lpg
	gas strut|spring|shock, shock absorber, water main, sprinkler pipe|line, extinguisher, nitrous, n2o
	sandblast|sandblaster|blast|blasting|blaster|paint|pressure pot, sand blast|blaster|blasting pot, pot blaster, pneumatic, air cannon|ram|bag|ride|brake|spring, airride, moonshine still
	oil|transmission|trans cooler, ac|aircon|conditioner|conditioning|refrigeration|fridge|refrigerator|freezer line|coil|condenser|evaporator|compressor|fitting|hose, a c line|coil|condenser|evaporator|compressor|fitting|hose
	pressure|power washer, log|wood splitter, logsplitter, woodsplitter, shop press, h frame press, ton press, propane burner|fitting|regulator|manifold, intercooler, pump housing`

const pressureOrdinary = `
	cart for ~ gas|oxygen|acetylene|argon|nitrogen|co2 bottle|cylinder, cart for ~ cylinder, gas|oxygen|acetylene|argon|nitrogen|co2 bottle|cylinder cart, cylinder cart
	boiler plate|suit, air compressor cart|stand|shelf|bracket|table, lock|door cylinder, cylinder lock|head
	extinguisher bracket|holder|mount|hook|stand|cabinet|box|near|nearby|handy|ready|beside|next|in|by|at|close|within|here|and, with|have|got|keep|keeping ~ extinguisher, fire extinguisher near|nearby|handy|ready|beside|next|in|by|at|close
	pressure|power washer cart|stand|rack|shelf|holder|hook|hose, ac line voltage|cord|power|current, paint pot shelf|rack|holder, pneumatic tool|wheel|caster|castor|tire
	manual|kindling log|wood splitter, log|wood splitter table|tray|shelf|stand, air bag|brake jack stand, shelf|cart|bracket|holder|stand for ~ extinguisher
	radiator cover|shelf|bench, hydraulic hose reel, fuel|brake|gas line moved|removed|clear|covered, moved|removed ~ fuel|brake|gas line`

const solventWords = `
	brake|break cleaner|clean|cleanser, brake|break part|parts cleaner, brakecleaner, chlorinated, trichloroethylene, tetrachloroethylene, perchloroethylene, trichloroethane
	trichlor, tce, perc, perchlor, methylene chloride, dichloromethane, methyl chloroform, carbon tet|tetrachloride, chlorine solvent, vapor|vapour degreaser`

const solventOrdinary = `
	non|not chlorinated, non|not chlorinated ~ brake|break cleaner|clean, nonchlorinated brake|break cleaner|clean
	brake|break cleaner|clean non chlorinated, brake|break cleaner|clean nonchlorinated`

const wetWords = `
	wet, damp, moist, sweaty, sweating, dripping|soaked with|in sweat, rain, raining, rained, rainy, drizzle, drizzling, snowing, flooded, underwater, under water, barefoot, bare feet|foot
	standing|stood|stand|kneeling|sitting in|on .. water|puddle|mud|snow, standing water, puddle of water, water puddle, in ~ snow|sleet|hail
	water on|over|across .. floor|ground|concrete|slab, floor|ground|slab|concrete full of water
	soaked|dripping|sweating .. glove|shirt|boot|shoe|clothes, glove|shirt|boot|shoe|clothes soaked|dripping
	lying|laying on|against ~ work|workpiece|metal|steel, lying|laying on .. floor|ground|concrete|grass|slab`

const wetOrdinary = `
	wet out|into|well|nicely|smoothly|evenly, wet in nicely|well|smooth|smoothly, toe|bead|puddle|edge|side|pool|weld|sidewall wet, wet toe|edge
	not|didnt|doesnt|wont|dont|never|hardly wet, not damp|raining|moist, no rain|water|puddle, wet rag|towel|cloth|sand|sanding|sanded|sandpaper
	rain gutter|gauge|guard|cap|cover|collector|chain|barrel|shield, out of ~ rain, rain tomorrow|yesterday
	bead|weld|rope ~ lying|laying, bead|weld|rope is|was lying|laying`

const breakerWords = `
	bigger|larger|upsized|oversized|oversize|heavier ~ breaker|fuse, bigger|larger|heavier 20|25|30|40|50 amp|a breaker|fuse
	bigger|larger|heavier 20a|20amp|25a|30a|30amp|40a|50a breaker|fuse, upsized .. breaker|fuse
	breaker|fuse .. upsized|oversized|bypassed|jumpered, breaker|fuse is|was|got|to|for|with ~ bigger|larger|swapped|upgraded
	swap|swapped|change|changed|replace|replaced|upgrade|upgraded|jumped ~ breaker|fuse, bypass|bypassed|defeat|defeated|jumper|jumpered .. breaker|fuse|gfci|gfi
	gfci|gfi .. bypassed|removed|defeated, put|installed|fitted ~ 25|30|40|50 amp|a breaker|fuse, put|installed|fitted ~ 25|30|40|50 in + breaker, bigger|larger one in .. panel|box
	25|30|40|50 amp|a breaker|fuse .. 15|20 amp|a circuit|outlet|wire|wiring|receptacle, 25|30|40|50 amp|a breaker|fuse .. 12|14 gauge|ga|awg wire|wiring
	25a|30a|30amp|40a|50a breaker|fuse .. 15a|20a|15amp|20amp circuit|outlet|wire|wiring|receptacle
	can|could|should|may i|we .. 25|30|40|50 amp|a breaker|fuse, can|could|should|may i|we .. 25a|30a|30amp|40a|50a breaker|fuse
	penny|nail|foil|coin in|behind|for|around .. fuse
	cheater plug|cord|adapter|pin, cheater, suicide cord|cable|plug, three|3 prong .. two|2, 3|three to 2|two prong|pin, two|2 prong adapter|adaptor, ground lift
	cut|cutting|snapped|broke|broken|remove|removed|bent|filed|missing|pulled|no|without .. ground|earth|third pin|prong
	ground|earth|third pin|prong .. cut|off|gone|missing|removed|broken|snapped, filed|twisted|modified ~ plug|prong
	20|20a|20amp plug .. 15|15a|15amp, 20 amp|a plug .. 15|15a|15amp, adapter|adaptor .. dryer|stove|range outlet|plug|socket
	15|20|30 to 15|20|30 .. adapter|adaptor, adapter|adaptor .. 15|20|30 amp|a|outlet|plug
	bypass|bypassed|jumper|jumpered|defeat|defeated|disconnect|disconnected .. thermal|overload|thermostat|cutout
	warm|hot|melted|scorched|burnt|burned outlet|receptacle, warm|melted|scorched|burnt plug|cord, hot|warm extension cord
	plug|outlet|receptacle|cord get|got|getting|is|was|feel|felt|running|ran warm|hot|melted`

const breakerOrdinary = `plug weld, no bigger ~ breaker, not|never upsized`
