package web

import (
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend"
)

// TestInline: of a drawing nothing comes through but shapes and text, painted by
// attributes.
func TestInline(t *testing.T) {
	got, err := inline([]byte(`<?xml version="1.0"?>
<!-- made by hand -->
<svg width="10pt" viewBox="0 0 10 10" xmlns="http://www.w3.org/2000/svg" onload="x()"><g transform="scale(1, -1)">
<path d="M0,0L1,1Z" style="fill:none;stroke:#8FA6CC;stroke-width:0.7;position:fixed" onclick="x()" id="a" class="key"/>
<text x="1" y="2" style="font-family:Sans;font-size:18px;fill:#111111">&lt;b&gt; "4 times in 5" &amp; more</text></g></svg>
`), `a "knob"`)
	want := `<svg class="drawn" role="img" aria-label="a &#34;knob&#34;" viewBox="0 0 10 10"><g transform="scale(1, -1)"><path d="M0,0L1,1Z" fill="none" stroke="#8FA6CC" stroke-width="0.7"></path>` +
		`<text x="1" y="2" font-size="18px" fill="#111111">&lt;b&gt; &#34;4 times in 5&#34; &amp; more</text></g></svg>`
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s\nwanted\n%s", err, got, want)
	}
	for _, bad := range []string{
		"", "<svg", "<svg><g></svg>", "<svg><script>alert(1)</script></svg>", `<svg><a href="//elsewhere.example"/></svg>`, `<svg><image href="x"/></svg>`, "<html/>", "<g/>",
		"<svg><foreignObject/></svg>", "<svg><style>*{}</style></svg>", "<svg><svg/></svg>", "words",
	} {
		if got, err := inline([]byte(bad), "x"); err == nil {
			t.Errorf("%s becomes %s", bad, got)
		}
	}
	got, err = inline([]byte(`<svg viewBox='"&gt;&lt;script&gt;'><path d='"&gt;&lt;script&gt;' style='fill:"&gt;&lt;script&gt;'/></svg>`), "x")
	if err != nil || strings.Contains(string(got), "<script>") {
		t.Errorf("%v: %s", err, got)
	}
}

// TestChartRows: a curve in numbers is a dozen rows or so, both ends among them.
func TestChartRows(t *testing.T) {
	for n := range 100 {
		c := chart{Points: make([]recommend.CurvePoint, n+2)} // with one at each end that holds no speed
		for i := range n {
			c.Points[i+1] = recommend.CurvePoint{Thickness: procedures.MM(i + 1), WireSpeed: 2}
		}
		rows := c.Rows()
		if len(rows) > 13 || len(rows) < min(n, 7) || n > 0 && (rows[0].Thickness != 1 || int(rows[len(rows)-1].Thickness) != n) {
			t.Errorf("of %d points: %d rows, %+v", n, len(rows), rows)
		}
	}
}
