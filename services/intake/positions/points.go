package positions

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/positions/postal"
	"valveround/services/intake/sheet"
)

// Point is one row of a file: an address, a street or a postcode, and where it is.
type Point struct {
	Line    int
	Text    string // as written
	Address postal.Address
	At      geo.Point
}

// Points is a file that was read.
type Points struct {
	File    string
	Source  events.PositionSource // what its rows are: address points, street centres, or approximate for postcodes
	Columns map[string]string     // what was read → the header it stood under
	Rows    []Point
	Faults  []sheet.Fault
	Faulty  int // rows left out; Faults names the first of them
}

// Columns of a file of points. Their headers are those that counties and the next-generation 911 address model (NENA-STA-006,
// from memory) use, and plain words.
const (
	colNumber    = "house number"
	colBefore    = "direction before"
	colStreet    = "street"
	colType      = "street suffix"
	colAfter     = "direction after"
	colUnit      = "unit"
	colAddress   = "address"
	colTown      = "town"
	colCode      = "postcode"
	colLatitude  = "latitude"
	colLongitude = "longitude"
)

var headers = headerWords()

func headerWords() map[string]string {
	headers := map[string]string{}
	for column, words := range map[string]string{
		colNumber:    "housenumber houseno housenum number addrnum addressnumber addnumber stnum streetnumber addrhousenumber hsnbr civicnumber no num",
		colBefore:    "predir stpredir predirection prefixdirection prefdir prefix",
		colStreet:    "street streetname stname road roadname fullstreet fullstreetname fullname addrstreet stnam",
		colType:      "streettype sttype stpostyp streetsuffix suffixtype posttype suftype suffix type",
		colAfter:     "postdir stposdir sufdir postdirection suffixdirection",
		colUnit:      "unit apt suite addrunit unitnumber",
		colAddress:   "address fulladdress fulladdr siteaddress streetaddress addr addrfull addressline addressline1 address1",
		colTown:      "city town municipality postcity postcomm addrcity community incmuni place placename cityname village",
		colCode:      "zip zipcode postcode postalcode zip5 addrpostcode",
		colLatitude:  "lat latitude latdeg y ycoord latdd latwgs84",
		colLongitude: "lon long lng longitude londeg x xcoord londd lonwgs84 longdeg",
	} {
		for w := range strings.FieldsSeq(words) {
			headers[w] = column
		}
	}
	return headers
}

// headerKey writes a header for looking up: small letters and digits only.
func headerKey(header string) string {
	return strings.Map(func(r rune) rune {
		if r = unicode.ToLower(r); unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, header)
}

// headerRows is how many rows may stand above the header.
const headerRows = 20

// shownFaults is how many faulty rows are named.
const shownFaults = 20

// ReadPoints reads a file of positions: CSV or a spreadsheet. What its rows are follows from its columns: with house
// numbers or addresses they are address points, with streets only their centres, with postcodes only their centres.
func ReadPoints(name string, data []byte) (Points, error) {
	tables, err := sheet.Read(name, data, sheet.Limits{})
	if err != nil {
		return Points{}, err
	}
	for _, table := range tables {
		for i := range min(headerRows, len(table.Rows)) {
			if at := columnsOf(table, i); at[colLatitude] > 0 && at[colLongitude] > 0 {
				return readPoints(table, i, at)
			}
		}
	}
	return Points{}, fmt.Errorf("%s has no columns of latitude and longitude in its first %d rows; name them lat and lon, in degrees", name, headerRows)
}

// columnsOf finds the columns of a header row, each at its first place.
func columnsOf(table sheet.Table, i int) map[string]int {
	at := map[string]int{}
	for _, c := range table.Rows[i] {
		if column, ok := headers[headerKey(c.Text)]; ok && at[column] == 0 {
			at[column] = c.Col
		}
	}
	return at
}

func readPoints(table sheet.Table, header int, at map[string]int) (Points, error) {
	p := Points{File: table.File, Columns: map[string]string{}}
	for column, col := range at {
		p.Columns[column] = strings.TrimSpace(table.Cell(header, col).Text)
	}
	switch {
	case at[colAddress] > 0, at[colNumber] > 0 && at[colStreet] > 0:
		p.Source = events.AddressPoint
	case at[colStreet] > 0:
		p.Source = events.StreetCentre
	case at[colCode] > 0:
		p.Source = events.Approximate
	default:
		return p, fmt.Errorf("%s has positions, and no column of addresses, streets or postcodes to find them by", table.File)
	}
	for i := header + 1; i < len(table.Rows); i++ {
		p.row(table, i, at)
	}
	if len(p.Rows) == 0 {
		if len(p.Faults) > 0 {
			return p, fmt.Errorf("no row of the file could be read: %s", p.Faults[0])
		}
		return p, fmt.Errorf("%s has a header and no rows", table.File)
	}
	return p, nil
}

// row reads one row; a blank one is passed over, a faulty one is left out and named.
func (p *Points) row(table sheet.Table, i int, at map[string]int) {
	cell := func(column string) string {
		if at[column] == 0 {
			return ""
		}
		return strings.Join(strings.Fields(table.Cell(i, at[column]).Text), " ")
	}
	street := joinFilled(" ", cell(colNumber), cell(colBefore), cell(colStreet), cell(colType), cell(colAfter))
	if cell(colAddress) != "" {
		street = cell(colAddress)
	}
	if cell(colUnit) != "" && at[colAddress] == 0 {
		street += " Unit " + cell(colUnit)
	}
	lat, lon := cell(colLatitude), cell(colLongitude)
	if street == "" && cell(colTown) == "" && cell(colCode) == "" || lat == "" && lon == "" {
		return
	}
	where, err := degreesOf(lat, lon)
	if err != nil {
		p.Faulty++
		if len(p.Faults) < shownFaults {
			f := table.At(table.Cell(i, at[colLatitude]), p.Columns[colLatitude])
			f.Value, f.Problem, f.WhatToDo = lat+", "+lon, err.Error(), "export the file with latitude and longitude in degrees (WGS 84)"
			p.Faults = append(p.Faults, f)
		}
		return
	}
	text := joinFilled(", ", street, joinFilled(" ", cell(colTown), cell(colCode)))
	a := postal.Parse(text)
	if street == "" {
		a = postal.Address{Town: postal.Parse(", " + cell(colTown)).Town, Code: postal.Parse(", X " + cell(colCode)).Code}
	}
	p.Rows = append(p.Rows, Point{Line: table.RowNumber(i), Text: text, Address: a, At: where})
}

func joinFilled(gap string, parts ...string) string {
	var filled []string
	for _, p := range parts {
		if p != "" {
			filled = append(filled, p)
		}
	}
	return strings.Join(filled, gap)
}

// degreesOf reads two cells; a decimal comma will do.
func degreesOf(latitude, longitude string) (geo.Point, error) {
	var angles [2]float64
	for i, text := range []string{latitude, longitude} {
		x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil {
			return geo.Point{}, fmt.Errorf("%q is not a number of degrees", text)
		}
		angles[i] = x
	}
	if angles[0] > 180 || angles[0] < -180 || angles[1] > 180 || angles[1] < -180 {
		return geo.Point{}, fmt.Errorf("these are metres or feet of a map grid, not degrees")
	}
	c, err := place(angles[0], angles[1], "")
	return c.At, err
}
