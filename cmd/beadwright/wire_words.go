package main

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// grams writes a weight of wire.
func grams(g float64, units procedures.Units) string {
	if units == procedures.Metric {
		return rough(g) + " g"
	}
	return fmt.Sprintf("%s g (%.2g lb)", rough(g), g/gramsPerLb)
}

// run writes a length of wire, given in m.
func reach(m float64, units procedures.Units) string {
	if units == procedures.Metric {
		return rough(m) + " m"
	}
	return rough(m/0.3048) + " ft"
}

// rough writes an estimate, 0 or more: two figures are all it has.
func rough(v float64) string {
	if v < 0.05 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-1)
	return strconv.FormatFloat(math.Round(v/step)*step, 'f', max(0, -int(math.Floor(math.Log10(step)+1e-9))), 64)
}

// unlike is the text unless it is the same as what was said already.
func unlike(text, said string) string {
	if text == said {
		return ""
	}
	return text
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// ago says how long ago, roughly.
func ago(d time.Duration) string {
	switch days := int(d / (24 * time.Hour)); {
	case days < 1:
		return "today"
	case days < 14:
		return plural(days, "day") + " ago"
	case days < 60:
		return plural(days/7, "week") + " ago"
	default:
		return plural(days/30, "month") + " ago"
	}
}

// The wire meter as JSON shows it. Here nought is known, so these are plain
// numbers; what is not known is null.
type wireLeft struct {
	Grams       float64            `json:"left_g"`
	GramsRange  [2]float64         `json:"range_g"`
	Length      float64            `json:"left_mm"`
	LengthRange [2]float64         `json:"range_mm"`
	Speed       procedures.MPerMin `json:"wire_speed_m_min"`
	Arc         *float64           `json:"arc_seconds"`
	ArcRange    *[2]float64        `json:"range_seconds"`
	From        float64            `json:"from_g"`
	Weighed     *time.Time         `json:"weighed"`
	PerMetre    float64            `json:"wire_g_per_m"`
	PerMetreLim [2]float64         `json:"range_g_per_m"`
	Source      []string           `json:"source"`
}

// leftJSON is nil where the weight is not known, or rods are counted.
func leftJSON(s procedures.Spool, l feeder.Left) *wireLeft {
	if !l.Known || rods(s) {
		return nil
	}
	r := procedures.Round
	doc := &wireLeft{Grams: r(l.Grams), GramsRange: [2]float64{r(l.GramsLow), r(l.GramsHigh)},
		Length: r(l.Metres * 1000), LengthRange: [2]float64{r(l.MetresLow * 1000), r(l.MetresHigh * 1000)},
		Speed: l.Speed, From: r(l.Start), PerMetre: r(l.PerMetre.Value), PerMetreLim: [2]float64{r(l.PerMetre.Low), r(l.PerMetre.High)}, Source: l.PerMetre.Source}
	if l.Weighed {
		at := l.At.UTC()
		doc.Weighed = &at
	}
	if l.Speed > 0 {
		seconds := r(l.Minutes * 60)
		doc.Arc, doc.ArcRange = &seconds, &[2]float64{r(l.MinutesLow * 60), r(l.MinutesHigh * 60)}
	}
	return doc
}

type wireFed struct {
	Length  float64  `json:"fed_mm"`
	Low     float64  `json:"low_mm"`
	High    *float64 `json:"high_mm"` // null: no bound is known
	Welds   int      `json:"welds"`
	Timed   int      `json:"timed"`
	Paced   int      `json:"paced"`
	Unknown int      `json:"unknown"`
	Other   int      `json:"run_out"`
}

func fedJSON(f feeder.Fed) wireFed {
	doc := wireFed{Length: procedures.Round(f.Length), Low: procedures.Round(f.Low), Welds: f.Welds, Timed: f.Timed, Paced: f.Paced, Unknown: f.Unknown(), Other: f.Other}
	if !math.IsInf(f.High, 0) {
		high := procedures.Round(f.High)
		doc.High = &high
	}
	return doc
}

type wireTip struct {
	Machine string     `json:"machine"`
	Since   *time.Time `json:"since"`
	Fed     wireFed    `json:"fed"`
	Usual   *float64   `json:"usual_mm"`
	Lives   []float64  `json:"lives_mm"`
	Worn    bool       `json:"near_end"`
}

func tipJSON(machine string, t feeder.Tip) wireTip {
	doc := wireTip{Machine: machine, Fed: fedJSON(t.Fed), Lives: []float64{}, Worn: t.Worn()}
	if !t.Since.IsZero() {
		at := t.Since.UTC()
		doc.Since = &at
	}
	if usual, ok := t.Usual(); ok {
		usual = procedures.Round(usual)
		doc.Usual = &usual
	}
	for _, life := range t.Lives {
		doc.Lives = append(doc.Lives, procedures.Round(life))
	}
	return doc
}
