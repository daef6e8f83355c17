package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/services/intake/positions"
	"valveround/services/intake/positions/postal"
)

// places matches a file of positions with the sites, says what matched and how surely, and takes what is sure enough.
func (c *importCommand) places(ctx context.Context, s streams, k *keeper.Keeper) error {
	data, err := os.ReadFile(c.Positions)
	if err != nil {
		return err
	}
	points, err := positions.ReadPoints(filepath.Base(c.Positions), data)
	if err != nil {
		return err
	}
	for _, f := range points.Faults {
		fmt.Fprintln(s.err, f)
	}
	office := events.OfficeID(c.Office)
	list := positions.Propose(k.Book(), office, points)
	fmt.Fprintf(s.out, "%s: %d rows (%s), %d left out\n", points.File, len(points.Rows), points.Source, points.Faulty)
	sayProposals(s, k.Book(), list)
	// The id follows from the file and from how much of it is taken, so that taking it in twice changes nothing twice.
	id := events.DeriveCommandID(events.CommandID{2}, "positions "+c.Take+" "+string(data))
	commands, refused := positions.Commands(k.Book(), office, id, "import", time.Now(), positions.SureEnough(list, postal.Sure(c.Take)))
	for _, r := range refused {
		fmt.Fprintln(s.err, r.Words)
	}
	results, err := k.Import(ctx, commands, nil)
	if err != nil {
		return err
	}
	taken := 0
	for i, r := range results {
		switch {
		case r.Err != nil:
			fmt.Fprintf(s.err, "%s: %v\n", commands[i].Do.(events.Put[events.SiteFacts]).ID, r.Err)
		case len(r.Receipt.EventIDs) > 0:
			taken++
		}
	}
	fmt.Fprintf(s.out, "%d positions taken\n", taken)
	return nil
}

// sayProposals prints a line a site, the surest first, and how many there are of each sort.
func sayProposals(s streams, b *events.Book, list []positions.Proposal) {
	counts := map[postal.Sure]int{}
	table := tabwriter.NewWriter(s.out, 0, 4, 2, ' ', 0)
	for _, p := range list {
		counts[p.Sure]++
		site, at := b.Sites[p.Site], "-"
		if p.At.IsSet() {
			at = fmt.Sprintf("%.5f, %.5f", p.At.LatDeg(), p.At.LonDeg())
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", p.Sure, site.Name, site.Address, at, p.Words)
	}
	_ = table.Flush() // writes to the same stream as the lines after it
	fmt.Fprintf(s.out, "sure %d, likely %d, to be looked at %d, not found %d\n", counts[postal.Certain], counts[postal.Likely], counts[postal.Ask], counts[postal.No])
}
