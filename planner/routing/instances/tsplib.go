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

// TSPLIB is one symmetric instance in the format of G. Reinelt, ORSA Journal on
// Computing 3:376 (1991), with its nodes given by coordinates. Node 1 of the file is
// node 0 here.
type TSPLIB struct {
	Name  string
	Rule  TSPLIBRule
	Nodes [][2]float64 // as they stand in the file; for GEO latitude and longitude as DDD.MM
}

// TSPLIBRule is how an instance's coordinates become lengths: whole numbers, by the
// format's own description.
type TSPLIBRule string

const (
	// Geo is the great circle of the format: coordinates in degrees and minutes
	// (DDD.MM), π as 3.141592, a radius of 6378.388 km, cut off after adding 1. It
	// belongs to the benchmark alone: package geo measures the earth.
	Geo TSPLIBRule = "GEO"
	// Euclidean is the distance on the plane, rounded to the nearest.
	Euclidean TSPLIBRule = "EUC_2D"
	// PseudoEuclidean is √((Δx² + Δy²)/10), rounded up.
	PseudoEuclidean TSPLIBRule = "ATT"
)

// ReadTSPLIB reads an instance. Errors name the line.
func ReadTSPLIB(r io.Reader) (TSPLIB, error) {
	lines := lineReader{scanner: bufio.NewScanner(r)}
	var t TSPLIB
	count, err := t.header(&lines)
	if err != nil {
		return TSPLIB{}, err
	}
	for i := range count {
		text, err := lines.next("a node")
		if errors.Is(err, io.EOF) {
			return TSPLIB{}, fmt.Errorf("line %d: the file ends after %d of %d nodes", lines.line, i, count)
		}
		if err != nil {
			return TSPLIB{}, err
		}
		node, err := t.node(text, i+1)
		if err != nil {
			return TSPLIB{}, fmt.Errorf("line %d: %w", lines.line, err)
		}
		t.Nodes = append(t.Nodes, node)
	}
	return t, nil
}

// header reads up to the coordinates and gives the number of nodes.
func (t *TSPLIB) header(lines *lineReader) (count int, err error) {
	for {
		text, err := lines.next("the header")
		if errors.Is(err, io.EOF) {
			return 0, errors.New("the file has no NODE_COORD_SECTION")
		}
		if err != nil {
			return 0, err
		}
		key, value, _ := strings.Cut(text, ":")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		switch key {
		case "NAME":
			t.Name = strings.TrimSuffix(value, ".tsp")
		case "TYPE":
			if value != "TSP" {
				return 0, fmt.Errorf("line %d: type %q, only TSP is read", lines.line, value)
			}
		case "DIMENSION":
			count, err = strconv.Atoi(value)
			if err != nil || count < 1 || count > maxCustomers {
				return 0, fmt.Errorf("line %d: %q nodes, need 1 to %d", lines.line, value, maxCustomers)
			}
		case "EDGE_WEIGHT_TYPE":
			t.Rule = TSPLIBRule(value)
			if t.Rule != Geo && t.Rule != Euclidean && t.Rule != PseudoEuclidean {
				return 0, fmt.Errorf("line %d: distance rule %q is not read", lines.line, value)
			}
		case "NODE_COORD_SECTION":
			if count == 0 || t.Rule == "" {
				return 0, fmt.Errorf("line %d: nodes before their number and distance rule", lines.line)
			}
			return count, nil
		}
	}
}

func (t *TSPLIB) node(text string, number int) (node [2]float64, err error) {
	words := strings.Fields(text)
	if len(words) != 3 || strings.TrimLeft(words[0], "0") != strconv.Itoa(number) {
		return node, fmt.Errorf("expected node %d and two coordinates, found %q", number, text)
	}
	for k := range node {
		node[k], err = strconv.ParseFloat(words[k+1], 64)
		if err != nil || !(math.Abs(node[k]) <= maxNumber) {
			return node, fmt.Errorf("field %d: %q is not a coordinate", k+2, words[k+1])
		}
	}
	if t.Rule == Geo && (math.Abs(node[0]) > 90 || math.Abs(node[1]) > 180) {
		return node, fmt.Errorf("%q is no latitude and longitude", text)
	}
	return node, nil
}

// Leg is the length from node i to node j.
func (t TSPLIB) Leg(i, j int) int64 {
	a, b := t.Nodes[i], t.Nodes[j]
	switch t.Rule {
	case Geo:
		const radius = 6378.388
		lat1, lat2, dLon := minutesRad(a[0]), minutesRad(b[0]), minutesRad(a[1])-minutesRad(b[1])
		q1, q2, q3 := math.Cos(dLon), math.Cos(lat1-lat2), math.Cos(lat1+lat2)
		return int64(radius*math.Acos(0.5*((1+q1)*q2-(1-q1)*q3)) + 1)
	case PseudoEuclidean:
		return int64(math.Ceil(math.Sqrt((square(a[0]-b[0]) + square(a[1]-b[1])) / 10)))
	default:
		return int64(math.Sqrt(square(a[0]-b[0])+square(a[1]-b[1])) + 0.5)
	}
}

func square(x float64) float64 { return x * x }

// minutesRad turns DDD.MM into radians, with the format's π.
func minutesRad(x float64) float64 {
	degrees := math.Trunc(x)
	return 3.141592 * (degrees + 5*(x-degrees)/3) / 180
}

// TourLength is the length of a closed tour through nodes of the instance.
func (t TSPLIB) TourLength(tour []int) int64 {
	var sum int64
	for i, node := range tour {
		sum += t.Leg(node, tour[(i+1)%len(tour)])
	}
	return sum
}

// ReadTSPLIBTour reads a tour file of an instance of count nodes: every node once.
func ReadTSPLIBTour(r io.Reader, count int) ([]int, error) {
	lines := lineReader{scanner: bufio.NewScanner(r)}
	for {
		text, err := lines.next("the tour")
		if errors.Is(err, io.EOF) {
			return nil, errors.New("the file has no TOUR_SECTION")
		}
		if err != nil {
			return nil, err
		}
		if strings.TrimSpace(text) == "TOUR_SECTION" {
			break
		}
	}
	var tour []int
	seen := map[int]bool{}
	for {
		text, err := lines.next("the tour")
		if errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("line %d: the tour does not end with -1", lines.line)
		}
		if err != nil {
			return nil, err
		}
		for word := range strings.FieldsSeq(text) {
			n, err := strconv.Atoi(word)
			if n == -1 && err == nil {
				if len(tour) != count {
					return nil, fmt.Errorf("line %d: the tour has %d of %d nodes", lines.line, len(tour), count)
				}
				return tour, nil
			}
			if err != nil || n < 1 || n > count || seen[n] {
				return nil, fmt.Errorf("line %d: %q is no node, or twice in the tour", lines.line, word)
			}
			seen[n] = true
			tour = append(tour, n-1)
		}
	}
}

// Spec is the instance as a problem: one crew leaves node 1, visits every other
// node once and is back, and pays for length only.
func (t TSPLIB) Spec() routing.Spec {
	n := len(t.Nodes)
	m := routing.MatrixTravel{Places: n, Metres: make([]int32, n*n), Seconds: make([]int32, n*n)}
	for i := range n {
		for j := range n {
			if i != j {
				m.Metres[i*n+j] = int32(t.Leg(i, j))
			}
		}
	}
	spec := routing.Spec{Places: n, Travel: m, Routes: []routing.Route{{Name: "tour", CostPerMetre: 1}}}
	for i := 1; i < n; i++ {
		spec.Visits = append(spec.Visits, routing.Visit{Name: strconv.Itoa(i + 1), Place: routing.PlaceIndex(i), Required: true})
	}
	return spec
}
