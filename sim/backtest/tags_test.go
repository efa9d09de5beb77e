package backtest

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/sim"
)

// Every exported field of what is asked and found has a key, one a struct, and
// says what it means; no key stands for two fields.
func TestEveryFieldHasAKeyAndAMeaning(t *testing.T) {
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice || typ.Kind() == reflect.Array {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || seen[typ] || !strings.HasPrefix(typ.PkgPath(), "tankodds/sim") {
			return
		}
		seen[typ] = true
		keys := map[string]bool{}
		for _, f := range reflect.VisibleFields(typ) {
			if !f.IsExported() {
				continue
			}
			if f.Anonymous && f.Tag == "" {
				walk(f.Type)
				continue
			}
			key, _, _ := strings.Cut(f.Tag.Get("key"), ",")
			assert.NotEmpty(t, key, "%v.%s", typ, f.Name)
			if key == "-" {
				continue
			}
			assert.False(t, keys[key], "%v: %s stands twice", typ, key)
			keys[key] = true
			assert.NotEmpty(t, f.Tag.Get("doc"), "%v.%s", typ, f.Name)
			walk(f.Type)
		}
	}
	for _, x := range []any{sim.Study{}, sim.Result{}, sim.ReplayResult{}, sim.Day{}, Study{}, Result{}} {
		walk(reflect.TypeOf(x))
	}
	assert.Greater(t, len(seen), 20)
}
