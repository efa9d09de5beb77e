package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stationFolder makes a folder of small records: pieces of one that differ, and a file
// that is none.
func stationFolder(t *testing.T, n int) string {
	t.Helper()
	text, err := os.ReadFile("demo.csv")
	require.NoError(t, err)
	lines := strings.SplitAfter(string(text), "\n")
	head, days := lines[0], lines[1:]
	for strings.HasPrefix(head, "#") || !strings.Contains(head, ",") {
		head, days = head+days[0], days[1:]
		if !strings.HasPrefix(days[0], "#") {
			break
		}
	}
	dir := filepath.Join(t.TempDir(), "stations")
	require.NoError(t, os.Mkdir(dir, 0o777))
	for i := range n {
		from := i * 365
		piece := days[from:min(len(days), from+365*8)]
		require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("s%02d.csv", i)), []byte(head+strings.Join(piece, "")), 0o666))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "z.txt"), []byte("no record\n"), 0o666))
	return dir
}

// folderBytes is all that lies in a folder.
func folderBytes(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, name := range files(t, dir) {
		out[name] = content(t, filepath.Join(dir, name))
	}
	return out
}

var comparedSite = []string{"--roof", "140m2", "--use", "150L/day", "--years", "200", "--quiet"}

// Whatever the number of shares, what they make together is byte for byte what one
// run makes.
func TestSharesMakeTheWhole(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 5), t.TempDir()
	args := append([]string{"compare", stations}, comparedSite...)
	text := done(t, append(args, "--out", filepath.Join(dir, "whole"))...)
	whole := folderBytes(t, filepath.Join(dir, "whole"))
	require.Contains(t, whole, "answers.csv")
	require.Contains(t, whole, "compare.svg")
	for _, n := range []int{1, 2, 6, 9} { // nine shares of six records
		parts := filepath.Join(dir, fmt.Sprint("parts", n))
		for i := n; i >= 1; i-- {
			done(t, append(args, "--out", parts, "--shard", fmt.Sprintf("%d/%d", i, n))...)
		}
		require.Len(t, files(t, parts), n)
		all := filepath.Join(dir, fmt.Sprint("all", n))
		assert.Equal(t, text, done(t, "compare", "--merge", parts, "--out", all, "--quiet"))
		assert.Equal(t, whole, folderBytes(t, all), n)
	}
	json := done(t, append(args, "--json")...)
	assert.Equal(t, json, done(t, "compare", "--merge", filepath.Join(dir, "parts2"), "--json"))
}

// A part that was cut off anywhere goes on where it was, to the same end, and is not
// taken for whole before.
func TestTornPartGoesOn(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 3), t.TempDir()
	args := append([]string{"compare", stations, "--shard", "1/1", "--out", dir}, comparedSite...)
	done(t, args...)
	path := filepath.Join(dir, "part-1-of-1.jsonl")
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	merged := done(t, "compare", "--merge", dir, "--json")
	rng := rand.New(rand.NewPCG(1, 2))
	for range 12 {
		cut := rng.IntN(len(whole))
		text := whole[:cut]
		if rng.IntN(2) == 0 { // a block of a disk that never was written
			text = append(text[:len(text):len(text)], make([]byte, rng.IntN(100))...)
		}
		require.NoError(t, os.WriteFile(path, text, 0o666))
		refused(t, exitFailed, "compare", "--merge", dir)
		if len(text) > cut && !strings.Contains(string(text), "\n") { // nothing of it is a part of this study
			refused(t, exitFailed, args...)
			continue
		}
		done(t, args...)
		require.Equal(t, merged, done(t, "compare", "--merge", dir, "--json"), "cut at %d", cut)
	}
	// A digit altered in the midst of a row costs that row and what follows.
	bad := []byte(string(whole))
	at := strings.Index(string(bad), `"curves"`)
	bad[at+40] ^= 1
	require.NoError(t, os.WriteFile(path, bad, 0o666))
	stderr := refused(t, exitFailed, "compare", "--merge", dir)
	assert.Contains(t, stderr, "of 1 shares these are missing or not finished: 1 (0 of its 4 records are done)")
	assert.Contains(t, stderr, "\n  tankodds compare "+stations+" --roof 140m2 --use 150L/day --years 200 --quiet --shard 1/1 --out "+dir+"\n")
}

// A finished record is not worked on again; one whose file has changed is, and so is
// one that could not be read.
func TestFinishedRowsAreKept(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 3), t.TempDir()
	args := append([]string{"compare", stations, "--shard", "1/1", "--out", dir}, comparedSite...)
	done(t, args...)
	path := filepath.Join(dir, "part-1-of-1.jsonl")
	rows := func() int { return strings.Count(content(t, path), "\n{\"check\":") }
	assert.Equal(t, 4, rows())
	assert.Contains(t, done(t, args...), "Share 1 of 1: 4 of 4 records;")
	assert.Equal(t, 5, rows(), "the one that is no record, again")
	record := filepath.Join(stations, "s01.csv")
	require.NoError(t, os.WriteFile(record, []byte(strings.TrimSuffix(content(t, record), "\n")), 0o666))
	done(t, args...)
	assert.Equal(t, 7, rows(), "and the one that has changed")
	require.NoError(t, os.Remove(filepath.Join(stations, "z.txt")))
	stderr := refused(t, exitFailed, args...) // of other records
	assert.Contains(t, stderr, "is a part of another study: records is 4 in one and 3 in the other")
}

// Parts that do not belong together are refused, and so are two of one share; those
// that are missing are listed with what to type.
func TestPartsThatDoNotFit(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 2), t.TempDir()
	share := func(folder string, which string, more ...string) {
		done(t, append(append([]string{"compare", stations, "--shard", which, "--out", filepath.Join(dir, folder)}, comparedSite...), more...)...)
	}
	share("a", "1/3")
	share("a", "3/3")
	stderr := refused(t, exitFailed, "compare", "--merge", filepath.Join(dir, "a"))
	assert.Equal(t, "tankodds: of 3 shares these are missing or not finished: 2\n  tankodds compare "+stations+
		" --roof 140m2 --use 150L/day --years 200 --quiet --shard 2/3 --out "+filepath.Join(dir, "a")+
		"\nhint: type these, each on any machine, and put the parts together again\n", stderr)
	share("b", "2/3", "--seed", "2")
	stderr = refused(t, exitFailed, "compare", "--merge", filepath.Join(dir, "a"), filepath.Join(dir, "b"))
	assert.Contains(t, stderr, "are parts of different studies: inputs.study.seed is 1 in one and 2 in the other")
	share("c", "3/3")
	stderr = refused(t, exitFailed, "compare", "--merge", filepath.Join(dir, "a"), filepath.Join(dir, "c"))
	assert.Contains(t, stderr, "are both share 3 of 3")
	share("d", "1/2")
	stderr = refused(t, exitFailed, "compare", "--merge", filepath.Join(dir, "a"), filepath.Join(dir, "d"))
	assert.Contains(t, stderr, "are parts of different studies: shards is 3 in one and 2 in the other")
	for _, c := range []struct {
		want string
		args []string
	}{
		{"no part to put together", []string{"--merge"}},
		{"cannot be read", []string{"--merge", filepath.Join(dir, "none")}},
		{"is no part of a comparison", []string{"--merge", filepath.Join(stations, "s00.csv")}},
		{"holds no part", []string{"--merge", stations}},
		{"--merge takes the study from the parts, and --roof would change it", []string{"--merge", filepath.Join(dir, "a"), "--roof", "1m2"}},
		{`"4/3" is no share; write 3/8`, []string{stations, "--shard", "4/3"}},
		{`"0/3" is no share`, []string{stations, "--shard", "0/3"}},
		{`"x" is no share`, []string{stations, "--shard", "x"}},
		{"a share needs a folder for its part", []string{stations, "--shard", "1/3", "--roof", "1m2", "--use", "1L/day"}},
	} {
		_, _, stderr := typed(t, append([]string{"compare"}, c.args...)...)
		assert.Contains(t, stderr, c.want)
		assert.NotContains(t, strings.TrimSuffix(strings.SplitN(stderr, "\nhint", 2)[0], "\n"), "\n")
	}
}

// A whole run that is stopped keeps what is done, says so, and the next goes on.
func TestStoppedComparisonGoesOn(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 6), t.TempDir()
	out := filepath.Join(dir, "out")
	args := append([]string{"compare", stations, "--out", out, "--workers", "1"}, comparedSite...)
	args[len(args)-2] = "20000" // of years
	ctx, cancel := context.WithCancel(t.Context())
	var stderr strings.Builder
	stop := &stopAfter{dir: out, cancel: cancel}
	go stop.watch(ctx)
	code := run(ctx, args, strings.NewReader(""), io.Discard, &stderr)
	require.Equal(t, exitInterrupted, code, stderr.String())
	left, err := filepath.Glob(filepath.Join(out, ".tankodds-*.jsonl"))
	require.NoError(t, err)
	require.Len(t, left, 1)
	rows := strings.Count(content(t, left[0]), "\n{\"check\":")
	require.Positive(t, rows)
	require.Less(t, rows, 7)
	text := done(t, args...)
	left, _ = filepath.Glob(filepath.Join(out, ".tankodds-*"))
	assert.Empty(t, left, "nothing is left of it")
	other := filepath.Join(dir, "other")
	args[3] = other
	assert.Equal(t, text, done(t, args...))
	assert.Equal(t, folderBytes(t, other), folderBytes(t, out))
}

// stopAfter stops a run once a row of it is written.
type stopAfter struct {
	dir    string
	cancel func()
}

func (s *stopAfter) watch(ctx context.Context) {
	defer s.cancel()
	for ctx.Err() == nil {
		left, _ := filepath.Glob(filepath.Join(s.dir, ".tankodds-*.jsonl"))
		for _, f := range left {
			if text, err := os.ReadFile(f); err == nil && strings.Count(string(text), "\n{\"check\":") >= 2 {
				return
			}
		}
	}
}

// Positions and whatever else come from a list of stations, conditions choose by them
// before anything is worked on, and the table is put in order.
func TestListOfStations(t *testing.T) {
	t.Parallel()
	stations, dir := stationFolder(t, 4), t.TempDir()
	list, out := filepath.Join(dir, "list.csv"), filepath.Join(dir, "out")
	require.NoError(t, os.WriteFile(list, []byte("# invented\nid;lat;lon;elev_ft;coast\ns00;10.5;-70;1000;east\nS01;11;290;;east\ns02.csv;12;20;0;west\ns03;-13;20;5;west\n"), 0o666))
	args := append([]string{"compare", stations, "--stations", list, "--out", out}, comparedSite...)
	done(t, args...)
	rows := table(t, filepath.Join(out, "answers.csv"))
	require.Len(t, rows, 5)
	for k, want := range []string{"10.5 -70 304.8 east", "11 -70  east", "12 20 0 west", "-13 20 1.524 west", "   "} {
		r := rows[k]
		assert.Equal(t, want, strings.Join([]string{r["latitude_degrees"], r["longitude_degrees"], r["elevation_m"], r["coast"]}, " "))
	}
	require.NoError(t, os.WriteFile(list+"2", []byte("id,lat\ns00,10\nzzz,1\n"), 0o666))
	other := append([]string{"compare", stations, "--stations", list + "2"}, comparedSite...)
	assert.Contains(t, strings.Join(strings.Fields(done(t, other...)), " "), "Of 3 records neither the list of stations nor the file says where they are.")
	text := done(t, append(args, "--where", "coast=west", "--where", "latitude_degrees<=12", "--sort=-tank_l")...)
	assert.Contains(t, strings.Join(strings.Fields(text), " "), "3 more records are left out by --where.")
	rows = table(t, filepath.Join(out, "answers.csv"))
	require.Len(t, rows, 2)
	assert.GreaterOrEqual(t, number(t, rows[0]["tank_l"]), number(t, rows[1]["tank_l"]))
	assert.Len(t, strings.Split(strings.TrimSpace(content(t, filepath.Join(out, "provenance.txt"))), "\n"+stations), 2)
	// In shares it is the same.
	parts := filepath.Join(dir, "parts")
	for _, which := range []string{"1/2", "2/2"} {
		done(t, append(append([]string{"compare", stations, "--stations", list, "--shard", which, "--out", parts}, comparedSite...), "--where", "coast=west", "--where", "latitude_degrees<=12")...)
	}
	assert.Equal(t, text, done(t, "compare", "--merge", parts, "--where", "coast=west", "--where", "latitude_degrees<=12", "--sort=-tank_l"))
	for _, c := range []struct{ list, want string }{
		{"", "list.csv: the list of stations is empty"},
		{"name,lat\na,1\n", "list.csv:1: no column is called station, id or file"},
		{"id,lat\n", "list.csv: no station is listed"},
		{"id,lat\na,91\n", "list.csv:2: a latitude of 91 is none from -90 to 90"},
		{"id,lon\na,400\n", "list.csv:2: a longitude of 400 is none from -180 to 360"},
		{"id,lat\na,1\n\nA,2\n", "list.csv:4: station \"A\" stands in line 2 too"},
		{"id,lat\na,north\n", "list.csv:2: \"north\" is no latitude"},
		{"id,lat\na\n", "list.csv:2: 1 cell where the header has 2"},
		{"id,pop,pop\na,1,2\n", "list.csv:1: two columns are called \"pop\""},
		{"id,lat,latitude\na,1,2\n", "list.csv:1: two columns are for one thing"},
		{"id,lat\n\"a,1\n", "list.csv:2: a quotation mark stands alone"},
		{"id,lat\n,1\n", "list.csv:2: no station is named"},
	} {
		require.NoError(t, os.WriteFile(list, []byte(c.list), 0o666))
		assert.Contains(t, refused(t, exitFailed, args...), c.want)
	}
	for where, want := range map[string]string{
		"latitude_degrees!=": "--where: none of 5 records has latitude_degrees!=",
		"tank_l":             `"tank_l" is no condition; write a column`,
		"tank_l>much":        `--where: tank_l is a number, and "much" is none`,
		"tenk_l>1":           `--where: no column is called "tenk_l"`,
		"grade=none":         "--where: none of 5 records has grade=none",
	} {
		assert.Contains(t, refused(t, exitUsage, append([]string{"compare", stations, "--where", where}, comparedSite...)...), want)
	}
	assert.Contains(t, refused(t, exitUsage, append([]string{"compare", stations, "--sort", "size"}, comparedSite...)...), `--sort: no column is called "size"`)
}

// A record named twice, or a copy of one, has one row with an answer: it is never held
// against itself. curves.csv holds the answers that lie beyond the sizes asked about.
func TestTheSameRecordTwice(t *testing.T) {
	t.Parallel()
	stations, out := stationFolder(t, 2), filepath.Join(t.TempDir(), "out")
	require.NoError(t, os.WriteFile(filepath.Join(stations, "zz.csv"), []byte(content(t, filepath.Join(stations, "s00.csv"))), 0o666))
	one := filepath.Join(stations, "s01.csv")
	text := done(t, append([]string{"compare", stations, one, "--out", out}, comparedSite...)...)
	flat := strings.Join(strings.Fields(text), " ")
	assert.Contains(t, flat, "zz.csv is the same record as ")
	assert.Contains(t, flat, "s01.csv is named twice, and has one row.")
	answered, sizes := map[string]int{}, map[string]float64{}
	for _, r := range table(t, filepath.Join(out, "answers.csv")) {
		if r["grade"] != "" {
			answered[r["sha256"]]++
			sizes[r["file"]] = number(t, r["tank_l"])
		} else if strings.HasSuffix(r["file"], "zz.csv") {
			assert.Contains(t, r["reason"], "byte for byte")
		}
	}
	assert.Len(t, answered, 2)
	for sum, n := range answered {
		assert.Equal(t, 1, n, sum)
	}
	assert.Len(t, table(t, filepath.Join(out, "differences.csv")), 1)
	longest, rows := map[string]float64{}, map[string]bool{}
	for _, r := range table(t, filepath.Join(out, "curves.csv")) {
		key := r["file"] + " " + r["tank_l"] + " " + r["roof_m2"]
		assert.False(t, rows[key], key)
		rows[key] = true
		longest[r["file"]] = max(longest[r["file"]], number(t, r["tank_l"]))
	}
	assert.Len(t, longest, 2)
	for file, size := range sizes {
		assert.GreaterOrEqual(t, longest[file], size, file)
	}
}
