package main

import (
	"context"
	"fmt"

	"tankodds/sim/known"
)

// neighbours prints what neighbours were worth, in regions whose truth is known.
func neighbours(ctx context.Context, s *known.Study) error {
	cases, err := known.Near(ctx, s, known.Regions())
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
