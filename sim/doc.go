// Package sim runs rain through roofs, demand and a tank, day by day, for
// many tank sizes and roof areas at once, and says how reliable each is, how
// big a tank a target needs, and how sure that is. Depths are mm, areas m²,
// volumes L (1 mm on 1 m² is 1 L), a step is one day.
//
// The way through the package is
//
//	trace → Inflow and Demand → store (YAS or YBS) → tally → Result
//
// A Study put to a record by Ask is a Question; Size answers it in one go, and
// its stages can be called one by one. Replay runs the record itself.
//
// The package may know rain as package rainfall has it: records, usable years,
// generators. It knows nothing of files, units of people, figures or sentences:
// what it finds is numbers, codes and dates, whose fields carry key and meaning
// in their tags. How a day of a store is run is the affair of internal/store,
// which knows neither roofs nor years.
package sim
