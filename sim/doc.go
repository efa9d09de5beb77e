// Package sim runs rain through roofs, demand and a tank, day by day, for
// many tank sizes and roof areas at once, and says how reliable each is, how
// big a tank a target needs, and how sure that is. Depths are mm, areas m²,
// volumes L (1 mm on 1 m² is 1 L), a step is one day. It knows nothing of
// files or figures.
//
// The way through the package is
//
//	trace → Inflow and Demand → store (YAS or YBS) → Tally → Result
package sim
