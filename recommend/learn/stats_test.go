package learn

import "slices"

// percentile is the value below which the share p of the values lies; it sorts them.
func percentile(values []float64, p float64) float64 {
	slices.Sort(values)
	return values[min(len(values)-1, int(p*float64(len(values))))]
}
