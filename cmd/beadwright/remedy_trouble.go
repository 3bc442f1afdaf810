package main

import (
	"slices"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/remedy"
)

// danger answers where a danger was heard: what to do, before any talk of beads. No
// notebook is opened, so that nothing wrong with one stands in the way.
func (a *app) danger(said string, heard procedures.Heard) error {
	out := advised{Said: said, Troubles: remedy.Troubles(heard.Troubles), Sources: map[string]string{}, Cautions: []caution.Caution{
		{Level: caution.Care, Key: "first-aid", Text: "The helpers on the phone, the machine's manual and licensed trades know more than this: first aid here is from memory.", Source: []string{"MEM", "CP"}},
	}}
	out.Advice = remedy.Advice{Causes: []remedy.Cause{}, Unlogged: []string{}, Questions: []remedy.Question{}}
	out.Symptoms, out.Signs = remedy.Names(heard)
	out.cite()
	if a.json {
		return a.printJSON(out)
	}
	a.printTroubles(out.Troubles)
	a.printCautions(out.Cautions)
	a.printSources(out.Sources)
	return nil
}

// printTroubles prints what to do about troubles, the first thing of each on top.
func (a *app) printTroubles(list []remedy.Trouble) {
	for _, t := range list {
		a.line("FIRST", t.Do[0].Text+" ["+strings.Join(t.Do[0].Source, " ")+"]")
	}
	for i, t := range list {
		if i == 0 {
			a.printf("\nand then\n")
		}
		for _, d := range t.Do[1:] {
			a.bullet(d.Text, d.Source)
		}
	}
}

// printAround prints cautions and sources under an answer that is about no bead.
func (a *app) printAround(cautions []caution.Caution, sources map[string]string) {
	own, standing := parted(cautions)
	a.printCautions(own)
	for i := range standing {
		standing[i].Text = firstSentence(standing[i].Text)
	}
	a.printTitled("always", standing)
	a.printSources(sources)
}

func sourcesOf(list []remedy.Trouble) map[string]string {
	cited := map[string]string{}
	for _, t := range list {
		for _, d := range t.Do {
			for _, id := range d.Source {
				cited[id] = data.Cite(id)[0]
			}
		}
	}
	return cited
}

// aboutWeld puts the mark of the weld that is spoken of into what to type.
func aboutWeld(list []remedy.Trouble, w *procedures.Weld) []remedy.Trouble {
	if w == nil {
		return list
	}
	for i := range list {
		list[i].Do = slices.Clone(list[i].Do)
		for j := range list[i].Do {
			list[i].Do[j].Text = strings.ReplaceAll(list[i].Do[j].Text, "test MARK", "test "+w.Mark)
		}
	}
	return list
}
