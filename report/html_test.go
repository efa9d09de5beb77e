package report

import (
	"encoding/xml"
	"html"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/figure"
	"tankodds/report/sheet"
)

func figuresOf(z *Sizing) []figure.Figure {
	return figure.Study(z.Result, z.Record, figure.Options{Units: z.Units})
}

func htmlOf(t *testing.T, z *Sizing) string {
	t.Helper()
	b, err := z.Sheet().HTML(figuresOf(z))
	require.NoError(t, err)
	return string(b)
}

// most is the size that a page may have: it goes by mail.
const most = 600 << 10

// The page is whole by itself: well formed, every reference answered, headings
// in order, nothing loaded, nothing left out.
func TestHTML(t *testing.T) {
	t.Parallel()
	eachSheet(t, func(t *testing.T, z *Sizing, s *sheet.Sheet) {
		page := htmlOf(t, z)
		assert.Equal(t, page, htmlOf(t, z), "the same input gives the same bytes")
		assert.Less(t, len(page), most)
		e := elements(t, page)

		var ids, refs, levels []string
		for _, x := range e {
			for _, a := range x.Attr {
				switch a.Name.Local {
				case "id":
					assert.NotContains(t, ids, a.Value, "one of a kind")
					ids = append(ids, a.Value)
				case "aria-labelledby":
					refs = append(refs, strings.Fields(a.Value)...)
				case "href":
					require.True(t, strings.HasPrefix(a.Value, "#"), "%s leads out of the page", a.Value)
					refs = append(refs, a.Value[1:])
				case "src", "srcset", "data", "action", "poster", "background":
					assert.Fail(t, "something is loaded: "+a.Value)
				}
				assert.NotContains(t, strings.ToLower(a.Value), "javascript:")
			}
			switch x.Name.Local {
			case "h1", "h2", "h3", "h4":
				levels = append(levels, x.Name.Local)
			case "link", "img", "iframe", "object", "embed", "base", "form":
				assert.Fail(t, x.Name.Local+" has no place here")
			}
		}
		for _, r := range refs {
			assert.Contains(t, ids, r)
		}
		assert.Equal(t, "h1", levels[0])
		assert.NotContains(t, levels[1:], "h1")
		assert.Len(t, levels, 1+len(s.Sections))
		assert.Contains(t, page, `<html lang="en">`)
		outside := regexp.MustCompile(`https?:`).FindAllStringIndex(strings.ReplaceAll(page, `xmlns="http://www.w3.org/2000/svg"`, ""), -1)
		assert.Empty(t, outside, "no address but the name of SVG")
		assert.NotContains(t, page, "url(")
		assert.NotContains(t, page, "@import")
		assert.NotContains(t, page, "ZgotmplZ", "the template let everything through")

		said := plainText(page)
		for _, w := range wordsOf(s) {
			if w != "" {
				assert.Contains(t, said, squeezed(w))
			}
		}
		for _, f := range figuresOf(z) {
			assert.Equal(t, 1, strings.Count(page, `id="fig-`+f.Name+`"`), "figure %s stands where the sheet names it", f.Name)
		}
	})
}

// elements reads the page as strictly as HTML lets itself be read as XML:
// every element is closed in its place, every attribute quoted.
func elements(t *testing.T, page string) []xml.StartElement {
	t.Helper()
	page = regexp.MustCompile(`(?s)(<(?:style|script)[^>]*>).*?(</(?:style|script)>)`).ReplaceAllString(page, "$1$2")
	page = strings.Replace(page, "<!DOCTYPE html>", "", 1)
	page = regexp.MustCompile(`<(meta[^>]*)>`).ReplaceAllString(page, "<$1/>")
	d := xml.NewDecoder(strings.NewReader(page))
	d.Entity = xml.HTMLEntity
	var out []xml.StartElement
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		if x, ok := tok.(xml.StartElement); ok {
			out = append(out, x.Copy())
		}
	}
}

// plainText is what a reader sees, its white space single blanks.
func plainText(page string) string {
	page = regexp.MustCompile(`(?s)<(?:style|script)[^>]*>.*?</(?:style|script)>`).ReplaceAllString(page, " ")
	page = regexp.MustCompile(`<sup>[^<]*</sup>`).ReplaceAllString(page, "")
	page = regexp.MustCompile(`</?(?:strong|b)>`).ReplaceAllString(page, "")
	return squeezed(html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " ")))
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }
