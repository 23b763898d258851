package safety

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/safety/safetytest"
)

// Where the journal itself is at fault, which is an error of its own, rules judge what they still can and nothing by a number that is not there.
func TestRulesBesideAFault(t *testing.T) {
	unfused := []string{"drop packs.1.fuse", "drop wiring.parts.2", "drop wiring.leads.2", "wiring.leads.1.to = stop:in", "wiring.leads.1.ends = [ring M6, ring M8]"}
	for _, tt := range []struct {
		name    string
		changes []string
		fault   string // the rule of the error; "": none
		rule    string
		signal  finding.Signal // "": the rule is silent
		omits   string
	}{
		{"sound wiring is judged", []string{"wiring.parts.3.volts = 24 V"}, "", "part-voltage-low", finding.SignalWarning, ""},
		{"wiring with a fault is not judged", []string{"wiring.parts.3.volts = 24 V", "wiring.leads.5.to = nowhere:in"}, "unknown-part", "part-voltage-low", "", ""},
		{"a known short is said", unfused, "", "pack-unfused", finding.Danger, "!"},
		{"an unknown short is not said to be nothing, and no DANGER", append([]string{"drop packs.1.resistance", "drop packs.1.capacity"}, unfused...), "missing-key", "pack-unfused", finding.SignalWarning, "into a short"},
		{"a motor far above its rating", []string{"motors.1.rated = 6 V"}, "", "motor-overvoltage", finding.SignalWarning, ""},
		{"a motor, and no full voltage", []string{"motors.1.rated = 6 V", "drop packs.1.full", "drop packs.1.chemistry"}, "missing-key", "motor-overvoltage", "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := hazard{&safetytest.Case{File: "a test", Base: "wired", Changes: tt.changes}}
			fault, signal := "", finding.Signal("")
			for _, f := range h.findings(t) {
				if f.Level == finding.Error && f.Signal == "" {
					fault = f.Rule
				}
				if f.Rule != tt.rule || f.Signal == "" {
					continue
				}
				signal = f.Signal
				if tt.omits != "" && strings.Contains(f.Text, tt.omits) {
					t.Errorf("%q says %q", f.Text, tt.omits)
				}
			}
			if fault != tt.fault || signal != tt.signal {
				t.Errorf("fault %q, %s says %q; want %q, %q", fault, tt.rule, signal, tt.fault, tt.signal)
			}
		})
	}
}

// What concerns the drive stands where it is stated, else at the first motor.
func TestWhereTheDriveIsSpokenOf(t *testing.T) {
	for _, tt := range []struct{ change, line string }{
		{"drop drive.ratio", "drive:"}, {"drop drive", "motors:"},
	} {
		h := hazard{&safetytest.Case{File: "a test", Base: "wired", Changes: []string{tt.change}}}
		found := false
		for _, f := range h.findings(t) {
			if f.Rule != "top-speed-high" {
				continue
			}
			found = true
			at := f.Span.Position().Line
			above, _ := f.Span.Source.Line(at - 1)
			line, _ := f.Span.Source.Line(at)
			if !f.Unjudged || !strings.HasPrefix(above, tt.line) && !strings.HasPrefix(line, tt.line) {
				t.Errorf("%s: it stands at %q after %q, want %s", tt.change, line, above, tt.line)
			}
		}
		if !found {
			t.Errorf("%s: top-speed-high says nothing", tt.change)
		}
	}
}
