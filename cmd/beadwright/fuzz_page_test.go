package main

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// FuzzPage asks for any address by any method and posts any form to it, on a
// notebook with something in it, and holds the answer to what [counter.send] says of
// it: a weld whose form was acknowledged is there as the form said it.
func FuzzPage(f *testing.F) {
	for _, seed := range [][3]string{
		{"GET", "/?q=1/8+mild+tee+flat&joint=tee&thickness=1/8&position=flat&metal=plain", ""},
		{"GET", "/?q=trailer+hitch", ""},
		{"GET", "/log?q=1/8+tee&token=x", ""},
		{"POST", "/log", "q=1/8+mild+tee+flat&rating=4&symptom=spatter&symptom=undercut&tap=high&knob=4.5&note=a&token=01900000-0000-7000-8000-000000000001"},
		{"POST", "/log", "rating=6&knob=%00&test=bend%3Dheld&note=%3Cscript%3E"},
		{"GET", "/find?q=vrtcl+spatter", ""},
		{"GET", "/weld/A1", ""},
		{"GET", "/weld/..%2f..%2fetc", ""},
		{"POST", "/weld/A1", "rating=3&note=later"},
		{"POST", "/strike/A1", "why=wrong"},
		{"GET", "/machine/little%20red", ""},
		{"POST", "/machine/shed", "use=1"},
		{"POST", "/wire", "name=x"},
		{"POST", "/duty", "do=start&at=20s+ago"},
		{"GET", "/remedy?q=popping&from=A1", ""},
		{"GET", "/procedure/leg", ""},
		{"POST", "/theme", "theme=dark&back=//evil"},
		{"GET", "/photo/01900000-0000-7000-8000-000000000001", ""},
		{"GET", "/weld/A1/test?kind=break", ""},
		{"POST", "/weld/A1/test", "kind=break&q_edge=no&q_folded=no&q_parent=no&q_fused=yes&hole=1/16,3/32&length=4in&instead=1"},
		{"POST", "/weld/A1/look", "q_crack=no&q_undercut=yes&q_--help=yes"},
		{"POST", "/weld/A1/followup", "do=failed&note=toe"},
		{"POST", "/weld/A1/rate", "rating=3&do=undo"},
		{"POST", "/duty", "do=arcs&id=01900000-0000-7000-8000-000000000001"},
		{"POST", "/units", "units=metric&back=/find"},
		{"GET", "/find?state=1&machine=shed&pictures=1", ""},
		{"POST", "/machines", "name=big+blue&taps=low,high&output=dcen&rebuilt=true&process=114&process=111&rated=90A&duty=20%25&knob=1-10&cord=12awg+25ft"},
		{"POST", "/machines", "name=shed&taps_named=A,B,C&breaker=banana"},
		{"POST", "/machine/shed/set", "max=120A&input-amps=20A&note=a"},
		{"POST", "/machine/shed/set", "max=1e999&duty=0"},
		{"GET", "/machine/shed/set", ""},
		{"POST", "/wire/add", "name=second+roll&wire=0.030+E71T-GS&weight=2lb"},
		{"POST", "/wire/add", "wire=&weight=-1"},
		{"POST", "/procedures", "name=leg&from=A1"},
		{"POST", "/blind", "picture=01900000-0000-7000-8000-000000000001&rating=4&older=sooner"},
		{"GET", "/blind?done=A1", ""},
		{"POST", "/strike/A1", "do=back"},
		{"POST", "/weld/A1", "not-symptom=spatter&machine=shed"},
		{"POST", "/pair", "code=x&name=phone"},
		{"POST", "/phones", "name=phone"},
		{"GET", "/static/../pages.go", ""},
		{"DELETE", "/weld/A1", ""},
	} {
		f.Add(seed[0], seed[1], seed[2])
	}
	c := newCounter(f)
	f.Fuzz(func(t *testing.T, method, target, form string) {
		u, err := url.ParseRequestURI(target)
		if err != nil || u.Host != "" || !strings.HasPrefix(u.Path, "/") || len(form) > 1<<16 {
			return
		}
		r, err := http.NewRequest(method, "http://127.0.0.1:8173"+target, strings.NewReader(form))
		if err != nil {
			return
		}
		r.RequestURI = target
		if form != "" {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		}
		answer, _, nb := c.send(t, r)
		if u.Path == "/log" && method == "POST" && answer.StatusCode < 400 {
			saved(t, nb, answer, r.PostFormValue)
		}
	})
}
