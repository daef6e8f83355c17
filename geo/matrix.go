package geo

import "fmt"

// Matrix holds the drives between two lists of points: row = from, column = to,
// stored row by row, whole metres and whole seconds.
type Matrix struct {
	Rows, Columns int
	Metres        []int32 // Rows × Columns
	Seconds       []int32 // Rows × Columns
}

// NewMatrix makes a matrix of zeros.
func NewMatrix(rows, columns int) Matrix {
	return Matrix{
		Rows: rows, Columns: columns,
		Metres:  make([]int32, rows*columns),
		Seconds: make([]int32, rows*columns),
	}
}

// At gives the drive from row i to column j.
func (m Matrix) At(i, j int) Travel {
	k := i*m.Columns + j
	return Travel{Metres: Metres(m.Metres[k]), Seconds: Seconds(m.Seconds[k])}
}

// Set stores the drive from row i to column j, which must fit 32 bits (any drive
// on the earth does).
func (m Matrix) Set(i, j int, t Travel) {
	k := i*m.Columns + j
	m.Metres[k] = int32(t.Metres)
	m.Seconds[k] = int32(t.Seconds)
}

// Validate reports a matrix whose slices do not fit its shape or that holds a
// negative length or time.
func (m Matrix) Validate() error {
	if m.Rows < 0 || m.Columns < 0 || len(m.Metres) != m.Rows*m.Columns || len(m.Seconds) != m.Rows*m.Columns {
		return fmt.Errorf("matrix of %d by %d holds %d lengths and %d times", m.Rows, m.Columns, len(m.Metres), len(m.Seconds))
	}
	for k := range m.Metres {
		if m.Metres[k] < 0 || m.Seconds[k] < 0 {
			return fmt.Errorf("matrix row %d, column %d is negative", k/m.Columns, k%m.Columns)
		}
	}
	return nil
}
