package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report"
)

// mergeParts puts the parts named together.
func (c *call) mergeParts(ctx context.Context) error {
	if len(c.args) == 0 {
		return misuse("tankodds compare --merge parts --out all", "no part to put together")
	}
	if name := c.asked.Beside("merge", "where", "sort", "group", "out", "json", "quiet", "workers"); name != "" {
		return misuse("leave it out; it is said when the shares are worked on", "--merge takes the study from the parts, and --%s would change it", name)
	}
	files, err := partsOf(c.args)
	if err != nil {
		return err
	}
	parts, err := openParts(files)
	defer func() {
		for _, p := range parts {
			p.file.Close()
		}
	}()
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	all := make([]*report.Part, len(parts))
	for i, p := range parts {
		all[i] = p.Part
	}
	return c.tell(ctx, out, all, func() {})
}

// partsHint says what parts are.
const partsHint = "give the parts, or their folder: tankodds compare --shard 3/8 --out parts writes parts/part-3-of-8.jsonl"

// partsOf lists the files of parts: of a folder those that are called so.
func partsOf(named []string) (out []string, err error) {
	for _, name := range named {
		if info, err := os.Stat(name); err != nil || !info.IsDir() {
			out = append(out, name)
			continue
		}
		inside, err := filesIn(name)
		if err != nil {
			return nil, err
		}
		n := len(out)
		for _, f := range inside {
			if ok, _ := filepath.Match("part-*-of-*.jsonl", filepath.Base(f)); ok {
				out = append(out, f)
			}
		}
		if len(out) == n {
			return nil, &read.Error{File: name, Text: "holds no part", Hint: partsHint}
		}
	}
	return out, nil
}

// openParts opens parts of one study in their order: each share once, none missing,
// none unfinished.
func openParts(files []string) (parts []*partFile, err error) {
	var all []*partFile
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			return all, &read.Error{File: path, Text: "cannot be read: " + cause(err), Hint: partsHint}
		}
		p := &partFile{file: f, path: path}
		all = append(all, p)
		if p.Part, err = report.ReadPart(f); err != nil {
			return all, cannot(partsHint, "%s %v", path, err)
		}
		if first := all[0]; first.Head.Differs(&p.Head) != "" {
			return all, cannot("put the parts of one study together", "%s and %s are parts of different studies: %s", first.path, path, first.Head.Differs(&p.Head))
		}
	}
	head := all[0].Head
	parts = make([]*partFile, head.Shards)
	for _, p := range all {
		if other := parts[p.Head.Shard-1]; other != nil {
			return all, cannot("name one of them", "%s and %s are both share %d of %d", other.path, p.path, p.Head.Shard, head.Shards)
		}
		parts[p.Head.Shard-1] = p
	}
	var lacks, again []string
	for i, p := range parts {
		switch {
		case p == nil:
			lacks = append(lacks, fmt.Sprint(i+1))
		case !p.Sealed || p.Torn:
			lacks = append(lacks, fmt.Sprintf("%d (%d of its %d records are done)", i+1, p.Done(), p.Records()))
		default:
			continue
		}
		again = append(again, fmt.Sprintf("%s --shard %d/%d --out %s", head.Command, i+1, head.Shards, quotedWord(filepath.Dir(all[0].path))))
	}
	if lacks != nil {
		return all, &problem{
			code: exitFailed, list: again, hint: "type these, each on any machine, and put the parts together again",
			text: fmt.Sprintf("of %d shares these are missing or not finished: %s", head.Shards, strings.Join(lacks, ", ")),
		}
	}
	return parts, nil
}
