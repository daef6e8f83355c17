package papers

import (
	"fmt"
	"strings"

	"valveround/events"
	"valveround/services/words"
)

// ReportPDF draws a test report: labels small, values in ink, blanks to write in. What does not fit on one page goes on
// overleaf.
func ReportPDF(r Report, paper Paper) ([]byte, error) {
	p, err := newPage(paper, "Test report "+r.Assembly+" "+r.Job, r.Firm, r.Printed)
	if err != nil {
		return nil, err
	}
	d := reportDrawing{page: p, report: r}
	d.AddPage()
	d.y = margin
	d.head()
	for _, s := range r.Sections {
		d.section(s)
	}
	d.tests()
	d.repairs()
	d.verdict()
	d.remarks()
	d.signatures()
	d.foot()
	return p.bytes()
}

// reportDrawing writes downwards from y.
type reportDrawing struct {
	*page
	report Report
	y      float64
}

// need starts a new page when less than so much room is left, in mm.
func (d *reportDrawing) need(room float64) {
	if d.y+room <= d.h-margin-6 {
		return
	}
	d.foot()
	d.AddPage()
	d.write(margin, margin+4, d.w-2*margin, run{"Test report, job " + d.report.Job + ", continued", 10, true, ink})
	d.y = margin + 7
}

func (d *reportDrawing) foot() {
	y := d.h - margin
	d.write(margin, y, d.w-2*margin-20, run{fmt.Sprintf("Assembly %s, job %s. Printed %s, clocks of %s. Blank fields are not on record.", d.report.Assembly,
		d.report.Job, d.report.Printed.Format("15:04 on 2 Jan 2006"), d.report.Zone), 6.5, false, dim})
	d.right(d.w-margin, y, run{fmt.Sprintf("page %d", d.PageNo()), 6.5, false, dim})
}

func (d *reportDrawing) head() {
	width := d.w - 2*margin
	d.write(margin, d.y+5, width*0.6, run{"Backflow assembly test report", 15, true, ink})
	d.right(d.w-margin, d.y+5, run{d.report.Firm, 10, true, ink})
	d.write(margin, d.y+10, width*0.75, run{"To " + d.report.Purveyor + ". Reason: " + d.report.Why + ".", 9, false, ink})
	d.y += 12.5
}

// title is the grey band over a part of the form.
func (d *reportDrawing) title(text string) {
	d.SetFillColor(band, band, band)
	d.Rect(margin, d.y, d.w-2*margin, 3.5, "F")
	d.write(margin+1, d.y+2.6, d.w-2*margin, run{text, 7, true, ink})
	d.y += 3.7
}

// fieldRow is how high one row of fields is, in mm.
const fieldRow = 6.3

// section draws fields in four columns; a value that is too wide for one takes two.
func (d *reportDrawing) section(s Section) {
	d.need(4.4 + fieldRow)
	d.title(s.Title)
	const columns = 4
	width := (d.w - 2*margin) / columns
	at := 0
	for _, f := range s.Fields {
		d.use(run{f.Value, 8.5, false, ink})
		wide := 1
		for wide < columns && d.GetStringWidth(d.clean(f.Value)) > width*float64(wide)-3 {
			wide++
		}
		if at+wide > columns {
			at = 0
			d.y += fieldRow
			d.need(fieldRow)
		}
		d.field(margin+float64(at)*width, width*float64(wide), f)
		at += wide
	}
	d.y += fieldRow + 0.4
}

func (d *reportDrawing) field(x, width float64, f Field) {
	d.write(x+1, d.y+2, width-2, run{f.Label, 6, false, dim})
	d.write(x+1, d.y+5.3, width-2, run{f.Value, 8.5, false, ink})
	d.rule(x+1, d.y+6, x+width-2, d.y+6, faint, 0.15)
}

// testLine is one row of the table of tests.
type testLine struct {
	label          string
	initial, final string
	bold           bool
}

// tests draws the initial and the final test side by side: results first, then what they were taken with.
func (d *reportDrawing) tests() {
	lines := d.testLines()
	const rowHeight = 3.85
	d.need(10 + 6*rowHeight)
	d.title("Test")
	width := d.w - 2*margin
	x := [4]float64{margin, margin + width*0.26, margin + width*0.63, d.w - margin}
	head := func() {
		d.write(x[1]+1, d.y+2.6, x[2]-x[1]-2, run{"Initial test, as found", 7.5, true, ink})
		d.write(x[2]+1, d.y+2.6, x[3]-x[2]-2, run{"Final test, after repair", 7.5, true, ink})
		d.y += 3.6
		d.rule(margin, d.y, d.w-margin, d.y, dim, 0.25)
	}
	head()
	top := d.y
	sides := func() {
		for _, at := range x[1:3] {
			d.rule(at, top, at, d.y, faint, 0.15)
		}
	}
	for _, l := range lines {
		if d.y+rowHeight > d.h-margin-6 {
			sides()
			d.need(2 * rowHeight)
			head()
			top = d.y
		}
		d.write(x[0]+1, d.y+2.85, x[1]-x[0]-2, run{l.label, 7.5, l.bold, ink})
		d.write(x[1]+1, d.y+2.85, x[2]-x[1]-2, run{l.initial, 8.3, l.bold, ink})
		d.write(x[2]+1, d.y+2.85, x[3]-x[2]-2, run{l.final, 8.3, l.bold, ink})
		d.y += rowHeight
		d.rule(margin, d.y, d.w-margin, d.y, faint, 0.15)
	}
	sides()
	d.y += 1.2
}

func (d *reportDrawing) testLines() []testLine {
	detector := false
	for _, r := range d.report.Rows {
		detector = detector || r.Part == string(events.BypassPart)
	}
	var lines []testLine
	for _, r := range d.report.Rows {
		label := upper(r.Component)
		if detector && !strings.HasPrefix(r.Component, r.Part) {
			label = upper(r.Part + " " + r.Component)
		}
		lines = append(lines, testLine{label, r.Initial, r.Final, true})
	}
	both := func(label string, say func(*ReportTest) string) {
		l := testLine{label: label}
		if d.report.Initial != nil {
			l.initial = say(d.report.Initial)
		}
		if d.report.Final != nil {
			l.final = say(d.report.Final)
		}
		lines = append(lines, l)
	}
	until := func(text string, day events.Date) string {
		if day.IsZero() {
			return text
		}
		return strings.TrimSpace(text + " until " + words.Day(day))
	}
	if d.hasRelief() {
		both("Buffer (check 1 less relief)", func(t *ReportTest) string { return t.Buffer })
		if detector {
			both("Bypass buffer", func(t *ReportTest) string { return t.BypassBuffer })
		}
	}
	both("No. 1 shut-off", func(t *ReportTest) string { return t.ShutOff1 })
	both("No. 2 shut-off", func(t *ReportTest) string {
		if t.NoFlow {
			return t.ShutOff2 + "; no flow proved"
		}
		return t.ShutOff2
	})
	both("Line pressure", func(t *ReportTest) string { return t.LinePressure })
	both("Date and time", func(t *ReportTest) string { return t.At.Format("2 Jan 2006, 15:04") })
	both("Procedure", func(t *ReportTest) string { return t.Procedure })
	both("Gauge serial, certificate", func(t *ReportTest) string { return until(t.Gauge+",", t.GaugeUntil) })
	both("Gauge maker and model", func(t *ReportTest) string { return strings.TrimSpace(t.GaugeMaker + " " + t.GaugeModel) })
	both("Gauge calibrated", func(t *ReportTest) string { return calibration(*t) })
	both("Tester", func(t *ReportTest) string { return t.Tester })
	both("Tester's certificate", func(t *ReportTest) string { return until(t.Certificate, t.CertUntil) })
	both("Registered with purveyor", func(t *ReportTest) string { return until("", t.Registered) })
	both("Tester's telephone", func(*ReportTest) string { return "" }) // to be written by hand: no number is printed on what leaves the firm
	both("Tester's verdict", func(t *ReportTest) string { return upper(words.Plain(t.Says)) })
	both("Computed verdict", func(t *ReportTest) string {
		if t.Computed == "" {
			return ""
		}
		return words.Plain(t.Computed) + " by " + t.Profile
	})
	return lines
}

// calibration says when the gauge was checked, and by whom.
func calibration(t ReportTest) string {
	day := ""
	if !t.CalibratedOn.IsZero() {
		day = words.Day(t.CalibratedOn)
	}
	return strings.Join(filled(day, t.CalibratedBy), ", ")
}

func (d *reportDrawing) hasRelief() bool {
	for _, r := range d.report.Rows {
		if r.Component == events.Relief.Name() {
			return true
		}
	}
	return false
}

func (d *reportDrawing) repairs() {
	if len(d.report.Repairs) == 0 {
		return
	}
	d.need(12)
	d.title("Repair")
	for _, r := range d.report.Repairs {
		text := words.Day(r.On) + ", " + r.Who + words.After(", licence ", r.Licence) + ": " + strings.TrimRight(r.Did, ".") + "."
		if len(r.Parts) > 0 {
			text += " Parts: " + strings.Join(r.Parts, ", ") + "."
		}
		d.paragraph(run{text, 8.5, false, ink})
	}
	d.y += 1
}

// paragraph writes text over the whole width.
func (d *reportDrawing) paragraph(r run) {
	lines := d.wrap([]run{r}, d.w-2*margin-2)
	d.need(height(lines))
	d.y = d.column(margin+1, d.y, lines)
}

func (d *reportDrawing) verdict() {
	d.need(14)
	d.title("Verdict")
	d.paragraph(run{d.report.Statement, 10, true, ink})
	if d.report.Doubt != "" {
		d.paragraph(run{d.report.Doubt, 8.5, false, ink})
	}
	d.y += 1
}

// remarks leave out the filings, which are the office's own.
func (d *reportDrawing) remarks() {
	list := d.report.Remarks
	if d.report.Between > 0 {
		list = append(list[:len(list):len(list)], words.Count(d.report.Between, "further test", "further tests")+" of this job on record.")
	}
	if len(list) == 0 {
		return
	}
	d.need(9)
	d.title("Remarks")
	for _, text := range list {
		d.paragraph(run{strings.TrimRight(text, ".") + ".", 8, false, ink})
	}
	d.y += 1
}

// signatures draws the lines to sign on, kept together.
func (d *reportDrawing) signatures() {
	const lineHeight = 9.6
	d.need(5 + lineHeight*float64(len(d.report.Signatures)))
	d.title("Signatures")
	width := d.w - 2*margin
	for _, s := range d.report.Signatures {
		d.write(margin+1, d.y+3.4, width*0.38, run{s.Who, 8.5, true, ink})
		d.column(margin+1, d.y+3.9, d.wrap([]run{{s.Says, 7, false, dim}}, width*0.34))
		for _, part := range []struct {
			from, to float64
			label    string
			value    string
		}{{0.36, 0.58, "printed name", s.Name}, {0.60, 0.84, "signature", ""}, {0.86, 1, "date", ""}} {
			d.write(margin+width*part.from, d.y+5.3, width*(part.to-part.from), run{part.value, 8.5, false, ink})
			d.rule(margin+width*part.from, d.y+6.1, margin+width*part.to, d.y+6.1, dim, 0.2)
			d.write(margin+width*part.from, d.y+8.4, width*(part.to-part.from), run{part.label, 6, false, dim})
		}
		d.y += lineHeight
	}
}
