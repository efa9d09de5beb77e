package sim

import (
	_ "codeberg.org/go-pdf/fpdf"
	_ "github.com/go-gota/gota/dataframe"
	_ "github.com/spf13/pflag"
	_ "github.com/stretchr/testify/assert"
	_ "github.com/stretchr/testify/require"
	_ "go.yaml.in/yaml/v3"
	_ "gonum.org/v1/gonum/optimize"
	_ "gonum.org/v1/gonum/stat"
	_ "gonum.org/v1/plot"
	_ "gonum.org/v1/plot/vg/vgimg"
	_ "gonum.org/v1/plot/vg/vgsvg"
)
