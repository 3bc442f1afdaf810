package paper

import (
	"maps"
	"slices"
)

func sorted[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }
