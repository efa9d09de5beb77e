package rainfall

// nceiAccess reads the archive's daily summaries of NOAA NCEI: a CSV file a
// station, cells quoted and padded, PRCP in tenths of a millimetre and its
// flags in PRCP_ATTRIBUTES, MDPR and DAPR where the station has totals over
// several days. A day without any element has no line.
func nceiAccess() format {
	return format{"NCEI daily summaries (access CSV)", sniffNCEIAccess, readNCEIAccess}
}

func sniffNCEIAccess(in *input) bool {
	cols, ok := in.nceiHeader()
	return ok && in.nceiTenths(cols)
}

func readNCEIAccess(in *input) (*Record, error) {
	t, err := in.nceiTable()
	if err != nil {
		return nil, err
	}
	return t.record(unitTenth)
}
