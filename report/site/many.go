package site

import (
	"fmt"
	"strconv"
	"strings"
)

// Many is what a comparison of many records is asked beside the study.
type Many struct {
	Shard, Shards int    // which share of the records is worked on, from 1; 0 for all of them
	Merge         bool   // whether parts are put together
	Stations      string // a list of stations, "" for none
	Where         []Condition
	Sort          string // a column, "" for the order given
	Falling       bool
	Group         string // a column, or climate
}

// Condition is what the value of a column must be. Without a value, = and != ask
// whether the cell is empty.
type Condition struct {
	Column, Is, Value string // Is is one of = != < <= > >=
}

// String is how it is typed.
func (c Condition) String() string { return c.Column + c.Is + c.Value }

// mostShards bounds into how many shares records are cut.
const mostShards = 1_000_000

// readShard reads "3/8".
func readShard(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	which, of, _ := strings.Cut(text, "/")
	i, err1 := strconv.Atoi(strings.TrimSpace(which))
	n, err2 := strconv.Atoi(strings.TrimSpace(of))
	if err1 != nil || err2 != nil || i < 1 || n < i || n > mostShards {
		return fmt.Errorf("%q is no share; write 3/8 for the third of eight", text)
	}
	a.Many.Shard, a.Many.Shards = i, n
	return nil
}

// readWhere reads conditions such as "latitude_degrees>=30".
func readWhere(a At, g given) error {
	a.Many.Where = nil
	for _, text := range g.texts {
		c, ok := condition(text)
		if !ok {
			return fmt.Errorf("%q is no condition; write a column, one of = != < <= > >= and a value, as in seasonality>0.6", text)
		}
		a.Many.Where = append(a.Many.Where, c)
	}
	return nil
}

func condition(text string) (c Condition, ok bool) {
	at := strings.IndexAny(text, "=<>!")
	if at < 1 {
		return c, false
	}
	end := at + 1
	if end < len(text) && text[end] == '=' {
		end++
	}
	c = Condition{strings.TrimSpace(text[:at]), text[at:end], strings.TrimSpace(text[end:])}
	if c.Is == "==" {
		c.Is = "="
	}
	return c, c.Is != "!" && c.Column != "" && (c.Value != "" || c.Is == "=" || c.Is == "!=")
}

// readSort reads a column; "-column" is from the largest to the smallest.
func readSort(a At, g given) error {
	text, err := g.text()
	a.Many.Sort, a.Many.Falling = strings.CutPrefix(text, "-")
	return err
}
