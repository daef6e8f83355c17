// Package instances reads published benchmark instances of vehicle routing into
// problems of package routing, each with its own rules for distance and rounding.
//
// For now: the text format of M. M. Solomon, Algorithms for the vehicle routing
// and scheduling problems with time window constraints, Operations Research 35:254
// (1987), used as well by H. Gehring and J. Homberger (EUROGEN99, 57-64, 1999).
// The reader takes an io.Reader; it opens no files.
package instances

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"valveround/planner/routing"
)

// Convention says how an instance's coordinates become lengths and times. Times
// of the file (windows, service) are scaled by the same factor.
type Convention int

const (
	// Truncated is the convention of the 12th DIMACS implementation challenge
	// (2022): a leg is the Euclidean distance cut off after one decimal,
	// floor(10·d)/10. One unit here is a tenth, so a cost is ten times the
	// published distance, and exact.
	Truncated Convention = iota
	// Exact stands for double precision: a leg is the Euclidean distance rounded
	// up to a ten-thousandth, so that no route found is late in truth. One unit
	// here is a ten-thousandth.
	Exact
)

// Scale is how many units here make one unit of the file.
func (c Convention) Scale() int64 {
	if c == Truncated {
		return 10
	}
	return 10_000
}

// Solomon is one instance as it stands in the file. Customer 0 is the depot.
type Solomon struct {
	Name      string
	Vehicles  int
	Capacity  int64
	Customers []Customer
}

// Customer is one line of the file.
type Customer struct {
	Number              int
	X, Y                int64
	Demand              int64
	Ready, Due, Service int64
}

// Bounds on what is read, far above any published instance.
const (
	maxCustomers = 20_000
	maxNumber    = 100_000_000
)

// ReadSolomon reads an instance. Column widths vary; fields are split on white
// space. Errors name the line.
func ReadSolomon(r io.Reader) (Solomon, error) {
	lines := lineReader{scanner: bufio.NewScanner(r)}
	var s Solomon
	name, err := lines.next("the name")
	if errors.Is(err, io.EOF) {
		return s, errors.New("the file is empty")
	}
	if err != nil {
		return s, err
	}
	s.Name = strings.TrimSpace(name)
	if err := lines.skip("VEHICLE", "NUMBER CAPACITY"); err != nil {
		return s, err
	}
	fleet, err := lines.numbers("vehicles and capacity", 2)
	if errors.Is(err, io.EOF) {
		return s, fmt.Errorf("line %d: the file ends before the vehicles", lines.line)
	}
	if err != nil {
		return s, err
	}
	s.Vehicles, s.Capacity = int(fleet[0]), fleet[1]
	if s.Vehicles < 1 || s.Vehicles > maxCustomers {
		return s, fmt.Errorf("line %d: %d vehicles, need 1 to %d", lines.line, s.Vehicles, maxCustomers)
	}
	if err := lines.skip("CUSTOMER", "CUST"); err != nil {
		return s, err
	}
	s.Customers, err = lines.customers()
	return s, err
}

func (l *lineReader) customers() ([]Customer, error) {
	var customers []Customer
	for {
		n, err := l.numbers("a customer", 7)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		if int(n[0]) != len(customers) {
			return nil, fmt.Errorf("line %d: customer %d, expected %d", l.line, n[0], len(customers))
		}
		if len(customers) > maxCustomers {
			return nil, fmt.Errorf("line %d: more than %d customers", l.line, maxCustomers)
		}
		c := Customer{Number: int(n[0]), X: n[1], Y: n[2], Demand: n[3], Ready: n[4], Due: n[5], Service: n[6]}
		if c.Due < c.Ready {
			return nil, fmt.Errorf("line %d: customer %d is due at %d, before it is ready at %d", l.line, c.Number, c.Due, c.Ready)
		}
		customers = append(customers, c)
	}
	if len(customers) == 0 {
		return nil, fmt.Errorf("line %d: no depot", l.line)
	}
	return customers, nil
}

type lineReader struct {
	scanner *bufio.Scanner
	line    int
}

// next is the next line that is not blank; io.EOF after the last.
func (l *lineReader) next(what string) (string, error) {
	for l.scanner.Scan() {
		l.line++
		if text := l.scanner.Text(); strings.TrimSpace(text) != "" {
			return text, nil
		}
	}
	if err := l.scanner.Err(); err != nil {
		return "", fmt.Errorf("line %d: reading %s: %w", l.line+1, what, err)
	}
	return "", io.EOF
}

// skip passes header lines, which must begin with the given words.
func (l *lineReader) skip(headers ...string) error {
	for _, header := range headers {
		text, err := l.next(header)
		if errors.Is(err, io.EOF) {
			return fmt.Errorf("line %d: the file ends before %s", l.line, header)
		}
		if err != nil {
			return err
		}
		words, want := strings.Fields(strings.ToUpper(text)), strings.Fields(header)
		for i := range want {
			if i >= len(words) || words[i] != want[i] {
				return fmt.Errorf("line %d: expected %s, found %q", l.line, header, text)
			}
		}
	}
	return nil
}

// numbers reads a line of count whole numbers, 0 up to maxNumber.
func (l *lineReader) numbers(what string, count int) ([]int64, error) {
	text, err := l.next(what)
	if err != nil {
		return nil, err
	}
	words := strings.Fields(text)
	if len(words) != count {
		return nil, fmt.Errorf("line %d: %s needs %d numbers, found %d", l.line, what, count, len(words))
	}
	numbers := make([]int64, count)
	for i, word := range words {
		n, err := strconv.ParseInt(word, 10, 64)
		if err != nil || n < 0 || n > maxNumber {
			return nil, fmt.Errorf("line %d, field %d: %q is not a whole number from 0 to %d", l.line, i+1, word, maxNumber)
		}
		numbers[i] = n
	}
	return numbers, nil
}

// Leg is the length of the drive between two customers, in units of the
// convention; driving takes as long as it is long.
func (c Convention) Leg(a, b Customer) int64 {
	dx, dy := a.X-b.X, a.Y-b.Y
	square := dx*dx + dy*dy
	if c == Truncated {
		return squareRoot(100 * square) // floor(10·d), in whole numbers
	}
	return int64(math.Ceil(math.Sqrt(float64(square)) * 10_000))
}

// squareRoot is the whole part of a square root.
func squareRoot(n int64) int64 {
	root := int64(math.Sqrt(float64(n)))
	for root*root > n {
		root--
	}
	for (root+1)*(root+1) <= n {
		root++
	}
	return root
}

// Spec makes the textbook problem: every customer required, total distance to be
// made small, no price on time. Visit i is customer i+1.
func (s Solomon) Spec(c Convention) routing.Spec {
	n := len(s.Customers)
	m := routing.MatrixTravel{Places: n, Metres: make([]int32, n*n), Seconds: make([]int32, n*n)}
	for i := range n {
		for j := range n {
			leg := min(c.Leg(s.Customers[i], s.Customers[j]), math.MaxInt32)
			m.Metres[i*n+j], m.Seconds[i*n+j] = int32(leg), int32(leg)
		}
	}
	spec := routing.Spec{Places: n, Travel: m}
	scale := routing.Seconds(c.Scale())
	depot := s.Customers[0]
	for range s.Vehicles {
		spec.Routes = append(spec.Routes, routing.Route{
			Earliest: routing.Seconds(depot.Ready) * scale, Latest: routing.Seconds(depot.Due) * scale,
			Capacity: []int64{s.Capacity}, CostPerMetre: 1,
		})
	}
	for i, customer := range s.Customers[1:] {
		spec.Visits = append(spec.Visits, routing.Visit{
			Name: strconv.Itoa(customer.Number), Place: routing.PlaceIndex(i + 1), Required: true,
			Service: routing.Seconds(customer.Service) * scale, Demand: []int64{customer.Demand},
			Windows: []routing.Window{{Open: routing.Seconds(customer.Ready) * scale, Close: routing.Seconds(customer.Due) * scale}},
		})
	}
	return spec
}

// First keeps the depot and the first count customers, as Solomon's own 25 and 50
// customer instances do.
func (s Solomon) First(count int) Solomon {
	s.Name = fmt.Sprintf("%s.%d", s.Name, count)
	s.Customers = s.Customers[:min(count+1, len(s.Customers))]
	return s
}
