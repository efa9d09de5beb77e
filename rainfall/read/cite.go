package read

import "strings"

// citations say how those who publish a format ask for it to be cited, or who they
// are where they ask nothing more: from memory, unverified, for terms change.
var citations = []struct{ begins, cite string }{
	{"GHCN-Daily", "Menne, M. J., Durre, I., Korzeniewski, B., McNeill, S., Thomas, K., Yin, X., Anthony, S., Ray, R., Vose, R. S., Gleason, B. E. & Houston, T. G. (2012). Global Historical Climatology Network – Daily (GHCN-Daily), Version 3. NOAA National Climatic Data Center. doi:10.7289/V5D21VHZ"},
	{"NCEI", "NOAA National Centers for Environmental Information. Daily summaries of the station"},
	{"ECA&D", "Klein Tank, A. M. G. and coauthors (2002). Daily dataset of 20th-century surface air temperature and precipitation series for the European Climate Assessment. International Journal of Climatology 22, 1441–1453"},
	{"KNMI", "Royal Netherlands Meteorological Institute (KNMI). Daily values of the station"},
	{"Met Éireann", "Met Éireann. Daily data of the station, under CC BY 4.0; say that it was changed where it was"},
	{"DWD", "Deutscher Wetterdienst, Climate Data Center. Daily observations of the station, under CC BY 4.0"},
	{"BoM", "Bureau of Meteorology, Australia. Daily rainfall of the station (IDCJAC0009), Climate Data Online"},
	{"Environment Canada", "Environment and Climate Change Canada. Daily data report of the station, historical climate data"},
	{"NASA POWER", "NASA Langley Research Center, POWER Project, funded through the NASA Earth Science and Applied Science Program. Modelled daily data of the point"},
	{"Open-Meteo", "Zippenfenig, P. (2023). Open-Meteo.com weather API. Zenodo. doi:10.5281/ZENODO.7970649. Modelled daily data of the point"},
}

// Citation says how a record of a format is cited, "" where nobody is known who
// published it.
func Citation(format string) string {
	for _, c := range citations {
		if strings.HasPrefix(format, c.begins) {
			return c.cite
		}
	}
	return ""
}
