package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// racing is set where the race detector looks on.
var racing bool

// TestMain lets the test binary stand in for the program: under the name
// beadwright it is the program; with one of these set it is a program that logs
// weld after weld, keeps a day, or carries out one command line.
func TestMain(m *testing.M) {
	switch {
	case os.Getenv(writerEnv) != "":
		writer()
	case os.Getenv(dayEnv) != "":
		keepDay()
	case os.Getenv(lineEnv) != "":
		os.Exit(oneLineOnly())
	default:
		testscript.Main(tidy{m}, map[string]func(){"beadwright": main})
	}
}

// TestScripts plays the stories of testdata/script, each in a folder of its own.
func TestScripts(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and does not see what other processes do")
	}
	testscript.Run(t, testscript.Params{
		Dir:             filepath.Join("..", "..", "testdata", "script"),
		ContinueOnError: true, // so that one run tells all that is wrong
		Setup: func(env *testscript.Env) error {
			home := filepath.Join(env.WorkDir, "home")
			env.Setenv("HOME", home)
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Setenv("BEADWRIGHT_NOTEBOOK", filepath.Join(env.WorkDir, "notebook.db"))
			env.Setenv("ESC", "\x1b")
			return os.MkdirAll(home, 0o700)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": statusCommand,
			"json":   jsonCommand,
			"number": numberCommand,
			"patch":  patchCommand,
			"cut":    cutCommand,

			"shoot":    shootCommand,
			"remember": rememberCommand,
		},
	})
}
