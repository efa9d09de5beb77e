package codec

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// Where a value stands: in the text of a file, and among the fields of a struct.

// LineOf returns the line, counted from 1, on which the value of a path such as
// study.roofs[0].area_m2 stands in a JSON text; of a path that is not all there the
// line of the last part that is.
func LineOf(text []byte, path string) int {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	end := seek(d, stepsOf(path))
	return 1 + bytes.Count(text[:min(len(text), int(end))], []byte("\n"))
}

// stepsOf takes a path apart: keys as they are, places in a list as [0].
func stepsOf(path string) (out []string) {
	for part := range strings.SplitSeq(path, ".") {
		key, places, _ := strings.Cut(part, "[")
		if key != "" {
			out = append(out, key)
		}
		for place := range strings.SplitSeq(places, "[") {
			if place != "" {
				out = append(out, "["+place)
			}
		}
	}
	return out
}

// seek reads as far as the value that steps lead to, or the last of them, and returns
// where its first word ends.
func seek(d *json.Decoder, steps []string) int64 {
	t, err := d.Token()
	at := d.InputOffset()
	if err != nil || len(steps) == 0 {
		return at
	}
	switch t {
	case json.Delim('{'):
		for d.More() {
			key, err := d.Token()
			if err != nil {
				return at
			}
			if key == steps[0] {
				return seek(d, steps[1:])
			}
			if skip(d) != nil {
				return at
			}
		}
	case json.Delim('['):
		for i := 0; d.More(); i++ {
			if steps[0] == "["+strconv.Itoa(i)+"]" {
				return seek(d, steps[1:])
			}
			if skip(d) != nil {
				return at
			}
		}
	}
	return at
}

// skip passes over a value.
func skip(d *json.Decoder) error {
	for depth := 0; ; {
		t, err := d.Token()
		if err != nil {
			return err
		}
		switch t {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth == 0 {
			return nil
		}
	}
}

// PathTo returns the path of a field within what root points to, by the keys that
// Encode gives it; "" where it is none of its. field points to it.
func PathTo(root, field any) string {
	f := reflect.ValueOf(field)
	path, _ := pathTo(reflect.ValueOf(root).Elem(), f.Pointer(), f.Type().Elem())
	return strings.TrimPrefix(path, ".")
}

func pathTo(v reflect.Value, at uintptr, is reflect.Type) (path string, found bool) {
	if v.CanAddr() && v.Addr().Pointer() == at && v.Type() == is {
		return "", true
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return pathTo(v.Elem(), at, is)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if path, found := pathTo(v.Index(i), at, is); found {
				return fmt.Sprintf("[%d]%s", i, path), true
			}
		}
	case reflect.Struct:
		for _, f := range fieldsOf(v.Type()) {
			if path, found := pathTo(v.FieldByIndex(f.index), at, is); found {
				return "." + f.key + path, true
			}
		}
	}
	return "", false
}
