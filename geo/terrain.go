package geo

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/s2"
)

// Terrain is what a person has set down of how one drives in a country: kinds of
// area with a detour factor and a speed by the hour, where they are, and what cannot
// be crossed. [Terrain.At] makes a travel model of it.
//
// A drive follows the shortest way that crosses no barrier except at its crossings;
// half of it is driven as in the area where it begins, half as in the one where it
// ends.
type Terrain struct {
	Kinds        []AreaKind // at least one; the first holds wherever no area is drawn
	Areas        []Area     // a later one lies over the earlier
	Barriers     []Barrier
	FixedSeconds Seconds // added to every drive between two different points, 0 to 3,600
}

// AreaKind is a kind of area: a town, open country.
type AreaKind struct {
	Name         string
	DetourFactor float64   // road length over the way as the crow flies, 1 to 5
	SpeedKmh     float64   // mean driving speed, 1 to 200
	SpeedByHour  []float64 // factors on the speed by local hour, 24 of them from 0.1 to 2; or none
}

// Area is a piece of ground of one kind.
type Area struct {
	Name    string
	Kind    string  // the name of its kind
	Outline []Point // three points or more in either direction, the last not the first; the smaller side is inside
}

// Barrier is a line that cannot be crossed, a river or a motorway, drawn by hand. It
// can be driven round at its ends.
type Barrier struct {
	Name      string
	Line      []Point // two points or more; a ring when the last is the first
	Crossings []Point // bridges and the like, at most 250 m from the line
}

// Validate reports every fault of the settings.
func (t Terrain) Validate() error {
	_, err := t.At(0)
	return err
}

// At makes the travel model of a local hour, 0 to 23. Every fault of the settings is
// in the error.
func (t Terrain) At(hour int) (*TerrainModel, error) {
	m := &TerrainModel{terrain: t, hour: hour}
	var errs []error
	if hour < 0 || hour > 23 {
		errs = append(errs, fmt.Errorf("hour %d is outside 0 to 23", hour))
	}
	if len(t.Kinds) == 0 {
		errs = append(errs, errors.New("no kind of area is set"))
	}
	named := map[string]int{}
	for i, k := range t.Kinds {
		if _, twice := named[k.Name]; twice || k.Name == "" {
			errs = append(errs, fmt.Errorf("kind %d: the name %q is empty or taken", i+1, k.Name))
		}
		named[k.Name] = i
		errs = append(errs, k.validate(t.FixedSeconds))
		m.kinds = append(m.kinds, k.at(hour, t.FixedSeconds))
	}
	for i, a := range t.Areas {
		loop, err := a.loop()
		kind, known := named[a.Kind]
		if err == nil && !known {
			err = fmt.Errorf("no kind is called %q", a.Kind)
		}
		if err != nil {
			errs = append(errs, fmt.Errorf("area %d (%s): %w", i+1, a.Name, err))
			continue
		}
		m.areas = append(m.areas, ground{loop, kind})
	}
	var err error
	m.barriers, err = newBarriers(t.Barriers)
	if err = errors.Join(append(errs, err)...); err != nil {
		return nil, fmt.Errorf("travel model: %w", err)
	}
	return m, nil
}

func (k AreaKind) validate(fixed Seconds) error {
	err := GreatCircle{k.DetourFactor, k.SpeedKmh, fixed}.Validate()
	if n := len(k.SpeedByHour); n != 0 && n != 24 {
		err = errors.Join(err, fmt.Errorf("%d factors by hour, need 24 or none", n))
	}
	for hour, factor := range k.SpeedByHour {
		if !(factor >= 0.1 && factor <= 2) {
			err = errors.Join(err, fmt.Errorf("factor %v at %d o'clock is outside 0.1 to 2", factor, hour))
		}
	}
	if err != nil {
		return fmt.Errorf("kind %q: %w", k.Name, err)
	}
	return nil
}

// at is how one drives in the area at one hour.
func (k AreaKind) at(hour int, fixed Seconds) GreatCircle {
	g := GreatCircle{k.DetourFactor, k.SpeedKmh, fixed}
	if hour >= 0 && hour < len(k.SpeedByHour) {
		g.SpeedKmh *= k.SpeedByHour[hour]
	}
	return g
}

func (a Area) loop() (*s2.Loop, error) {
	corners := make([]s2.Point, len(a.Outline))
	for i, p := range a.Outline {
		if !p.IsSet() {
			return nil, fmt.Errorf("corner %d: %w", i+1, ErrUnset)
		}
		corners[i] = s2Point(p)
	}
	if len(corners) < 3 {
		return nil, fmt.Errorf("an outline of %d corners, need 3", len(corners))
	}
	loop := s2.LoopFromPoints(corners)
	if err := loop.Validate(); err != nil {
		return nil, fmt.Errorf("its outline meets itself or repeats a corner: %w", err)
	}
	if loop.Area() > 2*math.Pi { // drawn clockwise
		loop.Invert()
	}
	return loop, nil
}

// TerrainModel is a [Terrain] at one hour, ready to answer. It does not change.
type TerrainModel struct {
	terrain  Terrain
	hour     int
	kinds    []GreatCircle
	areas    []ground
	barriers barriers
}

type ground struct {
	*s2.Loop
	kind int
}

var _ Model = (*TerrainModel)(nil)

// spot is a point as the model needs it.
type spot struct {
	vector
	kind int
	ways ways
}

func (m *TerrainModel) spot(p Point) spot {
	s := spot{vector: unitVector(p)}
	at := s.s2()
	for _, a := range slices.Backward(m.areas) {
		if a.ContainsPoint(at) {
			s.kind = a.kind
			break
		}
	}
	return s
}

// Travel implements [Model].
func (m *TerrainModel) Travel(from, to Point) Travel {
	if !from.IsSet() || !to.IsSet() {
		panic("geo: travel needs two set points")
	}
	a, b := m.spot(from), m.spot(to)
	if m.barriers.between(a.vector, b.vector) {
		a.ways, b.ways = m.barriers.ways(a.vector), m.barriers.ways(b.vector)
	}
	return m.between(&a, &b)
}

// between is the drive between two spots, the same in both directions.
func (m *TerrainModel) between(a, b *spot) Travel {
	if b.vector.before(a.vector) {
		a, b = b, a
	}
	half := float64(MeanRadius) * m.barriers.angle(a, b) / 2
	if half == 0 {
		return Travel{}
	}
	road, seconds := 0.0, 0.0
	for _, s := range []*spot{a, b} {
		kind := &m.kinds[s.kind]
		part := float64(half * kind.DetourFactor) // rounded, that every machine agrees
		road += part
		seconds += part * 3.6 / kind.SpeedKmh
	}
	return Travel{Metres: Metres(math.Round(road)), Seconds: Seconds(math.Ceil(seconds)) + m.terrain.FixedSeconds}
}

// before orders vectors, so that both directions of a drive are added up alike.
func (v vector) before(w vector) bool {
	switch {
	case v.x != w.x:
		return v.x < w.x
	case v.y != w.y:
		return v.y < w.y
	}
	return v.z < w.z
}

// Matrix implements [Model].
func (m *TerrainModel) Matrix(ctx context.Context, from, to []Point, progress func(done, total int)) (Matrix, error) {
	rows, err := m.spots(ctx, "from", from)
	if err != nil {
		return Matrix{}, err
	}
	columns, err := m.spots(ctx, "to", to)
	if err != nil {
		return Matrix{}, err
	}
	out := NewMatrix(len(from), len(to))
	err = eachRow(ctx, out.Rows, out.Columns, progress, func(i int) {
		for j := range columns {
			out.Set(i, j, m.between(&rows[i], &columns[j]))
		}
	})
	if err != nil {
		return Matrix{}, fmt.Errorf("travel matrix: %w", err)
	}
	return out, nil
}

func (m *TerrainModel) spots(ctx context.Context, list string, points []Point) ([]spot, error) {
	for i, p := range points {
		if !p.IsSet() {
			return nil, fmt.Errorf("%s[%d]: %w", list, i, ErrUnset)
		}
	}
	spots := make([]spot, len(points))
	// A spot looks at every corner past every piece of barrier: count it as so many
	// pairs.
	err := eachRow(ctx, len(points), 1+len(m.barriers.corners)*len(m.barriers.pieces), nil, func(i int) {
		spots[i] = m.spot(points[i])
		spots[i].ways = m.barriers.ways(spots[i].vector)
	})
	if err != nil {
		return nil, fmt.Errorf("travel matrix: %w", err)
	}
	return spots, nil
}

// Describe implements [Model].
func (m *TerrainModel) Describe() string {
	text := fmt.Sprintf("at %d o'clock", m.hour)
	for i, k := range m.kinds {
		text += fmt.Sprintf(", %s × %.4g at %.4g km/h", m.terrain.Kinds[i].Name, k.DetourFactor, k.SpeedKmh)
	}
	if n := len(m.terrain.Barriers); n > 0 {
		text += fmt.Sprintf(", round %d barriers or over their crossings", n)
	}
	if m.terrain.FixedSeconds > 0 {
		text += fmt.Sprintf(", %s added to each drive", m.terrain.FixedSeconds)
	}
	return text
}
