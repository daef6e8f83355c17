package papers

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"valveround/services/words"
)

// RouteSheetsPDF draws route sheets, one page a crew: the map on top, the stops as rows with room to write. A day that
// does not fit on a page even in the smallest print goes on overleaf; nothing is left off.
func RouteSheetsPDF(sheets []RouteSheet, paper Paper, now time.Time) ([]byte, error) {
	firm, title := "", "Route sheets"
	if len(sheets) > 0 {
		firm, title = sheets[0].Firm, "Route sheets "+sheets[0].Date.String()
	}
	p, err := newPage(paper, title, firm, now)
	if err != nil {
		return nil, err
	}
	for _, s := range sheets {
		d := sheetDrawing{page: p, sheet: s}
		d.draw()
	}
	return p.bytes()
}

// sheetDrawing draws one sheet.
type sheetDrawing struct {
	*page
	sheet RouteSheet
	scale float64 // of the print in rows
}

// Columns of a row, as parts of the width between the margins: number, times, where and what, to bring and to mind, to write.
var sheetColumns = []float64{0.05, 0.16, 0.345, 0.29, 0.155}

// row is one stop broken into lines.
type row struct {
	order  int
	drive  [2]string // to it: how long and how far
	cells  [3][]run
	height float64
}

const (
	footHeight = 7
	headHeight = 5.0 // of the table
	leastRow   = 15  // so that there is room to write
	strip      = 9   // below the map, for its scale
	moreRow    = 9   // at most added to a row where there is room
	mapAtLeast = 36
	mapAtMost  = 92
	smallest   = 0.74 // of the print, 5.5 points at its smallest, before a day goes on overleaf
)

func (d *sheetDrawing) draw() {
	d.AddPage()
	y := d.head()
	room := d.h - margin - footHeight - y - headHeight
	var rows []row
	mapHeight := 0.0
	for d.scale = 1; ; d.scale -= 0.06 {
		rows = d.rows()
		total := 0.0
		for _, r := range rows {
			total += r.height
		}
		if mapHeight = min(mapAtMost, room-total-3); mapHeight >= mapAtLeast || d.scale < smallest {
			break
		}
	}
	mapHeight = max(mapHeight, mapAtLeast)
	d.widen(rows, room-mapHeight-3)
	d.plan(margin, y, d.w-2*margin, mapHeight)
	y = d.tableHead(y + mapHeight + 2)
	for _, r := range rows {
		if y+r.height > d.h-margin-footHeight+0.5 {
			d.foot()
			d.AddPage()
			d.write(margin, margin+5, d.w-2*margin, run{d.title() + ", continued", 13, true, ink})
			y = d.tableHead(margin + 8)
		}
		y = d.row(y, r)
	}
	d.foot()
}

// widen gives the rows what is left of the page, up to a line or two each, so that there is more room to write.
func (d *sheetDrawing) widen(rows []row, room float64) {
	for _, r := range rows {
		room -= r.height
	}
	for i := range rows {
		rows[i].height += min(max(0, room/float64(len(rows))), moreRow)
	}
}

func (d *sheetDrawing) title() string {
	year, month, day := d.sheet.Date.YMD()
	return fmt.Sprintf("%s, %s %d %s %d", d.sheet.Crew, d.sheet.Date.Weekday(), day, month, year)
}

// head writes who goes when with what, and returns where it ends.
func (d *sheetDrawing) head() float64 {
	s, width := d.sheet, d.w-2*margin
	d.write(margin, margin+5, width*0.7, run{d.title(), 15, true, ink})
	d.right(d.w-margin, margin+5, run{s.Firm, 10, false, dim})
	lines := []run{{fmt.Sprintf("%s. Leaves %s, back %s; %s, driving %s between them, %s. Clocks of %s. Sent out %s.", strings.Join(s.People, ", "),
		s.Start.Format("15:04"), s.End.Format("15:04"), words.Count(len(s.Stops), "stop", "stops"),
		words.Duration(time.Duration(s.DriveS)*time.Second), kilometres(s.DriveM), s.Zone, s.SentAt.Format("15:04 on 2 Jan 2006")), 8.5, false, ink}}
	if s.Break != "" {
		lines = append(lines, run{strings.ToUpper(s.Break[:1]) + s.Break[1:] + ".", 8.5, false, ink})
	}
	if len(s.Gauges) > 0 {
		lines = append(lines, run{"Gauges: " + strings.Join(s.Gauges, "; "), 8.5, false, ink})
	}
	if len(s.Bring) > 0 {
		lines = append(lines, run{"Load: " + strings.Join(s.Bring, "; "), 8.5, true, ink})
	}
	if len(s.Mind) > 0 {
		lines = append(lines, run{"Mind: " + strings.Join(s.Mind, " "), 8.5, false, ink})
	}
	return d.column(margin, margin+7, d.wrap(lines, width)) + 1.5
}

func (d *sheetDrawing) foot() {
	y := d.h - margin
	d.rule(margin, y-5, d.w-margin, y-5, faint, 0.2)
	d.write(margin, y-1.5, d.w-2*margin-20, run{"Gate codes and telephone numbers are on the crew's page only. Local code, the certified tester and the site's responsible person decide.", 7, false, dim})
	d.right(d.w-margin, y-1.5, run{"page " + strconv.Itoa(d.PageNo()), 7, false, dim})
}

// plan draws the map: the way as thin lines with arrows, stops as numbered discs, home as a square.
func (d *sheetDrawing) plan(x, y, w, h float64) {
	f := d.sheet.Map.fit(x, y, w, h-strip)
	d.ClipRect(x, y, w, h, false)
	d.way(f)
	labels := d.sheet.Map.labels(f)
	for _, l := range labels {
		d.rule(l.trueX, l.trY, l.x, l.y, dim, 0.25)
		d.SetFillColor(ink, ink, ink)
		d.Circle(l.trueX, l.trY, 0.6, "F")
	}
	if home := d.sheet.Map.Home; home != nil {
		hx, hy := f.at(*home)
		d.SetFillColor(ink, ink, ink)
		d.Rect(hx-1.4, hy-1.4, 2.8, 2.8, "F")
		d.centre(hx, hy+4.4, run{"start", 6.5, false, ink})
	}
	for _, l := range labels {
		d.disc(l.x, l.y, l.order, l.rough)
	}
	d.ClipEnd()
	d.SetDrawColor(dim, dim, dim)
	d.SetLineWidth(0.3)
	d.Rect(x, y, w, h, "D")
	d.north(x+w-6, y+4)
	d.scaleBar(x+3, y+h-2, f)
	if legend := d.legend(); legend != "" {
		d.right(x+w-2, y+h-1.7, run{legend, 6.5, false, ink})
	}
}

func (d *sheetDrawing) legend() string {
	var said []string
	for _, l := range d.sheet.Map.Stops {
		if l.Rough {
			said = append(said, "broken ring: position approximate")
			break
		}
	}
	if missing := d.sheet.Map.Missing; len(missing) > 0 {
		numbers := make([]string, len(missing))
		for i, n := range missing {
			numbers[i] = strconv.Itoa(n)
		}
		said = append(said, "not on the map: "+strings.Join(numbers, ", "))
	}
	return strings.Join(said, "; ")
}

// way joins the stops in order, from home and back.
func (d *sheetDrawing) way(f frame) {
	points := d.sheet.Map.Stops
	if home := d.sheet.Map.Home; home != nil {
		points = append(append([]MapPoint{*home}, points...), *home)
	}
	for i := 1; i < len(points); i++ {
		x1, y1 := f.at(points[i-1])
		x2, y2 := f.at(points[i])
		d.rule(x1, y1, x2, y2, faint, 0.35)
		d.arrow(x1, y1, x2, y2)
	}
}

// arrow marks the direction in the middle of a stretch that is long enough to show one.
func (d *sheetDrawing) arrow(x1, y1, x2, y2 float64) {
	long := math.Hypot(x2-x1, y2-y1)
	if long < 4*discRadius {
		return
	}
	ux, uy := (x2-x1)/long, (y2-y1)/long
	tipX, tipY := (x1+x2)/2+ux*1.2, (y1+y2)/2+uy*1.2
	d.SetFillColor(dim, dim, dim)
	d.triangle(tipX, tipY, tipX-ux*2.4-uy*0.9, tipY-uy*2.4+ux*0.9, tipX-ux*2.4+uy*0.9, tipY-uy*2.4-ux*0.9)
}

func (d *sheetDrawing) disc(x, y float64, order int, broken bool) {
	d.SetFillColor(255, 255, 255)
	d.SetDrawColor(ink, ink, ink)
	d.SetLineWidth(0.35)
	if broken {
		d.SetDashPattern([]float64{0.8, 0.6}, 0)
	}
	d.Circle(x, y, discRadius, "FD")
	d.SetDashPattern([]float64{}, 0)
	d.centre(x, y+1.15, run{strconv.Itoa(order), 8, true, ink})
}

func (d *sheetDrawing) north(x, y float64) {
	d.SetFillColor(ink, ink, ink)
	d.triangle(x, y, x-1.5, y+5, x+1.5, y+5)
	d.centre(x, y+8, run{"N", 8, true, ink})
}

// scaleBar shows a round length in kilometres and the round length in miles below the same line's start.
func (d *sheetDrawing) scaleBar(x, y float64, f frame) {
	most := f.w / 5 * f.metresPer
	km, mi := niceLength(most/1000), niceLength(most/metresPerMile)
	d.bar(x, y-4.6, km*1000/f.metresPer, trimmed(km)+" km")
	d.bar(x, y-0.6, mi*metresPerMile/f.metresPer, trimmed(mi)+" mi")
}

func (d *sheetDrawing) bar(x, y, length float64, text string) {
	d.rule(x, y, x+length, y, ink, 0.4)
	d.rule(x, y-1, x, y+0.2, ink, 0.4)
	d.rule(x+length, y-1, x+length, y+0.2, ink, 0.4)
	d.write(x+length+1.2, y+0.6, 30, run{text, 7, false, ink})
}

func trimmed(n float64) string { return strconv.FormatFloat(n, 'f', -1, 64) }

// triangle is filled in the fill colour.
func (p *page) triangle(x1, y1, x2, y2, x3, y3 float64) {
	p.MoveTo(x1, y1)
	p.LineTo(x2, y2)
	p.LineTo(x3, y3)
	p.ClosePath()
	p.DrawPath("F")
}

func (d *sheetDrawing) columns() (x [5]float64, w [5]float64) {
	at := float64(margin)
	for i, part := range sheetColumns {
		x[i], w[i] = at, part*(d.w-2*margin)
		at += w[i]
	}
	return x, w
}

func (d *sheetDrawing) tableHead(y float64) float64 {
	x, w := d.columns()
	d.SetFillColor(band, band, band)
	d.Rect(margin, y, d.w-2*margin, headHeight-0.6, "F")
	for i, text := range []string{"Drive", "Times", "Where and what", "Bring, ask for, mind", "To write"} {
		d.write(x[i]+0.8, y+3.2, w[i], run{text, 7.5, true, ink})
	}
	return y + headHeight
}

func (d *sheetDrawing) rows() []row {
	_, w := d.columns()
	rows := make([]row, len(d.sheet.Stops))
	for i, s := range d.sheet.Stops {
		r := row{order: s.Order, height: leastRow * d.scale}
		if s.DriveM > 0 {
			r.drive = [2]string{words.Duration(time.Duration(s.DriveS) * time.Second), fmt.Sprintf("%.0f km", float64(s.DriveM)/1000)}
		}
		for k, cell := range [3][]run{d.times(s), d.what(s), d.mind(s)} {
			r.cells[k] = d.wrap(cell, w[k+1]-2)
			r.height = max(r.height, height(r.cells[k])+2)
		}
		rows[i] = r
	}
	return rows
}

func (d *sheetDrawing) small(text string) run { return run{text, 7.5 * d.scale, false, ink} }

func (d *sheetDrawing) times(s SheetStop) []run {
	clock := func(t time.Time) string { return t.Format("15:04") }
	cell := []run{{clock(s.Arrive) + "–" + clock(s.Leave), 10.5 * d.scale, true, ink}}
	for _, off := range s.Water {
		text := "water off " + clock(off.From) + "–" + clock(off.To)
		if len(s.Water) > 1 {
			text = off.Feed + ": " + text
		}
		cell = append(cell, run{text, 7.5 * d.scale, true, ink})
		if off.May != "" {
			cell = append(cell, d.small("may be off "+off.May))
		}
	}
	if s.Access != "" {
		cell = append(cell, d.small("open to us "+s.Access))
	}
	return cell
}

func (d *sheetDrawing) what(s SheetStop) []run {
	cell := []run{{s.Name, 10 * d.scale, true, ink}}
	if s.Address != "" {
		cell = append(cell, run{s.Address, 8.5 * d.scale, false, ink})
	}
	if s.Rough {
		cell = append(cell, d.small("Position is approximate: go by the address."))
	}
	said := ""
	for i, w := range s.Work {
		text := upper(w.Do) + ": " + w.Unit
		if len(s.Work) > 1 {
			text = string(rune('a'+i%26)) + ") " + text
		}
		for _, more := range []string{words.After("at ", w.Place), words.After("no. ", w.Number), words.After("bypass ", w.Bypass)} {
			text += words.After("; ", more)
		}
		if w.Yes != said { // the same yes is said once a stop
			said = w.Yes
			text += words.After("; ", said)
		}
		cell = append(cell, run{text, 8 * d.scale, false, ink})
		for _, more := range []string{words.After("failed: ", w.Failure), words.After("kits: ", w.Kits)} {
			if more != "" {
				cell = append(cell, d.small(upper(more)))
			}
		}
		if w.Failure != "" && w.Yes == "" {
			cell = append(cell, d.small("No yes to repair: do not open the unit."))
		}
	}
	return cell
}

func (d *sheetDrawing) mind(s SheetStop) []run {
	var cell []run
	if len(s.Bring) > 0 {
		cell = append(cell, run{"Bring " + strings.Join(s.Bring, "; "), 7.5 * d.scale, true, ink})
	}
	for _, text := range s.Notes {
		cell = append(cell, d.small(text))
	}
	if s.Door != "" {
		cell = append(cell, d.small(s.Door))
	}
	if len(s.Contacts) > 0 {
		cell = append(cell, d.small(strings.Join(s.Contacts, "; ")))
	}
	for _, text := range s.Cautions {
		cell = append(cell, d.small("! "+text))
	}
	return cell
}

// row draws one stop and returns where it ends.
func (d *sheetDrawing) row(y float64, r row) float64 {
	x, w := d.columns()
	middle := x[0] + w[0]/2 - 0.5
	d.disc(middle, y+3.6, r.order, false)
	d.centre(middle, y+8.8, run{r.drive[0], 6, false, dim})
	d.centre(middle, y+11.2, run{r.drive[1], 6, false, dim})
	for k, cell := range r.cells {
		d.column(x[k+1]+0.8, y+0.8, cell)
	}
	for _, i := range []int{1, 2, 3, 4} {
		d.rule(x[i], y, x[i], y+r.height, 215, 0.15)
	}
	d.room(x[4]+1.5, y, w[4]-2, r.height)
	d.rule(margin, y+r.height, d.w-margin, y+r.height, faint, 0.25)
	return y + r.height
}

// room is where the crew writes: when it came and went, and what it found.
func (d *sheetDrawing) room(x, y, w, h float64) {
	d.write(x, y+3.4, w, run{"in", 6.5, false, dim})
	d.write(x+w/2, y+3.4, w, run{"out", 6.5, false, dim})
	d.rule(x+3.5, y+3.8, x+w/2-1.5, y+3.8, faint, 0.15)
	d.rule(x+w/2+5, y+3.8, x+w, y+3.8, faint, 0.15)
	d.write(x, y+7.6, w, run{"off", 6.5, false, dim})
	d.write(x+w/2, y+7.6, w, run{"on", 6.5, false, dim})
	d.rule(x+4.5, y+8, x+w/2-1.5, y+8, faint, 0.15)
	d.rule(x+w/2+5, y+8, x+w, y+8, faint, 0.15)
	for at := y + 12.6; at < y+h-1; at += 4.8 {
		d.rule(x, at, x+w, at, faint, 0.15)
	}
}

func upper(text string) string {
	if text == "" {
		return ""
	}
	r := []rune(text)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}
