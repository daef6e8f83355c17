package instances

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"valveround/planner/routing"
)

// Length is the distance of the routes as the convention publishes it: cut off
// after one decimal leg by leg, or in double precision.
func (s Solomon) Length(c Convention, routes [][]routing.VisitIndex) float64 {
	tenths, exact := int64(0), 0.0
	for _, route := range routes {
		at := s.Customers[0]
		for i := range len(route) + 1 {
			next := s.Customers[0]
			if i < len(route) {
				next = s.Customers[route[i]+1]
			}
			tenths += Truncated.Leg(at, next)
			exact += math.Hypot(float64(at.X-next.X), float64(at.Y-next.Y))
			at = next
		}
	}
	if c == Truncated {
		return float64(tenths) / 10
	}
	return exact
}

// WriteRoutes writes routes in the plain text of the public files: one line
// `Route #k: c1 c2 …` for each used route, then `Cost x`.
func WriteRoutes(w io.Writer, routes [][]routing.VisitIndex, cost float64) error {
	b := bufio.NewWriter(w)
	k := 0
	for _, route := range routes {
		if len(route) == 0 {
			continue
		}
		k++
		fmt.Fprintf(b, "Route #%d:", k)
		for _, v := range route {
			fmt.Fprintf(b, " %d", v+1)
		}
		fmt.Fprintln(b)
	}
	fmt.Fprintf(b, "Cost %s\n", strconv.FormatFloat(cost, 'f', -1, 64))
	return b.Flush()
}

// ReadRoutes reads what [WriteRoutes] writes. Lines that do not begin with
// Route are passed over. Errors name the line.
func ReadRoutes(r io.Reader) ([][]routing.VisitIndex, error) {
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	var routes [][]routing.VisitIndex
	for line := 1; lines.Scan(); line++ {
		head, stops, found := strings.Cut(lines.Text(), ":")
		if !found || !strings.HasPrefix(strings.TrimSpace(head), "Route") {
			continue
		}
		route := []routing.VisitIndex{}
		for _, word := range strings.Fields(stops) {
			customer, err := strconv.Atoi(word)
			if err != nil || customer < 1 || customer > maxCustomers {
				return nil, fmt.Errorf("line %d: %q is not a customer number", line, word)
			}
			route = append(route, routing.VisitIndex(customer-1))
		}
		routes = append(routes, route)
	}
	return routes, lines.Err()
}
