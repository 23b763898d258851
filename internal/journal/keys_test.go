package journal

import (
	"reflect"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// group finds the struct whose key is the last of the path.
func group(t reflect.Type, path []string) (reflect.Type, bool) {
	for _, f := range notes.Fields(t) {
		if f.Key != path[0] {
			continue
		}
		if len(path) == 1 {
			return t, true
		}
		inner := (&key{}).describe(t.Field(f.Index).Type)
		if inner == nil {
			return nil, false
		}
		return group(inner, path[1:])
	}
	return nil, false
}

// Every key of the types has a row, every row is a key, and every example is
// read by the type that it is the example of, without a finding but for keys
// that the group needs beside it.
func TestEveryKeyHasADocAndItsExampleIsRead(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range keys() {
		seen[k.path] = true
		doc, ok := keyDocs[k.path]
		if !ok {
			t.Errorf("the key %s has no doc", k.path)
			continue
		}
		if doc.title == "" || !strings.HasPrefix(doc.example, k.path[strings.LastIndexByte(k.path, '.')+1:]+":") {
			t.Errorf("%s: title %q, example %q", k.path, doc.title, doc.example)
		}
		read := 0
		for _, r := range roots {
			g, ok := group(r.into, strings.Split(k.path, "."))
			if !ok {
				continue
			}
			read++
			var list finding.List
			n := notes.ParseNote("example.yaml", []byte(doc.example+"\n"), &list)
			notes.Decode(n.Front, reflect.New(g).Interface(), &list)
			for _, f := range list.Sorted() {
				if f.Rule == notes.RuleMissingKey && !strings.Contains(f.Text, " in `") {
					continue
				}
				t.Errorf("%s in %s: the example %q gives %s: %s", k.path, r.where, doc.example, f.Rule, f.Text)
			}
		}
		if read == 0 {
			t.Errorf("no type reads the example of %s", k.path)
		}
	}
	for path := range keyDocs {
		if !seen[path] {
			t.Errorf("the doc %s documents no key", path)
		}
	}
}

func TestKeysSayWhatIsWritten(t *testing.T) {
	docs := map[string]finding.Doc{}
	for _, d := range Keys() {
		docs[d.Name] = d
	}
	for _, tt := range []struct{ name, part, want string }{
		{"packs.capacity", docs["packs.capacity"].Units, "a charge such as"},
		{"packs.capacity", docs["packs.capacity"].What, "It stands in version.md, and is needed."},
		{"packs.chemistry", docs["packs.chemistry"].Range, "lfp: lithium iron phosphate"},
		{"controller.voltage", docs["controller.voltage"].Units, "a range of voltage"},
		{"stopwatch.laps", docs["stopwatch.laps"].Units, "a list, each item a time"},
		{"cutout", docs["cutout"].Range, "Keys in it: opens, reset-threshold, delay, current, as-found."},
		{"kind", docs["kind"].What, "and is needed."},
		{"summary", docs["summary"].What, "may be left out"},
	} {
		if !strings.Contains(tt.part, tt.want) {
			t.Errorf("%s: %q does not say %q", tt.name, tt.part, tt.want)
		}
	}
}

// Each rule that the code can report is documented once, here or in package notes.
func TestDocsNameEachRuleOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range append(Docs(), notes.Docs()...) {
		if seen[d.Name] {
			t.Errorf("the rule %s is documented twice", d.Name)
		}
		seen[d.Name] = true
		if d.Title == "" || d.What == "" || d.Kind != finding.RuleDoc {
			t.Errorf("the rule %s: %+v", d.Name, d)
		}
	}
}
