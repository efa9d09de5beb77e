package site

import (
	"fmt"
	"slices"
	"strings"

	"tankodds/sim"
)

// SurfaceNames lists the surfaces that can be named.
func SurfaceNames() []string {
	var names []string
	for _, s := range sim.Surfaces() {
		if s.Name != sim.DefaultSurface {
			names = append(names, s.Name)
		}
	}
	return names
}

// alsoCalled are other names of the surfaces, as people have them, in the form
// that surfaceWords gives.
var alsoCalled = map[string]string{
	"metal":           "steel, galvanised, galvanized, galvalume, zincalume, tin, iron, zinc, copper, aluminium, aluminum, corrugated, sheet metal, metal sheet, standing seam, corrugated iron, corrugated steel, corrugated metal, galvanised steel, galvanized steel, galvanised iron, galvanized iron",
	"tile":            "slate, slates, slate tile, tiles, clay, clay tile, clay tiles, concrete tile, concrete tiles, roof tile, roof tiles",
	"fibre-cement":    "fiber cement, fibro, cement sheet",
	"shingle":         "shingles, shake, shakes, wood shake, wood shakes, cedar shake, cedar shakes, wood shingle, wood shingles, rolled, roll, felt, asphalt, asphalt shingle, asphalt shingles, composition, composition shingle, composition shingles, bitumen shingle, bitumen shingles",
	"flat":            "membrane, epdm, tpo",
	"gravel":          "tar and gravel, ballast",
	"green-extensive": "extensive, extensive green, sedum",
	"green-intensive": "intensive, intensive green",
}

// twoMeanings are words that could be either of two surfaces.
var twoMeanings = map[string]string{
	"green":    "green-extensive (thin, such as sedum) or green-intensive (deep, such as a garden)",
	"concrete": "tile (of concrete) or flat (a slab)",
	"cement":   "tile (of cement) or fibre-cement (sheets)",
}

// bySurface finds a surface by any of its names.
var bySurface = func() map[string]sim.Surface {
	m := map[string]sim.Surface{}
	for _, s := range sim.Surfaces() {
		m[surfaceWords(s.Name)] = s
		if also := alsoCalled[s.Name]; also != "" {
			for name := range strings.SplitSeq(also, ", ") {
				m[name] = s
			}
		}
	}
	return m
}()

var aside = strings.NewReplacer("-", " ", ",", " ", ";", " ", "(", " ", ")", " ")

// surfaceWords brings a name to the form of the table: small letters, single
// spaces, no hyphen, comma or bracket, without the word roof behind it.
func surfaceWords(name string) string {
	words := strings.Fields(aside.Replace(strings.ToLower(name)))
	if len(words) > 1 && words[0] == "of" {
		words = words[1:]
	}
	if n := len(words) - 1; n > 0 && slices.Contains([]string{"roof", "roofs", "roofing"}, words[n]) {
		words = words[:n]
	}
	return strings.Join(words, " ")
}

// findSurface finds a surface as people call it.
func findSurface(name string) (sim.Surface, error) {
	words := surfaceWords(name)
	if s, ok := bySurface[words]; ok {
		return s, nil
	}
	if either, ok := twoMeanings[words]; ok {
		return sim.Surface{}, fmt.Errorf("%q could be %s; write which", OneLine(name), either)
	}
	return sim.Surface{}, fmt.Errorf("no surface is called %q; there are %s", OneLine(name), strings.Join(SurfaceNames(), ", "))
}

// leadingSurface finds the surface that the words before an area begin with, and
// the roof's name, which is all of them unless they are the surface alone: a tin
// shed is of metal, and a granny flat is not flat.
func leadingSurface(words []string) (s sim.Surface, name []string, ok bool) {
	for n := min(3, len(words)); n > 0; n-- {
		if s, ok = bySurface[surfaceWords(strings.Join(words[:n], " "))]; ok {
			if surfaceWords(strings.Join(words, " ")) == surfaceWords(strings.Join(words[:n], " ")) {
				return s, nil, true
			}
			return s, words, true
		}
	}
	return s, words, false
}
