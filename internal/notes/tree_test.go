package notes

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A colon makes a key only where a space follows it (YAML 1.2.2, 7.3.3): a time
// with colons, an address and a terminal are one value, in braces too.
func TestColonsWithinValues(t *testing.T) {
	for text, want := range map[string]string{
		"a: [3:04.2, 1:02:03, 4 s]":                 "3:04.2|1:02:03|4 s",
		"s: {a: [3:04.2, 1:02:03, 4 s]}":            "3:04.2|1:02:03|4 s",
		"s: [{a: [3:04, main:in, http://e.org/x]}]": "3:04|main:in|http://e.org/x",
		"s: {a: [3: 04, {b: 1:02}]}":                "{3}|{b}",
		"a:\n  - 3:04\n  - b: 1:02":                 "3:04|{b}",
		"s: {a: [\"main:+\", 7:30 h]}":              "main:+|7:30 h",
	} {
		var list finding.List
		n := ParseNote("x.yaml", []byte(text+"\n"), &list)
		if list.Len() > 0 {
			t.Errorf("%q: %v", text, list.Sorted())
			continue
		}
		at := n.Front
		if s, in := at.Lookup("s"); in {
			if at = s; s.Kind == Sequence {
				at = s.Items[0]
			}
		}
		items, _ := at.Lookup("a")
		var got []string
		for _, item := range items.Items {
			if item.Kind == Mapping {
				got = append(got, "{"+item.Keys[0].Name+"}")
				continue
			}
			got = append(got, item.Text)
			if under := strings.Trim(string(n.text[item.Span.Start:item.Span.End]), `"`); under != item.Text {
				t.Errorf("%q: %q stands at %q", text, item.Text, under)
			}
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q gives %q, want %q", text, got, want)
		}
	}
}
