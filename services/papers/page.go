package papers

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// Paper is the size of a sheet.
type Paper string

// The sizes (ANSI Y14.1 letter and ISO 216).
const (
	Letter Paper = "letter"
	A4     Paper = "a4"
)

// margin of every page, in mm.
const margin = 10

// page is a PDF with the fonts and the few ways of writing that every paper here uses. All of it is black and grey.
type page struct {
	*fpdf.Fpdf
	font *sfnt.Font
	buf  sfnt.Buffer
	w, h float64 // of the sheet, in mm
}

// newPage starts a document. The same content made at the same moment is the same file, byte for byte.
func newPage(paper Paper, title, firm string, now time.Time) (*page, error) {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("reading the font: %w", err)
	}
	size := "Letter"
	if paper == A4 {
		size = "A4"
	}
	p := &page{Fpdf: fpdf.New("P", "mm", size, ""), font: font}
	p.w, p.h = p.GetPageSize()
	p.SetCatalogSort(true)
	p.SetCreationDate(now.UTC())
	p.SetModificationDate(now.UTC())
	p.SetTitle(title, true)
	p.SetAuthor(firm, true)
	p.SetProducer("Valveround", false)
	p.SetLang("en")
	p.SetMargins(margin, margin, margin)
	p.SetAutoPageBreak(false, margin)
	p.AddUTF8FontFromBytes("go", "", goregular.TTF)
	p.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	return p, nil
}

// bytes finishes the document.
func (p *page) bytes() ([]byte, error) {
	var out bytes.Buffer
	if err := p.Output(&out); err != nil {
		return nil, fmt.Errorf("writing the PDF: %w", err)
	}
	return out.Bytes(), nil
}

// clean makes text that the font can show: letters and their accents joined, no control characters, a question mark for
// what has no glyph (the font has Latin, Greek and Cyrillic).
func (p *page) clean(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		if glyph, err := p.font.GlyphIndex(&p.buf, r); err != nil || glyph == 0 || r > 0xFFFF {
			return '?'
		}
		return r
	}, norm.NFC.String(text))
}

// Greys, from black ink to a rule that does not catch the eye.
const (
	ink   = 0
	dim   = 90
	faint = 150
	band  = 228 // ground of a heading
)

// run is some text in one size and weight.
type run struct {
	text string
	size float64 // in points
	bold bool
	grey int
}

// lineHeight of a size, in mm: 1 pt is 25.4/72 mm, and lines stand 1.18 times their size apart.
func lineHeight(size float64) float64 { return size * 25.4 / 72 * 1.18 }

func (p *page) use(r run) {
	style := ""
	if r.bold {
		style = "B"
	}
	p.SetFont("go", style, r.size)
	p.SetTextColor(r.grey, r.grey, r.grey)
}

// wrap breaks runs into lines no wider than a width in mm, at spaces, or inside a word that is wider than the line.
func (p *page) wrap(runs []run, width float64) []run {
	var lines []run
	for _, r := range runs {
		p.use(r)
		line := ""
		flush := func() {
			if line != "" {
				lines = append(lines, run{line, r.size, r.bold, r.grey})
			}
			line = ""
		}
		for _, word := range strings.Fields(p.clean(r.text)) {
			joined := strings.TrimSpace(line + " " + word)
			if p.GetStringWidth(joined) <= width {
				line = joined
				continue
			}
			flush()
			for p.GetStringWidth(word) > width {
				fits := p.fits(word, width)
				lines = append(lines, run{word[:fits], r.size, r.bold, r.grey})
				word = word[fits:]
			}
			line = word
		}
		flush()
	}
	return lines
}

// fits is how many bytes of a word fit in a width: at least one letter.
func (p *page) fits(word string, width float64) int {
	best := 0
	for i := range word {
		if i > 0 && p.GetStringWidth(word[:i]) > width {
			break
		}
		if i > 0 {
			best = i
		}
	}
	if best == 0 {
		return len(word)
	}
	return best
}

func height(lines []run) float64 {
	total := 0.0
	for _, l := range lines {
		total += lineHeight(l.size)
	}
	return total
}

// column writes lines downwards from a top left corner and returns where they end.
func (p *page) column(x, y float64, lines []run) float64 {
	for _, l := range lines {
		p.use(l)
		p.Text(x, y+lineHeight(l.size)*0.78, l.text)
		y += lineHeight(l.size)
	}
	return y
}

// write puts one line, cut off with … where it is wider than a width in mm.
func (p *page) write(x, y, width float64, r run) {
	p.use(r)
	text := p.clean(r.text)
	if p.GetStringWidth(text) > width {
		text = strings.TrimSpace(text[:p.fits(text, width-p.GetStringWidth("…"))]) + "…"
	}
	p.Text(x, y, text)
}

// right puts one line so that it ends at x.
func (p *page) right(x, y float64, r run) {
	p.use(r)
	text := p.clean(r.text)
	p.Text(x-p.GetStringWidth(text), y, text)
}

// centre puts one line in the middle of x.
func (p *page) centre(x, y float64, r run) {
	p.use(r)
	text := p.clean(r.text)
	p.Text(x-p.GetStringWidth(text)/2, y, text)
}

// rule draws a line in a grey and width in mm.
func (p *page) rule(x1, y1, x2, y2 float64, grey int, width float64) {
	p.SetDrawColor(grey, grey, grey)
	p.SetLineWidth(width)
	p.Line(x1, y1, x2, y2)
}
