package site

import (
	_ "embed"
)

// The demo: a site of which all is invented, in metric units and in those of
// the United States.
var (
	//go:embed demo-si.yaml
	demoSI []byte
	//go:embed demo-us.yaml
	demoUS []byte
)

// FileName is what new calls the site file.
const FileName = "site.yaml"

// demo makes the plan the demo's.
func (p *Plan) demo() error {
	if err := p.decode(FileName, demoSI); err != nil {
		return err
	}
	p.File, p.Record.Embedded, p.Record.File = "", true, ""
	return nil
}
