package sheet

import (
	"bytes"
	"fmt"
	"image/color"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/font"

	"tankodds/report/figure"
)

// pdfFile is a PDF in one family of embedded fonts, cut down to the letters
// used. The unit is the point; y runs down the page.
type pdfFile struct {
	*fpdf.Fpdf
	fonts [2]pdfFont // the regular and the bold
	font  *pdfFont   // the one set last
	alpha uint8
}

// pdfFont is one of the embedded fonts.
type pdfFont struct {
	face   font.Face
	glyphs map[uint32]rune // by glyph: the first rune that it stood for
}

const pdfFamily = "LiberationSans"

// pdfEpoch is what the library is told as the time of making; undated takes
// it out again.
var pdfEpoch = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

// newPDFFile returns a file without a page, of A4 or Letter.
func newPDFFile(letter bool) (*pdfFile, error) {
	size := "A4"
	if letter {
		size = "Letter"
	}
	p := &pdfFile{Fpdf: fpdf.New("P", "pt", size, ""), alpha: 0xff}
	p.SetCatalogSort(true)
	p.SetCreationDate(pdfEpoch)
	p.SetModificationDate(pdfEpoch)
	p.SetAutoPageBreak(false, 0)
	p.SetMargins(0, 0, 0)
	p.SetLineCapStyle("butt")
	p.SetLang("en")
	for i, style := range []string{"", "B"} {
		p.fonts[i] = pdfFont{figure.Face(10, i == 1), map[uint32]rune{}}
		var b bytes.Buffer
		if _, err := p.fonts[i].face.Face.WriteSourceTo(nil, &b); err != nil {
			return nil, fmt.Errorf("evidence.pdf: font: %w", err)
		}
		p.AddUTF8FontFromBytes(pdfFamily, style, b.Bytes())
	}
	p.face(10, false)
	return p, p.Error()
}

func (p *pdfFile) face(size float64, bold bool) {
	p.font = &p.fonts[0]
	style := ""
	if bold {
		p.font, style = &p.fonts[1], "B"
	}
	p.SetFont(pdfFamily, style, size)
}

func (p *pdfFile) color(c color.NRGBA) {
	r, g, b := int(c.R), int(c.G), int(c.B)
	p.SetFillColor(r, g, b)
	p.SetDrawColor(r, g, b)
	p.SetTextColor(r, g, b)
	if c.A != p.alpha {
		p.SetAlpha(float64(c.A)/0xff, "Normal")
		p.alpha = c.A
	}
}

// text sets s from x on, its baseline at y.
func (p *pdfFile) text(x, y float64, s string) {
	if s = p.spelled(p.drawable(s)); s != "" {
		p.Text(x, y, s)
	}
}

// noShape stands for a letter that cannot be drawn.
const noShape = '□'

// drawable puts noShape for every letter that the font lacks or that is
// written from right to left, which the library does not do: a name drawn
// backwards would be another name. What takes no room goes without.
func (p *pdfFile) drawable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= ' ' && r < 0x7f:
			return r
		case r == '\u00a0' || r == '\u2007' || r == '\u202f':
			return ' '
		case r == '\u2010' || r == '\u2011':
			return '-'
		case unicode.In(r, unicode.Cf, unicode.Variation_Selector):
			return -1
		}
		g, err := p.font.face.Face.GlyphIndex(nil, r)
		if err != nil || g == 0 || r > 0xffff || unicode.IsControl(r) || unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) {
			return noShape
		}
		return r
	}, s)
}

// lackingIn returns the letters of a sheet that stand as noShape.
func (p *pdfFile) lackingIn(s *Sheet) []rune {
	met := map[rune]bool{}
	s.Texts(func(text *string) {
		for _, r := range *text {
			met[r] = met[r] || r != noShape && p.drawable(string(r)) == string(noShape)
		}
	})
	maps.DeleteFunc(met, func(_ rune, lacks bool) bool { return !lacks })
	return slices.Sorted(maps.Keys(met))
}

// mostLacking is how many letters are named by their code.
const mostLacking = 12

// lackingWords says which letters stand as noShape.
func lackingWords(all []rune) string {
	var codes []string
	for _, r := range all[:min(len(all), mostLacking)] {
		codes = append(codes, fmt.Sprintf("%U", r))
	}
	if more := len(all) - len(codes); more > 0 {
		codes = append(codes, fmt.Sprintf("and %d more", more))
	}
	return fmt.Sprintf("Letters that cannot be printed on this sheet stand as %c (%s); report.html beside it shows them.", noShape, strings.Join(codes, " "))
}

// spelled keeps a letter the same letter throughout: two runes that share a
// glyph would let the subset's bytes depend on the order of a map.
func (p *pdfFile) spelled(s string) string {
	return strings.Map(func(r rune) rune {
		g, err := p.font.face.Face.GlyphIndex(nil, r)
		if err != nil {
			return r
		}
		if first, ok := p.font.glyphs[uint32(g)]; ok {
			return first
		}
		p.font.glyphs[uint32(g)] = r
		return r
	}, s)
}

// width is that of s in the face set last.
func (p *pdfFile) width(s string) float64 {
	return p.GetStringWidth(p.drawable(s))
}

// line draws a line c wide.
func (p *pdfFile) line(x0, y0, x1, y1, width float64, c color.NRGBA) {
	p.color(c)
	p.SetLineWidth(width)
	p.SetDashPattern(nil, 0)
	p.Line(x0, y0, x1, y1)
}

// bytes closes the file and returns it, without the dates of making: the
// same input gives the same bytes, and no date is claimed that is not true.
func (p *pdfFile) bytes() ([]byte, error) {
	var b bytes.Buffer
	if err := p.Output(&b); err != nil {
		return nil, fmt.Errorf("evidence.pdf: %w", err)
	}
	out := b.Bytes()
	for _, key := range []string{"/CreationDate", "/ModDate"} {
		dated := []byte(key + " (D:" + pdfEpoch.Format("20060102150405") + ")")
		// as many blanks, so that the file's table of offsets holds
		out = bytes.Replace(out, dated, bytes.Repeat([]byte(" "), len(dated)), 1)
	}
	return out, nil
}
