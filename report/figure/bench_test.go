package figure

import "testing"

// BenchmarkFigures/FORM/NAME draws every figure of a usual study.
func BenchmarkFigures(b *testing.B) {
	for _, form := range []struct {
		name  string
		write func(Figure) ([]byte, error)
	}{{"SVG", Figure.SVG}, {"PNG", Figure.PNG}} {
		for _, f := range figureCases()[0].figs {
			b.Run(form.name+"/"+f.Name, func(b *testing.B) {
				for b.Loop() {
					if _, err := form.write(f); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
