package report

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"tankodds/report/codec"
	"tankodds/report/sheet"
	"tankodds/report/words"
)

// EvidenceSchema names the shape of evidence.
const EvidenceSchema = "tankodds/evidence/1"

// parts lists what evidence holds beside the inputs, in order: every number
// and every word shown. A part is a key and what makes its value; one that a
// new page or figure shows joins with a line here. The part without a key is
// sim.Result, whose fields join by themselves.
var parts = []struct {
	key  string
	make func(*Sizing) (*codec.Node, error)
}{
	// The inputs once more: an input altered by itself is then a value that
	// differs, named, even where no number follows it.
	{"inputs", func(z *Sizing) (*codec.Node, error) { return treeOf(z.inputs()) }},
	{"words", func(z *Sizing) (*codec.Node, error) { return treeOf(z.said()) }},
	{"warnings", func(z *Sizing) (*codec.Node, error) { return treeOf(z.Warnings()) }},
	{"record", (*Sizing).recordValues},
	{"", (*Sizing).resultValues},
	{"sheet", func(z *Sizing) (*codec.Node, error) {
		bare := *z
		bare.Digest = "" // which is made of this
		return told(codec.Encode(*bare.Sheet().Only(sheet.Page))), nil
	}},
}

// said returns every sentence of the answer with its label.
func (z *Sizing) said() []saidJSON {
	out := []saidJSON{{"Site", words.Site(z.Units, z.Result.Study.Roofs, z.Result.Study.Uses, z.Result.Study.Rule)}}
	label := ""
	for _, s := range z.Answer() {
		if s.Label != "" {
			label = s.Label // a sentence without one goes on under the last
		}
		out = append(out, saidJSON{label, s.Value})
	}
	return append(out, saidJSON{"Basis", z.basis()})
}

type saidJSON struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

// recordValues is the record's own sheet but for the file's name and SHA-256,
// which are inputs.
func (z *Sizing) recordValues() (*codec.Node, error) {
	var b bytes.Buffer
	if err := WriteRecordJSON(&b, z.Record); err != nil {
		return nil, err
	}
	n, err := codec.Parse(b.Bytes())
	if err != nil {
		return nil, err
	}
	return n.Without("schema", "file", "sha256"), nil
}

// values returns every value that evidence holds beside the inputs.
func (z *Sizing) values() (*codec.Node, error) {
	out := &codec.Node{Kind: codec.Object}
	for _, p := range parts {
		v, err := p.make(z)
		if err != nil {
			return nil, err
		}
		if p.key != "" {
			out.Add(p.key, v)
			continue
		}
		out.Keys, out.Items = append(out.Keys, v.Keys...), append(out.Items, v.Items...)
	}
	return out, nil
}

// resultValues is the result, what is looked at first in front. Its findings
// are among the warnings told.
func (z *Sizing) resultValues() (*codec.Node, error) {
	found := codec.Encode(*z.Result).Without("findings")
	out := &codec.Node{Kind: codec.Object}
	for _, k := range slices.Concat(first, found.Keys) {
		if out.At(k) == nil {
			out.Add(k, found.At(k))
		}
	}
	return out, nil
}

// first are the values of a result that are looked at first.
var first = []string{"answer", "stops", "outlook", "answers"}

// EvidenceJSON returns one object of the schema tankodds/evidence/1: the
// inputs, from which the study can be run again, every value that came of
// them, the digest of both, and the files written with it. Numbers are SI in
// their shortest exact form.
func (z *Sizing) EvidenceJSON(files ...FileDigest) ([]byte, error) {
	doc, err := z.evidence()
	if err != nil {
		return nil, err
	}
	list := codec.Encode(files)
	doc.Add("digest", &codec.Node{Kind: codec.Text, Text: digestOf(doc)})
	doc.Add("files", list)
	return doc.Bytes(), nil
}

// EvidenceDigest returns the digest that the evidence of this sizing has,
// 64 hexadecimal digits. Put into Digest it is printed on page and sheet.
func (z *Sizing) EvidenceDigest() (string, error) {
	doc, err := z.evidence()
	if err != nil {
		return "", err
	}
	return digestOf(doc), nil
}

// digested are the keys of evidence that its digest is of: all but the digest
// itself and the files, on which it is printed.
var digested = []string{"schema", "version", "inputs", "results"}

// evidence returns what is digested.
func (z *Sizing) evidence() (*codec.Node, error) {
	inputs, err := treeOf(z.inputs())
	if err != nil {
		return nil, err
	}
	values, err := z.values()
	if err != nil {
		return nil, err
	}
	doc := &codec.Node{Kind: codec.Object}
	for i, v := range []*codec.Node{{Kind: codec.Text, Text: EvidenceSchema}, {Kind: codec.Text, Text: z.Version}, inputs, values} {
		doc.Add(digested[i], v)
	}
	return doc, nil
}

// digestOf is the SHA-256 of what is digested, as evidence writes it.
func digestOf(doc *codec.Node) string {
	only := &codec.Node{Kind: codec.Object}
	for _, k := range digested {
		only.Add(k, doc.At(k))
	}
	sum := sha256.Sum256(only.Bytes())
	return fmt.Sprintf("%x", sum)
}

// ShortDigest is a digest as it is printed where room is short: its first 16
// digits in groups of four.
func ShortDigest(sum string) string {
	var groups []string
	for i := 0; i+4 <= min(16, len(sum)); i += 4 {
		groups = append(groups, sum[i:i+4])
	}
	return strings.Join(groups, " ")
}
