package report

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"strconv"

	"tankodds/report/codec"
)

// A comparison is written down row by row while it is worked on: a part. It says
// whose study it is and which of the records are its own, so that parts made on
// several machines can be put together, and a run that was stopped can go on.
//
// A part is text, a JSON object a line: a head, a row a record with the beginning
// of the SHA-256 of its text, in any order, of two of one record the later; and at
// the end of the work a seal, the number of rows and the SHA-256 of all lines
// before it. What is cut short or was altered is no row.

// PartSchema names the shape of a part.
const PartSchema = "tankodds/part/1"

// PartHead says what a part is part of.
type PartHead struct {
	Schema  string `key:"schema" doc:"name of the shape of this file"`
	Version string `key:"version" doc:"of the program"`
	Inputs  Inputs `key:"inputs" doc:"the study, the same for every record"`
	Records int    `key:"records" doc:"how many there are in all"`
	List    string `key:"list_sha256" doc:"of their names, a line each"`
	Listing string `key:"stations_sha256" doc:"of the list of stations, empty for none"`
	LeftOut int    `key:"left_out" doc:"records that a condition on the list of stations left out beforehand; they are not counted above"`
	Shard   int    `key:"shard" doc:"which share of the records this is, from 1"`
	Shards  int    `key:"shards" doc:"into how many they were cut"`
	Command string `key:"command" doc:"what was typed, but for the share and the folder"`
}

// Range is which records are the part's own: from the first up to another.
func (h *PartHead) Range() (from, to int) {
	return (h.Shard - 1) * h.Records / h.Shards, h.Shard * h.Records / h.Shards
}

// Name is what the file of the part is called.
func (h *PartHead) Name() string { return fmt.Sprintf("part-%d-of-%d.jsonl", h.Shard, h.Shards) }

// study is what parts of one study have in common.
func (h *PartHead) study() *codec.Node {
	other := *h
	other.Schema, other.Shard, other.Command = PartSchema, 0, ""
	return codec.Encode(other)
}

// Digest is the SHA-256 of what parts of one study have in common.
func (h *PartHead) Digest() string {
	sum := sha256.Sum256(h.study().Bytes())
	return hex.EncodeToString(sum[:])
}

// Differs says what makes another part one of another study, "" where nothing does.
func (h *PartHead) Differs(other *PartHead) string {
	for _, r := range compareTrees(h.study(), other.study(), "", "") {
		if !r.exact {
			return fmt.Sprintf("%s is %s in one and %s in the other", r.Path[1:], literal(r.File), literal(r.Again))
		}
	}
	return ""
}

func literal(n *codec.Node) string {
	if n == nil {
		return "not there"
	}
	return oneLine(n.Literal())
}

// Part is a part that is being written, or was.
type Part struct {
	Head   PartHead
	Sealed bool
	Torn   bool  // whether something follows the last whole line
	Size   int64 // bytes of whole lines

	file io.ReaderAt
	rows []span // by record, from the first of its own
	sum  hash.Hash
}

type span struct {
	at int64
	n  int
}

const (
	rowStart  = `{"check":"`
	rowMiddle = `","row":`
	checkLen  = 16
	mostLine  = 1 << 26

	mostRecords = 10_000_000 // of a comparison, and shares; all gauges of the world are fewer
)

// NewPart begins a part in an empty file.
func NewPart(f interface {
	io.ReaderAt
	io.Writer
}, head PartHead) (*Part, error) {
	p := &Part{Head: head, file: f, sum: sha256.New()}
	from, to := head.Range()
	p.rows = make([]span, to-from)
	return p, p.line(f, head.Line())
}

// Line is the first line of the part.
func (h *PartHead) Line() []byte {
	h.Schema = PartSchema
	return codec.Encode(*h).Line()
}

// ReadPart reads a part as far as it is whole. Its error says why the file is none.
func ReadPart(f interface {
	io.ReaderAt
	io.Reader
}) (*Part, error) {
	p := &Part{file: f, sum: sha256.New()}
	lines := bufio.NewReaderSize(f, 1<<16)
	for {
		text, err := lines.ReadBytes('\n')
		if len(text) > mostLine || err != nil && !errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("cannot be read: %w", err)
		}
		if err != nil || !p.take(text[:len(text)-1]) {
			p.Torn = len(text) > 0
			break
		}
		p.Size += int64(len(text))
		p.sum.Write(text)
	}
	if p.Size == 0 {
		return nil, errors.New("is no part of a comparison")
	}
	return p, nil
}

// take takes a whole line, and says whether it is one.
func (p *Part) take(text []byte) bool {
	p.Sealed = false
	switch row, ok := rowOf(text); {
	case p.Size == 0:
		n, err := codec.Parse(text)
		if err != nil || n.At("schema") == nil || n.At("schema").Text != PartSchema || codec.Decode(n, &p.Head) != nil {
			return false
		}
		h := &p.Head
		if h.Shards < 1 || h.Shard < 1 || h.Shard > h.Shards || h.Shards > mostRecords ||
			h.Records < 0 || h.Records > mostRecords || h.Inputs.Study == nil || h.Inputs.Study.Check() != nil {
			return false
		}
		from, to := h.Range()
		p.rows = make([]span, to-from)
		return true
	case ok:
		from, to := p.Head.Range()
		at, ok := rowAt(row)
		if ok = ok && at >= from && at < to; ok {
			p.rows[at-from] = span{p.Size + int64(len(rowStart)+checkLen+len(rowMiddle)), len(row)}
		}
		return ok
	default:
		n, err := codec.Parse(text)
		if err != nil || n.At("rows") == nil || n.At("sha256") == nil || n.At("sha256").Text != hex.EncodeToString(p.sum.Sum(nil)) {
			return false
		}
		p.Sealed = n.At("rows").Text == strconv.Itoa(p.Done()) && p.Done() == len(p.rows)
		return p.Sealed
	}
}

// rowOf is the text of a row within its line, which must be as it was written.
func rowOf(text []byte) (row []byte, ok bool) {
	head := len(rowStart) + checkLen
	if len(text) < head+len(rowMiddle)+2 || !bytes.HasPrefix(text, []byte(rowStart)) || !bytes.HasPrefix(text[head:], []byte(rowMiddle)) {
		return nil, false
	}
	row = text[head+len(rowMiddle) : len(text)-1]
	return row, string(text[len(rowStart):head]) == checkOf(row) && text[len(text)-1] == '}'
}

func checkOf(row []byte) string {
	sum := sha256.Sum256(row)
	return hex.EncodeToString(sum[:checkLen/2])
}

// rowAt is which record a row is of.
func rowAt(row []byte) (int, bool) {
	text, ok := bytes.CutPrefix(row, []byte(`{"at":`))
	end := bytes.IndexByte(text, ',')
	if !ok || end < 0 {
		return 0, false
	}
	at, err := strconv.Atoi(string(text[:end]))
	return at, err == nil
}

// line writes a line.
func (p *Part) line(w io.Writer, text []byte) error {
	text = append(bytes.TrimSuffix(text, []byte("\n")), '\n')
	n, err := w.Write(text)
	if err != nil {
		return err
	}
	p.Size += int64(n)
	p.sum.Write(text)
	return nil
}

// Write writes a row. w is at the end of the file.
func (p *Part) Write(w io.Writer, r *Row) error {
	row := bytes.TrimSuffix(codec.Encode(r).Line(), []byte("\n"))
	text := append([]byte(rowStart+checkOf(row)+rowMiddle), row...)
	from, _ := p.Head.Range()
	p.Sealed = false
	p.rows[r.At-from] = span{p.Size + int64(len(rowStart)+checkLen+len(rowMiddle)), len(row)}
	return p.line(w, append(text, '}'))
}

// Seal writes that the work is done.
func (p *Part) Seal(w io.Writer) error {
	p.Sealed = true
	seal := struct {
		Rows int    `key:"rows"`
		Sum  string `key:"sha256"`
	}{p.Done(), hex.EncodeToString(p.sum.Sum(nil))}
	return p.line(w, codec.Encode(seal).Line())
}

// Done is how many of its records have a row.
func (p *Part) Done() (n int) {
	for _, s := range p.rows {
		if s.n > 0 {
			n++
		}
	}
	return n
}

// Records is how many records are its own.
func (p *Part) Records() int { return len(p.rows) }

// Row reads the row of a record; nil where there is none.
func (p *Part) Row(at int) (*Row, error) {
	text, err := p.text(at)
	if text == nil || err != nil {
		return nil, err
	}
	n, err := codec.Parse(text)
	if err != nil {
		return nil, err
	}
	out := &Row{}
	return out, codec.Decode(n, out)
}

// Station reads of a row what answers.csv has of it.
func (p *Part) Station(at int) (*Station, error) {
	text, err := p.text(at)
	if text == nil || err != nil {
		return nil, err
	}
	var row struct {
		Station json.RawMessage `json:"station"`
	}
	if err := json.Unmarshal(text, &row); err != nil {
		return nil, err
	}
	n, err := codec.Parse(row.Station)
	if err != nil {
		return nil, err
	}
	out := &Station{}
	return out, codec.Decode(n, out)
}

// texts reads of a row the lines that it has in curves.csv and in provenance.txt.
func (p *Part) texts(at int) (curves string, rests []string, err error) {
	text, err := p.text(at)
	if text == nil || err != nil {
		return "", nil, err
	}
	var row struct {
		Curves string   `json:"curves"`
		Rests  []string `json:"rests"`
	}
	err = json.Unmarshal(text, &row)
	return row.Curves, row.Rests, err
}

// text is the row of a record as it is written; nil where there is none.
func (p *Part) text(at int) ([]byte, error) {
	from, _ := p.Head.Range()
	s := p.rows[at-from]
	if s.n == 0 {
		return nil, nil
	}
	text := make([]byte, s.n)
	_, err := p.file.ReadAt(text, s.at)
	return text, err
}
