package main

import (
	"fmt"
	"strconv"

	"valveround/events"
)

// settingsCommand lists what plans are made with.
type settingsCommand struct {
	File string `arg:"" optional:"" name:"settings" help:"JSON file with what is otherwise than by default, as plan --settings takes it." type:"existingfile"`
}

func (c *settingsCommand) Run(io streams) error {
	s, err := source{Settings: c.File}.settings(events.NewBook(), "")
	if err != nil {
		return err
	}
	group := ""
	for _, x := range s.Explain() {
		if x.Group != group {
			group = x.Group
			fmt.Fprintln(io.out, group)
		}
		said := plainNumber(x.Number) + " " + x.Unit
		if x.Number != x.Default {
			said += " (default " + plainNumber(x.Default) + ")"
		}
		fmt.Fprintf(io.out, "  %-42s %s: %s\n", x.Name, x.Words, said)
	}
	fmt.Fprintln(io.out, "All are common practice to start from, but where a source is named in the program's documentation; local code decides.")
	return nil
}

func plainNumber(n float64) string { return strconv.FormatFloat(n, 'f', -1, 64) }
