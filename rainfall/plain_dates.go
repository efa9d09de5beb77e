package rainfall
func looksDate(string) bool {return false}
func isDateName(string) bool {return false}
func plain() format { return format{"plain", func(*input) bool {return false}, nil} }
