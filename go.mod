module tankodds

go 1.25.0
