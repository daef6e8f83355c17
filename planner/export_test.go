package planner

import (
	"maps"
	"slices"
)

// MeaningNames are the settings that are explained; places in a list are written #.
func MeaningNames() []string { return slices.Sorted(maps.Keys(meanings)) }

// Generic is a setting's name as MeaningNames writes it.
func Generic(name string) string { return generic(name) }
