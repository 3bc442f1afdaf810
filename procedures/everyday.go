package procedures

// everyday are words of everyday and shop speech that lie one slip of the keyboard
// from a word of a symptom, a sign or a trouble, and are none: "overhead" is not
// "overheat". They were picked from a list of English words by the rule of [alike];
// a word that stands in a phrase needs no place here.
const everyday = `accidental incident adaptor rafter rafters around aground balcony beacon beautifully bedside slacken blacker blindly blaster bluster
	bracken racket beaker bleaker brighten brightest frighten righter slighter brownie brunch aught thicken chilli cleanly cleanse incompletely completer cackle
	cater scrawl crisply trumpet rumple curst currant currency currently deference differently indifference inference indifferent discover discovery distention adrift drippings
	electrify electrode electrodes electron electronic electronics electrically electrician electricians electrolyte energies expansion extensive extrusion faintly finer firewood
	fatten flatter flattery slicker clutter fluster freeze freezer frozen galvanic garbage greatly utter airline hairpin hearth hesitant conclusion exclusion illusion incision
	inclusive infusion intrusion injuries inflation insulator isolation irregularly jointly blight flight flighty lightly plight slight mental arrow nicely nickle umber lumber overcharge
	overhand overhaul overhung overland overcoat overeat overhead overhear overheard overlay generation perfectly prefect persona elastic bookmark powder powdery proudly quarterly quartet
	breach preach regularly regulate preset resent restate cripple roughly rotund roundly shortly shortest sightseeing liver silver silvery molder solder smoothie smoothly sooth soothe
	shoulder soundly sparkle patter scatter shatter spotter swatter speckle platter splinter splutter squatter spilt splint putter startle steadied instead straighten straighter
	strengthen strongly strongest scrounger stranger strangely strangler stringer stringers stringier stroller tumble shutter sunburnt witch thermally thorough thoroughly trough thrown tightly total trial
	transform transport transporter struck truckle sunder undercoat underrate uppercut uninformed uselessly wader waiter waster eight eighty weigh weighs wight elder whenever wherever whomever bookworm woodwork
	chips crank cracker stone stove spade spoke spoken sparse charge range large strange string strings`
