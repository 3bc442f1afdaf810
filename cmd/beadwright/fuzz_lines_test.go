package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// spoken is what may stand behind a command or a flag of any command: what some take,
// and what none does.
var spoken = strings.Split(`1/8|1/4|16 ga|3 mm|1/8 mild tee flat|16ga tube to 1/8 plate lap vertical down|3/16 in A36 butt overhead|tee|lap|butt|corner|flat|horizontal|vertical up|overhead
4|5|1|0|-1|2..4|4+|4.5|middle third|1..10|110ipm|3 m/min|12 in/min|0.035 E71T-11|E71T-GS|0.030|low|high|min|max|low=14V,high=17V
A1|A2|A3|A7|B1|Z99|A1..A4|A1,A2|little red|shed|gate hinge|table leg|leg|mild|A36|stainless|cast iron|trailer hitch
yesterday|30d|2026-01-31|10 min ago|08:15|20s|90 s|2 h|1e9|1e-9|NaN|0/0|99999999|½|
break=held|bend=cracked|bend=held|popping|porosity|spatter, undercut|worm holes|held|failed|cracked along the toe|shock from the torch
17V|90A|20%|50 ft|25 ft 12 awg|14/2|120 V|60 Hz|2x 3x4 1/8 mild|12x2 in|42in|10|2 lb|400 g|500 degC|dcen|dcep|ac|us|metric
x.svg|x.pdf|x.html|x.csv|x.jsonl|x.db|x.png|notebook.db|-|.|bead|back|fridge 6A|heater=1500W|all|none|yes|no|q|rating|wire speed|up|down|too hot|HELP
`, "\n")

// dictionary is every value of spoken, one by one.
func dictionary() (all []string) {
	for _, line := range spoken {
		all = append(all, strings.Split(line, "|")...)
	}
	return all
}

// saying is a command with the flags that it takes.
type saying struct {
	words []string
	flags []*pflag.Flag
}

// sayings lists every command, but those that wait for somebody.
func sayings() (all []saying) {
	var walk func(cmd *cobra.Command, words []string)
	walk = func(cmd *cobra.Command, words []string) {
		if name := cmd.Name(); name == "serve" || name == "watch" || name == "completion" {
			return
		}
		s := saying{words: words}
		take := func(f *pflag.Flag) {
			if f.Name != "notebook" {
				s.flags = append(s.flags, f)
			}
		}
		cmd.LocalFlags().VisitAll(take)
		cmd.InheritedFlags().VisitAll(take)
		if all = append(all, s); len(words) == 0 {
			all = nil // the program without a word
		}
		for _, sub := range cmd.Commands() {
			walk(sub, append(words[:len(words):len(words)], sub.Name()))
		}
	}
	walk(newRoot(&app{}), nil)
	return all
}

// FuzzLines puts command lines together out of commands, their flags and things that
// welders say, and runs some of them one after the other on a notebook that holds
// something of everything: no panic, a status from 0 to 3, nothing written where the
// answer was no, and a sound notebook at the end.
func FuzzLines(f *testing.F) {
	random := rand.New(rand.NewPCG(79, 83))
	for range 60 {
		b := make([]byte, 30)
		for i := range b {
			b[i] = byte(random.Uint32())
		}
		f.Add(b)
	}
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		f.Setenv("TMPDIR", "/dev/shm") // in memory: thousands of runs, each with a disk to wait for
	}
	all, words := sayings(), dictionary()
	whole := newestNotebook(f)
	dir := f.TempDir()
	path := filepath.Join(dir, "notebook.db")
	f.Setenv("BEADWRIGHT_NOTEBOOK", path)
	f.Fuzz(func(t *testing.T, choices []byte) {
		t.Chdir(dir)
		if left, err := os.ReadDir(dir); err == nil {
			for _, e := range left {
				if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
					t.Fatal(err)
				}
			}
		}
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		before := whole
		for range 4 {
			var line []string
			if line, choices = chosen(all, words, choices); line == nil {
				break
			}
			status, out, complaint := attempt(line...)
			if status < 0 || status > 3 {
				t.Errorf("%q: status %d", line, status)
			}
			if strings.Contains(out+complaint, "a fault of the program") {
				t.Errorf("%q: %s%s", line, out, complaint)
			}
			after, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if status != 0 && !bytes.Equal(before, after) {
				t.Errorf("%q: status %d, and the notebook has changed: %s", line, status, complaint)
			}
			before = after
		}
		intact(t, path)
	})
}

// chosen makes a command line of choices, and returns those left; nil where there are
// none.
func chosen(all []saying, words []string, choices []byte) (line []string, left []byte) {
	if len(choices) == 0 {
		return nil, nil
	}
	next := func(n int) int {
		if len(choices) == 0 {
			return 0
		}
		c := int(choices[0])
		choices = choices[1:]
		return c % n
	}
	s := all[next(len(all))]
	line = append([]string{}, s.words...)
	for range next(4) {
		f := s.flags[next(len(s.flags))]
		if f.Value.Type() == "bool" {
			line = append(line, "--"+f.Name)
		} else {
			line = append(line, "--"+f.Name+"="+words[next(len(words))])
		}
	}
	for range next(4) {
		said := words[next(len(words))]
		if strings.HasPrefix(said, "-") {
			line = append(line, "--")
		}
		if line = append(line, said); next(2) == 0 && said != "" {
			line = append(line[:len(line)-1], strings.Fields(said)...)
		}
	}
	return line, choices
}

// newestNotebook is a notebook of the latest form with something of everything in it.
func newestNotebook(t testing.TB) []byte {
	t.Helper()
	var n int
	var newest string
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "notebooks", "v*.db"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		number := 0
		for _, c := range strings.TrimSuffix(filepath.Base(f), ".db")[1:] {
			number = 10*number + int(c-'0')
		}
		if number > n {
			n, newest = number, f
		}
	}
	b, err := os.ReadFile(newest)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "notebook.db")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	nb, err := store.Open(t.Context(), path, store.Options{}) // brings it to this form
	if err == nil {
		_, err = nb.AddWeld(t.Context(), procedures.Weld{Job: procedures.Job{Thickness: procedures.Inches(0.125), Joint: procedures.Tee}, Outcome: procedures.Outcome{Rating: 4}})
	}
	if err == nil {
		err = nb.Close()
	}
	if err == nil {
		b, err = os.ReadFile(path)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}
