package figure

import (
	"bytes"
	"fmt"
	"hash/fnv"
	"html"
	"regexp"

	"gonum.org/v1/plot/vg"
)

var (
	svgHead = regexp.MustCompile(`(?s)^.*?<svg[^>]*>\s*`)
	// svgFace is how vgsvg states a face, in full at every text. It begins
	// with what stands there always, which is found faster than any blank.
	svgFace = regexp.MustCompile(`\n\tstyle="font-family:Liberation Sans;font-variant:(?:none|normal);font-weight:(normal|bold);font-style:normal;font-size:([0-9.]+)px`)
)

// finishSVG makes what vgsvg writes fit to be read by people and machines: a
// role, a title and a description under identifiers that hold a sum of the
// contents (so that figures on one page do not share them), font fallbacks,
// and a size in px that a page may override.
func finishSVG(f Figure, raw []byte, width, height vg.Length) ([]byte, error) {
	head := svgHead.FindIndex(raw)
	if head == nil {
		return nil, fmt.Errorf("figure %s: the drawing holds no svg element", f.Name)
	}
	body := svgFace.ReplaceAll(raw[head[1]:], []byte(` style="font-weight:$1;font-size:${2}px`))
	body = bytes.ReplaceAll(body, []byte("font-weight:normal;"), nil)
	sum := fnv.New64a()
	for _, s := range [][]byte{[]byte(f.Name), []byte(f.Title), body} {
		sum.Write(s)
	}
	id := fmt.Sprintf("%s-%016x", f.Name, sum.Sum64())
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="%s-t %s-d" width="%g" height="%g" viewBox="0 0 %g %g" font-family="%s">`+"\n",
		id, id, width.Points()*96/72, height.Points()*96/72, width.Points(), height.Points(), fontStack)
	fmt.Fprintf(&out, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", id, html.EscapeString(f.Title), id, html.EscapeString(f.Desc))
	out.Write(body)
	return out.Bytes(), nil
}
