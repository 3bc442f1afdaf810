package web

import "net/http"

// What several commands take.
var (
	jobFlags   = []string{"thickness", "other-thickness", "joint", "position", "steel", "wire", "gap", "coating", "for", "length"}
	weldFlags  = []string{"tap", "knob", "wire-speed", "polarity", "extension", "travel", "volts", "amps", "arc", "rating", "leg", "note", "at"}
	clockFlags = []string{"machine", "amps", "air"}
)

func with(some []string, more ...string) []string {
	return append(append([]string(nil), some...), more...)
}

// routes are the whole API. A command that is not here cannot be asked for, nor a
// flag: none here names a file.
var routes = []route{
	{method: "GET", path: "/api/suggest", command: []string{"suggest"}, flags: with(jobFlags, "machine"), words: true},
	{method: "POST", path: "/api/log", command: []string{"log"}, status: http.StatusCreated, flags: with(with(jobFlags, weldFlags...), "from", "machine", "id"), lists: []string{"symptom", "test"}, words: true},
	{method: "GET", path: "/api/find", command: []string{"find"}, flags: []string{"thickness", "within", "steel", "joint", "position", "wire", "machine", "rating", "symptom", "since", "limit"}, switches: []string{"struck"}, words: true},
	{method: "GET", path: "/api/welds/{mark}", command: []string{"show"}, named: []string{"mark"}},
	{method: "POST", path: "/api/welds/{mark}/strike", command: []string{"strike"}, named: []string{"mark"}, flags: []string{"why"}},
}
