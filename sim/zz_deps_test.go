package sim

import (
	_ "github.com/go-gota/gota/dataframe"
	_ "github.com/spf13/pflag"
	_ "github.com/stretchr/testify/assert"
	_ "github.com/stretchr/testify/require"
	_ "go.yaml.in/yaml/v3"
	_ "codeberg.org/go-pdf/fpdf"
	_ "gonum.org/v1/gonum/stat"
	_ "gonum.org/v1/gonum/optimize"
	_ "gonum.org/v1/plot"
	_ "gonum.org/v1/plot/vg/vgsvg"
	_ "gonum.org/v1/plot/vg/vgimg"
)
