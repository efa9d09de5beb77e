package report

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
	"tankodds/report/units"
)

// Whatever stands in a part of a comparison, it is read as far as it is whole, and what
// is made of its rows is a comparison or one error. Rows are given the check that they
// would have, so that what is behind it is reached.
func FuzzPart(f *testing.F) {
	head := PartHead{Version: "0", Inputs: Inputs{Units: units.SI, Study: smallStudy()}, Records: 2, Shard: 1, Shards: 1}
	line := func(row []byte) []byte {
		return append(append([]byte(rowStart+checkOf(row)+rowMiddle), row...), '}', '\n')
	}
	failed := codec.Encode(FailedRow(0, "a.csv", errNotThere{})).Line()
	failed = bytes.TrimSuffix(failed, []byte("\n"))
	f.Add(head.Line(), failed, []byte(`{"rows":1,"sha256":"0"}`))
	f.Add(head.Line(), []byte(`{"at":1,"station":{"file":"b.csv","latitude_deg":91},"curves":"x","rests":["y"]}`), []byte("{"))
	large := head
	large.Records = 1 << 60
	f.Add(large.Line(), failed, []byte(""))
	for _, s := range comparedStations().Stations[:2] {
		row := bytes.TrimSuffix(codec.Encode(&Row{At: 0, Station: s}).Line(), []byte("\n"))
		f.Add(head.Line(), row, failed)
	}
	f.Fuzz(func(t *testing.T, first, row, rest []byte) {
		text := append(bytes.TrimSuffix(append([]byte{}, first...), []byte("\n")), '\n')
		text = append(append(text, line(row)...), rest...)
		p, err := ReadPart(bytes.NewReader(text))
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		require.LessOrEqual(t, p.Size, int64(len(text)))
		require.LessOrEqual(t, p.Done(), p.Records())
		from, _ := p.Head.Range()
		for at := from; at < from+min(p.Records(), 3); at++ {
			p.Row(at)
			p.texts(at)
		}
		z, err := Gather([]*Part{p})
		if err != nil || z.Answered() == 0 || z.Work() != nil {
			return
		}
		if page, err := z.Sheet(); err == nil {
			require.NotEmpty(t, page.Sections)
		}
	})
}

type errNotThere struct{}

func (errNotThere) Error() string { return "there is no such file" }
