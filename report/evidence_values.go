package report

import "tankodds/report/codec"

// treeOf returns what v is as JSON.
func treeOf(v any) (*codec.Node, error) {
	b, err := marshal(v)
	if err != nil {
		return nil, err
	}
	return codec.Parse(b)
}

// told returns the value less what is empty: "", false, null and objects
// without keys.
func told(n *codec.Node) *codec.Node {
	out := &codec.Node{Kind: n.Kind, Text: n.Text}
	for i, v := range n.Items {
		v = told(v)
		if n.Kind == codec.List {
			out.Items = append(out.Items, v)
		} else if v.Kind != codec.Null && (v.Scalar() && v.Text != "" && v.Text != "false" || len(v.Items) > 0) {
			out.Add(n.Keys[i], v)
		}
	}
	return out
}
