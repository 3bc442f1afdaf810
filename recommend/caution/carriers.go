package caution

// The words of what carries, holds back, steers or lifts people and loads.

const cageWords = `rollcage, rollbar, rollover bar|hoop|cage|protection, roll over bar|hoop|cage, roll hoop|structure, rops, cage + @motor, halo bar, harness bar`

const cageOrdinary = `anti rollbar, dog|bird|rabbit|chicken|animal|light|bulb|lamp|garden|fruit|tomato|bottle cage`

const seatWords = `
	seatbelt, belt anchor|anchorage, harness mount|anchor|bolt, seat + @vehicle, @vehicle bench seat, child|baby|booster|infant|car|race|racing seat, airbag
	seat mount|bracket|rail|track|frame|riser|base|slider|bolt`

const seatOrdinary = `bench|stool|bar|chair|toilet|valve|swing|window seat`

const suspensionWords = `
	suspension, steering, control|trailing|pitman|idler|rocker|radius arm, swingarm, swing arm, wishbone, tie|track rod, ball joint, drag link
	sway|panhard|torsion|track bar, anti rollbar, anti roll bar, leaf|coil spring, spring perch|hanger|shackle, shock mount|tower|bracket|absorber
	strut tower|mount|bracket|brace, strut|knuckle|spindle|rim|hub|wheel|brake|spring + @vehicle
	axle, wheel hub|rim|stud|spindle, drive|prop|propeller|half shaft, driveshaft, driveline, cv joint
	brake drum|rotor|disc|disk|caliper|pedal|bracket|mount|lever|shoe|arm, drum|disc|disk|parking brake
	handlebar, handle bar, @vehicle fork, fork tube|crown, lift|lowering kit, throttle|clutch pedal`

const suspensionOrdinary = `
	press|sheet|metal|bending|finger brake, sheet metal brake, brake|break cleaner|clean|cleanser|line, swing arm lamp|light, axle stand
	wheel dolly|chock, buffing|grinding|wire|flap|cutting|caster|castor wheel, firepit rim, spring steel`

const frameWords = `
	frame + @vehicle, @vehicle frame, @vehicle bed|door|window|seat|roof|rack|bench|box frame, flatbed frame, chassis, subframe, unibody, uni body, monocoque, @flying
	frame on a|my|the|our|his|her, @year .. frame, frame .. @year
	frame rail|horn|notch|damage|crack|cracked|rust|rot|rotted|rusted|repair|patch, cracked|crack|rusted|rusty|rotted|rotten|bent|broken|broke .. frame
	frame is|was|has ~ cracked|crack|broken|rusted|rotted|bent, repair|repairing|patch|patching|fix|fixing|boxing|notching .. frame, c notch
	crossmember, cross member, engine mount|cradle, motor|transmission|gearbox|body|cab mount + @vehicle, transmission mount
	rocker panel, pillar + @vehicle, windshield|windscreen pillar, vehicle structure, crash bar|structure, crumple zone
	bumper, bull|nerf bar, rock slider, torque box`

const frameOrdinary = `
	@object frame, frame of|for|to|on ~ @object, frame on ~ wall|floor|ground|porch|deck, framing square, machine|climbing frame, handtruck, rubber|door|wall|chair bumper, bumper sticker
	model|toy|paper|scale @flying, @flying sculpture|weathervane|toy|model`

const hitchWords = `
	hitch, receiver, tow, tow hook|point|ring|eye|strap|rope|chain|ball|plate, towing, towed, towbar, drawbar, draw bar, pintle, gooseneck, fifth|5th wheel, fifthwheel, kingpin, king pin, ball mount
	trailer ball|tongue|coupler|coupling|jack|axle, tongue|coupler|coupling + trailer, recovery point|hook|strap|eye|ring, d ring
	tie down point|ring|anchor|bracket|loop|hook, three|3 point arm|link|implement, 3pt, winch, push bar, plow|plough|snowplow mount`

const hitchOrdinary = `
	clove|half|rolling hitch, without ~ hitch, hitching post, gooseneck lamp|light, binder d ring
	air|av|audio|stereo|radio receiver, receiver tank, tow piece|sheet|inch|tube`

const liftingWords = `
	hoist, hoisting, hoisted, crane, derrick, davit, gantry, sling, rigging, shackle, clevis, turnbuckle, chain, lifting
	lift hook|point|eye|arm|strap|lug|ring|beam, car|post|scissor|boom|man|stair|chair|patient|engine|motor|transmission|log|deer|tail|bike|@motor|mower|boat|trailer|pallet lift
	lift gate + @motor, liftgate + @motor, hook + lift|engine|suspend|hang, crane|hoist|grab|slip|winch|cargo|bucket hook
	jack|axle stand, floor|bottle|scissor|trolley|car|farm|screw|house|transmission|tractor jack, high|hi lift jack, jack|jacking point|pad
	@motor ramp, wheel|loading|load ramp, engine stand|puller|leveler|sling, cherry picker, come along, comealong, block and tackle, pulley|snatch block
	eye bolt, eyebolt, pad eye, padeye, spreader bar, gin|boom pole, crane boom, loader|excavator bucket, pallet|loader fork, load binder, zip line
	fall arrest, climbing|harness anchor, anchor point, hang|hanging .. engine|motor`

const liftingOrdinary = `
	chain link ~ fence|fencing|gate|panel|post|mesh, bike|bicycle|roller|key|daisy|supply|timing|rain chain, chain guard|saw|mail|intermittent|stitch
	chain of bead|weld|spot|tack, edge lifting, lifting off|edge|away, weight lifting, cnc|printer|plasma|router|laser|camera gantry, spring shackle`

// The words of what needs a permit, an engineer or one more answer.

const peopleWords = `
	people|person|someone|kid|child|children|crowd above|below|under|underneath|beneath, above|below|under|over ~ people|person|kid|child|children|head|crowd|bed|walkway|sidewalk
	hold|carry|support|holding|carrying|supporting ~ person|people|man|kid|child|weight|adult, stand|stood|sit|sat|climb|climbing|jump|walk on ~ it
	playground, play ground, swing, swingset, monkey bar, jungle gym, climbing frame|wall, treehouse, tree|deer|hunting stand, hammock, trampoline
	squat|power rack, weight bench|rack, pull|chin up bar, bunk|loft bed, high chair, crib, wheelchair, step stool
	ladder, scaffold, overhead|ceiling rack|shelf|mount|storage, hang|hanging|hung|suspended from ~ ceiling|roof|joist|beam, heavy|punching bag, bleacher, grandstand`

const peopleOrdinary = `swing arm|gate|door|out|open, gate|door swing`

const buildingWords = `
	building, stair, staircase, stairway, stairwell, handrail, railing, guardrail, guard|stair|grab|deck|porch rail, grab bar, banister, bannister, baluster, newel
	balcony, deck, porch, front|back|concrete step, stair landing, joist, beam, girder, lintel, rafter, truss, purlin, support|steel column, load bearing, foundation
	roof, carport, car port, pergola, pavilion, gazebo, awning, canopy, mezzanine, catwalk, walkway, platform, gangway, dock, pier, bridge, footbridge
	fire escape, retaining wall, ramp, guard, pool|security fence|gate, window|burglar bar, balustrade, support|structural post, storm shelter, bollard, flagpole`

const buildingOrdinary = `
	mower|tape|skate deck, deck of ~ mower, guard dog, deck of card, laser|light|balance beam, roof rack, steering column, bridge the|a|that|over gap, bridge rectifier, rectifier bridge
	chain|brush|skid|mud|splash|spatter|finger|blade|belt|grinder|machine|saw|heat|hand|wheel guard`

const trailerWords = `trailer, caravan, toy|car hauler, horse box`

const trailerOrdinary = `trailer park, toy|model trailer`
