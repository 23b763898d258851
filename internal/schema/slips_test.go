package schema

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// bases are notes without a fault, to which a slip adds lines.
var bases = map[string]string{
	"journal":    "title: T\nmaker: {name: M}\n",
	"vehicle":    "kind: vehicle\nname: S\n",
	"version":    "kind: version\nname: V\ndate: 2026-01-01\n",
	"run":        "kind: run\ntype: bench\nname: R\ndate: 2026-02-01\n",
	"note":       "kind: note\ntitle: N\n",
	"question":   "kind: question\ntitle: Q\n",
	"correction": "kind: correction\ntitle: C\ndate: 2026-03-01\nfound: by hand\ntouches: shunter/1-x\n",
}

var places = map[string]string{
	"journal": "journal.yaml", "vehicle": "shunter/vehicle.md", "version": "shunter/1-x/version.md", "run": "shunter/1-x/r.md",
	"note": "notes/n.md", "question": "questions/q.md", "correction": "corrections/c.md",
}

const evidence = "stopwatch: {laps: [3 min]}\n" // that a run has one is no matter of its form

// slips is what makers get wrong. rule is what inspection says; lenient is why
// the schema knowingly says nothing, "" where it refuses the note too. A text
// with `#whole` does without the base.
var slips = []struct{ kind, text, rule, lenient string }{
	// Keys.
	{"journal", "titel: x", "unknown-key", ""},
	{"journal", "kind: journal", "unknown-key", ""},
	{"journal", "maker: {name: M, mail: x}", "unknown-key", ""},
	{"vehicle", "packs: []", "unknown-key", ""},
	{"version", "cutof: {opens: 22.4 V}", "unknown-key", ""},
	{"version", "cutout: {opens: 22.4 V, reset: 1 V}", "unknown-key", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9 Ah, protection: {opens: 17 V, charge: 25 V}}]", "unknown-key", ""},
	{"version", "wiring: {parts: [{name: a, kind: fuse, size: 12 AWG}], leads: []}", "unknown-key", ""},
	{"version", "Summary: x", "unknown-key", ""},
	{"run", evidence + "log: {file: x.csv, columns: {voltage: U, watts: P}}", "unknown-key", ""},
	{"run", evidence + "conditions: {temp: 14 °C}", "unknown-key", ""},
	{"note", "rank: 1", "unknown-key", ""},
	{"question", "trial: {type: field, conditions: {wind: none}}", "unknown-key", ""},
	{"correction", "said: {in: notes/n.md, words: x, page: y}", "unknown-key", ""},
	{"correction", "said: [{in: notes/n.md, words: x, page: y}]", "unknown-key", ""},
	{"journal", "#whole\ntitle: T\ncurrency: GBP", "missing-key", ""},
	{"journal", "#whole\nmaker: {name: M}", "missing-key", ""},
	{"journal", "sources: [{key: a}]", "missing-key", ""},
	{"vehicle", "#whole\nkind: vehicle", "missing-key", ""},
	{"version", "#whole\nkind: version\nname: V", "missing-key", ""},
	{"version", "#whole\nname: V\ndate: 2026-01-01", "missing-key", ""},
	{"version", "packs: [{chemistry: lfp, series: 7}]", "missing-key", ""},
	{"version", "cutout: {}", "missing-key", ""},
	{"version", "answers: [{rule: stored-full}]", "missing-key", ""},
	{"version", "wiring: {parts: []}", "missing-key", "either leads or paths"},
	{"version", "wiring: {parts: [], leads: [{from: \"a:in\"}]}", "missing-key", ""},
	{"run", "#whole\nkind: run\nname: R\ndate: 2026-02-01\n" + evidence, "missing-key", ""},
	{"run", "readings: [{voltage: 24 V}]", "missing-key", ""},
	{"run", "stopwatch: {lap: 172 m}", "missing-key", ""},
	{"correction", "#whole\nkind: correction\ntitle: C\ndate: 2026-03-01\ntouches: shunter/1-x", "missing-key", ""},

	// Nothing where something belongs.
	{"version", "state:", "empty-value", ""},
	{"version", "cutout:", "empty-value", ""},
	{"version", "packs: ~", "empty-value", ""},
	{"version", "summary: \"  \"", "empty-value", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: null}]", "empty-value", ""},

	// Another kind of value.
	{"version", "packs: {chemistry: lfp, series: 7, capacity: 9 Ah}", "wrong-kind", ""},
	{"version", "packs: main", "wrong-kind", ""},
	{"version", "cutout: 22.4 V", "wrong-kind", ""},
	{"version", "cutout: [{opens: 22.4 V}]", "wrong-kind", ""},
	{"version", "masses: 64 kg", "wrong-kind", ""},
	{"version", "name: [a, b]", "wrong-kind", ""},
	{"version", "state: {running: yes}", "wrong-kind", ""},
	{"version", "packs: [{chemistry: lfp, series: [7], capacity: 9 Ah}]", "wrong-kind", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9 Ah, protection: [none]}]", "wrong-kind", ""},
	{"version", "wiring: {usual: {ends: [ring M6, ferrule, bare]}, parts: [], leads: []}", "wrong-kind", ""},
	{"run", "stopwatch: {laps: 3 min}", "wrong-kind", ""},
	{"run", evidence + "log: field.csv", "wrong-kind", ""},
	{"question", "asked: How far?", "wrong-kind", ""},
	{"correction", "said: somewhere", "wrong-kind", ""},

	// Units.
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9.6}]", "missing-unit", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: \"9.6\"}]", "missing-unit", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9 Ah, fuse: 40}]", "missing-unit", ""},
	{"version", "controller: {setting: 0.6}", "missing-unit", ""},
	{"version", "controller: {voltage: 18 to 32 V}", "missing-unit", ""},
	{"version", "drive: {wheel: 130}", "missing-unit", ""},
	{"run", "stopwatch: {laps: [184.2]}", "missing-unit", ""},
	{"run", evidence + "pause-after: 10", "missing-unit", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 4 V}]", "wrong-dimension", ""},
	{"version", "cutout: {opens: 22.4 V, delay: 2 m}", "wrong-dimension", ""},
	{"version", "controller: {voltage: 18 V to 32 A}", "wrong-dimension", ""},
	{"version", "wiring: {usual: {size: 2.5 mm}, parts: [], leads: []}", "wrong-dimension", ""},
	{"run", evidence + "conditions: {temperature: 14 K}", "wrong-dimension", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: ten Ah}]", "not-a-quantity", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9.6 ah}]", "not-a-quantity", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: \"9,6 Ah\"}]", "not-a-quantity", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9.6 Ah ± 3 %}]", "not-a-quantity", ""},
	{"version", "cutout: {opens: 22 V to 23 V}", "not-a-quantity", ""},
	{"version", "controller: {voltage: 18 V}", "not-a-quantity", ""},
	{"version", "controller: {voltage: 18 V - 32 V}", "not-a-quantity", ""},
	{"version", "drive: {ratio: 11 to 1}", "not-a-quantity", ""},
	{"version", "wiring: {usual: {size: 41 AWG}, parts: [], leads: []}", "not-a-quantity", ""},
	{"run", evidence + "instruments: [{measures: voltage, accuracy: 0.5 %}]", "not-a-quantity", ""},
	{"run", evidence + "instruments: [{measures: voltage, accuracy: ±0.5 % FS}]", "not-a-quantity", ""},
	{"run", evidence + "instruments: [{measures: voltage, resolution: two digits}]", "not-a-quantity", ""},
	{"run", "stopwatch: {laps: [\"3:60\"], lap: 172 m}", "not-a-quantity", ""},
	{"vehicle", "facts: [{name: length, value: long}]", "not-a-quantity", ""},
	{"run", "stopwatch: {laps: [2 h 75 min]}", "not-a-quantity", "how many minutes go after hours is arithmetic"},
	{"run", evidence + "conditions: {temperature: -300 °C}", "not-a-quantity", "absolute zero is physics"},
	{"version", "drive: {ratio: 0x1F}", "not-a-quantity", "to YAML it is the number 31"},

	// Numbers, days, words.
	{"version", "packs: [{chemistry: lfp, series: 8S, capacity: 9 Ah}]", "not-a-number", ""},
	{"version", "packs: [{chemistry: lfp, series: 7.5, capacity: 9 Ah}]", "not-a-number", ""},
	{"version", "packs: [{chemistry: lfp, series: 99999999999, capacity: 9 Ah}]", "not-a-number", ""},
	{"version", "parts: [{name: holder, price: £4.20}]", "not-a-number", ""},
	{"version", "parts: [{name: holder, price: \"4,200\"}]", "not-a-number", ""},
	{"version", "packs: [{chemistry: lfp, series: 7.0, capacity: 9 Ah}]", "not-a-number", "to YAML and to the standard it is the whole number 7"},
	{"version", "parts: [{name: holder, price: 4.2e1}]", "not-a-number", "to YAML it is the number 42"},
	{"version", "#whole\nkind: version\nname: V\ndate: 12.4.2026", "not-a-date", ""},
	{"version", "#whole\nkind: version\nname: V\ndate: 2026-13-40", "not-a-date", ""},
	{"version", "#whole\nkind: version\nname: V\ndate: 2026-1-4", "not-a-date", ""},
	{"version", "#whole\nkind: version\nname: V\ndate: 2026-02-30", "not-a-date", "only an editor that asserts the format date knows how long February is"},
	{"version", "packs: [{chemistry: lpf, series: 7, capacity: 9 Ah}]", "unknown-word", ""},
	{"version", "packs: [{chemistry: LFP, series: 7, capacity: 9 Ah}]", "unknown-word", ""},
	{"version", "state: broken", "unknown-word", ""},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9 Ah, protection: unknown}]", "unknown-word", ""},
	{"version", "charger: {unattended: sometimes}", "unknown-word", ""},
	{"version", "charger: {unattended: 1}", "unknown-word", ""},
	{"version", "charger: {unattended: True}", "unknown-word", "to YAML it is true"},
	{"version", "motors: [{insulation: Z}]", "unknown-word", ""},
	{"version", "wiring: {usual: {ends: [rings M6, ferrule]}, parts: [], leads: []}", "unknown-word", ""},
	{"version", "wiring: {parts: [{name: a, kind: fuze}], leads: []}", "unknown-word", ""},
	{"version", "wiring: {parts: [], leads: [{from: \"a:in\", to: \"b:in\", colour: crimson}]}", "unknown-word", ""},
	{"journal", "units: [metric, imperial]", "unknown-word", ""},
	{"run", "#whole\nkind: run\ntype: race\nname: R\ndate: 2026-02-01\n" + evidence, "unknown-word", ""},
	{"run", evidence + "log: {file: x.csv, decimal: \",\"}", "unknown-word", ""},
	{"question", "trial: {type: field, measures: [volts]}", "unknown-word", ""},
	{"question", "figures: [run-time-in-all]", "unknown-word", "a reference: the figures are checked when they are looked up"},
	{"note", "#whole\nkind: memo\ntitle: N", "unknown-word", ""},

	// What a schema does not know.
	{"journal", "language: British", "malformed-word", "a form of its own, BCP 47, that its key does not carry"},
	{"journal", "currency: pounds", "malformed-word", "a form of its own, ISO 4217"},
	{"journal", "address: example.org", "malformed-word", "a form of its own, RFC 3986"},
	{"version", "follows: 9-none", "follows", "a reference"},
	{"version", "packs: [{chemistry: lfp, series: 0, capacity: 9 Ah}]", "impossible-value", "physics"},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: -9 Ah}]", "impossible-value", "physics"},
	{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9 Ah, full: 40 V}]", "full-voltage", "physics"},
	{"version", "controller: {voltage: 32 V to 18 V}", "impossible-value", "arithmetic"},
	{"version", "controller: {setting: 160 %}", "impossible-value", "physics"},
	{"version", "parts: [{name: a, wired-as: b}]", "wired-as-nothing", "a reference"},
	{"version", "wiring: {parts: [{name: a, kind: fuse}], leads: [{from: \"a:in\", to: \"b:in\"}]}", "unknown-part", "a reference"},
	{"version", "wiring: {parts: [{name: a, kind: fuse, coil: 85 Ω}], leads: []}", "key-not-for-kind", "which keys a part has is told by its kind, when the wiring is resolved"},
	{"run", "pause-after: 10 s", "run-evidence", "one of three keys, told when the run is resolved"},
	{"run", evidence + "readings: [{at: 0 s, voltage: 24 V}]", "run-evidence", "one of three keys, told when the run is resolved"},
	{"run", "log: {file: none.csv}", "missing-log", "a reference"},
	{"question", "bears: [shunter/9-none]", "question-evidence", "a reference"},
	{"correction", "said: {in: notes/n.md, words: never said}", "words-taken-back", "a reference"},
	{"version", "summary: it ran [](value:x)", "bound-line", "what stands in brackets is Markdown, and text to a schema"},
	{"version", "state: running\nstate: retired", "duplicate-key", "a YAML reader keeps one of the two, or says so itself"},
}

func noteOf(kind, text string) string {
	if rest, whole := strings.CutPrefix(text, "#whole\n"); whole {
		return rest + "\n"
	}
	added, _, _ := strings.Cut(text, ":")
	base := bases[kind]
	if i := strings.Index("\n"+base, "\n"+added+":"); i >= 0 && kind != "version" { // it takes the place of the base's
		_, after, _ := strings.Cut(base[i:], "\n")
		base = base[:i] + after
	}
	if added == "name" {
		base = strings.Replace(base, "name: V\n", "", 1)
	}
	return base + text + "\n"
}

// inspected loads a journal in which one note has the front matter.
func inspected(t *testing.T, kind, front string) []finding.Finding {
	t.Helper()
	dir := t.TempDir()
	for k, base := range bases {
		text := base
		if k == "run" {
			text += evidence
		}
		if k == kind {
			text = front
		}
		if k != "journal" {
			text = "---\n" + text + "---\n"
		}
		file := filepath.Join(dir, filepath.FromSlash(places[k]))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = folder.Close() }()
	var list finding.List
	journal.Load(folder, &list)
	return slices.DeleteFunc(list.Sorted(), func(f finding.Finding) bool { return f.Level != finding.Error })
}

// The bases have no fault, for the program and for the schema.
func TestBasesAreSound(t *testing.T) {
	all := newJudge(t, true)
	for kind, base := range bases {
		if kind == "run" {
			base += evidence
		}
		if said := inspected(t, kind, base); len(said) > 0 {
			t.Errorf("%s: %s: %s", kind, said[0].Rule, said[0].Text)
		}
		v, err := instance([]byte(base))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{kind, ""} {
			if err := all[s].Validate(v); err != nil {
				t.Errorf("%s by %q: %v", kind, s, err)
			}
		}
	}
}

// The program and the schema say the same of slips, but where the table says
// why not. Days are left to the pattern here, as most editors do.
func TestSlips(t *testing.T) {
	all := newJudge(t, false)
	refused := 0
	for _, tt := range slips {
		front := noteOf(tt.kind, tt.text)
		said := inspected(t, tt.kind, front)
		if !slices.ContainsFunc(said, func(f finding.Finding) bool { return f.Rule == tt.rule }) {
			t.Errorf("%s %q: the program does not say %s: %v", tt.kind, tt.text, tt.rule, said)
		}
		v, err := instance([]byte(front))
		if err != nil && tt.rule == notes.RuleDuplicateKey {
			continue // this reader says so itself
		}
		if err != nil {
			t.Errorf("%s %q: %v", tt.kind, tt.text, err)
			continue
		}
		for _, s := range []string{tt.kind, ""} {
			err := all[s].Validate(v)
			switch {
			case err == nil && tt.lenient == "":
				t.Errorf("%s %q: the schema %q accepts it", tt.kind, tt.text, s)
			case err != nil && tt.lenient != "":
				t.Errorf("%s %q: the schema %q refuses what it cannot know: %v", tt.kind, tt.text, s, err)
			}
		}
		if tt.lenient == "" {
			refused++
		}
	}
	t.Logf("%d slips, of which the schema sees %d", len(slips), refused)
}

// Forms that are right and that a schema could easily mark as wrong.
func TestWhatIsRightIsNotMarked(t *testing.T) {
	all := newJudge(t, true)
	for _, tt := range []struct{ kind, text string }{
		{"journal", "notice: true"}, {"journal", "title: 2026"}, {"journal", "units: [us]"}, {"journal", "sources: [{key: a, title: b, date: 2019}]"},
		{"version", "packs: [{chemistry: lfp, series: \"7\", parallel: +2, capacity: 9.6Ah, protection: none, fuse: none}]"},
		{"version", "packs: [{chemistry: lfp, series: 7, capacity: (9.6 ± 0.2) Ah, protection: in-appliance-only, fuse: 40 amps}]"},
		{"version", "packs: [{chemistry: lfp, series: 7, capacity: 9600 mAh, resistance: 38 mohm, protection: {}}]"},
		{"version", "packs: []"}, {"version", "motors: [{rated: 24 V, insulation: B}, {insulation: \"F\"}]"},
		{"version", "charger: {unattended: no, ventilated: true, residual-current-device: \"yes\"}"},
		{"version", "controller: {voltage: 18 V ± 1 V to 32 V, setting: 60%}"},
		{"version", "drive: {ratio: 11.2, wheel: 5\", rolling: 0.013 ± 0.003, hill: 1 in 70}"}, {"version", "drive: {ratio: \"11.2\", rolling: .02, wheel: 5 in}"},
		{"version", "parts: [{name: a, price: 34.50, currency: GBP}, {name: b, price: \"4.\"}, {name: c, price: .5, quantity: 2}, {name: d, price: \"4,20\"}, {name: e, price: \"1.234,50\"}, {name: f, price: \"1,234.50\"}, {name: g, price: 1 234}, {name: h, price: \"1,234,567\"}]"},
		{"version", "wiring: {usual: {ends: ferrule, size: 12 AWG}, parts: [], leads: []}"}, {"version", "wiring: {usual: {ends: [ring  M6, ' spade 6.3 mm ']}, parts: [], leads: []}"},
		{"version", "facts: [{name: clock, value: 7:30}, {name: cars, value: 3}, {name: size, value: awg 4/0}]"},
		{"run", "stopwatch: {laps: [\"3:04.2\", 184 s, 3 min 1.8 s, 1 h 2 m], resolution: 10 ms}"},
		{"run", "stopwatch:\n  laps: [3:04.2, 1:02:03]"},
		{"run", evidence + "instruments: [{measures: voltage, accuracy: +/-(0.5 % rdg + 2 dgt), resolution: 0.01 V}, {measures: current, accuracy: ±2 counts, resolution: 10 mA}]"},
		{"run", evidence + "conditions: {temperature: 41 °F, surface: steel-rail}"},
		{"correction", "said: []"}, {"correction", "touches: [shunter/1-x, shunter]"}, {"correction", "since: 2024-02-29"},
	} {
		front := noteOf(tt.kind, tt.text)
		if said := inspected(t, tt.kind, front); len(said) > 0 {
			t.Errorf("%s %q is not right: %s: %s", tt.kind, tt.text, said[0].Rule, said[0].Text)
		}
		v, err := instance([]byte(front))
		if err != nil {
			t.Fatalf("%q: %v", tt.text, err)
		}
		for _, s := range []string{tt.kind, ""} {
			if err := all[s].Validate(v); err != nil {
				t.Errorf("%s %q by %q: %v", tt.kind, tt.text, s, err)
			}
		}
	}
}

// A schema for all reports a slip for what the note is, and for nothing else.
func TestOneSlipIsOneMessage(t *testing.T) {
	all := newJudge(t, false)[""]
	for text, want := range map[string]string{
		"kind: version\nname: V\ndate: 2026-01-01\nstat: running\n": "additional properties 'stat' not allowed",
		"kind: verzion\nname: V\ndate: 2026-01-01\n":                "value must be one of 'vehicle', 'version'",
		"name: V\ndate: 2026-01-01\n":                               "missing property 'kind'",
		"title: T\ncurrency: GBP\n":                                 "missing property 'maker'",
	} {
		v, err := instance([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		said := all.Validate(v)
		if said == nil || !strings.Contains(said.Error(), want) || strings.Count(said.Error(), "\n- at") != 1 {
			t.Errorf("%q: %v", text, said)
		}
	}
}

// A word that YAML reads as something else is taken either way.
func TestWordsThatAreNoTextToYAML(t *testing.T) {
	for word, want := range map[string]string{"lfp": `["lfp"]`, "200": `["200",200]`, "true": `["true",true]`, "007": `["007"]`, "no": `["no"]`} {
		got, err := encode(anyOf([]string{word}))
		if err != nil || string(got) != want {
			t.Errorf("%s gives %s (%v)", word, got, err)
		}
	}
}
