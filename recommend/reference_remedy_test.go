package recommend_test

import (
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/remedy"
)

func init() {
	teach(map[string]func(in *inputs) any{
		// Which way the remedy that cites a source turns something for a symptom.
		"remedy": func(in *inputs) any {
			change, source := in.s("change"), in.s("source")
			for _, c := range remedy.Causes([]string{in.s("symptom")}, procedures.Process(in.s("process"))) {
				if c.Change == change && slices.Contains(c.Source, source) {
					return c.Direction
				}
			}
			return "nothing"
		},
	})
}
