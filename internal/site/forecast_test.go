package site

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/finding"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// byID finds the element with an id.
func byID(d *document, id string) *html.Node {
	for _, n := range elements(d.root) {
		if attribute(n, "id") == id {
			return n
		}
	}
	return nil
}

// Every time of every computed table stands on its version's page, under its permalink, as predict computed it; every time
// that cannot be says why; the link beside it leads to itself and the number to its method.
func TestComputedTimesStandOnThePage(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	docs := documents(t, p)
	cells, loads, checks := 0, 0, 0
	for version, a := range in.Results.Predictions {
		d := docs[version+"/index.html"]
		section := byID(d, "run-time")
		if section == nil {
			t.Errorf("%s: no section on how long it runs", version)
			continue
		}
		said := text(section)
		for i, row := range a.Table.Cells {
			l := a.Table.Loads[i]
			if l.Run != "" {
				loads++
				found := false
				for _, n := range elements(section) {
					found = found || n.Data == "a" && strings.HasSuffix(attribute(n, "href"), l.Name+"/index.html")
				}
				if !found {
					t.Errorf("%s: the load %s does not link to its run", version, l.Name)
				}
			}
			for _, c := range row {
				if c.Err != "" || c.End().Err != "" {
					if why := numeral.OnPage(c.Err + c.End().Err); !strings.Contains(said, strings.Join(strings.Fields(why), " ")) {
						t.Errorf("%s: %s does not say %q", version, c.Name, why)
					}
					continue
				}
				cells++
				id := strings.ReplaceAll(c.Name, "/", "-")
				n := byID(d, id)
				if n == nil {
					t.Errorf("%s: nothing at #%s", version, id)
					continue
				}
				got := text(n)
				for _, want := range []string{forecast.RunTime(c.End().Running, "").Whole, "leaves " + numeral.OnPage(c.End().LeftWords())} {
					if !strings.Contains(got, want) {
						t.Errorf("%s#%s: %q has no %q", version, id, got, want)
					}
				}
				var hrefs []string
				for _, e := range elements(n) {
					if e.Data == "a" {
						hrefs = append(hrefs, attribute(e, "href"))
					}
				}
				if !slices.Equal(hrefs, []string{"../../method/index.html#formula-run-time", "#" + id}) {
					t.Errorf("%s#%s links to %v", version, id, hrefs)
				}
			}
		}
		for _, c := range a.Validations {
			for _, level := range c.Checks {
				if level.Predicted.Known() && !(strings.Contains(said, numeral.OnPage(fmt.Sprintf("%+.1f %%", 100*level.TimeError()))) && strings.Contains(said, numeral.OnPage(level.Name+", "+quantity.Brief(level.At)))) {
					t.Errorf("%s: how far off %s was at %s is not on the page", version, c.Run, level.Name)
				}
				checks++
			}
		}
		checkRecord(t, p, version, a)
	}
	t.Logf("%d computed times, %d measured loads, %d checks", cells, loads, checks)
	if cells < 15 || loads < 3 || checks < 2 {
		t.Errorf("only %d computed times, %d measured loads and %d checks were looked at", cells, loads, checks)
	}
}

// checkRecord holds the file beside the page against what was computed.
func checkRecord(t *testing.T, p *frame.Pages, version string, a *predict.Prediction) {
	t.Helper()
	text, err := p.Bytes(version + "/" + address.PredictionsFile)
	if err != nil {
		t.Fatal(err)
	}
	var record record.Prediction
	if err := json.Unmarshal(text, &record); err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, row := range a.Table.Cells {
		n += len(row)
	}
	if len(record.RunTimes) != n || len(record.Charges) != len(a.Charges) {
		t.Errorf("%s: the record has %d run times of %d", version, len(record.RunTimes), n)
	}
}

// Each run of a version is predicted against on its own page, or the page says why not.
func TestRunsAreHeldAgainstPredictions(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	docs := documents(t, p)
	checked, told := 0, 0
	for _, a := range in.Results.Predictions {
		byRun := map[string]predict.Validation{}
		for _, c := range a.Validations {
			byRun[c.Run] = c
		}
		for _, l := range a.Basis.Runs {
			section := byID(docs[l.Run+"/index.html"], "prediction")
			if section == nil {
				t.Errorf("%s says nothing of a prediction", l.Run)
				continue
			}
			said := text(section)
			c, ok := byRun[l.Run]
			if at := slices.IndexFunc(a.ChargeRuns, func(c predict.ChargeCheck) bool { return c.Run == l.Run }); !ok && at >= 0 && a.ChargeRuns[at].Why == "" {
				told++
				if !strings.Contains(said, "to full") || !strings.Contains(said, "Predicted") {
					t.Errorf("%s says nothing of the charge's check: %q", l.Run, said)
				}
				continue
			} else if !ok && at >= 0 {
				told++
				if !strings.Contains(said, numeral.OnPage(a.ChargeRuns[at].Why)) {
					t.Errorf("%s: %q", l.Run, said)
				}
				continue
			}
			if !ok {
				told++
				if !strings.Contains(said, numeral.OnPage(l.Why)) {
					t.Errorf("%s: %q", l.Run, said)
				}
				continue
			}
			checked++
			want := []string{fmt.Sprintf("%.0f mV", 1000*float64(c.Voltage))}
			if c.Why == "" {
				want = append(want, numeral.OnPage(fmt.Sprintf("%+.1f %%", 100*c.TimeError())), numeral.OnPage(c.Predicted.String()))
			} else {
				want = append(want, numeral.OnPage(c.Why))
			}
			for _, w := range want {
				if !strings.Contains(said, w) {
					t.Errorf("%s: no %q in %q", l.Run, w, said)
				}
			}
			if !p.Has(l.Run+"/prediction.csv") || byID(docs[l.Run+"/index.html"], "fig-prediction") == nil {
				t.Errorf("%s has no chart of its prediction", l.Run)
			}
		}
	}
	if checked < 3 || told < 5 {
		t.Errorf("%d runs were checked and %d said why not", checked, told)
	}
}

// asked is a journal with a version that has no run yet, one that cannot be computed, and one whose load is too great.
func asked(t *testing.T) reading.Input {
	version := func(name, more string) string {
		return "---\nkind: version\nname: " + name + "\ndate: 2026-01-02\n" + more + "---\n"
	}
	const motor = "motors: [{name: m, rated: 24 V, power: 120 W}]\n"
	return input(t, written(t, map[string]string{
		"journal.yaml":              "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":           "---\nkind: vehicle\nname: The cart\n---\n![All](table:runs)\n",
		"cart/1-planned/version.md": version("Planned", "state: running\npacks: [{chemistry: lfp, series: 8, capacity: 11 Ah}]\ncutout: {opens: 23.6 V, reset-threshold: 1.1 V}\n"+motor) + "![Times](table:run-time)\n\n![Charging](table:charge-time)\n",
		"cart/2-unlike/version.md":  version("Unlike", "packs: [{name: a, chemistry: lfp, series: 8, capacity: 11 Ah}, {name: b, chemistry: lfp, series: 7, capacity: 11 Ah}]\n"+motor),
		"cart/3-small/version.md":   version("Small", "packs: [{chemistry: lfp, series: 8, capacity: 0.2 Ah}]\n"+strings.Replace(motor, "120 W", "9 kW", 1)),
		"cart/4-idle/version.md":    version("Idle", "packs: [{chemistry: lfp, series: 8, capacity: 11 Ah}]\n"),
		"notes/a-note.md":           "---\nkind: note\ntitle: A note\ndate: 2026-01-04\n---\n![Times](table:cart/1-planned/run-time)\n\n![Charging](table:cart/1-planned/charge-time)\n",
	}))
}

func TestComputedTablesInProse(t *testing.T) {
	in := asked(t)
	p, found := build(t, in)
	if len(found) != 1 || found[0].Rule != reading.RuleNotShown || found[0].Level != finding.Error {
		t.Errorf("%v", found)
	}
	docs := documents(t, p)
	page, err := p.Bytes("cart/1-planned/index.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<p class="see"><a href="#table-run-time">Table 1</a>: Times.</p>`, `<a href="#table-charge-time">Table 2</a>: Charging.</p>`, `id="table-charge-time"`} {
		if strings.Count(string(page), want) != 1 {
			t.Errorf("the version's page has not one %s", want)
		}
	}
	note := docs["notes/a-note/index.html"]
	for _, id := range []string{"table-1-planned-run-time", "table-1-planned-charge-time"} {
		if byID(note, id) == nil {
			t.Errorf("the note has no %s", id)
		}
	}
	target := "../../cart/1-planned/index.html#run-time-rated-power-own"
	if text, _ := p.Bytes("notes/a-note/index.html"); !strings.Contains(string(text), target) || byID(docs["cart/1-planned/index.html"], "run-time-rated-power-own") == nil {
		t.Errorf("the note's times do not lead to %s", target)
	}
}

// A version without a run has a computed answer, and says so; what cannot be computed says why in words.
func TestAnswersWithoutARun(t *testing.T) {
	in := asked(t)
	p, _ := build(t, in)
	docs := documents(t, p)
	for page, wants := range map[string][]string{
		"cart/1-planned/index.html": {"Runs =", "Computed from full to the cutout", "Not measured yet.", "their own losses not counted", "no run has taught it better", "Not checked:"},
		"cart/2-unlike/index.html":  {"Not computed. Packs of 8 and 7 cells in series cannot be joined in parallel"},
		"cart/4-idle/index.html":    {"The version has no run, so what it draws is not known."},
		"index.html":                {"not measured yet: computed from full to the cutout"},
	} {
		said := text(docs[page].root)
		for _, want := range wants {
			want = strings.TrimSuffix(want, " =")
			if !strings.Contains(said, want) {
				t.Errorf("%s does not say %q", page, want)
			}
		}
	}
	planned := in.Results.Predictions["cart/1-planned"]
	planned.Cautions = append(planned.Cautions, "The cutout opens too low, for one.")
	again, _ := build(t, in)
	if said := text(documents(t, again)["cart/1-planned/index.html"].root); !strings.Contains(said, "Mind: The cutout opens too low, for one.") {
		t.Error("the page does not say what the answer warns of")
	}
	cells := in.Results.Predictions["cart/3-small"].Table.Cells
	if len(cells) == 0 {
		t.Fatal("the stated load of the small pack is not in the table")
	}
	cell := cells[0][0]
	why := numeral.OnPage(cell.Err + cell.End().Err)
	if said := text(byID(docs["cart/3-small/index.html"], "run-time")); why == "" || !strings.Contains(said, why) {
		t.Errorf("the small pack under 9 kW: %q is not in %q", why, said)
	}
}

// The three kinds of chart data agree: the drawing of what matters most says in its table what predict computed.
func TestWhatMattersStandsInATable(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	docs := documents(t, p)
	bars := 0
	for version, a := range in.Results.Predictions {
		section := byID(docs[version+"/index.html"], "what-matters")
		if section == nil || a.Sensitivity == nil {
			t.Errorf("%s: nothing on what matters", version)
			continue
		}
		said := text(section)
		for _, b := range a.Sensitivity.Inputs {
			bars++
			if !strings.Contains(said, numeral.Sentenceless(b.Input)+numeral.OnPage(b.Low.Words)+forecast.VariantWords(b.Low)) {
				t.Errorf("%s: %s is not in the table", version, b.Input)
			}
		}
	}
	if bars < 20 {
		t.Errorf("only %d bars", bars)
	}
}
