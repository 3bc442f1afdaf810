package main

import (
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Say which version this is",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			v := "unknown"
			if info, ok := debug.ReadBuildInfo(); ok {
				v = info.Main.Version
			}
			if a.json {
				return a.printJSON(map[string]string{"version": v, "go": runtime.Version(), "os": runtime.GOOS, "arch": runtime.GOARCH})
			}
			a.printf("beadwright %s (%s, %s/%s)\n", v, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return nil
		},
	}
}
