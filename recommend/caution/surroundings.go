package caution

// The words of coatings, and of metals that no table here is for.

const cadmiumWords = `cadmium, cad plated|plate|plating|coated|coating, cadplated`

const leadWords = `lead ~ paint|painted|primer|based|coated|plated|coating, leaded, red lead, terne, leadpaint`

const zincWords = `galvanized, zinc, galvalume, hot dip|dipped, hdg, emt, conduit, electrogalvanized, sherardized
	chain link, chainlink, spangle, spangled, shiny silver, silver fence|post|pipe|tube|tubing|duct, ductwork, ducting, corrugated roof|roofing|metal|steel|sheet|panel`

const chromeWords = `chrome, chromium`

const platedWords = `
	plated, plating, electroplated, coated, coating, clad, anodized, anodised, teflon, ptfe, nonstick, non stick, chromate, phosphated
	unknown|mystery|strange|odd|some|unidentified ~ finish|film|layer, nickel|tin|silver|gold plate|finish, yellow|gold passivate|passivated`

const coatingOrdinary = `
	not|non|no|isnt|never|without|arent galvanized|zinc|cadmium|chrome|chromium|plated|plating|coating|coated|leaded, no|not|without lead ~ paint|painted
	chrome|chromium moly|molybdenum|molly|vanadium|steel, chrome|chromium|zinc|cadmium|lead free
`

const platedOrdinary = `
	zinc|cad|cadmium|chrome|chromium|galvanized|lead plated|coated|plating|coating, copper plated|coated ~ wire|tip|electrode|rod, copper plated|coated
	coating of rust|dust|oil|paint|scale, hot dip|dipped ~ coating|coated, flux|powder|epoxy|primer|paint|rust|oil|wax|scale|slag|spatter coated|coating, armor|armour plated`

const paintWords = `paint, painted, primer, primed, powder coat|coated|coating, powdercoat, powdercoated, epoxy, enamel, enameled, lacquer, varnish, bedliner, undercoating`

const paintOrdinary = `
	paint marker|pen|stick|later|after|afterwards|can, paint it|them later|after, not|no|never|isnt|without painted|paint|primer, will be painted, to be painted
	lead ~ paint|painted, lead based ~ paint, paint removed|stripped|off|gone, removed|stripped|sanded ~ paint, ground off ~ paint, paint ground off`

const steelWords = `
	cast iron|steel|aluminum|part|housing|handle|bracket|leg|piece|metal|block|body|base, castiron, casting, grey|gray|ductile|malleable|nodular iron
	cylinder head, engine block, exhaust manifold, stainless, inox, ss, 304, 304l, 316, 316l, 409
	aluminum, alu, alloy wheel, 6061, 5052, 6063, 7075, titanium, copper, brass, bronze, magnesium, zamak, pot|white metal, die cast, diecast, nickel alloy|silver, pewter
	spring steel, springsteel, leaf|coil|valve|torsion|extension spring, garage door spring, torsion bar, tool steel, toolsteel, high speed steel, drill rod, silver|boron|manganese steel
	chrome|chromium vanadium, hacksaw|saw|mower|lawnmower|plow blade, hardened, case hardening, heat treated, quenched, ar400, ar500, armor|armour plate|plated, abrasion resistant
	grade 5|8 bolt|nut|stud|hardware, bolt|nut grade 5|8, high strength|tensile bolt|steel, ball bearing, bearing race, crankshaft, camshaft, railroad|rail spike|track, rail steel, carbide
	blade, flywheel, axe, hatchet, tomahawk, adze, splitting maul|wedge, hammer|sledge|maul|pick head, sledge hammer, jackhammer, pickaxe, mattock, knife, machete, sword, dagger, katana, scythe, sickle, bayonet, chisel, crowbar, pry bar
	gear, sprocket, pinion, rack pinion, pto, spline, splined, keyed|output|input|countershaft shaft, gearbox housing|case|casing|cover|bracket, gearbox, transmission|bell|diff|differential|axle|clutch|turbo housing|case|casing, bellhousing
	vise|vice body|jaw|repair|crack, cracked|broken|broke ~ vise|vice, skillet, dutch oven, anvil, drill|router|tool|jackhammer|auger bit, end|endmill mill, reamer, hole saw, lathe tool|bit, plowshare, ploughshare, harrow, cultivator, tine, conrod, connecting rod, piston, pistonrod
	unknown|mystery|unidentified|unspecified|random ~ steel|metal|alloy|grade|material|stock, steel|metal|grade|alloy is unknown, unknown steel|metal|alloy|grade
	not|no|dont|isnt|unsure|never ~ sure|know|idea|clue|certain .. steel|metal|alloy|material|grade, what kind|type of steel|metal is|it, what|which steel|metal|alloy is`

const steelOrdinary = `
	not|non|no|isnt|never|arent|without stainless|aluminum|cast|hardened|copper|brass|bronze|titanium|spring, stainless|brass|bronze ~ brush|wheel|hammer|clamp|ruler
	stainless wire brush|wheel, aluminum|copper|brass ~ backing|backer|spoon|heatsink|heat|chill|block|bar|foil|tape|oxide|strip, aluminum|copper|brass backed|behind
	copper plated|coated|clad, copper tip|lead|cable|conductor|wire|lug|nozzle, hardened slag
	fan|windmill|turbine|wind|wiper|propeller|putty|squeegee blade, blade guard|cover|holder|rack|storage|shelf|stand, blade of grass, with|using|by ~ blade|knife|chisel|hammer|axe|crowbar, with|using ~ cold chisel
	knife|axe|hatchet|sword|chisel|machete|hammer|crowbar|sledgehammer|bit|gear|skillet|anvil rack|holder|stand|block|magnet|shelf|hanger|hook|box|organizer|storage|case|display|bag|tray|bench|locker, knife edge|switch, putty knife, chisel test|marker
	rack|holder|stand|block|shelf|hanger|hook|box for ~ knife|axe|hatchet|sword|chisel|machete|hammer|crowbar|sledgehammer|skillet|anvil|gear, drill bit rack|holder|stand|box|organizer|storage|shelf
	welding|my|safety|protective|fishing|camping|hunting|hockey|sport|rain|winter|ski|wet|dry|right|work|outdoor|garden|diving|riding|turnout gear, gear is|are wet|damp|dry|on, gear shape|shaped|logo|design|clock, landing gear, toy knife|sword|axe|gear|anvil|hammer
	stand|stump|base for ~ anvil, rust|paint ~ removed with, wooden|toy|costume|prop|foam sword|axe|knife, vise|vice jaw cover|pad, sledge push`

const hssWords = `hss`

// hollow are the words, anywhere, by which hss is hollow section.
const hollowWords = `hollow, tube, tubing, section, a500, rectangular, square, rhs, shs, chs`

const bedRailWords = `
	bed frame|rail ~ angle|iron, bedframe|bedrail ~ angle|iron, angle|iron|steel .. bed frame|rail, angle|iron|steel .. bedframe|bedrail, angle|iron + bedframe
	from|reused|salvaged|scavenged|scrap ~ bed frame|rail, from|reused|salvaged|scavenged|scrap ~ bedframe|bedrail, out of ~ bed frame|rail, out of ~ bedframe, t post, tpost`

const bedRailOrdinary = `@vehicle|trailer bed frame|rail, plain|new ~ angle ~ for ~ bed frame`

// The words of where the work is, and of what is about it.

const confinedWords = `
	confined space, crawl space, crawlspace, manhole, in ~ pit|trench|manhole|hole|tunnel|attic|closet|bilge|culvert, inside ~ tank|pipe|duct|culvert|tunnel|container|vessel|hull|pit|trench|hole|well|cistern|silo|bin, manure|slurry|septic|sump|inspection|mechanic pit, grain bin|silo
	no ventilation|airflow`

const vehicleWords = `
	@motor, auto body|part|repair, body panel|work|shop, bodywork, floorpan, fender, quarter panel, exhaust, muffler, tailpipe, catalytic, downpipe, tailgate
	door skin, wheel well|arch, trunk floor, battery tray, running board, skid plate, roof rack, patch panel`

const vehicleOrdinary = `toy|model @motor, tool|shop|cable car, car port, pickup tool, magnetic|guitar pickup, exhaust fan|hood|duct`

const flammableWords = `
	degreaser, solvent, thinner, acetone, mineral spirit, paint stripper, alcohol, carb|parts|contact cleaner, nonchlorinated, non chlorinated
	gasoline, petrol, diesel, kerosene, lighter fluid, penetrating oil, oily, greasy, grease`

const fireWords = `
	hay, straw, barn, sawdust, wood shop, woodshop, wooden|wood floor|wall|bench, carpet, upholstery, headliner, insulation, foam, cardboard, dry grass|leave
	over|under|behind|near|against ~ trim|wood|plastic|wall|wiring, trim|wood|plastic|wiring behind|under|near`

const indoorsWords = `
	indoors, indoor, basement, cellar, garage, shed, workshop, apartment, bathroom, small|closed|tight room|space|shop, door|window closed|shut, closed door|window, no fan, poor ventilation
	inside ~ house|shop|barn|building`

const indoorsOrdinary = `garage|shed door|shelf|rack|roof|latch|hinge`

const gearWords = `
	sunglass, no|without|forgot|old|cracked|broken|scratched|borrowed ~ helmet|hood|mask|lens|shade|goggle|glove|jacket|apron|boot, torn|holed|worn|thin ~ glove|jacket|sleeve, hole in ~ glove|jacket|boot
	polyester, nylon, fleece, shorts, short sleeve, t|tee shirt, tshirt, tank top, sandal, flip flop, frayed|cracked|worn|damaged|split ~ lead|cord|cable|insulation|clamp|plug
	eye closed|shut, close ~ eye, flash burn, arc eye, sunburn`
