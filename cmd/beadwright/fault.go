package main

import (
	"fmt"
	"runtime"
	"strings"
)

// faultError is a panic, told without anything of what was being written down.
type faultError struct{ what string }

func (e *faultError) Error() string {
	return "a fault of the program, not of yours; nothing half-written was kept"
}

func (e *faultError) hints() []string {
	return []string{"do it again; if it comes back, report it with this line: " + e.what}
}

// faultOf describes what recover returned: what went wrong and where. The words of
// a panic are shown only where the language itself says them, which names indexes
// and types; others may quote what was typed.
func faultOf(fault any) *faultError {
	what := fmt.Sprintf("%T", fault)
	if err, ok := fault.(runtime.Error); ok {
		what = err.Error()
	}
	return &faultError{what + ", at " + strings.Join(trace(), ", ")}
}

// trace names the functions of the program that a panic came through.
func trace() []string {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(4, pcs)])
	var at []string
	for {
		f, more := frames.Next()
		if strings.HasPrefix(f.Function, "beadwright/") || strings.HasPrefix(f.Function, "main.") {
			at = append(at, fmt.Sprintf("%s:%d", f.Function[strings.LastIndex(f.Function, "/")+1:], f.Line))
		}
		if !more || len(at) == 12 {
			return at
		}
	}
}
