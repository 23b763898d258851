package safety

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

func TestResetMargin(t *testing.T) {
	unknown := quantity.Missing[quantity.Volts]()
	volts := func(v, u quantity.Volts) quantity.Measured[quantity.Volts] {
		return quantity.Measured[quantity.Volts]{Value: v, U: u}
	}
	tests := []struct {
		name                      string
		opens, threshold, rebound quantity.Measured[quantity.Volts]
		signal                    finding.Signal
		say                       []string // parts of the text, none: nothing is said
		remedy                    string
	}{
		// A cutout at 16.5 V with a threshold of 1.0 V resets at 17.5 V; a rebound
		// to 17.4 V leaves it open with 0.1 V to spare. Common practice, no source.
		{"trade", volts(16.5, 0), volts(1, 0), volts(17.4, 0), finding.Caution,
			[]string{"came back to 17.4 V", "reset point is 17.5 V", "0.1 V to spare where 0.2 V is needed"}, "from 1 V to at least 1.1 V"},
		{"wide enough", volts(24.6, 0), volts(1.6, 0), volts(25.08, 0.03), "", nil, ""},
		{"just inside", volts(24, 0), volts(2, 0), volts(25.75, 0), "", nil, ""},
		{"just outside", volts(24, 0), volts(2, 0), volts(25.85, 0), finding.Caution, []string{"to spare"}, "from 2 V to at least 2.1 V"},
		{"less than the meter can tell", volts(24, 0), volts(2, 0), volts(25.7, 0.2), finding.Caution, []string{"where 0.4 V is needed"}, "from 2 V to at least 2.1 V"},
		{"above the reset point", volts(24, 0), volts(1.2, 0), volts(25.5, 0), finding.SignalWarning, []string{"switches the load on again by itself"}, "from 1.2 V to at least 1.7 V"},
		{"no threshold", volts(24, 0), unknown, volts(25.5, 0), "", []string{"cannot judge", "threshold is not stated"}, "state `reset-threshold`"},
		{"no rebound seen", volts(24, 0), volts(1.2, 0), unknown, "", []string{"cannot judge", "was not recorded"}, "let the log run on"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cutout := &journal.Cutout{Opens: value(tt.opens), Threshold: value(tt.threshold)}
			run := &journal.Run{Version: &journal.Version{Cutout: cutout}, Note: &notes.Note{}}
			reset := quantity.Sum(tt.opens, tt.threshold)
			event := &runlog.CutoutEvent{OpenedVoltage: tt.opens, ResetPoint: reset, Rebound: runlog.Rebound{Peak: tt.rebound}}
			if reset.Known() && tt.rebound.Known() {
				event.Margin = runlog.NewResetMargin(reset, tt.rebound)
			} else {
				event.Margin.Margin = unknown
			}
			got := onRun(resetMargin, run, &runlog.Result{Cutout: event})
			if len(tt.say) == 0 {
				if len(got) != 0 {
					t.Fatalf("said %q where there is nothing to say", got[0].Text)
				}
				return
			}
			if len(got) != 1 {
				t.Fatalf("%d findings, want 1", len(got))
			}
			f := got[0]
			for _, part := range tt.say {
				if !strings.Contains(f.Text, part) {
					t.Errorf("text %q does not say %q", f.Text, part)
				}
			}
			if f.Signal != tt.signal || !strings.Contains(f.Remedy, tt.remedy) {
				t.Errorf("signal %q, remedy %q; want %q, %q", f.Signal, f.Remedy, tt.signal, tt.remedy)
			}
		})
	}
}

// A run that shows the load coming on again is not said to have stayed open; one closed by hand, far below its reset
// point, is no fault.
func TestResetMarginOfACutoutThatOpenedAgain(t *testing.T) {
	exact := quantity.Exact[quantity.Volts]
	for _, tt := range []struct {
		rebound quantity.Volts
		says    string
	}{
		{25.97, "the cutout opened 2 times in this run: after the first opening the pack's voltage came back to 25.97 V, its reset point is 26 V"},
		{25.1, ""},
	} {
		cutout := &journal.Cutout{Opens: value(exact(24)), Threshold: value(exact(2))}
		run := &journal.Run{Version: &journal.Version{Cutout: cutout}, Note: &notes.Note{}}
		event := &runlog.CutoutEvent{ResetPoint: exact(26), Openings: 2, Margin: runlog.NewResetMargin(exact(26), exact(tt.rebound)),
			Rebound: runlog.Rebound{Peak: exact(tt.rebound)}}
		got := onRun(resetMargin, run, &runlog.Result{Cutout: event})
		if tt.says == "" && len(got) > 0 || tt.says != "" && (len(got) != 1 || got[0].Signal != finding.SignalWarning || !strings.HasPrefix(got[0].Text, tt.says)) {
			t.Errorf("%v: %v", tt.rebound, got)
		}
	}
}

// The remedy of a rebound that was cut off looks as far as the fit does.
func TestRemedyOfAReboundCutOff(t *testing.T) {
	exact := quantity.Exact[quantity.Volts]
	for _, tt := range []struct {
		rising bool
		fit    *runlog.ReboundFit
		remedy string
	}{
		{false, &runlog.ReboundFit{Asymptote: exact(26.35)}, "from 2 V to at least 2.1 V, or use"},
		{true, &runlog.ReboundFit{Asymptote: exact(26.35)}, "from 2 V to at least 2.6 V, and more if the voltage rises further than was recorded, or use"},
		{true, &runlog.ReboundFit{Asymptote: exact(25.8)}, "from 2 V to at least 2.1 V, and more"},
		{true, nil, "from 2 V to at least 2.1 V, and more"},
	} {
		event := &runlog.CutoutEvent{ResetPoint: exact(26), Margin: runlog.NewResetMargin(exact(26), exact(25.9)),
			Rebound: runlog.Rebound{Peak: exact(25.9), StillRising: tt.rising, Fit: tt.fit}}
		cutout := &journal.Cutout{Opens: value(exact(24)), Threshold: value(exact(2))}
		if got := widen(event, cutout); !strings.Contains(got, tt.remedy) {
			t.Errorf("still rising %t, fit %v: %q, want %q", tt.rising, tt.fit, got, tt.remedy)
		}
	}
}

// A margin that is wide enough so far says nothing of a voltage that was still rising when the record ended.
func TestResetMarginOfAnUnfinishedRebound(t *testing.T) {
	exact := quantity.Exact[quantity.Volts]
	for _, tt := range []struct {
		name string
		fit  *runlog.ReboundFit
		says string
	}{
		{"no fit", nil, "cannot judge whether the cutout stays open: the voltage was still rising"},
		{"it tends too near", &runlog.ReboundFit{Asymptote: exact(25.9)}, "still rising when the record ended, with 0.8 V to spare"},
		{"it tends to a voltage well below", &runlog.ReboundFit{Asymptote: exact(25.3)}, ""},
	} {
		cutout := &journal.Cutout{Opens: value(exact(24)), Threshold: value(exact(2))}
		run := &journal.Run{Version: &journal.Version{Cutout: cutout}, Note: &notes.Note{}}
		event := &runlog.CutoutEvent{ResetPoint: exact(26), Margin: runlog.NewResetMargin(exact(26), exact(25.2)),
			Rebound: runlog.Rebound{Peak: exact(25.2), StillRising: true, Fit: tt.fit}}
		got := onRun(resetMargin, run, &runlog.Result{Cutout: event})
		if tt.says == "" && len(got) > 0 || tt.says != "" && (len(got) != 1 || got[0].Level != finding.Note || !strings.Contains(got[0].Text, tt.says)) {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

func TestNoOpeningNothingSaid(t *testing.T) {
	with := &journal.Run{Version: &journal.Version{Cutout: &journal.Cutout{}}}
	if got := onRun(resetMargin, with, &runlog.Result{}); got != nil {
		t.Errorf("said %v of a run without an opening", got)
	}
	without := &journal.Run{Version: &journal.Version{}}
	if got := onRun(resetMargin, without, &runlog.Result{Cutout: &runlog.CutoutEvent{}}); got != nil {
		t.Errorf("said %v of a vehicle that has no cutout", got)
	}
}

// onRun asks one rule about one run, however little of a journal stands round it.
func onRun(r *rule, run *journal.Run, result *runlog.Result) []finding.Finding {
	run.Version.Vehicle = &journal.Vehicle{}
	if run.Note == nil {
		run.Note = &notes.Note{}
	}
	s := subject{version: run.Version, run: run, results: &journal.Results{Runs: map[journal.RunID]*runlog.Result{run.ID(): result}}}
	var out []finding.Finding
	for _, v := range r.judge(&s) {
		out = append(out, s.finding(r, v))
	}
	return out
}

// value is a stated front-matter value, written as it prints.
func value(m quantity.Measured[quantity.Volts]) notes.Value[quantity.Volts] {
	return notes.Value[quantity.Volts]{Measured: m, Set: m.Known(), Written: m.Quantity().String()}
}

func TestCeilTenth(t *testing.T) {
	for _, tt := range []struct{ v, want quantity.Volts }{{1.1, 1.1}, {1.1000001, 1.2}, {1.05, 1.1}, {2, 2}, {0.3 + 1.6, 1.9}} {
		if got := ceilTenth(tt.v); got != tt.want {
			t.Errorf("ceilTenth(%v) = %v, want %v", tt.v, got, tt.want)
		}
	}
}
