package rainfall

// nceiOrder reads daily summaries ordered from NOAA NCEI (Climate Data Online,
// or the access service): the columns of the archive, in millimetres or
// inches as the orderer chose, and nothing in the file says which. So the unit
// is asked for, with the best guess beside the question: half a metre of rain
// taken for inches would make a tank of any size look full.
func nceiOrder() format {
	return format{"NCEI order export (Climate Data Online CSV)", sniffNCEIOrder, readNCEIOrder}
}

func sniffNCEIOrder(in *input) bool {
	cols, ok := in.nceiHeader()
	return ok && !in.nceiTenths(cols)
}

func readNCEIOrder(in *input) (*Record, error) {
	t, err := in.nceiTable()
	if err != nil {
		return nil, err
	}
	u, ok := parseUnit(in.opt.Unit)
	if !ok {
		var cells []string
		prcp, flags := t.column(t.find("PRCP")), t.flags("PRCP")
		for _, k := range t.rows {
			if _, q := flags(k); q == ' ' && !t.missing(prcp[k]) {
				cells = append(cells, prcp[k])
			}
		}
		return nil, in.unitUnknown("PRCP", guessUnit(cells))
	}
	return t.record(u)
}
