package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// FuzzArgs runs any command line, parted at spaces: no panic, a status from 0 to
// 3, and no writing where the answer was no.
func FuzzArgs(f *testing.F) {
	for _, line := range []string{
		"suggest 1/8 mild tee flat 0.035 E71T-11", "suggest 16ga tube to 1/8 plate lap vertical down", "suggest 16 gauge lap", "suggest trailer hitch", "suggest 5/8 tee", "suggest --json 1/8 tee",
		"log 4 bit of spatter", "log 4 --knob 4.5 --tap high --test bend=held", "log 5 1/8 mild tee flat --wire-speed 110ipm", "find 1/8 tee", "find --rating 4+ --since 30d flxu", "show A1", "amend A1 --rating 3",
		"strike A1 --why wrong", "machine add b --taps low=14V,high=17V --knob 1..10", "machine list", "machine use shed", "wire add 0.030 E71T-GS --weight 2lb", "wire list", "version --json", "--help", "help suggest", "completion bash",
		"__complete suggest --joint ", "--units metric suggest 3 tee", "--json --units x find",
	} {
		f.Add(line)
	}
	for _, line := range fixedBad {
		f.Add(strings.Join(line, " "))
	}
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		f.Setenv("TMPDIR", "/dev/shm") // in memory: thousands of runs, each with a disk to wait for
	}
	path := shop(f)
	f.Chdir(filepath.Dir(path))
	whole, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := strings.Split(line, " ")
		if strings.Contains(line, "--notebook") || strings.Contains(line, "../") || slices.Contains(args, "serve") || slices.ContainsFunc(args, absolute) {
			t.Skip("would leave the folder, or wait for ever")
		}
		status, out, complaint := attempt(args...)
		if status < 0 || status > 3 {
			t.Errorf("status %d", status)
		}
		if strings.Contains(complaint, "a fault of the program") {
			t.Error(complaint)
		}
		if status == 2 {
			if !strings.Contains(complaint, "\nhint: ") && !isErrorObject(out) {
				t.Errorf("status 2 without a hint: %q %q", complaint, out)
			}
		}
		now, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(now, whole) {
			return
		}
		if status != 0 {
			t.Errorf("status %d, and the notebook has changed", status)
		}
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
	})
}

// absolute reports whether an argument, or the value of a flag, names a file from
// the top.
func absolute(arg string) bool {
	_, value, _ := strings.Cut(arg, "=")
	return strings.HasPrefix(arg, "/") || strings.HasPrefix(value, "/")
}

func isErrorObject(out string) bool {
	var doc struct {
		Error *failure `json:"error"`
	}
	return json.Unmarshal([]byte(out), &doc) == nil && doc.Error != nil && doc.Error.Message != "" && doc.Error.Hint != ""
}
