package safety

import (
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
	"voltwright/internal/runlog"
)

// predicted asks a rule that rests on predictions, with answers made for it.
func predicted(r *rule, v *journal.Version, a *ride.Answers) []finding.Finding {
	v.Vehicle = &journal.Vehicle{}
	if v.Note == nil {
		v.Note = &notes.Note{}
	}
	results := journal.NewResults()
	results.Predictions = map[string]*ride.Answers{v.Path(): a}
	s := subject{version: v, results: results}
	var out []finding.Finding
	for _, v := range r.judge(&s) {
		out = append(out, s.finding(r, v))
	}
	return out
}

func TestResetPredicted(t *testing.T) {
	volt := func(v quantity.Volts) notes.Value[quantity.Volts] { return value(quantity.Exact(v)) }
	for _, tt := range []struct {
		likely float64
		signal finding.Signal
		says   string
	}{
		{0.05, "", ""}, {0.051, finding.Caution, "by itself is 5 %"}, {0.26, finding.Caution, "26 %"}, {0.5, finding.Caution, "50 %"}, {0.51, finding.SignalWarning, "51 %"},
		{0.98, finding.SignalWarning, "98 %"}, {0.99, finding.SignalWarning, "by itself is 99 %"}, {0.991, finding.SignalWarning, "more than 99 %"}, {1, finding.SignalWarning, "more than 99 %"},
	} {
		v := &journal.Version{Cutout: &journal.Cutout{Opens: volt(24), Threshold: volt(1.5)}}
		a := &ride.Answers{Chatter: &ride.Chatter{Rebound: quantity.Exact(quantity.Volts(26)), Reset: 25.5, Likely: tt.likely}}
		got := predicted(resetPredicted, v, a)
		if tt.signal == "" && len(got) > 0 || tt.signal != "" && (len(got) != 1 || got[0].Signal != tt.signal || !strings.Contains(got[0].Text, tt.says)) {
			t.Errorf("%g: %v", tt.likely, got)
		}
		seen := &journal.Version{Cutout: v.Cutout, Runs: []*journal.Run{{Slug: "bench"}}}
		seen.Vehicle, seen.Runs[0].Version = &journal.Vehicle{}, seen
		results := journal.NewResults()
		results.Predictions = map[string]*ride.Answers{seen.Path(): a}
		results.Runs[seen.Runs[0].ID()] = &runlog.Result{Cutout: &runlog.CutoutEvent{}}
		if got := resetPredicted.judge(&subject{version: seen, results: results}); len(got) > 0 {
			t.Errorf("speaks though a run shows what the cutout does: %v", got)
		}
		a.Chatter.Err = "nothing draws"
		if got := predicted(resetPredicted, v, a); len(got) > 0 {
			t.Errorf("speaks of what could not be predicted: %v", got)
		}
	}
}

// What the runs taught of the packs' resistance goes before what is typical, with its
// own uncertainty: 10 A through 0.05 Ω and its least. The open-circuit voltage of eight
// half-full cells is read off the chemistry's curve.
func TestSagTakesWhatWasLearned(t *testing.T) {
	c, err := battery.ChemistryNamed("nmc")
	if err != nil {
		t.Fatal(err)
	}
	half, _ := c.Curve().At(0.5)
	rest := 8 * half
	for _, tt := range []struct {
		name  string
		u     quantity.Ohms
		opens quantity.Volts
		says  string
	}{
		{"below the most that it may be", 0.005, rest - 0.61, ""},
		{"between the most and the least", 0.005, rest - 0.5, "may be anything from 40 mΩ to 60 mΩ"},
		{"above the least", 0.005, rest - 0.39, "the least that it may be, 40 mΩ, is taken; 50 mΩ is learned from its runs"},
		{"a third at least, just below", 0.025, rest - 10*0.05/3 - 0.001, "may be anything from 17 mΩ to 0.1 Ω"},
		{"a third at least, just above", 0.025, rest - 10*0.05/3 + 0.001, "17 mΩ"},
	} {
		run := &journal.Run{Slug: "field", Type: notes.Choice[journal.RunType]{Set: true, Value: journal.Field}}
		v := &journal.Version{Packs: []journal.Pack{{Chemistry: notes.Choice[journal.Chemistry]{Set: true, Value: "nmc"}, Series: notes.Integer{Set: true, Value: 8},
			Resistance: notes.Value[quantity.Ohms]{Measured: quantity.Missing[quantity.Ohms]()},
			Capacity:   notes.Value[quantity.AmpereHours]{Measured: quantity.Exact(quantity.AmpereHours(12)), Set: true}}}}
		v.Cutout = &journal.Cutout{Opens: notes.Value[quantity.Volts]{Measured: quantity.Exact(tt.opens), Set: true, Written: "so many volts"}}
		v.Runs, run.Version = []*journal.Run{run}, v
		v.Vehicle, v.Note, run.Note = &journal.Vehicle{}, &notes.Note{}, &notes.Note{}
		s := subject{version: v, results: journal.NewResults()}
		s.results.Runs[run.ID()] = &runlog.Result{P95Current: quantity.Exact(quantity.Amperes(10))}
		s.results.Predictions = map[string]*ride.Answers{v.Path(): {Basis: ride.Basis{Calibrated: true, Values: []battery.Value{
			{Name: ride.ResistanceAfter10s, Quantity: quantity.Quantity{Dimension: quantity.Resistance, Value: 0.05, U: float64(tt.u)}}}}}}
		got := judgeSagOpensCutout(&s)
		if tt.says == "" && len(got) > 0 || tt.says != "" && (len(got) != 1 || !strings.Contains(got[0].text+got[0].because, tt.says)) {
			t.Errorf("%s: %+v", tt.name, got)
		}
	}
}
