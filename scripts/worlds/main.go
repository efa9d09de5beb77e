// Worlds holds what sizing claims against invented climates whose truth is known
// and prints how often it held, as rows of a Markdown table:
//
//	go run ./scripts/worlds [-records 40] [-years 10000] [-seeds 8]
//
// With -near it asks records with and without neighbours, in regions of one climate
// and in traps; -stations does so with real ones. With -seeds it asks one record of 40 years of each climate that often instead,
// and prints how far the sizes lie apart. Both take some minutes.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"

	"tankodds/rainfall/gen"
	"tankodds/sim/known"
)

func main() {
	s := known.NewStudy()
	flag.IntVar(&s.Records, "records", s.Records, "records of each length and climate")
	flag.IntVar(&s.Years, "years", s.Years, "synthetic years a record")
	flag.Uint64Var(&s.Seed, "seed", s.Seed, "of the records")
	seeds := flag.Int("seeds", 0, "seeds that one record of each climate is asked with")
	name := flag.String("generator", "", "that learns from the records")
	near := flag.Bool("near", false, "ask with and without neighbours instead; of -length years")
	length := flag.Int("length", 20, "usable years of the records that have neighbours")
	region := flag.String("region", "", "with -near, only regions whose name holds this")
	stations := flag.String("stations", "", "hold neighbours against real monthly totals instead: a FILE of station,lon,lat,elevation_m,year and twelve depths in mm")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	err := error(nil)
	switch {
	case *stations != "":
		err = realNeighbours(ctx, *stations, *length, s.Years)
	case *near:
		s.Lengths = []int{*length}
		err = neighbours(ctx, s, *region)
	default:
		err = run(ctx, s, *name, *seeds)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, s *known.Study, name string, seeds int) (err error) {
	if s.Gen, err = gen.Find(name); err != nil {
		return err
	}
	if seeds > 0 {
		return swings(ctx, s, seeds)
	}
	cases, err := known.Run(ctx, s)
	if err != nil {
		return err
	}
	fmt.Println("| | cases | reliability held | size held | safe size met | stated | bias | width | score | sizes |")
	fmt.Println("|---|---|---|---|---|---|---|---|---|---|")
	for _, l := range known.Table(cases) {
		fmt.Printf("| %s | %d | %v | %v | %v | %.2f | %+.4f | %.3f | %.4f | %.2f |\n", l.Name, l.Cases, l.Held, l.Sized, l.Safe, l.Stated, l.Bias, l.Width, l.Score, l.Sizes)
	}
	return nil
}

// swings prints how far seeds alone move what is said.
func swings(ctx context.Context, s *known.Study, seeds int) error {
	all, err := s.Swings(ctx, 40, seeds)
	if err != nil {
		return err
	}
	fmt.Println("| climate | demand | target | answer | safe size |")
	fmt.Println("|---|---|---|---|---|")
	for _, x := range all {
		fmt.Printf("| %s | %g | %v %g | %.3f | %.3f |\n", x.World.Name, x.Demand, x.Measure, x.Share, x.Tank, x.Safe)
	}
	return nil
}
