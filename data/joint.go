package data

// MinFillet is the least leg of a fillet weld for a band of thickness of the
// thinner part, over Over through Through.
type MinFillet struct {
	OverIn    float64 `csv:"thickness_over_in"`
	ThroughIn float64 `csv:"thickness_through_in,optional"` // 0: no upper end
	LegIn     float64 `csv:"min_leg_in"`
	OverMM    float64 `csv:"thickness_over_mm"`
	ThroughMM float64 `csv:"thickness_through_mm,optional"` // 0: no upper end
	LegMM     float64 `csv:"min_leg_mm"`
	Row
}

// MaxFillet is the largest leg along an edge: the edge's thickness less Less.
type MaxFillet struct {
	FromIn  float64 `csv:"edge_from_in"`           // included
	FromMM  float64 `csv:"edge_from_mm,optional"`  // the same in the metric text, which begins a little sooner; 0: nothing
	BelowIn float64 `csv:"edge_below_in,optional"` // not included; 0: no upper end
	LessIn  float64 `csv:"less_in,optional"`       // taken off the thickness; 0: nothing
	LessMM  float64 `csv:"less_mm,optional"`       // the same in the metric text
	Row
}

// PassLimit is a limit of prequalified procedures with wire processes.
type PassLimit struct {
	Variable string  `csv:"variable"` // electrode-diameter, root-pass, fill-pass, single-pass-fillet, layer-width, root-opening
	Position string  `csv:"position"` // flat, horizontal, vertical, overhead, any
	Weld     string  `csv:"weld"`     // fillet, groove, any
	LimitIn  float64 `csv:"limit_in"`
	LimitMM  float64 `csv:"limit_mm"` // as the metric text has it
	Row
}

// FilletMetal is the weld metal of a flat-faced fillet with equal legs.
type FilletMetal struct {
	LegIn   float64 `csv:"leg_in"`
	LbPerFt float64 `csv:"weld_metal_lb_per_ft"`
	Row
}

// GrooveMetal is the weld metal of one part of a groove weld.
type GrooveMetal struct {
	Part        string  `csv:"part"`                   // gap (rectangle), bevel (triangle, one side), cap
	DepthIn     float64 `csv:"depth_in,optional"`      // gap and bevel: thickness or depth
	GapIn       float64 `csv:"gap_in,optional"`        // gap only
	BevelDeg    float64 `csv:"bevel_deg,optional"`     // bevel only: angle of the one side
	CapWidthIn  float64 `csv:"cap_width_in,optional"`  // cap only
	CapHeightIn float64 `csv:"cap_height_in,optional"` // cap only
	LbPerFt     float64 `csv:"weld_metal_lb_per_ft"`
	Row
}

// ConvexityLimit is the largest convexity for a band of face width.
type ConvexityLimit struct {
	Weld      string  `csv:"weld"`                           // fillet, groove
	OverIn    float64 `csv:"face_width_over_in,optional"`    // 0: from zero
	ThroughIn float64 `csv:"face_width_through_in,optional"` // 0: no upper end
	LimitIn   float64 `csv:"limit_in"`
	Row
}

// FilletShear is the allowable load of a fillet's throat by electrode strength.
type FilletShear struct {
	StrengthKSI         float64 `csv:"electrode_strength_ksi"`
	AllowableKSI        float64 `csv:"allowable_shear_ksi"`
	LbPerInPerSixteenth float64 `csv:"load_lb_per_in_per_sixteenth"` // for each 1/16 in of leg
	Row
}

// BeadShape is a power law 10^c * D^d * S^s * I^i * V^v in mm from wire
// diameter D (mm), travel speed S, current I (A) and voltage V (V), for solid
// wire within the stated limits. Home wire-feed machines run below them: it
// tells the direction of a change and nothing else.
type BeadShape struct {
	Response       string  `csv:"response"` // width, height, penetration
	Constant       float64 `csv:"constant_log10_mm"`
	DiameterPower  float64 `csv:"diameter_power"`
	TravelPower    float64 `csv:"travel_power"`
	CurrentPower   float64 `csv:"current_power"`
	VoltagePower   float64 `csv:"voltage_power"`
	DiameterLowMM  float64 `csv:"diameter_low_mm"`
	DiameterHighMM float64 `csv:"diameter_high_mm"`
	CurrentLowA    float64 `csv:"current_low_A"`
	CurrentHighA   float64 `csv:"current_high_A"`
	Row
}

var (
	minFillets      = table[MinFillet]("min_fillets.csv")
	maxFillets      = table[MaxFillet]("max_fillets.csv")
	passLimits      = table[PassLimit]("pass_limits.csv")
	filletMetals    = table[FilletMetal]("fillet_metal.csv")
	grooveMetals    = table[GrooveMetal]("groove_metal.csv")
	convexityLimits = table[ConvexityLimit]("convexity_limits.csv")
	filletShears    = table[FilletShear]("fillet_shears.csv")
	beadShapes      = table[BeadShape]("bead_shapes.csv")
)

// MinFillets returns least fillet legs, thin to thick.
func MinFillets() []MinFillet { return minFillets() }

// MaxFillets returns largest fillet legs along an edge.
func MaxFillets() []MaxFillet { return maxFillets() }

// PassLimits returns limits of passes and layers.
func PassLimits() []PassLimit { return passLimits() }

// FilletMetals returns weld metal of fillets, small to large.
func FilletMetals() []FilletMetal { return filletMetals() }

// GrooveMetals returns weld metal of the parts of a groove.
func GrooveMetals() []GrooveMetal { return grooveMetals() }

// ConvexityLimits returns largest convexity by face width.
func ConvexityLimits() []ConvexityLimit { return convexityLimits() }

// FilletShears returns allowable fillet loads.
func FilletShears() []FilletShear { return filletShears() }

// BeadShapes returns the power laws of bead shape with their limits.
func BeadShapes() []BeadShape { return beadShapes() }
