package report

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"tankodds/report/codec"
	"tankodds/report/words"
	"tankodds/sim"
)

// EvidenceSchema names the shape of evidence.
const EvidenceSchema = "tankodds/evidence/2"

// resultsDoc is what evidence holds beside the inputs: every number and every
// sentence shown.
type resultsDoc struct {
	// The inputs once more: an input altered by itself is then a value that
	// differs, named, even where no number follows it.
	Inputs Inputs      `key:"inputs" doc:"the inputs once more"`
	Record *codec.Node `key:"record" doc:"the record's own sheet but for its name and SHA-256, which are inputs"`
	sim.Result
	Warnings []words.Warning `key:"warnings" doc:"what must be told of record and result"`
	Sheet    *codec.Node     `key:"sheet" doc:"the words of the page"`
}

// values returns what evidence holds beside the inputs.
func (z *Sizing) values() *codec.Node {
	bare := *z
	bare.Digest = "" // which is made of this
	record := recordNode(z.Record).Without("schema", "file", "sha256")
	n := codec.Encode(resultsDoc{z.inputs(), record, *z.Result, z.Warnings(), codec.Encode(bare.Sheet()).Lean()})
	z.explain(n)
	return n
}

// EvidenceJSON returns one object of the schema EvidenceSchema: the inputs,
// from which the study can be run again, every value that came of them, the
// digest of both, and the files written with it. Numbers are SI in their
// shortest exact form.
func (z *Sizing) EvidenceJSON(files ...FileDigest) []byte {
	doc := z.evidence()
	doc.Add("digest", codec.TextNode(digestOf(doc)))
	doc.Add("files", codec.Encode(files))
	return doc.Bytes()
}

// EvidenceDigest returns the digest that the evidence of this sizing has,
// 64 hexadecimal digits. Put into Digest it is printed on page and sheet.
func (z *Sizing) EvidenceDigest() string { return digestOf(z.evidence()) }

// digested are the keys of evidence that its digest is of: all but the digest
// itself and the files, on which it is printed.
var digested = []string{"schema", "version", "inputs", "results"}

// evidence returns what is digested.
func (z *Sizing) evidence() *codec.Node {
	doc := &codec.Node{Kind: codec.Object}
	for i, v := range []*codec.Node{codec.TextNode(EvidenceSchema), codec.TextNode(z.Version), codec.Encode(z.inputs()), z.values()} {
		doc.Add(digested[i], v)
	}
	return doc
}

// digestOf is the SHA-256 of what is digested, as evidence writes it.
func digestOf(doc *codec.Node) string {
	only := &codec.Node{Kind: codec.Object}
	for _, k := range digested {
		only.Add(k, doc.At(k))
	}
	return fmt.Sprintf("%x", sha256.Sum256(only.Bytes()))
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
