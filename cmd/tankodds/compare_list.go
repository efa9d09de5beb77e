package main

import (
	"os"
	"path/filepath"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report/site"
)

// recordsOf lists the files named: each file, those of a folder, and those of a
// list, whose names are seen from where it lies.
func recordsOf(named []string) (out []string, err error) {
	for _, name := range named {
		switch info, statErr := os.Stat(name); {
		case strings.HasPrefix(name, "@"):
			listed, err := listedIn(name[1:])
			if err != nil {
				return nil, err
			}
			out = append(out, listed...)
		case statErr == nil && info.IsDir():
			inside, err := filesIn(name)
			if err != nil {
				return nil, err
			}
			if len(inside) == 0 {
				return nil, &read.Error{File: name, Text: "holds no file", Hint: "name a folder of records"}
			}
			out = append(out, inside...)
		case statErr != nil && name != "-": // a slip of the keyboard, told before the long run
			return nil, &read.Error{File: name, Text: "cannot be read: " + cause(statErr), Hint: "give the path of a rain record, of a folder of them, or @LIST, a file that names one a line"}
		default:
			out = append(out, name)
		}
	}
	return out, nil
}

// filesIn lists the files of a folder by name, but for hidden ones and for what is
// none, such as a pipe, which would wait for its other end.
func filesIn(folder string) (out []string, err error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, &read.Error{File: folder, Text: "cannot be read: " + cause(err), Hint: "name a folder that may be read"}
	}
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		if info, err := os.Stat(path); !strings.HasPrefix(e.Name(), ".") && (err != nil || info.Mode().IsRegular()) {
			out = append(out, path)
		}
	}
	return out, nil
}

// mostListBytes bounds a list: a million names.
const mostListBytes = 1 << 27

// listedIn reads a list of files: one a line, # begins a comment.
func listedIn(list string) (out []string, err error) {
	data, err := site.ReadPlain(list, mostListBytes)
	if err != nil {
		return nil, &read.Error{File: list, Text: "cannot be read: " + err.Error(), Hint: "give behind the @ the path of a list, which has a file name a line"}
	}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			if !filepath.IsAbs(line) {
				line = filepath.Join(filepath.Dir(list), line)
			}
			out = append(out, line)
		}
	}
	if len(out) == 0 {
		return nil, &read.Error{File: list, Text: "names no file", Hint: "a list has a file name a line"}
	}
	return out, nil
}

// splitSite takes the site file from the front of the arguments.
func splitSite(args []string) (described string, files []string) {
	if len(args) > 0 {
		if ext := strings.ToLower(filepath.Ext(args[0])); ext == ".yaml" || ext == ".yml" {
			return args[0], args[1:]
		}
	}
	return "", args
}
