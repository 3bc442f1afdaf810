package recommend

import (
	"fmt"

	"beadwright/procedures"
)

// reachLeeway is how far past a limit a wire speed may be written down without a
// question, as knobs are read by eye. Own threshold, common practice, no source.
const reachLeeway = 1.1

// BeyondReach says why a wire speed that was written down of a job can hardly have
// been so: past what the feeder gives, past what the data sheet of the wire allows or,
// where none says, past what its rows and the machine's amps reach; "" where nothing speaks against it.
func BeyondReach(j procedures.Job, m procedures.Machine, v procedures.MPerMin, u procedures.Units) string {
	if v <= 0 || j.Process == procedures.SMAW {
		return ""
	}
	l := limits(Request{Job: j, Machine: m})
	if l.WireMax > 0 { // a sheet's own limits reach further than its rows
		l.TableMax = 0
	}
	for _, limit := range []struct {
		least, most float64
		whose       string
	}{
		{l.MachineMin, l.MachineMax, "the feeder of " + m.Name + " gives"},
		{l.WireMin, l.WireMax, "the data sheet of " + j.Wire.String() + " allows"},
		{0, l.TableMax, "the rules for " + j.Wire.String() + " and this machine's amps reach"},
	} {
		than, at := "", 0.0
		switch {
		case limit.most > 0 && float64(v) > reachLeeway*limit.most:
			than, at = "more", limit.most
		case limit.least > 0 && reachLeeway*float64(v) < limit.least:
			than, at = "less", limit.least
		default:
			continue
		}
		return fmt.Sprintf("%s is %s than %s, %s", procedures.FormatWireSpeed(v, u), than, limit.whose, procedures.FormatWireSpeed(procedures.MPerMin(at), u))
	}
	return ""
}

// BeyondOutput says why a current that was written down as measured can hardly have
// been so: past the highest output of the machine's plate. "" where nothing speaks
// against it, or the plate's is not known.
func BeyondOutput(m procedures.Machine, set procedures.Settings) string {
	if m.Example || m.MaxAmps <= 0 || set.How["current_A"] != procedures.Measured || float64(set.Current) <= reachLeeway*float64(m.MaxAmps) {
		return ""
	}
	return fmt.Sprintf("%.0f A is more than %s gives by its plate, %.0f A", float64(set.Current), m.Name, float64(m.MaxAmps))
}
