package site

import (
	"bytes"
	"path"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/site/address"
	"voltwright/internal/site/reading"
)

const oneLog = "t (s),U (V),I (A)\n0,25.6,0.0\n5,25.2,8.0\n10,25.1,8.1\n15,25.5,0.0\n"

func oneRun(t *testing.T, log string) reading.Input {
	return input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
		"cart/1-first/run-1.md":   "---\nkind: run\ntype: bench\nname: Once\ndate: 2026-01-03\nlog: {file: \"" + log + "\"}\n---\n",
		"cart/1-first/" + log:     oneLog,
	}))
}

// A log may have any name, also that of a file which the site makes beside it, and one that an address must escape.
func TestLogsOfAnyName(t *testing.T) {
	const folder = "cart/1-first/run-1/"
	for name, want := range map[string]string{
		"run-1.csv": "run-1.csv", "voltage.csv": "log-voltage.csv", "Current.CSV": "log-Current.CSV", "cutout.csv": "log-cutout.csv",
		"results.json": "log-results.json", "index.html": "log-index.html", "voltage.txt": "voltage.txt",
		"a b#c%20?.csv": "a b#c%20?.csv", "U–日本.csv": "U–日本.csv",
	} {
		t.Run(name, func(t *testing.T) {
			p, found := build(t, oneRun(t, name))
			for _, f := range found {
				t.Error(f.Text)
			}
			got, err := p.Bytes(folder + want)
			if err != nil || !bytes.Equal(got, []byte(oneLog)) {
				t.Fatalf("the log is not at %s: %v", want, err)
			}
			page, err := p.Bytes(folder + "index.html")
			if err != nil {
				t.Fatal(err)
			}
			if link := `href="` + address.Escape(want) + `"`; !strings.Contains(string(page), link) {
				t.Errorf("the page has no %s", link)
			}
			for _, made := range []string{"index.html", "results.json", "voltage.csv", "current.csv"} {
				if got, err := p.Bytes(folder + made); err != nil || bytes.Equal(got, []byte(oneLog)) {
					t.Errorf("%s is not what the site makes: %v", path.Base(made), err)
				}
			}
		})
	}
}

// A rule and the formula that it judges by may have one name; each has its own entry, and links lead to the one meant.
func TestRuleAndFormulaOfOneName(t *testing.T) {
	in := oneRun(t, "run-1.csv")
	const name = "sag" // a formula of package runlog
	in.Docs = append(in.Docs, finding.Doc{Kind: finding.RuleDoc, Name: name, Title: "A sag too far", Level: finding.Warning, What: "Looks at the sag."})
	run := in.Journal.Runs()[0]
	in.Findings = []finding.Finding{{Rule: name, Level: finding.Warning, Span: run.Note.Whole(), Text: "it sags"}}
	p, _ := build(t, in)
	docs := documents(t, p)
	hrefs := map[string]string{}
	for _, n := range elements(docs[address.Run(run)].root) {
		if ref := attribute(n, "href"); strings.HasSuffix(ref, "-"+name) && strings.Contains(ref, "method/") {
			target, id, _ := strings.Cut(ref, "#")
			hrefs[id] = text(n)
			if docs[path.Join(path.Dir(address.Run(run)), target)].ids[id] != 1 {
				t.Errorf("%s leads nowhere", ref)
			}
		}
	}
	if len(hrefs) != 2 {
		t.Errorf("the run's page leads to %v, not to the rule and to the formula", hrefs)
	}
}
