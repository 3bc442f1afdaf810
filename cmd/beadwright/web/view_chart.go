package web

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
)

// Drawer is a bench that draws charts. A bench that is none has pages without them.
type Drawer interface {
	// Chart draws what a chart command draws, as an SVG that a page can show among
	// its words. flags are written here, words come from anywhere.
	Chart(ctx context.Context, kind string, flags []string, words ...string) (svg []byte, r Result)
}

// mostDrawn is how many beads of a machine a page draws: with more of them the
// drawing is large and slow, and shows less. A design choice.
const mostDrawn = 800

// chart is a chart of a machine, with the same in words and in numbers.
type chart struct {
	Kind, Title string
	SVG         template.HTML
	Tap         string                 // of a knob's chart
	Job         procedures.Job         // of a thickness chart
	Notes       []string               // what it shows and leaves out
	Points      []recommend.CurvePoint // of a thickness chart
	Beads       []chartBead            // of a history
}

// chartBead is a bead of a history.
type chartBead struct {
	Mark, Test  string
	Rating      procedures.Count
	FailedInUse bool `json:"failed_in_use"`
}

// Rows are a dozen of the points, or fewer, evenly along the curve.
func (c chart) Rows() (rows []recommend.CurvePoint) {
	given := slices.DeleteFunc(slices.Clone(c.Points), func(p recommend.CurvePoint) bool { return !p.Given() })
	every := (len(given) + 11) / 12
	for i, p := range given {
		if i%every == 0 || i == len(given)-1 {
			rows = append(rows, p)
		}
	}
	return rows
}

// Last are the last beads, the newest first.
func (c chart) Last() []chartBead {
	last := slices.Clone(c.Beads[max(0, len(c.Beads)-20):])
	slices.Reverse(last)
	return last
}

// draw asks for a chart. ok is false where there is none to show.
func (s *Server) draw(r *http.Request, kind, title string, flags []string, words ...string) (c chart, ok bool) {
	d, can := s.bench.(Drawer)
	if !can {
		return c, false
	}
	ctx, cancel := context.WithTimeout(r.Context(), answerTime)
	defer cancel()
	svg, res := d.Chart(ctx, kind, append(slices.Clone(flags), "--pressed"), words...)
	if _, _, ok := res.read(&c); !ok || res.Status != 0 {
		return c, false
	}
	c.Kind, c.Title = kind, title
	var err error
	if c.SVG, err = inline(svg, title); err != nil {
		s.tell("beadwright: a chart of the page could not be read: %v", err)
		return c, false
	}
	return c, true
}

// drawnOf are the charts of a machine: its knob on each tap that was run out, wire
// speed against thickness for the job last welded on it, and its beads in order.
// beads is how many there are.
func (s *Server) drawnOf(r *http.Request, m procedures.Machine, curve []knobPoint) (all []chart, beads int) {
	add := func(kind, title string, flags []string, words ...string) {
		if c, ok := s.draw(r, kind, title, flags, words...); ok {
			all = append(all, c)
		}
	}
	all = s.knobCharts(r, m, curve)
	if _, can := s.bench.(Drawer); !can {
		return all, 0
	}
	var found struct {
		Welds []hit
		Total int
	}
	_, _, _ = s.do(r, append(append([]string{"find"}, flag("machine", m.Name)...), "--limit=1")...).read(&found) // none: no bead yet
	if found.Total > mostDrawn {
		return all, found.Total
	}
	on := flag("machine", m.Name)
	job := slices.Concat(on, flag("joint", "tee"), flag("position", "flat"), flag("steel", "mild"))
	if len(found.Welds) > 0 {
		w := found.Welds[0]
		job = slices.Concat(on, flag("joint", string(w.Job.Joint)), flag("position", string(w.Job.Position)), flag("steel", w.Job.Steel), flag("wire", w.Job.Wire.String()))
	}
	add("thickness", "Wire speed against thickness", job)
	if found.Total > 0 {
		add("history", "Ratings in the order welded", on)
	}
	return all, found.Total
}

// What of a drawing a page takes over: shapes and text, and how they are painted.
var (
	shapes = map[string]bool{"g": true, "path": true, "text": true}
	places = map[string]bool{"d": true, "x": true, "y": true, "transform": true}
	paints = map[string]bool{"fill": true, "stroke": true, "stroke-width": true, "stroke-dasharray": true, "font-size": true}
)

// inline makes a drawing fit for the page, whose policy takes no style of its own:
// what paints becomes attributes, which the style sheet may outvote. Nothing else
// of the file comes through.
func inline(svg []byte, title string) (template.HTML, error) {
	var b strings.Builder
	d := xml.NewDecoder(bytes.NewReader(svg))
	depth := 0
	for {
		tok, err := d.Token()
		if err == io.EOF && depth == 0 && b.Len() > 0 {
			return template.HTML(b.String()), nil // made of what is written here, and of escaped text
		}
		if err != nil {
			return "", err
		}
		switch e := tok.(type) {
		case xml.StartElement:
			depth++
			switch {
			case depth == 1 && e.Name.Local == "svg":
				fmt.Fprintf(&b, `<svg class="drawn" role="img" aria-label="%s" viewBox="%s">`, template.HTMLEscapeString(title), template.HTMLEscapeString(attr(e, "viewBox")))
			case depth == 1 || !shapes[e.Name.Local]:
				return "", fmt.Errorf("a drawing with <%s>", e.Name.Local)
			default:
				b.WriteString("<" + e.Name.Local)
				for _, a := range e.Attr {
					if places[a.Name.Local] {
						fmt.Fprintf(&b, ` %s="%s"`, a.Name.Local, template.HTMLEscapeString(a.Value))
					}
				}
				for _, part := range strings.Split(attr(e, "style"), ";") {
					if name, value, _ := strings.Cut(part, ":"); paints[name] {
						fmt.Fprintf(&b, ` %s="%s"`, name, template.HTMLEscapeString(value))
					}
				}
				b.WriteString(">")
			}
		case xml.EndElement:
			depth--
			b.WriteString("</" + e.Name.Local + ">")
		case xml.CharData:
			if depth > 0 {
				template.HTMLEscape(&b, bytes.TrimSpace(e))
			}
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
