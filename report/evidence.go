package report

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// EvidenceSchema names the shape of evidence.
const EvidenceSchema = "tankodds/evidence/1"

// parts lists what evidence holds beside the inputs, in order: every number
// and every word shown. A part is a key and what makes its value; one that a
// new page or figure shows joins with a line here. The part without a key is
// sim.Result, whose fields join by themselves (see valuesOf).
var parts = []struct {
	key  string
	make func(*Sizing) (*node, error)
}{
	// The inputs once more: an input altered by itself is then a value that
	// differs, named, even where no number follows it.
	{"inputs", func(z *Sizing) (*node, error) { return treeOf(z.inputs()) }},
	{"words", func(z *Sizing) (*node, error) { return treeOf(z.said()) }},
	{"warnings", func(z *Sizing) (*node, error) { return treeOf(z.Warnings()) }},
	{"record", (*Sizing).recordValues},
	{"", (*Sizing).resultValues},
	{"sheet", func(z *Sizing) (*node, error) {
		bare := *z
		bare.Digest = "" // which is made of this
		return valuesOf(reflect.ValueOf(*bare.Sheet())).told(), nil
	}},
}

// said returns every sentence of the answer with its label.
func (z *Sizing) said() []saidJSON {
	out := []saidJSON{{"Site", siteLine(z.Result.Study, z.Units)}}
	label := ""
	for _, s := range z.Answer() {
		if s.Label != "" {
			label = s.Label // a sentence without one goes on under the last
		}
		out = append(out, saidJSON{label, s.Text})
	}
	return append(out, saidJSON{"Basis", z.basis()})
}

type saidJSON struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

// recordValues is the record's own sheet but for the file's name and SHA-256,
// which are inputs.
func (z *Sizing) recordValues() (*node, error) {
	var b bytes.Buffer
	if err := WriteRecordJSON(&b, z.summary()); err != nil {
		return nil, err
	}
	n, err := parseTree(b.Bytes())
	if err != nil {
		return nil, err
	}
	return n.without("schema", "file", "sha256"), nil
}

// values returns every value that evidence holds beside the inputs.
func (z *Sizing) values() (*node, error) {
	out := &node{kind: jsonObject}
	for _, p := range parts {
		v, err := p.make(z)
		if err != nil {
			return nil, err
		}
		if p.key != "" {
			out.add(p.key, v)
			continue
		}
		out.keys, out.items = append(out.keys, v.keys...), append(out.items, v.items...)
	}
	return out, nil
}

// resultValues is the result, what is looked at first in front. Its warnings
// are among those told.
func (z *Sizing) resultValues() (*node, error) {
	found := valuesOf(reflect.ValueOf(*z.Result)).without("warnings")
	out := &node{kind: jsonObject}
	for _, k := range slices.Concat(first, found.keys) {
		if out.at(k) == nil {
			out.add(k, found.at(k))
		}
	}
	return out, nil
}

// first are the values of a result that are looked at first.
var first = []string{"answer", "stops", "outlook", "answer_by_roof"}

// EvidenceJSON returns one object of the schema tankodds/evidence/1: the
// inputs, from which the study can be run again, every value that came of
// them, the digest of both, and the files written with it. Numbers are SI in
// their shortest exact form.
func (z *Sizing) EvidenceJSON(files ...FileDigest) ([]byte, error) {
	doc, err := z.evidence()
	if err != nil {
		return nil, err
	}
	list, err := treeOf(append([]FileDigest{}, files...))
	if err != nil {
		return nil, err
	}
	doc.add("digest", &node{kind: jsonText, text: digestOf(doc)})
	doc.add("files", list)
	return doc.bytes(), nil
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
func (z *Sizing) evidence() (*node, error) {
	inputs, err := treeOf(z.inputs())
	if err != nil {
		return nil, err
	}
	values, err := z.values()
	if err != nil {
		return nil, err
	}
	doc := &node{kind: jsonObject}
	for i, v := range []*node{{kind: jsonText, text: EvidenceSchema}, {kind: jsonText, text: z.Version}, inputs, values} {
		doc.add(digested[i], v)
	}
	return doc, nil
}

// digestOf is the SHA-256 of what is digested, as evidence writes it.
func digestOf(doc *node) string {
	only := &node{kind: jsonObject}
	for _, k := range digested {
		only.add(k, doc.at(k))
	}
	sum := sha256.Sum256(only.bytes())
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
