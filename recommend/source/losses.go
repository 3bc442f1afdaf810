package source

import (
	"fmt"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Lost is a reading of lost volts. Nothing lost is a reading too, so it says
// whether it was taken.
type Lost struct {
	Volts float64 // V
	Read  bool
}

// Copper is one welding lead, one way. AWG zero: not known.
type Copper struct {
	AWG    int
	Length procedures.MM
}

// Probes is what a meter reads round the welding circuit with the arc on, of one
// time. Zero volts and amps are not known.
type Probes struct {
	Terminals procedures.Volts // between the machine's posts
	Arc       procedures.Volts // between the contact tip or the gun's end and the work
	Gun       Lost             // from the post to the contact tip
	Work      Lost             // from the post to the clamp
	Clamp     Lost             // from the clamp to the work
	Current   procedures.Amps
	GunLead   Copper
	WorkLead  Copper
}

// Piece is one part of the welding circuit and what it loses. Quantities that need
// amps or the lead's size are nil without them.
type Piece struct {
	Name   string   `json:"name"` // clamp, work lead, gun lead, the rest
	Volts  float64  `json:"lost_V"`
	Ohms   *float64 `json:"ohm"`      // V/I
	Watts  *float64 `json:"heat_W"`   // V*I, while the arc burns
	Copper *float64 `json:"copper_V"` // what its copper alone loses
	Above  *float64 `json:"above_V"`  // what is lost above that: joints
	Look   string   `json:"look"`     // where to look when it loses too much
}

// Losses is where the volts between the machine's posts and the arc go.
type Losses struct {
	Total    float64   // V, from the posts to the arc; the sum of the pieces where the posts were not read
	Measured bool      // posts and arc were read; else Total is the pieces read, and the truth is more
	Pieces   []Piece   // the one that loses most above its copper first
	Copper   arc.Value // V, of both leads; Unit "" where size or amps are not known
	Above    float64   // V lost above copper; meaningful where Copper is
	Joints   bool      // more is lost than copper explains
	Findings []Finding
	Missing  []Missing
}

// jointLoss is how many volts above its copper a whole welding circuit may lose
// before its joints are to blame, and badJoint the same of one piece: a clamp that bites
// bright metal loses a tenth or two. Own thresholds, no source.
const (
	jointLoss = 1.0
	badJoint  = 0.5
)

// metered is how far a reading may lie under what its copper alone must lose before
// it is asked back: leads are a little thicker or shorter than said. Own threshold.
const metered = 0.2

// scatter is how far readings of one arc may disagree before they are asked back:
// an arc wanders by about a volt. Own threshold, no source.
const scatter = 1.5

// FindLosses works out the loss from posts to arc, its split by the pieces
// probed, the ohms and heat of each (R = dV/I), and what copper alone would lose.
// Errors: [*procedures.InvalidError] where nothing was read that can be split, and
// where the readings contradict one another.
// Source: NEC Chapter 9 Table 8 for copper, arithmetic for the rest.
func FindLosses(p Probes) (Losses, error) {
	var l Losses
	if p.Current != 0 {
		if err := arc.Within("amps", float64(p.Current), 5, 1000, "A"); err != nil {
			return l, err
		}
	}
	var read float64
	for _, piece := range []struct {
		name string
		lost Lost
		lead Copper
		look string
	}{
		{"clamp", p.Clamp, Copper{}, "grind the work bright where it bites, and clamp close to the weld; a weak spring or worn jaws want a new clamp"},
		{"work lead", p.Work, p.WorkLead, "the lug and its bolt at the machine's post, and where the lead goes into the clamp: clean and tight, machine unplugged"},
		{"gun lead", p.Gun, p.GunLead, "where the gun fits into the machine, then the contact tip and its holder: screwed home, not worn"},
	} {
		if !piece.lost.Read {
			continue
		}
		if err := arc.Within(piece.name, piece.lost.Volts, 0, 30, "V"); err != nil {
			return l, err
		}
		made := Piece{Name: piece.name, Volts: piece.lost.Volts, Look: piece.look}
		if err := made.split(p.Current, piece.lead); err != nil {
			return l, err
		}
		l.Pieces = append(l.Pieces, made)
		read += made.Volts
	}
	switch {
	case p.Terminals != 0 && p.Arc != 0:
		l.Total, l.Measured = float64(p.Terminals-p.Arc), true
		if l.Total < 0 {
			return l, procedures.Invalid("terminals", fmt.Sprintf("%g V at the posts, %g V at the arc", float64(p.Terminals), float64(p.Arc)), "the arc cannot have more volts than the posts", "were the two swapped, or read at different beads? Read both on one bead")
		}
		if read > l.Total+scatter {
			return l, procedures.Invalid("readings", fmt.Sprintf("%.2g V over the pieces, %.2g V from posts to arc", read, l.Total), "the pieces lose more than the whole", "read them again on one bead, the meter on its averaging range")
		}
		if rest := l.Total - read; len(l.Pieces) > 0 && rest > 0.05 {
			made := Piece{Name: "the rest", Volts: rest, Look: "what no probe covered: probe the pieces that are missing, then the posts themselves"}
			if err := made.split(p.Current, Copper{}); err != nil {
				return l, err
			}
			l.Pieces = append(l.Pieces, made)
		}
	case len(l.Pieces) > 0:
		l.Total = read
	default:
		return l, procedures.Invalid("readings", "", "nothing was read that tells where volts go", "with the arc on, read the posts and the arc, and the pieces between, on one bead")
	}
	if err := l.copper(p); err != nil {
		return l, err
	}
	l.order()
	l.tell(p)
	return l, nil
}

// split puts in what amps and the lead's size tell of a piece.
func (p *Piece) split(i procedures.Amps, lead Copper) error {
	if i == 0 {
		return nil
	}
	ohm, watt := p.Volts/float64(i), p.Volts*float64(i)
	p.Ohms, p.Watts = &ohm, &watt
	if lead.AWG == 0 {
		return nil
	}
	loss, err := LeadDrop(lead.AWG, lead.Length, i)
	if err != nil {
		return err
	}
	copper, above := loss.Drop.Value, p.Volts-loss.Drop.Value
	p.Copper, p.Above = &copper, &above
	return nil
}

// copper puts in what both leads lose by their copper alone, and what is above it.
func (l *Losses) copper(p Probes) error {
	if p.Current == 0 || p.GunLead.AWG == 0 || p.WorkLead.AWG == 0 {
		return nil
	}
	var v float64
	var from []string
	for k, lead := range []Copper{p.WorkLead, p.GunLead} {
		loss, err := LeadDrop(lead.AWG, lead.Length, p.Current)
		if err != nil {
			return err
		}
		v += loss.Drop.Value
		from = arc.Together(from, loss.Drop.Source)
		if mils := leadRule("area"); loss.MilsPerAmp < mils.Value && (k == 0 || lead.AWG != p.WorkLead.AWG) {
			l.Findings = append(l.Findings, Finding{"area", Marginal, exact(loss.MilsPerAmp, "circular mils per A", mils.Row),
				fmt.Sprintf("the %d AWG lead has %.0f circular mils for each ampere and %.0f is the least: it runs warm, so shorter beads or heavier lead", lead.AWG, loss.MilsPerAmp, mils.Value), mils.Source})
		}
	}
	l.Copper = exact(v, "V", data.Row{Source: from, Basis: data.Printed})
	l.Above = l.Total - v
	return nil
}

// order puts the piece that loses most above its copper first. A clamp has no
// copper to speak of, and what is left over may be anything: it comes last.
func (l *Losses) order() {
	excess := func(p Piece) float64 {
		if p.Above != nil {
			return *p.Above
		}
		return p.Volts
	}
	first := 0
	for k, p := range l.Pieces {
		if p.Name != "the rest" && excess(p) > excess(l.Pieces[first]) {
			first = k
		}
	}
	if first > 0 {
		l.Pieces[0], l.Pieces[first] = l.Pieces[first], l.Pieces[0]
	}
}

// tell says what the losses mean and what would tell more. Each piece is judged by
// itself first: a good sum can hide a bad joint behind a reading that cannot be.
func (l *Losses) tell(p Probes) {
	misread := false
	for _, one := range l.Pieces {
		above := one.Volts
		if one.Above != nil {
			above = *one.Above
		}
		switch figure := exact(one.Volts, "V", data.Row{Source: []string{"MATH", "CP"}, Basis: data.Practice}); {
		case one.Above != nil && above < -metered:
			misread = true
			l.Findings = append(l.Findings, say(one.Name, Unknown, figure, "%.2f V over the %s, and its copper alone must lose %.2f V: read it again, or the amps, its size or its length are wrong", one.Volts, one.Name, *one.Copper))
		case one.Name == "the rest" || above <= badJoint:
		case one.Name == "clamp":
			l.Joints = true
			l.Findings = append(l.Findings, say("clamp", Marginal, figure, "%.2f V lost at the clamp%s, which has no copper to lose it in: a bad joint", one.Volts, one.heat()))
		case one.Above != nil:
			l.Joints = true
			l.Findings = append(l.Findings, say(one.Name, Marginal, figure, "%.2f V lost in the %s%s, %.2f V above its copper: a bad joint at one of its ends", one.Volts, one.Name, one.heat(), above))
		}
	}
	if l.Copper.Unit != "" {
		l.Joints = l.Joints || l.Above > jointLoss
		v := Fine
		text := fmt.Sprintf("%.1f V lost, and copper alone takes %.1f V of it: the joints are good", l.Total, l.Copper.Value)
		switch {
		case l.Above < -scatter || misread:
			v, text = Unknown, fmt.Sprintf("%.1f V lost, and copper alone takes %.1f V; the readings do not go together, so the sum says nothing: check the leads' size and length and the amps", l.Total, l.Copper.Value)
		case l.Joints:
			v, text = Marginal, fmt.Sprintf("%.1f V lost, and copper alone takes %.1f V: %.1f V go in joints", l.Total, l.Copper.Value, max(0, l.Above))
		}
		l.Findings = append(l.Findings, say("copper", v, l.Copper, "%s", text))
	}
	if drop := leadRule("drop"); l.Total > drop.Value {
		l.Findings = append(l.Findings, Finding{"drop", Marginal, exact(l.Total, "V", drop.Row), fmt.Sprintf("%.1f V in all; %.0f V is the most to lose in both leads together", l.Total, drop.Value), drop.Source})
	}
	l.Missing = missing([]gap{
		{p.Current == 0, "amps", "welding amps", "a clamp meter that reads DC, round one lead"},
		{p.WorkLead.AWG == 0, "work-lead", "size and length of the work lead", "printed on its jacket"},
		{p.GunLead.AWG == 0, "gun-lead", "size and length of the gun's lead", "its parts list, or its jacket"},
		{p.Terminals == 0, "terminals", "volts at the machine's posts, arc on", "by meter"},
		{p.Arc == 0, "arc", "volts at the arc", "by meter"},
		{!p.Clamp.Read, "clamp-volts", "volts from clamp to work, arc on", "by meter"},
		{!p.Work.Read, "work-lead-volts", "volts from post to clamp, arc on", "by meter"},
		{!p.Gun.Read, "gun-lead-volts", "volts from post to contact tip, arc on", "by meter"},
	})
}

// heat says what a piece makes of it while the arc burns; "" where amps are not known.
func (p Piece) heat() string {
	if p.Watts == nil {
		return ""
	}
	return fmt.Sprintf(" (%.0f W of heat while the arc burns)", *p.Watts)
}

// Fraction of the posts' volts that does not reach the arc.
func (l Losses) Fraction(p Probes) (procedures.Percent, bool) {
	if p.Terminals == 0 || !l.Measured {
		return 0, false
	}
	return procedures.Percent(100 * l.Total / float64(p.Terminals)), true
}
