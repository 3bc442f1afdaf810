package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"beadwright/procedures"
)

// strikeFlags withdraw a measurement by its number on its machine.
type strikeFlags struct{ number, why string }

func (o *strikeFlags) add(f *pflag.FlagSet, noun string) {
	f.StringVar(&o.number, "strike", "", "withdraw the "+noun+" of that number: kept, and no longer counted")
	f.StringVar(&o.why, "why", "", "why it is withdrawn")
}

func (o strikeFlags) said() bool { return o.number != "" || o.why != "" }

// strikeMeasured withdraws a measurement of a kind on a machine, "" the one in use.
func (a *app) strikeMeasured(ctx context.Context, o strikeFlags, kind procedures.MeasurementKind, machine string) error {
	nb, err := a.mustExist(ctx, "machine add NAME")
	if err != nil {
		return err
	}
	m, err := a.machine(ctx, machine, procedures.FCAWS)
	if err != nil {
		return err
	}
	var all []string
	var found procedures.Measurement
	for _, r := range m.Measurements {
		if r.Kind != kind {
			continue
		}
		all = append(all, fmt.Sprintf("%d of %s", r.Number, r.At.Local().Format("2006-01-02 15:04")))
		if n, err := strconv.Atoi(strings.TrimSpace(o.number)); err == nil && n == r.Number {
			found = r
		}
	}
	if found.ID == "" {
		hint := "there is none on " + m.Name
		if len(all) > 0 {
			hint = "on " + m.Name + " there are: " + strings.Join(all, ", ")
		}
		return procedures.Invalid("strike", o.number, "no such number here", hint)
	}
	why := strings.TrimSpace(o.why)
	if err := nb.StrikeMeasurement(ctx, m.Name, found.Number, why); err != nil {
		return err
	}
	found.Struck = why
	if a.json {
		return a.printJSON(map[string]any{"measurement": found})
	}
	a.printf("struck number %d of %s: %s. It is kept and no longer counted.\n", found.Number, found.At.Local().Format("2006-01-02 15:04"), why)
	a.storedCharge(m)
	return nil
}
