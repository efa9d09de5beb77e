package rainfall

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// codesIn lists the codes that a Go source names: the first argument of a call
// of warn, and the code of a Warning, a Check or a Finding.
func codesIn(t *testing.T, path string) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	require.NoError(t, err)
	var out []string
	add := func(e ast.Expr) {
		if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			code, err := strconv.Unquote(lit.Value)
			require.NoError(t, err)
			out = append(out, code)
		}
	}
	name := func(e ast.Expr) string {
		switch e := e.(type) {
		case *ast.Ident:
			return e.Name
		case *ast.SelectorExpr:
			return e.Sel.Name
		}
		return ""
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if name(n.Fun) == "warn" {
				for _, arg := range n.Args[:min(2, len(n.Args))] {
					add(arg)
				}
			}
		case *ast.CompositeLit:
			switch name(n.Type) {
			case "Warning", "Check", "Finding":
			default:
				return true
			}
			for i, e := range n.Elts {
				if pair, ok := e.(*ast.KeyValueExpr); ok {
					if name(pair.Key) == "Code" {
						add(pair.Value)
					}
				} else if i == 0 {
					add(e)
				}
			}
		}
		return true
	})
	return out
}

// Every code in use has a gravity, and every gravity a code in use.
func TestEveryWarningHasAGravity(t *testing.T) {
	used := map[string]string{}
	for _, room := range []string{".", "read", "gen", "../sim", "../sim/backtest", "../report"} {
		paths, err := filepath.Glob(filepath.Join(room, "*.go"))
		require.NoError(t, err)
		require.NotEmpty(t, paths, room)
		for _, p := range paths {
			if strings.HasSuffix(p, "_test.go") {
				continue
			}
			for _, code := range codesIn(t, p) {
				used[code] = p
			}
		}
	}
	require.Greater(t, len(used), 20, "the codes are looked for in the wrong way")
	for code, where := range used {
		assert.Contains(t, gravity, code, "%s: no gravity in warning.go", where)
	}
	for code := range gravity {
		assert.Contains(t, used, code, "a gravity that nothing has")
	}
}

func TestWarningJSON(t *testing.T) {
	for code, want := range map[string]string{
		"zero-run":  `{"code":"zero-run","gravity":"grave","text":"a < b"}`,
		"trend":     `{"code":"trend","gravity":"mind","text":"a < b"}`,
		"duplicate": `{"code":"duplicate","gravity":"note","text":"a < b"}`,
	} {
		b, err := json.Marshal(Warning{code, "a < b"})
		require.NoError(t, err)
		assert.JSONEq(t, want, string(b))
	}
}
