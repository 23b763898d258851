package journal

import (
	"math"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

func clean(t *testing.T) *Journal {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/clean.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := unpack(t, archive)
	j, list := load(t, dir)
	if list.Len() != 0 {
		t.Fatal(list.Sorted())
	}
	return j
}

func TestPlaces(t *testing.T) {
	var got []string
	for _, p := range clean(t).Places() {
		got = append(got, p.Address())
	}
	want := "shunter/ shunter/1-lead-acid/ shunter/1-lead-acid/rest-2025-03-09/ shunter/2-lifepo4/ shunter/2-lifepo4/field-2026-04-19/ shunter/2-lifepo4/field-2026-04-26/ notes/2026-02-01-why-a-cutout/ questions/how-long/ corrections/2026-05-01-shunt/"
	if strings.Join(got, " ") != want {
		t.Errorf("places\n%s, want\n%s", strings.Join(got, " "), want)
	}
}

// One target is written differently at different places, and means one run.
func TestTarget(t *testing.T) {
	j := clean(t)
	place := func(file string) Place {
		p, ok := j.PlaceOf(file)
		if !ok {
			t.Fatalf("no place of %s", file)
		}
		return p
	}
	const field = "shunter/2-lifepo4/field-2026-04-19"
	for _, tt := range []struct {
		at     string
		scheme notes.Scheme
		target string
		run    RunID
		owner  string // version or vehicle, where there is no run
		err    string
	}{
		{"shunter/2-lifepo4", "plot", "2-lifepo4/field-2026-04-19/voltage", field, "", ""},
		{field + ".md", "value", "sag", field, "", ""},
		{field + ".md", "plot", "voltage", field, "", ""},
		{field + ".md", "value", "field-2026-04-26/distance", "shunter/2-lifepo4/field-2026-04-26", "", ""},
		{"shunter/2-lifepo4", "table", "run-time", "", "shunter/2-lifepo4", ""},
		{"shunter", "table", "run-time", "", "shunter", ""},
		{"shunter", "table", "1-lead-acid/parts", "", "shunter/1-lead-acid", ""},
		{"notes/2026-02-01-why-a-cutout.md", "diagram", "shunter/2-lifepo4/wiring", "", "shunter/2-lifepo4", ""},

		{"notes/2026-02-01-why-a-cutout.md", "table", "run-time", "", "", "names no run"},
		{"shunter/2-lifepo4", "plot", "", "", "", "names nothing"},
	} {
		got, err := j.Target(place(tt.at), &notes.Embed{Scheme: tt.scheme, Target: tt.target})
		if tt.err != "" {
			if err == nil || !strings.Contains(err.Text, tt.err) || err.Remedy == "" {
				t.Errorf("%s:%s at %s: %v, want %q", tt.scheme, tt.target, tt.at, err, tt.err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s:%s at %s: %v", tt.scheme, tt.target, tt.at, err)
			continue
		}
		var run RunID
		owner := ""
		switch {
		case got.Run != nil:
			run = got.Run.ID()
		case got.Version != nil:
			owner = got.Version.Path()
		default:
			owner = got.Vehicle.Slug
		}
		if run != tt.run || owner != tt.owner || got.Scheme != tt.scheme || !strings.HasSuffix(tt.target, got.Name) {
			t.Errorf("%s:%s at %s is %s %s %s", tt.scheme, tt.target, tt.at, run, owner, got.Name)
		}
	}
}

func TestResolved(t *testing.T) {
	j := clean(t)
	v := j.Vehicles[0].Versions[1]
	if v.Before != j.Vehicles[0].Versions[0] || v.Number != 2 {
		t.Errorf("version %d follows %v", v.Number, v.Before)
	}
	used := map[string]AttachmentKind{}
	for _, a := range j.Used {
		used[a.Path] = a.Kind
	}
	if len(used) != 2 || used["shunter/1-lead-acid/photos/frame.jpg"] != Picture || used["shunter/2-lifepo4/field-2026-04-19.csv"] != LogFile {
		t.Errorf("used: %v", used)
	}
	left, right := v.Packs[0], v.Packs[1]
	for _, tt := range []struct {
		what      string
		got, want any
	}{
		{"packs in parallel add up", v.Capacity().Value, quantity.AmpereHours(14 + 9.6)},
		{"series", v.Series(), 7},
		{"nominal", math.Abs(float64(v.Nominal().Value)-22.4) < 1e-12, true},
		{"stated full charge", left.FullVoltage().Value, quantity.Volts(25.2)},
		{"the chemistry's full charge", right.FullVoltage().Value, quantity.Volts(7 * 3.65)},
		{"no protection", left.Protection.None && left.Protection.Set, true},
		{"its own protection", right.Protection.Opens.Value, quantity.Volts(17.9)},
		{"a pack without a resistance", right.Resistance.Known(), false},
	} {
		if tt.got != tt.want {
			t.Errorf("%s: %v, want %v", tt.what, tt.got, tt.want)
		}
	}
}

func TestOptions(t *testing.T) {
	j := clean(t)
	run, ok := j.Run("shunter/2-lifepo4/field-2026-04-19")
	if !ok {
		t.Fatal("no run")
	}
	o := run.Options()
	if o.Columns[runlog.Voltage] != "U_pack" || o.Columns[runlog.Current] != "#3" || o.TimeFormat != "seconds" || o.Decimal != "comma" || o.Separator != "semicolon" {
		t.Errorf("the log: %+v", o)
	}
	if o.DischargeNegative == nil || !*o.DischargeNegative || o.Step != 1 || o.PauseAfter != 20 || o.Idle != 0.4 {
		t.Errorf("signs and times: %+v", o)
	}
	if o.Cutout == nil || o.Cutout.Opens.Value != 19.6 || o.Cutout.Threshold.Value != 1.7 || o.Rated.Value != 23.6 || o.Series != 7 {
		t.Errorf("the version's: %+v", o)
	}
	// The second one states a resolution and no accuracy: how good it is is not known.
	if len(run.Instruments) != 2 || len(o.Instruments) != 1 || o.Instruments[0].Channel != runlog.Voltage || o.Instruments[0].Resolution != 0.01 || o.Instruments[0].Accuracy.Digits != 2 {
		t.Errorf("instruments: %+v", o.Instruments)
	}

	rest, _ := j.Run("shunter/1-lead-acid/rest-2025-03-09")
	o = rest.Options()
	if o.Cutout != nil || o.PauseAfter == o.PauseAfter || o.DischargeNegative != nil || o.Rated.Value != 12 {
		t.Errorf("what is not stated is taken as stated: %+v", o)
	}
	if rows := rest.Noted(); len(rows) != 2 || rows[1].At != 9*3600 || rows[1].Voltage != 25.4 || rows[0].Temperature == rows[0].Temperature {
		t.Errorf("readings: %+v", rows)
	}
	laps, _ := j.Run("shunter/2-lifepo4/field-2026-04-26")
	if w := laps.Timed(); len(w.Laps) != 2 || w.Laps[0] != 184.2 || w.Resolution != 0.01 || w.Lap.Value != 172 || len(w.Stops) != 1 || w.Stops[0].Lap != 2 || w.Stops[0].Lasted != 40 || w.Start.Value != 26.1 || w.End.Value != 24.8 {
		t.Errorf("stopwatch: %+v", w)
	}
}
