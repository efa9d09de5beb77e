package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tankodds/sim/known"
)

// neighbours prints what neighbours were worth, in regions whose truth is known.
func neighbours(ctx context.Context, s *known.Study, named string) error {
	regions := slices.DeleteFunc(known.Regions(), func(r known.Region) bool { return !strings.Contains(r.Name, named) })
	cases, err := known.Near(ctx, s, regions)
	if err != nil {
		return err
	}
	fmt.Println("| | borrowed | neighbours kept | worth | | reliability held | size held | safe size met | bias | error | width | score |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|---|---|---|")
	for _, l := range known.NearTable(cases) {
		for k, x := range []known.Line{l.Alone, l.With} {
			fmt.Printf("| %s | %.2f of %d | %.2f | %.2f | %s | %v | %v | %v | %+.4f | %.4f | %.4f | %.4f |\n",
				l.Name, l.Lent, l.Records, l.Kept, l.Gain, []string{"alone", "with"}[k], x.Held, x.Sized, x.Safe, x.Bias, l.Errors[k], x.Width, x.Score)
		}
	}
	return nil
}
