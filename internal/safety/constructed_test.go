package safety

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
	"voltwright/internal/runlog"
)

// constructed is a version whose wiring and drive were computed as given, for what no journal leads to.
func constructed(w *ride.Wired, d *ride.Driven) *subject {
	v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "cart"}, Slug: "2-wired", Note: &notes.Note{}}
	results := journal.NewResults()
	results.Circuits, results.Drives = map[string]*ride.Wired{v.Path(): w}, map[string]*ride.Driven{v.Path(): d}
	return &subject{version: v, results: results}
}

// A rule is asked of what it looks at: of each pack or run where it takes one up, else once of the version. With one pack
// it would speak either way.
func TestRulesAreAskedOfWhatTheyLookAt(t *testing.T) {
	for _, r := range rules {
		file, err := os.ReadFile(strings.ReplaceAll(r.doc.Name, "-", "_") + ".go")
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), "", file, 0)
		if err != nil {
			t.Fatal(err)
		}
		want := eachVersion
		ast.Inspect(parsed, func(n ast.Node) bool {
			f, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := f.X.(*ast.Ident); ok && x.Name == "s" {
				switch f.Sel.Name {
				case "pack", "thePack", "packName":
					want = max(want, eachPack)
				case "run", "result":
					want = max(want, eachRun)
				case "place", "quotes":
					want = max(want, eachText)
				}
			}
			return true
		})
		if r.each != want {
			t.Errorf("%s is asked of %d, and looks at %d", r.doc.Name, r.each, want)
		}
	}
}

// One fault of the wiring is an error of its own, and nothing is judged beside it.
func TestWiringThatIsWrittenWrongIsNotJudged(t *testing.T) {
	w := &ride.Wired{Circuit: &circuit.Circuit{}}
	if constructed(w, nil).wired() != w {
		t.Error("sound wiring is not judged")
	}
	w.Faults = make([]circuit.Fault, 1)
	if constructed(w, nil).wired() != nil {
		t.Error("wiring with a fault is judged")
	}
}

// Of the verdicts that concern a socket, only a missing fuse is said of it.
func TestSocketUnfusedTakesNoOtherVerdict(t *testing.T) {
	w := &ride.Wired{Circuit: &circuit.Circuit{Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack}, {Name: "socket", Kind: circuit.ChargerSocket}}}}
	for _, tt := range []struct {
		rule    circuit.Rule
		because string
		says    int
	}{{circuit.FuseMissing, "", 1}, {circuit.FuseMissing, "something lacks", 0}, {circuit.FusePlacement, "", 0}} {
		w.Verdicts = []circuit.Verdict{{Rule: tt.rule, CannotJudge: tt.because, Subject: circuit.Subject{Part: 0, Lead: -1, End: -1}, Parts: []int{1}}}
		if got := judgeSocketUnfused(constructed(w, nil)); len(got) != tt.says {
			t.Errorf("%s, %q: %v", tt.rule, tt.because, got)
		}
	}
}

// What a pack gives into a short is said where it is known; it is not said to be nothing.
func TestPackUnfusedOfAnUnknownShort(t *testing.T) {
	for _, tt := range []struct {
		ohms quantity.Ohms
		says bool
	}{{0, false}, {0.06, true}} {
		w := &ride.Wired{Circuit: &circuit.Circuit{Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Full: 30, Resistance: tt.ohms}, {Name: "motor", Kind: circuit.Motor}}}}
		w.Verdicts = []circuit.Verdict{{Rule: circuit.FuseMissing, Subject: circuit.Subject{Part: 0, Lead: -1, End: -1}, Parts: []int{1}}}
		got := judgePackUnfused(constructed(w, nil))
		if len(got) != 1 || strings.Contains(got[0].text, "into a short") != tt.says {
			t.Errorf("%v: %+v", tt.ohms, got)
		}
	}
	lead := failing{Verdict: &circuit.Verdict{Subject: circuit.Subject{Part: -1, Lead: 0}}, c: &circuit.Circuit{Leads: make([]circuit.Lead, 1)}}
	if got := lead.short(); got != 0 {
		t.Errorf("a lead gives %v into a short", got)
	}
}

// Only a fuse that was judged can be found to carry its load; a lead is none.
func TestWellWithinFuse(t *testing.T) {
	w := &ride.Wired{Circuit: &circuit.Circuit{Parts: []circuit.Part{{Name: "fuse", Kind: circuit.Fuse, Ratings: circuit.Ratings{Current: 30}}}, Leads: make([]circuit.Lead, 1)}}
	f := &failing{Verdict: &circuit.Verdict{Subject: circuit.Subject{Part: 0, Lead: -1, End: -1}}, s: constructed(w, nil), c: w.Circuit}
	if !f.wellWithinFuse() {
		t.Error("a fuse with nothing through it is not within what it carries")
	}
	f.CannotJudge = "something lacks"
	if f.wellWithinFuse() {
		t.Error("what cannot be judged is taken for judged")
	}
	f.CannotJudge, f.Subject = "", circuit.Subject{Part: -1, Lead: 0, End: -1}
	if f.wellWithinFuse() {
		t.Error("a lead is taken for a fuse")
	}
}

// A motor that is fed with no contact before it is found wherever it stands in the list of parts.
func TestFedByNoHand(t *testing.T) {
	pack, motor := circuit.Part{Name: "pack", Kind: circuit.Pack, Volts: 24, Resistance: 0.05}, circuit.Part{Name: "motor", Kind: circuit.Motor, Resistance: 0.3}
	leads := []circuit.Lead{
		{From: circuit.Terminal{Part: "pack", Name: "+"}, To: circuit.Terminal{Part: "motor", Name: "+"}},
		{From: circuit.Terminal{Part: "motor", Name: "-"}, To: circuit.Terminal{Part: "pack", Name: "-"}},
	}
	for _, parts := range [][]circuit.Part{{pack, motor}, {motor, pack}} {
		c := &circuit.Circuit{Parts: parts, Leads: leads}
		got := judgeStopMissing(constructed(&ride.Wired{Circuit: c}, nil))
		if len(got) != 1 || !strings.Contains(got[0].text, "the supply from `motor`:") {
			t.Errorf("%s first: %+v", parts[0].Name, got)
		}
	}
}

// The place of what concerns the drive: where it is stated, else the first motor, else the head of the note.
func TestAtDrive(t *testing.T) {
	at := func(n int64) finding.Span { return finding.Span{Start: n} }
	s := constructed(nil, nil)
	s.version.Note.KindSpan = at(1)
	if got := s.atDrive(); got != at(1) {
		t.Errorf("neither stated: %v", got)
	}
	s.version.Motors = []journal.Motor{{Span: at(2)}}
	if got := s.atDrive(); got != at(2) {
		t.Errorf("motors alone: %v", got)
	}
	s.version.Drive = &journal.Drive{Span: at(4)}
	if got := s.atDrive(); got != at(4) {
		t.Errorf("both: %v", got)
	}
}

// A controller that chops gives the motors the share that it is set to; any other, or none, gives them all.
func TestOpened(t *testing.T) {
	setting := notes.Value[quantity.Fraction]{Measured: quantity.Exact(quantity.Fraction(0.6)), Set: true}
	kind := func(k journal.ControllerKind) notes.Choice[journal.ControllerKind] {
		return notes.Choice[journal.ControllerKind]{Value: k, Set: true}
	}
	for _, tt := range []struct {
		name string
		c    *journal.Controller
		want quantity.Fraction
	}{
		{"none", nil, 1}, {"no setting", &journal.Controller{Kind: kind(journal.PWM)}, 1},
		{"one that chops", &journal.Controller{Kind: kind(journal.PWM), Setting: setting}, 0.6},
		{"of a kind that is not stated", &journal.Controller{Setting: setting}, 0.6},
		{"another", &journal.Controller{Kind: kind(journal.Resistor), Setting: setting}, 1},
	} {
		if tt.c != nil && !tt.c.Setting.Set {
			tt.c.Setting.Measured = quantity.Missing[quantity.Fraction]()
		}
		if got := (&subject{version: &journal.Version{Controller: tt.c}}).opened(); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestMotorOvervoltageNeedsTheFullVoltage(t *testing.T) {
	s := constructed(nil, nil)
	s.version.Motors = []journal.Motor{{Rated: value(quantity.Exact(quantity.Volts(12)))}}
	s.version.Packs = make([]journal.Pack, 1)
	s.version.Packs[0].Full.Measured = quantity.Missing[quantity.Volts]()
	if got := judgeMotorOvervoltage(s); len(got) > 0 {
		t.Errorf("%+v", got)
	}
	s.version.Packs[0].Full = value(quantity.Exact(quantity.Volts(29)))
	if got := judgeMotorOvervoltage(s); len(got) != 1 {
		t.Errorf("29 V at a motor for 12 V: %+v", got)
	}
}

// How long a winding stands a hill is said where it is known.
func TestMotorOnAHill(t *testing.T) {
	if eachMotor(1) != "the motor" || eachMotor(2) != "each motor" {
		t.Error(eachMotor(1), eachMotor(2))
	}
	hill := &ride.Course{}
	hill.Point.State, hill.MotorCurrent = drive.Runs, quantity.Exact(quantity.Amperes(20))
	d := &ride.Driven{Motors: 1, Hill: hill, RatedAmp: quantity.Exact(quantity.Amperes(10))}
	for _, tt := range []struct {
		stall *ride.Stalled
		says  bool
	}{
		{nil, false}, {&ride.Stalled{Time: quantity.Missing[quantity.Seconds](), Motor: quantity.Exact(quantity.Amperes(40))}, false},
		{&ride.Stalled{Time: quantity.Exact(quantity.Seconds(12)), Motor: quantity.Exact(quantity.Amperes(40))}, true},
	} {
		d.Stall = tt.stall
		s := constructed(nil, d)
		s.version.Drive = &journal.Drive{}
		got := judgeMotorOverloadedHill(s)
		if len(got) != 1 || strings.Contains(got[0].text, "for about 50 s") != tt.says || strings.Contains(got[0].text, "with no heat") != tt.says {
			t.Errorf("%+v: %+v", tt.stall, got)
		}
	}
}

// The longest stop counts, wherever it stands, and who rides must be stated before a brake is asked for.
func TestStopFarOfTheLongest(t *testing.T) {
	stop := func(m quantity.Metres, err string) ride.Stopped {
		s := ride.Stopped{Label: quantity.Brief(m), Err: err}
		s.Distance = quantity.Exact(m)
		return s
	}
	d := &ride.Driven{}
	d.Top.Point.State = drive.Runs
	s := constructed(nil, d)
	s.version.Drive = &journal.Drive{Braking: &journal.Braking{}}
	for _, tt := range []struct {
		stops []ride.Stopped
		want  string
	}{
		{[]ride.Stopped{stop(15, ""), stop(12, "")}, "15 m"}, {[]ride.Stopped{stop(12, ""), stop(15, "")}, "15 m"},
		{[]ride.Stopped{stop(12, ""), stop(15, "it does not stop")}, "12 m"}, {[]ride.Stopped{stop(8, "")}, ""},
	} {
		d.Stops = tt.stops
		got := judgeStopFar(s)
		if tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) != 1 || !strings.Contains(got[0].text, "goes on for "+tt.want+" "+tt.want)) {
			t.Errorf("%v: %+v", tt.stops, got)
		}
	}
	d.Stops = nil
	for _, tt := range []struct {
		use  *journal.Use
		says int
	}{{nil, 0}, {&journal.Use{}, 0}, {&journal.Use{Rider: notes.Choice[journal.Rider]{Value: journal.Nobody, Set: true}}, 0}, {&journal.Use{Rider: notes.Choice[journal.Rider]{Value: "adult", Set: true}}, 1}} {
		if s.version.Use = tt.use; len(judgeStopFar(s)) != tt.says {
			t.Errorf("%+v: %v", tt.use, judgeStopFar(s))
		}
	}
}

// A speed that was measured is named where it is above the computed one, not where it is the same.
func TestFastest(t *testing.T) {
	s := constructed(nil, nil)
	r := &journal.Run{Slug: "field", Version: s.version, Type: notes.Choice[journal.RunType]{Value: journal.Field, Set: true}}
	s.version.Runs = []*journal.Run{r}
	for _, tt := range []struct {
		measured quantity.MetresPerSecond
		want     string
	}{{2, "as computed with full packs"}, {1.9, "as computed with full packs"}, {2.1, "as measured on the run `field`"}} {
		s.results.Runs[r.ID()] = &runlog.Result{TopSpeed: quantity.Exact(tt.measured)}
		if v, how := s.fastest(quantity.Exact(quantity.MetresPerSecond(2))); how != tt.want || v != max(2, tt.measured) {
			t.Errorf("%v: %v, %s", tt.measured, v, how)
		}
	}
}

// Fuses and breakers part two packs, no other part does.
func TestUnprotected(t *testing.T) {
	for kind, want := range map[circuit.Kind]bool{circuit.Fuse: false, circuit.Breaker: false, circuit.Switch: true, circuit.TerminalBlock: true} {
		if unprotected(&circuit.Part{Kind: kind}) != want {
			t.Errorf("%s: %t", kind, !want)
		}
	}
}

// Around a stop leads a way, by leads alone or through a part, or another pack is on its out side; each is named.
func TestCutoutBypassedSaysHow(t *testing.T) {
	w := &ride.Wired{Circuit: &circuit.Circuit{Parts: []circuit.Part{{Name: "stop", Kind: circuit.EmergencyStop}, {Name: "other", Kind: circuit.Pack}, {Name: "key", Kind: circuit.Switch}}}}
	way := []circuit.Step{{Part: -1, Lead: 0}}
	for _, tt := range []struct {
		path         []circuit.Step
		parts        []int
		want, remedy string
	}{
		{way, nil, "a way leads round `stop` by leads alone: opening it cuts off nothing", "take out the way round it."},
		{way, []int{2}, "a way leads round `stop` through `key`: while that conducts, opening `stop` cuts off nothing", "take out the way round it."},
		{nil, []int{1}, "`other` is joined to the `out` side of `stop`: with `stop` open it still feeds whatever is on that side", "join all packs to one side of it and all loads to the other."},
	} {
		w.Verdicts = []circuit.Verdict{{Rule: circuit.BypassWhenOpen, Subject: circuit.Subject{Part: 0, Lead: -1, End: -1}, Parts: tt.parts, Path: tt.path}}
		if got := cutoutBypassed.judge(constructed(w, nil)); len(got) != 1 || got[0].text != tt.want || !strings.HasSuffix(got[0].remedy, tt.remedy) {
			t.Errorf("%v: %+v", tt.parts, got)
		}
	}
}

// Whatever a cutout does, it is no hand: what it feeds is fed by no hand, wherever in the list it stands.
func TestACutoutThatStandsLastIsNoHand(t *testing.T) {
	at := func(text string) circuit.Terminal { to, _ := circuit.ParseTerminal(text); return to }
	c := &circuit.Circuit{
		Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Volts: 25, Resistance: 0.02}, {Name: "motor", Kind: circuit.Motor, Resistance: 0.3}, {Name: "cutout", Kind: circuit.Cutout}},
		Leads: []circuit.Lead{{From: at("pack:+"), To: at("cutout:in+")}, {From: at("pack:-"), To: at("cutout:in-")},
			{From: at("cutout:out+"), To: at("motor:+")}, {From: at("cutout:out-"), To: at("motor:-")}},
	}
	if got := fedByNoHand(c); len(got) != 1 || got[0] != 1 {
		t.Errorf("fed by no hand: %v, want the motor", got)
	}
}

// The bar of a limit that is written in days stands at it.
func TestStandingDrainDrawsItsLimit(t *testing.T) {
	if g := gaugeOfDays(29.4); g.Limit != 30 || g.Bound != "30 days" || g.Value != 29.4 || g.Written != "29 days" {
		t.Errorf("gauge %+v", g)
	}
}
