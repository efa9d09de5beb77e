package codec

import (
	"bytes"
	"fmt"
	"io"
	"unicode/utf8"
)

// Visible returns a writer that lets text through and shows what is no text:
// a control character but the line end and the tab (a terminal takes orders
// from them), and the marks that turn the direction of what follows, are
// written as \u and their four hexadecimal digits, bytes that are no UTF-8 as
// U+FFFD. In a JSON text that is the same text, for there such characters
// stand within strings alone. Close writes what was held back of a letter cut
// in two; it does not close w.
func Visible(w io.Writer) io.WriteCloser { return &visible{w: w} }

// VisibleText is what Visible makes of s, for what is not written as text.
func VisibleText(s string) string { return string(appendVisible(nil, []byte(s))) }

type visible struct {
	w    io.Writer
	rest []byte // the beginning of a letter
}

func (v *visible) Write(p []byte) (int, error) {
	all := append(v.rest, p...)
	end := len(all)
	for i := max(0, end-utf8.UTFMax+1); i < end; i++ {
		if utf8.RuneStart(all[i]) && !utf8.FullRune(all[i:]) {
			end = i
		}
	}
	out := all[:end]
	if !isVisible(out) {
		out = appendVisible(nil, out)
	}
	v.rest = append([]byte(nil), all[end:]...)
	if len(out) == 0 {
		return len(p), nil
	}
	if _, err := v.w.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}

func (v *visible) Close() error {
	if len(v.rest) == 0 {
		return nil
	}
	_, err := v.w.Write(appendVisible(nil, v.rest))
	v.rest = nil
	return err
}

func isVisible(b []byte) bool { return utf8.Valid(b) && bytes.IndexFunc(b, hidden) < 0 }

func appendVisible(out, b []byte) []byte {
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		if hidden(r) {
			out = fmt.Appendf(out, `\u%04x`, r)
		} else {
			out = utf8.AppendRune(out, r)
		}
		b = b[n:]
	}
	return out
}

// hidden says whether r does something to the text instead of being seen.
func hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r < ' ' || r >= 0x7f && r < 0xa0: // C0, delete and C1
		return true
	}
	return r == 0x2028 || r == 0x2029 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}
