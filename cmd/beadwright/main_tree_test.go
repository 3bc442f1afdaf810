package main

import (
	"bytes"
	"testing"

	"github.com/spf13/pflag"
)

// TestCommandsByName: a line that names a command gets that one alone, under the name
// that it has itself; any other line gets them all.
func TestCommandsByName(t *testing.T) {
	all := commands()
	for name, command := range all {
		if cmd := command(&app{}); cmd.Name() != name || len(cmd.Aliases) > 0 {
			t.Errorf("the command under %q is called %q, also %v", name, cmd.Name(), cmd.Aliases)
		}
		for _, line := range [][]string{{name}, {"--json", "--notebook", "suggest", "--units=metric", name, "log"}, {name, "--help"}} {
			if got := newRoot(&app{}, line...).Commands(); len(got) != 1 || got[0].Name() != name {
				t.Errorf("%v: %d commands, want %s alone", line, len(got), name)
			}
		}
	}
	for _, line := range [][]string{nil, {"--help"}, {"help", "log"}, {"__complete", "log", ""}, {"completion", "bash"}, {"lgo", "log"}, {"--", "log"}, {"-x", "log"}, {"--notebook", "log"}, {"--bogus", "log"}} {
		if got := newRoot(&app{}, line...).Commands(); len(got) != len(all) {
			t.Errorf("%v: %d commands, want all %d", line, len(got), len(all))
		}
	}
}

// TestCommandAloneHelps: the help of a command is the same whether the others were made
// or not, and so are the flags.
func TestCommandAloneHelps(t *testing.T) {
	help := func(name string, made ...string) string {
		var out bytes.Buffer
		root := newRoot(&app{}, made...)
		root.SetOut(&out)
		root.SetArgs([]string{name, "--help"})
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Fatal(err)
		}
		cmd, _, _ := root.Find([]string{name})
		cmd.Flags().VisitAll(func(f *pflag.Flag) { out.WriteString(f.Name + " " + f.DefValue + "\n") })
		return out.String()
	}
	for name := range commands() {
		if alone, among := help(name, name), help(name); alone != among {
			t.Errorf("%s alone:\n%s\namong all:\n%s", name, alone, among)
		}
	}
}
