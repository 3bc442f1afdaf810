package caution

// The words of what carries, holds back, steers or lifts people and loads.

const cageWords = `rollcage, rollbar, rollover bar|hoop|cage|protection, roll over bar|hoop|cage, roll hoop|structure, rops, cage + @motor, halo bar, harness bar`

const cageOrdinary = `anti rollbar, dog|bird|rabbit|chicken|animal|light|bulb|lamp|garden|fruit|tomato|bottle cage`

const seatWords = `
	seatbelt, belt anchor|anchorage, harness mount|anchor|bolt, seat + @vehicle, @vehicle bench seat, bench seat .. @motor, passenger|driver|bucket|captain seat, child|baby|booster|infant|car|race|racing seat, airbag
	seat mount|bracket|rail|track|frame|riser|base|slider|bolt`

const seatOrdinary = `bench|stool|bar|chair|toilet|valve|swing|window seat`

const suspensionWords = `
	suspension, steering, control|trailing|pitman|idler|rocker|radius arm, swingarm, swing arm, wishbone, tie|track rod, ball joint, drag link
	sway|panhard|torsion|track bar, anti rollbar, anti roll bar, leaf|coil spring, spring perch|hanger|shackle, shock mount|tower|bracket|absorber
	strut tower|mount|bracket|brace, strut|knuckle|spindle|rim|hub|wheel|brake|spring + @vehicle
	a arm, aarm, axle, wheel hub|rim|stud|spindle, drive|prop|propeller|half shaft, driveshaft, driveline, cv joint
	brake drum|rotor|disc|disk|caliper|pedal|bracket|mount|lever|shoe|arm, drum|disc|disk|parking brake
	handlebar, handle bar, @vehicle fork, fork tube|crown, lift|lowering kit, throttle|clutch pedal`

const suspensionOrdinary = `
	press|sheet|metal|bending|finger brake, sheet metal brake, brake|break cleaner|clean|cleanser|line, swing arm lamp|light, axle stand
	wheel dolly|chock, a arm for|of|on ~ lamp|light|robot|@object, buffing|grinding|wire|flap|cutting|caster|castor wheel, firepit rim, spring steel`

const frameWords = `
	frame + @vehicle, @vehicle frame, @vehicle bed|door|window|seat|roof|rack|bench|box frame, flatbed frame, chassis, subframe, unibody, uni body, monocoque, @flying
	frame on a|my|the|our|his|her, @year .. frame, frame .. @year
	frame rail|horn|notch|damage|crack|cracked|rust|rot|rotted|rusted|repair|patch, cracked|crack|rusted|rusty|rotted|rotten|bent|broken|broke .. frame
	frame is|was|has ~ cracked|crack|broken|rusted|rotted|bent, repair|repairing|patch|patching|fix|fixing|boxing|notching .. frame, c notch
	crossmember, cross member, engine mount|cradle, motor|transmission|gearbox|body|cab mount + @vehicle, transmission mount
	a|b|c|d|door|hinge|lock|windscreen pillar, pinch weld|seam, motor mount, door hinge|striker|latch + @motor, sub floor + @motor
	rocker panel, pillar + @vehicle, windshield|windscreen pillar, vehicle structure, crash bar|structure, crumple zone
	bumper, bull|nerf bar, rock slider, torque box, trailer frame|chassis|crossmember|hanger|outrigger, frame of a|my|the|our trailer`

const frameOrdinary = `
	@object frame, frame of|for|to|on ~ @object, frame on ~ wall|floor|ground|porch|deck, framing square, machine|climbing frame, handtruck, rubber|door|wall|chair bumper, bumper sticker
	a pillar of|candle|drill|lamp|light, a pillar for|in|at ~ porch|gate|garden|mailbox|lamp|candle|fence|house|entrance, build|make|making|building|like|for a pillar
	electric|stepper|servo|wiper|treadmill|grinder|fan|lathe|saw|cnc|gate|belt|mill|drill|sander|conveyor|printer|washer|pump|blower|garage motor mount, toolbox|cabinet|cupboard|garage|shed|house|barn|oven|stove door hinge|latch|striker
	motor mount for|on|of|to ~ grinder|fan|lathe|saw|cnc|gate|belt|mill|drill|sander|conveyor|printer|pump|blower|rotisserie|smoker|mixer
	model|toy|paper|scale @flying, @flying sculpture|weathervane|toy|model`

const hitchWords = `
	hitch, receiver, tow, tow hook|point|ring|eye|strap|rope|chain|ball|plate, towing, towed, towbar, drawbar, draw bar, pintle, gooseneck, fifth|5th wheel, fifthwheel, kingpin, king pin, ball mount
	trailer ball|tongue|coupler|coupling|jack|axle, tongue|coupler|coupling + trailer, recovery point|hook|strap|eye|ring, d ring
	tongue, pull|pulling|haul|hauling|drag|dragging ~ boat|stump|trailer|camper|log|tree|plow|harrow|@motor, boat|trailer|camper|@motor ~ pulled|towed|hauled, stump puller
	trailer hook|attach|couple|connect|latch|clip|fasten ~ on|onto|to|up, hook|hooking|attach|attaching|couple|coupling|connect|connecting|join|link ~ trailer|boat|camper|caravan to|onto|on|behind, lunette, hook|hooking up ~ trailer|boat|camper, winching, winched, snatch strap|block, strap|rope|winch point, rope|winch|cable|guy|tree|ground anchor
	tie down point|ring|anchor|bracket|loop|hook, three|3 point arm|link|linkage|implement|attachment|bar|blade, 3pt, threepoint, winch, push bar, plow|plough|snowplow mount`

const hitchOrdinary = `
	tongue and|n groove, tongue groove|depressor|twister, shoe|boot tongue, clove|half|rolling hitch, without ~ hitch, hitching post, gooseneck lamp|light, binder d ring
	air|av|audio|stereo|radio receiver, receiver tank, tow piece|sheet|inch|tube`

const liftingWords = `
	hoist, hoisting, hoisted, crane, derrick, davit, gantry, sling, rigging, shackle, clevis, turnbuckle, chain, lifting
	lift hook|point|eye|arm|strap|lug|ring|beam, car|post|scissor|boom|man|stair|chair|patient|engine|motor|transmission|log|deer|tail|bike|@motor|mower|boat|trailer|pallet lift
	lift gate + @motor, liftgate + @motor, hook + lift|engine|suspend|hang, crane|hoist|grab|slip|winch|cargo|bucket hook
	jack|axle stand, floor|bottle|scissor|trolley|car|farm|screw|house|transmission|tractor jack, high|hi lift jack, jack|jacking point|pad
	@motor ramp, wheel|loading|load ramp, engine stand|puller|leveler|sling, cherry picker, come along, comealong, block and tackle, pulley|snatch block
	jack, lift|lifting|raise|raising|hoist ~ engine|motor|transmission|gearbox|load|log|deer|boat|beam|hive|@motor, ramp for ~ mower|@motor, ramp to drive|ride, drive on|up ramp, landing gear
	bucket + tractor|loader|backhoe|excavator|skidsteer|digger, quick attach, skidsteer|loader plate|attachment|implement, bucket tooth|teeth|lip|edge, grapple, boom
	eye bolt, eyebolt, pad eye, padeye, spreader bar, gin|boom pole, crane boom, loader|excavator bucket, pallet|loader fork, load binder, zip line
	man|personnel|forklift|work|crane basket, bucket truck, elevator, dumbwaiter, dumb waiter, lift table|platform, log|skidding|lifting|timber|grab tong
	fall arrest, climbing|harness anchor, anchor point, hang|hanging .. engine|motor`

const liftingOrdinary = `
	phone|audio|headphone|ethernet|wall|speaker|guitar|stereo|input|output jack, jack o lantern, jack lantern, jackolantern, jack plane|rabbit|russell|pot, son|friend|buddy|uncle|brother|dad|neighbor|neighbour jack
	bucket holder|rack, microphone|mic|camera|sail boom, sonic boom, boom box, lift ~ motor current, toy|model|scale|rc|doll @motor ramp
	chain link ~ fence|fencing|gate|panel|post|mesh, bike|bicycle|roller|key|daisy|supply|timing|rain chain, chain guard|saw|mail|intermittent|stitch
	chain of bead|weld|spot|tack, edge lifting, lifting off|edge|away, weight lifting, cnc|printer|plasma|router|laser|camera gantry, spring shackle`

const heldUpWords = `
	jack post|column, lally, telepost, tele post, floor|building|steel prop, shoring, shore post, adjustable ~ post|column, floor jack post, @motor stand, stand|crib|cribbing|block|support for|under ~ @motor|engine|transmission|mower|axle
	hold|holding|held|prop|propping|propped|keep|keeping|support|supporting up ~ @motor|house|floor|beam|joist|porch|roof|ceiling|engine|wall|deck|mower|trailer|boat
	hold|holding|prop|propping|keep|keeping|raise|raising|put|get|getting|set|jack|jacking ~ @motor|house|floor|beam|porch|roof|ceiling|engine|mower|trailer|boat ~ up|off
	while i|im|we|he|she|you|they|someone|somebody|people|dad|mechanic .. under|underneath|beneath, so .. crawl|work|get|lie|slide|go|roll|fit under|underneath|beneath
	can|could|to crawl|work|get|lie|slide|go|roll|fit|be under|underneath|beneath ~ it|@motor|mower|machine|trailer|boat, crawl|crawling|working|lying|sliding|wrenching under|underneath|beneath ~ @motor|trailer|boat|mower
	stand|block|support|trestle to put|set|rest|park|hold|raise ~ @motor|engine
	keep|keeping|stop|stopping .. falling|dropping|coming on|down, oil change ramp|stand, inspection ramp|stand`

const heldUpOrdinary = `
	while i|im|we|he|she|you|they ~ weld|welding|grind|grinding under|underneath|beneath, while i|im|we|he|she|you|they am|are|was|were|is weld|welding|grind|grinding under|underneath|beneath, toy|model|scale|rc|doll|display @motor stand, toy|model|scale @motor, stand for ~ model|toy|rc @motor, weld|welding work under
	keep|stop ~ spatter|spark|slag|bead|puddle|leave|rain|snow falling|dropping|coming, toolbox|tool|phone|tv stand, bus stand, scooter stand`

const tireWords = `tire, inner tube, innertube, bead breaker`

const tireOrdinary = `
	tire carrier|mount|bracket|rack|stand|shelf|swing|hook|holder|planter|gauge|iron|lever|off|removed|gone|table|storage, no|without|remove|removed|took off ~ tire, tire is|are|was off|removed|gone
	toy|model tire, rack|shelf|stand for ~ tire, pneumatic tire caster|castor`

const wheelWords = `wheel, lug nut|bolt|stud, wheel spacer|adapter|adaptor|nut|bolt|stud, wheelspacer, tire|car|truck|steel|alloy|mag rim, hub adapter|adaptor|spacer, beadlock, bead lock, cracked|crack|bent|broken|weld|fix|repair rim, rim crack|repair|is ~ cracked|bent|broken`

const wheelOrdinary = `
	cart|wagon|caster|castor|barrow|toy|dolly|trolley|bin|planter|gate|garden|toolbox|smoker|bbq|grill|mower|lawnmower|hand|valve|water|spinning|potter|pottery|hamster|training|idler|fortune|model|fifth|5th|ship|door|jockey wheel
	wire|flap|grinding|grind|cutting|cut|off|cutoff|buffing|polishing|sanding|abrasive|grinder|knotted|brush|roll|hoe|cup|twist|diamond|sand|fiber|stone|bench|band|bandsaw|feed|drive|pinion|cog|gear|ratchet|paddle|ferris wheel
	wheel barrow|hoe|guard|chock|dolly|well|arch|tub|house|base|line|stop|of, on|with|has|no|without|four|4|two|2|three|3|small|rubber|plastic|swivel|locking wheel
	wheel for|on|of|to|under ~ @object|planter|toy|bin|smoker, wheel bracket|mount|plate|fork for|on|of|to ~ @object, stepper|gear|cog wheel, wheel ornament|clock|art`

// The words of what needs a permit, an engineer or one more answer.

const peopleWords = `
	people|person|someone|kid|child|children|crowd above|below|under|underneath|beneath, above|below|under|over ~ people|person|kid|child|children|head|crowd|bed|walkway|sidewalk
	hold|carry|support|holding|carrying|supporting ~ person|people|man|kid|child|weight|adult, stand|stood|sit|sat|climb|climbing|jump|walk on ~ it
	i|we|he|she|you|they|kid|child|someone|somebody|people .. hang|swing|climb|stand|sit|lean|sleep from|on|in
	playground, play ground, swing, swingset, monkey bar, jungle gym, climbing frame|wall, treehouse, tree|deer|hunting stand, hammock, trampoline
	squat|power rack, weight bench|rack, pull|chin up bar, bunk|loft bed, high chair, crib, wheelchair, step stool
	chair, stool, bench, bed, bedframe, sofa, couch, futon, cot, recliner, throne, cradle, walker, crutch, cane, walking stick|frame, prosthetic, prosthesis, gurney, stretcher, mobility, saddle
	bike, bicycle, ebike, trike, tricycle, recumbent, unicycle, tandem, handcycle, sled, sleigh, skateboard, skate ramp, longboard, foot peg|rest|board, footpeg, footrest, sissy|grab|dip|pullup|chinup bar, kick|center|side stand + @vehicle, kickstand
	bench press, gym, rack press, dip station, dance pole, trapeze, basketball hoop|goal|net, hoop, soccer|hockey|football|lacrosse goal
	tv|television|monitor|projector|speaker|microwave mount|bracket|arm|hanger, over|above ~ door|doorway|entrance|entry|porch|driveway|street|couch|sofa|table|counter|bar|stage, hang|hanging|hung .. sign|light|chandelier|heater|projector, sign|chandelier .. hang|hanging|hung
	chandelier, pot rack, heavy sign
	ladder, scaffold, overhead|ceiling rack|shelf|mount|storage, hang|hanging|hung|suspended from ~ ceiling|roof|joist|beam, heavy|punching bag, bleacher, grandstand`

const peopleOrdinary = `
	swing arm|gate|door|out|open, gate|door swing, doll|toy|dollhouse|model|cat|dog|pet|bird chair|bed|bench|sofa|couch|bike|bicycle|sled|tricycle, chair rail, rocker|seat|bed cover
	on|at|from|to|off|under|against|my|near ~ bench, bench vise|vice|grinder|top|dog|drill|plate|clamp|height|saw|sander|hook, benchtop, welding|work|shop|tool|test|potting|garage|saw|vise|grinder|planting|reloading bench
	bench for ~ welding|tool|grinder|vise|vice|shop|saw|potting, flower|raised|garden|plant|vegetable|lathe|machine|printer|print|river|planting|@vehicle|trailer bed, raised ~ bed, bed of ~ @vehicle|trailer|coal, bed rack|liner|extender|side|bolt
	bike|bicycle rack|stand|hook|hanger|holder|storage|shed|bell|basket|lock|parking|chain|mount|gear, candy|sugar cane, hula|quilt|embroidery|barrel|garden|row|greenhouse|basket|earring hoop, hoop house
	rack|stand|hook|hanger|holder|storage|shed for ~ bike|bicycle|skateboard|sled|chair, chair|skateboard|sled|stool rack|hook|hanger|holder, plant|flower|planter ~ stool|chair, saddle rack|stand|holder, pipe|weld|tube|copper saddle
	over|above ~ door hook|hanger|rack, toad|milking stool, walking floor, home gym, gym floor|bag, dog|fence walker, cable saddle, saddle stitch`

const buildingWords = `
	pillar, greenhouse, polytunnel, hoop house, mast, flag|light|totem|antenna pole, windmill, wind turbine, solar panel|rack|mount|frame|array, radio|antenna|ham|lookout|water|bell|wind|tv tower
	building, stair, staircase, stairway, stairwell, handrail, railing, guardrail, guard|stair|grab|deck|porch rail, grab bar, banister, bannister, baluster, newel
	balcony, deck, porch, front|back|concrete step, stair landing, joist, beam, girder, lintel, rafter, truss, purlin, support|steel column, load bearing, foundation
	roof, carport, car port, pergola, pavilion, gazebo, awning, canopy, mezzanine, catwalk, walkway, platform, gangway, dock, pier, bridge, footbridge
	fire escape, retaining wall, ramp, guard, pool|security fence|gate, window|burglar bar, balustrade, support|structural post, storm shelter, bollard, flagpole`

const buildingOrdinary = `
	mower|tape|skate deck, deck of ~ mower, guard dog, deck of card, laser|light|balance beam, roof rack, steering column, bridge the|a|that|over gap, bridge rectifier, rectifier bridge
	skate|skateboard|bmx|trailer|dog|pet|chicken|toy|model|wheelbarrow|bike|mower|motorcycle|atv|current|amp|slope ramp, ramp of|on|for ~ trailer, ramp up|down|for ~ skateboard|dog|chicken, greenhouse shelf|table|heater|vent|fan|latch|hook|bench
	toy|model|garden|miniature|ornamental|decorative windmill|greenhouse|bridge|pillar, pillar candle|drill, camera|mast head pole, light pole toy, solar panel cleaner
	chain|brush|skid|mud|splash|spatter|finger|blade|belt|grinder|machine|saw|heat|hand|wheel guard`

const trailerWords = `trailer, caravan, toy|car hauler, horse box`

const trailerOrdinary = `trailer park, toy|model trailer`
