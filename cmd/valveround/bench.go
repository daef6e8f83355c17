package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"

	"valveround/geo/bench"
)

// benchCommand measures parts of the program on this machine.
type benchCommand struct {
	Geo    benchGeoCommand `cmd:"" help:"Measure distances, matrices and the spatial index against plain haversine loops."`
	Routes benchRoutes     `cmd:"" help:"Plan published routing instances and compare with the best known."`
}

type benchGeoCommand struct {
	JSON bool `name:"json" help:"One JSON object a line."`
	Dump int  `help:"Write this many random cells of the matrices instead, one a line: lat1,lon1,lat2,lon2,metres."`
}

// Run implements the command.
func (c *benchGeoCommand) Run(ctx context.Context, to streams) error {
	if c.Dump < 0 {
		return fmt.Errorf("--dump %d: a number of cells is not below 0", c.Dump)
	}
	if c.Dump > 0 {
		out := bufio.NewWriter(to.out)
		if err := bench.Dump(ctx, out, c.Dump); err != nil {
			return err
		}
		return out.Flush()
	}
	lines := json.NewEncoder(to.out)
	return bench.Run(ctx, func(f bench.Figure) error {
		if c.JSON {
			return lines.Encode(f)
		}
		_, err := fmt.Fprintln(to.out, f)
		return err
	})
}
