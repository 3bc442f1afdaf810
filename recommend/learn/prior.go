package learn

import "math"

// Prior standard deviations of the effects, in ln units (0.10 is about 10 %). Design choices tuned on a simulator.
const (
	sdCommon           = 0.08
	sdMachineMeasured  = 0.08 // knob calibrated
	sdMachineGuessed   = 0.15
	sdSlopeMeasured    = 0.048 // machine slope on x
	sdSlopeGuessed     = 0.08
	sdStateOutput      = 0.20
	sdStateFeed        = 0.08
	sdSpool            = 0.04
	sdUser             = 0.08
	sdJoint            = 0.06
	sdPosition         = 0.06
	sdWire             = 0.05
	sdTap              = 0.06
	sdThickness        = 0.08 // slope on x
	sdTapThickness     = 0.05
	sdBend             = 0.07 // each hat function over x
	sdCell             = 0.07
	sdSession          = 0.05
	sdLive             = 0.10 // today's session
	sdImpute           = 0.06
	passes             = 4
	studentNu          = 4.0
	tossUp             = 0.3    // below this |q| the side of a failure is not known
	ignoredVariance    = 1000.0 // and its observation is given this variance
	explicitSpools     = 8
	referenceIn        = 0.100 // thickness where x = 0
	widenPrior         = 8.0   // rows' worth of belief that the spread is as assumed
	maxWiden           = 1.8
	quantile80         = 1.2816 // 90 % point of the standard normal: half of an 80 % range
	gauge24In          = 0.0239
	gauge16In          = 0.0598
	heatWidth24        = 0.10
	heatWidth16        = 0.15
	balanceWidth       = 0.45
	windowShare        = 0.95
	minRatio, maxRatio = 0.60, 1.65 // suggestion over table
	likeCorrelation    = 0.6
	leverageFloor      = 0.05
	outlierSquare      = 9.0
	exactBeads         = 2000 // up to here every suggestion refits all welds
	voteThreshold      = 0.6
	goodVote           = 0.25
	driftWelds         = 80
	driftBefore        = 4
	driftAfter         = 2
	driftScore         = 2.0
	minCure, maxCure   = 0.05, 0.30
	bracketMargin      = 0.20
	modelMoves         = 0.08
	probeStep          = 0.12
)

// bendKnots are the places in x of the hat functions; beyond the ends the end hat stays at 1.
var bendKnots = [...]float64{-1.3, -0.7, -0.1, 0.5, 1.2}

// logThickness is x = ln(thickness / 0.100 in).
func logThickness(thicknessIn float64) float64 { return math.Log(thicknessIn / referenceIn) }

// halfWindow is the assumed half width, in ln units, of the range of wire speeds that weld well on a thickness in inches:
// 0.093 at 24 gauge and thinner, 0.135 at 16 gauge and thicker.
func halfWindow(thicknessIn float64) float64 {
	u := min(1, max(0, (thicknessIn-gauge24In)/(gauge16In-gauge24In)))
	heat := heatWidth24 + (heatWidth16-heatWidth24)*u
	return windowShare / math.Sqrt(1/(heat*heat)+1/(balanceWidth*balanceWidth))
}

// bend returns the two hat functions that are not zero at x and their weights, which add to 1.
func bend(x float64) (lower int, wLower, wUpper float64) {
	last := len(bendKnots) - 1
	switch {
	case x <= bendKnots[0]:
		return 0, 1, 0
	case x >= bendKnots[last]:
		return last - 1, 0, 1
	}
	for x > bendKnots[lower+1] {
		lower++
	}
	u := (x - bendKnots[lower]) / (bendKnots[lower+1] - bendKnots[lower])
	return lower, 1 - u, u
}

// pull tells how a rated weld is read: the best setting lies about a windows from it on the side of the cure, give or
// take s windows.
func pull(rating int8) (a, s float64) {
	switch rating {
	case 5:
		return 0.25, 0.85
	case 4:
		return 0.80, 1.10
	case 3:
		return 1.80, 1.35
	case 2:
		return 2.70, 1.60
	}
	return 4.00, 2.20
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
