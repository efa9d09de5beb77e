package sheet

import "tankodds/report/figure"

func (d *pdfSheet) heading(text string) []piece {
	f := sectionFace
	lines := withNext(d.file.paragraph(0, d.width, run{f, text}))
	rule := piece{height: 6, keep: true, draw: func(p *pdfFile, x, y float64) {
		p.line(x, y+1, x+d.width, y+1, 0.8, figure.Baseline)
	}}
	return append(append([]piece{{height: 5, keep: true}, rule}, lines...), piece{height: 3, keep: true})
}

func (d *pdfSheet) blocks(all []Block, width float64) []piece {
	p := d.file
	var out []piece
	for _, b := range all {
		switch {
		case b.Text != "":
			out = append(out, p.paragraph(0, width, led(b.Lead, b.Text)...)...)
		case b.List != nil:
			for _, x := range b.List {
				out = append(out, p.item(x, width)...)
				out = append(out, gap(1.5))
			}
		case b.Facts != nil:
			out = append(out, p.facts(b.Facts, width)...)
		}
		out = append(out, gap(4))
	}
	return out
}

// led is text after its bold beginning, of no words where it has none.
func led(lead, text string) []run { return []run{{leadFace, lead}, {bodyFace, text}} }

// item is an entry of a list, with a dot before it.
func (p *pdfFile) item(x Item, width float64) []piece {
	return beside(p.paragraph(9, width, led(x.Lead, x.Text)...), func(p *pdfFile, x, y float64) {
		p.color(figure.Accent)
		p.Circle(x+2.5, y+bodyFace.size*0.76, 1.4, "F")
	})
}

// facts are labels and values beside each other.
func (p *pdfFile) facts(all []Fact, width float64) []piece {
	label := bodyFace
	label.color = figure.Muted
	indent := 0.0
	p.face(label.size, false)
	for _, f := range all {
		indent = max(indent, p.width(f.Label)+10)
	}
	indent = min(indent, width*0.4)
	var out []piece
	for _, f := range all {
		lines := together(p.paragraph(indent, width, run{bodyFace, f.Value}))
		out = append(out, beside(lines, func(p *pdfFile, x, y float64) {
			p.setLine([]pdfWord{{run{label, f.Label}, 0}}, x, y+bodyFace.size*1.06)
		})...)
	}
	return out
}
