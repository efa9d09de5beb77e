package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"

	"tankodds/report/codec"
	"tankodds/report/figure"
)

// Rendering is a file and what renders it.
type Rendering struct {
	Name   string
	Render func() ([]byte, error)
}

// Figures draws the answer.
func (z *Sizing) Figures() []figure.Figure {
	return figure.Study(z.Result, z.Record, figure.Options{Units: z.Units})
}

// Files are the files of a sizing that its evidence lists: page, sheet, tables and
// figures. All of them print the digest of the evidence.
func (z *Sizing) Files() []Rendering {
	z.Digest = z.EvidenceDigest()
	figures := z.Figures()
	return append([]Rendering{
		{"curves.csv", z.CurvesCSV},
		{"report.html", func() ([]byte, error) { return z.Sheet().HTML(figures) }},
		{"evidence.pdf", func() ([]byte, error) { return z.Sheet().PDF(figures) }},
	}, FigureFiles(figures...)...)
}

// EvidenceName is the file of the evidence itself, which lists the others.
const EvidenceName = "evidence.json"

// FigureFiles are figures, each as SVG and PNG.
func FigureFiles(figures ...figure.Figure) (out []Rendering) {
	for _, f := range figures {
		out = append(out, Rendering{f.Name + ".svg", f.SVG}, Rendering{f.Name + ".png", f.PNG})
	}
	return out
}

// Written is what stands in a file of that name and those contents: in text, what
// is no text is shown (codec.Visible).
func Written(name string, contents []byte) ([]byte, FileDigest, error) {
	if ext := filepath.Ext(name); ext != ".pdf" && ext != ".png" {
		var b bytes.Buffer
		w := codec.Visible(&b)
		if _, err := w.Write(contents); err != nil {
			return nil, FileDigest{}, err
		}
		if err := w.Close(); err != nil {
			return nil, FileDigest{}, err
		}
		contents = b.Bytes()
	}
	sum := sha256.Sum256(contents)
	return contents, FileDigest{name, hex.EncodeToString(sum[:])}, nil
}
