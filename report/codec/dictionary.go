package codec

import (
	"encoding"
	"reflect"
	"strings"
	"time"
)

// Entry is one key of a value: where it stands, what it measures and what it
// means.
type Entry struct {
	Path string // as in "cells[].annual.low"
	Unit string // "L", "mm", "share" …; "" for what has none
	Doc  string
	Like string // the path whose keys it has too; "" where its own follow or it has none
}

// Dictionary lists the keys that Encode gives a value of v's type, in their
// order. An object that holds what one before holds refers to it.
func Dictionary(v any) []Entry {
	d := dictionary{seen: map[reflect.Type]string{}}
	d.walk(reflect.TypeOf(v), "")
	return d.all
}

type dictionary struct {
	all  []Entry
	seen map[reflect.Type]string // where a type was listed
}

func (d *dictionary) walk(t reflect.Type, path string) {
	switch t.Kind() {
	case reflect.Pointer:
		d.walk(t.Elem(), path)
	case reflect.Slice, reflect.Array:
		if isObject(t.Elem()) {
			d.walk(t.Elem(), path+"[]")
		}
	case reflect.Struct:
		if !isObject(t) {
			return
		}
		if like, ok := d.seen[t]; ok {
			d.all[len(d.all)-1].Like = like
			return
		}
		d.seen[t] = path
		for _, f := range fieldsOf(t) {
			at := strings.TrimPrefix(path+"."+f.key, ".")
			typ := t.FieldByIndex(f.index).Type
			d.all = append(d.all, Entry{Path: at, Unit: unitOf(f.key, typ), Doc: f.doc})
			d.walk(typ, at)
		}
	}
}

var (
	textual = reflect.TypeFor[encoding.TextMarshaler]()
	months  = reflect.TypeFor[time.Month]()
)

// Units are what the ends of keys say of their values, the longest first.
var Units = []struct{ End, Unit string }{
	{"_l_per_year", "L a year"},
	{"_per_year", "a year"},
	{"_mm_per_decade", "mm a decade"},
	{"_per_m3", "a m³"},
	{"_years", "years"},
	{"_days", "days"},
	{"_share", "share"},
	{"_shares", "share"},
	{"_m2", "m²"},
	{"_mm", "mm"},
	{"_kg", "kg"},
	{"_l", "L"},
	{"_m", "m"},
}

// unitOf is the unit of a number under a key, "" for a number without one and
// for what is no number.
func unitOf(key string, t reflect.Type) string {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if k := t.Kind(); k < reflect.Int || k > reflect.Float64 || t.Implements(textual) || t == months {
		return ""
	}
	for _, u := range Units {
		if strings.HasSuffix(key, u.End) || key == u.End[1:] {
			return u.Unit
		}
	}
	return ""
}

func isObject(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && !t.Implements(textual) && t != reflect.TypeFor[Node]()
}
