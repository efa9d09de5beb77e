package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"tankodds/report"
)

// partFile is a part on disk, locked while it is worked on.
type partFile struct {
	*report.Part
	file *os.File
	path string
	kept bool // what was done stays if the work is stopped
}

// openPart opens the part of a whole comparison: hidden in the folder of --out,
// where a run that is stopped leaves it for the next, or else a temporary file.
func (c *call) openPart(out *folder, head report.PartHead) (*partFile, error) {
	if out == nil {
		f, err := os.CreateTemp("", "tankodds-*")
		if err != nil {
			return nil, cannot("", "no temporary file can be made: %s", cause(err))
		}
		p := &partFile{file: f, path: f.Name()}
		if p.Part, err = report.NewPart(f, head); err != nil {
			p.close()
			return nil, p.cannot(err)
		}
		return p, nil
	}
	return openPartFile(filepath.Join(out.dir, ".tankodds-"+head.Digest()[:16]+".jsonl"), head)
}

// openPartFile opens a part to go on with, or begins it. One that another run works
// on is refused, and so is one of another study.
func openPartFile(path string, head report.PartHead) (*partFile, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	p := &partFile{file: f, path: path, kept: true}
	if err != nil {
		return nil, p.cannot(err)
	}
	if err := lockFile(f); errors.Is(err, errBusy) {
		f.Close()
		return nil, cannot("wait for it, or choose another folder", "%s: %v", path, err)
	}
	if info, err := f.Stat(); err == nil && info.Size() > 0 {
		p.Part, err = report.ReadPart(f)
		switch {
		case err != nil && info.Size() < mostHead && begun(f, head.Line()): // stopped before the first line was whole
			if err := f.Truncate(0); err != nil {
				f.Close()
				return nil, p.cannot(err)
			}
			return p.anew(head)
		case err != nil:
			f.Close()
			return nil, cannot("move it away, or choose another folder", "%s %v", path, err)
		case p.Head.Shard != head.Shard:
			f.Close()
			return nil, cannot("move it away, or choose another folder", "%s is of share %d", path, p.Head.Shard)
		case p.Head.Differs(&head) != "":
			f.Close()
			return nil, cannot("move it away, or choose another folder", "%s is a part of another study: %s", path, p.Head.Differs(&head))
		}
		err = f.Truncate(p.Size) // what is torn is done again
		if err == nil {
			_, err = f.Seek(p.Size, io.SeekStart)
		}
		if err != nil {
			f.Close()
			return nil, p.cannot(err)
		}
		return p, nil
	}
	return p.anew(head)
}

// anew begins the part in a file that is empty.
func (p *partFile) anew(head report.PartHead) (*partFile, error) {
	_, err := p.file.Seek(0, io.SeekStart)
	if err == nil {
		p.Part, err = report.NewPart(p.file, head)
	}
	if err != nil {
		p.file.Close()
		return nil, p.cannot(err)
	}
	return p, nil
}

// mostHead is more than the first line of a part has.
const mostHead = 1 << 20

// begun says whether a file is the beginning of a line.
func begun(f io.ReaderAt, line []byte) bool {
	text, err := io.ReadAll(io.NewSectionReader(f, 0, mostHead))
	return err == nil && bytes.HasPrefix(line, text)
}

func (p *partFile) cannot(err error) error {
	return cannot("choose a folder that can be written", "%s cannot be written: %s", p.path, cause(err))
}

// todo lists the records of the part that have no row, or one of a file that has
// changed since or could not be answered for.
func (p *partFile) todo(ctx context.Context, files []string) (out []int, err error) {
	from, to := p.Head.Range()
	for at := from; at < to; at++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r, err := p.Row(at)
		if err != nil {
			return nil, cannot("remove it and begin anew", "%s cannot be read: %s", p.path, cause(err))
		}
		if r == nil || r.Station.Reason != "" && r.Station.Grade == "" || r.Station.SHA256 != sumOf(files[at]) {
			out = append(out, at)
		}
	}
	return out, nil
}

// sumOf is the SHA-256 of a file's bytes, "" where it cannot be read.
func sumOf(path string) string {
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return ""
	}
	return hex.EncodeToString(h.Sum(nil))
}

func (p *partFile) write(r *report.Row) error {
	if err := p.Write(p.file, r); err != nil {
		return p.cannot(err)
	}
	return nil
}

// seal ends the work, unless it was ended before and nothing was done since.
func (p *partFile) seal() error {
	if p.Sealed {
		return nil
	}
	err := p.Seal(p.file)
	if err == nil {
		err = p.file.Sync()
	}
	if err != nil {
		return p.cannot(err)
	}
	return nil
}

// stopped words why the work was stopped, and what of it is kept.
func (p *partFile) stopped(err error) error {
	if !errors.Is(err, context.Canceled) || !p.kept || p.Done() == 0 {
		return err
	}
	return &problem{
		code: exitInterrupted,
		text: fmt.Sprintf("interrupted; %d of %d records are done and kept in %s", p.Done(), p.Records(), filepath.Dir(p.path)),
		hint: "type the same again to go on",
	}
}

// close closes the file. It stays where something of it is kept.
func (p *partFile) close() {
	p.file.Close()
	if !p.kept || p.Done() == 0 {
		os.Remove(p.path)
	}
}

// remove takes away a part whose comparison is written down.
func (p *partFile) remove() { p.kept = false }

// workShard works on one share of the records and leaves its part in the folder.
func (c *call) workShard(ctx context.Context, job *comparing, head report.PartHead) error {
	if c.plan.Out == "" {
		return misuse("as in --shard 3/8 --out parts", "a share needs a folder for its part")
	}
	if err := os.MkdirAll(c.plan.Out, 0o777); err != nil {
		return cannot("choose a folder that can be written", "%s cannot be written: %s", c.plan.Out, cause(err))
	}
	part, err := openPartFile(filepath.Join(c.plan.Out, head.Name()), head)
	if err != nil {
		return err
	}
	defer part.file.Close()
	before := part.Size
	if err := job.work(ctx, part); err != nil {
		return part.stopped(err)
	}
	done := "written"
	if part.Size == before {
		done = "was done already"
	}
	fmt.Fprintf(c.stdout, "Share %d of %d: %d of %d records; %s %s.\n", head.Shard, head.Shards, part.Records(), head.Records, part.path, done)
	return nil
}

// withoutShare is the command as it was typed, but for the share and the folder of
// its part, and what a shell must not take apart in quotes.
func (c *call) withoutShare() string {
	words := []string{"tankodds", "compare"}
	for i := 0; i < len(c.typed); i++ {
		name, _, joined := strings.Cut(c.typed[i], "=")
		if name == "--shard" || name == "--out" {
			if !joined {
				i++
			}
			continue
		}
		words = append(words, quotedWord(c.typed[i]))
	}
	return strings.Join(words, " ")
}

// quotedWord is a word of a command, in quotes where a shell wants them.
func quotedWord(word string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("_-./,:=%@+", r)
	}
	if word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0 {
		return word
	}
	return quoted(word)
}
