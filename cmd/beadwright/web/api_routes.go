package web

import (
	"net/http"
	"sync"
)

// What several commands take.
var (
	jobFlags     = []string{"thickness", "other-thickness", "joint", "position", "steel", "wire", "gap", "coating", "for", "length"}
	weldFlags    = []string{"tap", "knob", "wire-speed", "polarity", "extension", "travel", "volts", "amps", "arc", "rating", "thirds", "leg", "note", "at"}
	machineFlags = []string{"breaker", "cord", "duty", "input", "input-amps", "knob", "max", "note", "output", "process", "rated", "rated-volts", "taps", "wire-range"}
	clockFlags   = []string{"machine", "amps", "air"}
	mark         = []string{"mark"}
	name         = []string{"name"}
)

func with(some []string, more ...string) []string {
	return append(append([]string(nil), some...), more...)
}

// routes are the whole API. A command that is not here cannot be asked for, nor a
// flag: none here names a file.
var routes = sync.OnceValue(func() []route {
	return append([]route{
		{method: "GET", path: "/api/suggest", command: []string{"suggest"}, flags: with(jobFlags, "machine"), words: true},
		{method: "GET", path: "/api/coupons", command: []string{"coupons"}, flags: with(jobFlags, "machine", "beads"), lists: []string{"scrap"}, switches: []string{"next", "board"}, words: true},
		{method: "GET", path: "/api/remedy", command: []string{"remedy"}, flags: []string{"from"}, words: true},

		{method: "POST", path: "/api/log", command: []string{"log"}, status: http.StatusCreated,
			flags: with(with(jobFlags, weldFlags...), "from", "machine", "id"), lists: []string{"symptom", "test"}, words: true},
		{method: "GET", path: "/api/find", command: []string{"find"},
			flags: []string{"thickness", "within", "steel", "joint", "position", "wire", "machine", "state", "rating", "symptom", "since", "limit"}, switches: []string{"struck"}, words: true},
		{method: "GET", path: "/api/welds/{mark}", command: []string{"show"}, named: mark},
		{method: "PATCH", path: "/api/welds/{mark}", command: []string{"amend"}, named: mark, flags: with(with(jobFlags, weldFlags...), "machine"), lists: []string{"symptom", "not-symptom", "test"}},
		{method: "POST", path: "/api/welds/{mark}/strike", command: []string{"strike"}, named: mark, flags: []string{"why"}, switches: []string{"back"}},

		{method: "GET", path: "/api/welds/{mark}/photos", command: []string{"photo", "list"}, named: mark}, // a picture is sent as a form: photo.go
		{method: "GET", path: "/api/welds/{mark}/test/{kind}", command: []string{"test"}, named: []string{"mark", "kind"}},
		{method: "POST", path: "/api/welds/{mark}/test/{kind}", command: []string{"test"}, named: []string{"mark", "kind"},
			flags: []string{"answers", "length"}, lists: []string{"hole", "crack", "corner"}, switches: []string{"instead"}},
		{method: "GET", path: "/api/welds/{mark}/look", command: []string{"look"}, named: mark},
		{method: "POST", path: "/api/welds/{mark}/look", command: []string{"look"}, named: mark, flags: []string{"answers"}},
		{method: "GET", path: "/api/followup", command: []string{"followup"}},
		{method: "POST", path: "/api/welds/{mark}/followup", command: []string{"followup"}, status: http.StatusCreated, named: mark, flags: []string{"at"}, words: true},
		{method: "POST", path: "/api/welds/{mark}/followup/strike", command: []string{"followup"}, named: mark, flags: []string{"strike"}},
		{method: "GET", path: "/api/rate", command: []string{"rate"}, flags: []string{"older"}},
		{method: "GET", path: "/api/blind", command: []string{"rate", "--blind", "--kept"}, flags: []string{"older"}},
		{method: "POST", path: "/api/blind/{picture}", command: []string{"rate", "--blind"}, status: http.StatusCreated, named: []string{"picture"}, flags: []string{"note"}, words: true},
		{method: "POST", path: "/api/welds/{mark}/rate", command: []string{"rate"}, status: http.StatusCreated, named: mark, flags: []string{"note"}, words: true},
		{method: "POST", path: "/api/welds/{mark}/rate/strike", command: []string{"rate"}, named: mark, flags: []string{"strike"}},

		{method: "GET", path: "/api/procedures", command: []string{"procedure", "list"}},
		{method: "GET", path: "/api/procedures/{name}", command: []string{"procedure", "show"}, named: name, flags: []string{"revision"}},

		{method: "GET", path: "/api/machines", command: []string{"machine", "list"}, switches: []string{"struck"}},
		{method: "POST", path: "/api/machines/{name}", command: []string{"machine", "add"}, status: http.StatusCreated, named: name, flags: machineFlags, switches: []string{"rebuilt"}},
		{method: "GET", path: "/api/machines/{name}", command: []string{"machine", "show"}, named: name},
		{method: "PATCH", path: "/api/machines/{name}", command: []string{"machine", "set"}, named: name, flags: machineFlags, switches: []string{"rebuilt"}},
		{method: "POST", path: "/api/machines/{name}/use", command: []string{"machine", "use"}, named: name},
		{method: "POST", path: "/api/machines/{name}/rename", command: []string{"machine", "rename"}, named: name, words: true},
		{method: "POST", path: "/api/machines/{name}/strike", command: []string{"machine", "strike"}, named: name, flags: []string{"why"}, switches: []string{"back"}},
		{method: "POST", path: "/api/machines/{name}/change", command: []string{"machine", "change"}, named: name, flags: []string{"what", "output"}, switches: []string{"rebuilt"}},
		{method: "GET", path: "/api/machines/{name}/knob", command: []string{"machine", "knob"}, named: name},
		{method: "POST", path: "/api/machines/{name}/knob", command: []string{"machine", "knob"}, status: http.StatusCreated, named: name, flags: []string{"mark", "tap"}, lists: []string{"length", "seconds", "short-length", "short-seconds"}},
		{method: "POST", path: "/api/machines/{name}/knob/strike", command: []string{"machine", "knob"}, named: name, flags: []string{"strike", "why"}},
		{method: "GET", path: "/api/machines/{name}/circuit", command: []string{"machine", "circuit"}, named: name,
			flags: []string{"amps", "breaker", "cord", "outlet", "wall"}, lists: []string{"other"}},
		{method: "GET", path: "/api/machines/{name}/rebuilt", command: []string{"machine", "rebuilt"}, named: name, flags: []string{"amps"}},

		{method: "GET", path: "/api/wire", command: []string{"wire", "list"}, switches: []string{"struck"}},
		{method: "GET", path: "/api/wire/{name}", command: []string{"wire", "show"}, named: name},
		{method: "POST", path: "/api/wire", command: []string{"wire", "add"}, status: http.StatusCreated, flags: []string{"name", "note", "opened", "weight"}, words: true},
		{method: "POST", path: "/api/wire/{name}/use", command: []string{"wire", "use"}, named: name},
		{method: "POST", path: "/api/wire/{name}/rename", command: []string{"wire", "rename"}, named: name, words: true},
		{method: "POST", path: "/api/wire/{name}/strike", command: []string{"wire", "strike"}, named: name, flags: []string{"why"}, switches: []string{"back"}},

		{method: "GET", path: "/api/duty", command: []string{"duty"}, flags: with(clockFlags, "next"), switches: []string{"heat"}},
		{method: "POST", path: "/api/duty/start", command: []string{"duty", "start"}, status: http.StatusCreated, flags: with(clockFlags, "at")},
		{method: "POST", path: "/api/duty/stop", command: []string{"duty", "stop"}, flags: with(clockFlags, "at")},
		{method: "POST", path: "/api/duty/add", command: []string{"duty", "add"}, status: http.StatusCreated, flags: clockFlags, words: true},
		{method: "POST", path: "/api/duty/trip", command: []string{"duty", "trip"}, status: http.StatusCreated, flags: with(clockFlags, "after", "at", "knob", "note", "tap")},
		{method: "GET", path: "/api/duty/trips", command: []string{"duty", "trips"}, flags: clockFlags},

		{method: "GET", path: "/api/units", command: []string{"units"}},
		{method: "POST", path: "/api/units", command: []string{"units"}, words: true},
		{method: "GET", path: "/api/version", command: []string{"version"}},
	}, sums()...)
})

// sums are the routes of reckon, one a sum.
func sums() (list []route) {
	for _, sum := range []struct {
		name            string
		flags           []string
		lists, switches []string
		words           bool
	}{
		{name: "heat", flags: []string{"amps", "bead", "joules", "process", "seconds", "travel", "volts", "watts"}},
		{name: "travel", flags: []string{"length", "seconds"}, words: true},
		{name: "current", flags: []string{"amps", "weld", "wire", "wire-speed"}},
		{name: "carbon", flags: []string{"b", "c", "cr", "cu", "formula", "mn", "mo", "nb", "ni", "si", "steel", "ti", "v"}},
		{name: "preheat", flags: []string{"cet", "heat", "hydrogen", "steel", "thickness", "weld-cet", "wire"}},
		{name: "fillet", flags: []string{"leg", "length", "loading", "other-leg", "other-thickness", "position", "strength", "thickness"}},
		{name: "groove", flags: []string{"angle", "cap", "cap-width", "gap", "length", "position", "root-face", "thickness"}},
		{name: "flaw", flags: []string{"asked-leg", "convexity", "face", "leg", "loading", "thickness", "throat", "undercut"}, lists: []string{"pore"}, switches: []string{"across", "butt", "crack"}},
		{name: "wire", flags: []string{"empty", "leg", "length", "reel", "travel", "wire", "wire-speed"}},
		{name: "duty", flags: []string{"amps", "duty", "machine", "rated", "seconds"}},
		{name: "supply", flags: []string{"amps", "breaker", "duty", "idle-amps", "input", "input-amps", "machine", "outlet", "volts"}},
		{name: "cord", flags: []string{"amps", "arc-volts", "cord", "input"}},
		{name: "lead", flags: []string{"amps", "awg", "duty", "length"}},
		{name: "smoothing", flags: []string{"ac-volts", "amps", "bleed-in", "count", "duty", "farads", "hz", "ohms", "to"}},
		{name: "shade", flags: []string{"amps", "process"}},
		{name: "air", flags: []string{"height", "hood", "length", "welders", "width"}, switches: []string{"partitions"}},
		{name: "cooling", flags: []string{"bead", "heat", "preheat", "thickness"}},
		{name: "rebar", flags: []string{"bar", "c", "cr", "cu", "mn", "mo", "ni", "steel", "v"}},
		{name: "group", lists: []string{"welder"}},
		{name: "gauge", words: true},
	} {
		list = append(list, route{method: "GET", path: "/api/reckon/" + sum.name, command: []string{"reckon", sum.name}, flags: sum.flags, lists: sum.lists, switches: sum.switches, words: sum.words})
	}
	return list
}
