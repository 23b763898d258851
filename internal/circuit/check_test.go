package circuit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/quantity"
)

// example is one of the worked circuits, to be changed at will.
func example(t testing.TB, name string) circuittest.Example {
	t.Helper()
	x, err := circuittest.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func terminal(text string) circuit.Terminal {
	t, _ := circuit.ParseTerminal(text)
	return t
}

func leadFrom(c *circuit.Circuit, from string) *circuit.Lead {
	for i := range c.Leads {
		if c.Leads[i].From == terminal(from) {
			return &c.Leads[i]
		}
	}
	panic("no lead from " + from)
}

func part(c *circuit.Circuit, name string) *circuit.Part {
	for i := range c.Parts {
		if c.Parts[i].Name == name {
			return &c.Parts[i]
		}
	}
	panic("no part " + name)
}

func simple(from, to string) circuit.Lead {
	return circuit.Lead{From: terminal(from), To: terminal(to), Size: circuit.Metric(4), Length: 0.3, Insulation: 90}
}

// Each way to write a circuit wrong, made from the sound shunter.
func TestCheck(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(c *circuit.Circuit)
		rule   string
		about  string // part, or "lead N end E"
		text   string
		near   string
	}{
		{"a part that is not there", func(c *circuit.Circuit) { c.Leads[1].To.Part = "stopp" }, "unknown-part", "lead 1 end 1", "no part is called “stopp”", "stop"},
		{"a terminal that is not there", func(c *circuit.Circuit) { c.Leads[2].To.Name = "in" }, "unknown-terminal", "lead 2 end 1", "has no terminal “in”", "in+"},
		{"two names for one thing", func(c *circuit.Circuit) { part(c, "stop").Name = "fuse" }, "name-used-twice", "fuse", "two parts are called “fuse”", ""},
		{"a lead with one end", func(c *circuit.Circuit) { c.Leads[0].To = circuit.Terminal{} }, "lead-to-nowhere", "lead 0 end 1", "names no terminal", ""},
		{"a lead to where it starts", func(c *circuit.Circuit) { c.Leads[0].To = c.Leads[0].From }, "lead-to-nowhere", "lead 0 end 1", "comes back", ""},
		{"two leads in a one-wire clamp", func(c *circuit.Circuit) { c.Leads = append(c.Leads, simple("cutout:in+", "fuse:out")) }, "terminal-crowded", "cutout", "two leads end at cutout:in+, which takes one lead", ""},
		{"two leads in the one way of a block that is used", func(c *circuit.Circuit) {
			c.Parts = append(c.Parts, circuit.Part{Name: "block", Kind: circuit.TerminalBlock, Ways: 3})
			c.Leads = append(c.Leads, simple("fuse:out", "block:1"), simple("fuse:in", "block:1"))
		}, "terminal-floating", "block", "only one way of “block” is used", ""},
		{"a terminal without a lead", func(c *circuit.Circuit) { c.Leads = c.Leads[:len(c.Leads)-1] }, "terminal-floating", "motor", "no lead goes to motor:-", ""},
		{"a part without a lead", func(c *circuit.Circuit) {
			c.Parts = append(c.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5})
		}, "part-not-wired", "lamp", "no lead goes to “lamp”", ""},
		{"a controller the wrong way round", func(c *circuit.Circuit) {
			leadFrom(c, "cutout:out+").To.Name, leadFrom(c, "cutout:out-").To.Name = "in-", "in+"
		}, "polarity-reversed", "controller", "controller:in+ is wired to the negative side", ""},
		{"a cutout the wrong way round", func(c *circuit.Circuit) {
			leadFrom(c, "battery:-").To.Name, leadFrom(c, "stop:out").To.Name = "in+", "in-"
		}, "polarity-reversed", "cutout", "cutout:in+ is wired to the negative side", ""},
		{"a pack shorted", func(c *circuit.Circuit) { c.Leads = append(c.Leads, simple("battery:+", "battery:-")) }, "packs-opposed", "battery", "both ends of “battery”", ""},
		{"a pack against another", func(c *circuit.Circuit) {
			c.Parts = append(c.Parts, circuit.Part{Name: "rear", Kind: circuit.Pack, Volts: 25})
			c.Leads = append(c.Leads, simple("battery:+", "rear:-"), simple("battery:-", "rear:+"))
		}, "packs-opposed", "rear", "joined against another pack", ""},
		{"a pack of another voltage", func(c *circuit.Circuit) {
			c.Parts = append(c.Parts, circuit.Part{Name: "small", Kind: circuit.Pack, Volts: 12})
			c.Leads = append(c.Leads, simple("battery:+", "small:+"), simple("battery:-", "small:-"))
		}, "packs-opposed", "small", "quite another voltage", ""},
	} {
		x := example(t, "05-shunter-stop")
		tt.change(&x.Circuit)
		found := false
		for _, f := range x.Circuit.Check() {
			about := ""
			if f.Subject.Part >= 0 {
				about = x.Circuit.Parts[f.Subject.Part].Name
			} else {
				about = "lead " + string(rune('0'+f.Subject.Lead)) + " end " + string(rune('0'+f.Subject.End))
			}
			if f.Rule == tt.rule && about == tt.about && strings.Contains(f.Text, tt.text) && f.Nearest == tt.near {
				found = true
			}
		}
		if !found {
			t.Errorf("%s: no %s about %q with %q, nearest %q, among %+v", tt.name, tt.rule, tt.about, tt.text, tt.near, x.Circuit.Check())
		}
	}
}

// What may stay free is not complained of.
func TestCheckAllows(t *testing.T) {
	x := example(t, "05-shunter-stop")
	c := &x.Circuit
	// A module with three clamps: its return is taken from one side.
	leadFrom(c, "cutout:out-").From = terminal("battery:-")
	// A changeover of which one way is used.
	stop := part(c, "stop")
	*stop = circuit.Part{Name: "stop", Kind: circuit.Switch, Throws: 2}
	leadFrom(c, "stop:out").From.Name = "out-b"
	// A contactor whose coil another drawing shows, and a spare pole of a connector.
	c.Parts = append(c.Parts, circuit.Part{Name: "main", Kind: circuit.Contactor}, circuit.Part{Name: "plug", Kind: circuit.Connector, Poles: 3})
	to := leadFrom(c, "cutout:out+").To
	leadFrom(c, "cutout:out+").To = terminal("main:in")
	c.Leads = append(c.Leads, simple("main:out", "plug:in-2"), circuit.Lead{From: terminal("plug:out-2"), To: to, Size: circuit.Metric(4), Length: 1})
	for _, f := range c.Check() {
		t.Errorf("%s: %s", f.Rule, f.Text)
	}
}

func TestTerminals(t *testing.T) {
	for _, tt := range []struct {
		part circuit.Part
		want string
	}{
		{circuit.Part{Kind: circuit.Switch}, "in out"},
		{circuit.Part{Kind: circuit.Switch, Poles: 2}, "in-1 out-1 in-2 out-2"},
		{circuit.Part{Kind: circuit.Switch, Throws: 2}, "in out-a out-b"},
		{circuit.Part{Kind: circuit.Contactor, Poles: 2, Throws: 2}, "in-1 out-1a out-1b in-2 out-2a out-2b coil+ coil-"},
		{circuit.Part{Kind: circuit.Relay}, "in out coil+ coil-"},
		{circuit.Part{Kind: circuit.TerminalBlock, Ways: 3}, "1 2 3"},
		{circuit.Part{Kind: circuit.Cutout}, "in+ in- out+ out-"},
		{circuit.Part{Kind: circuit.Connector, Poles: 2}, "in-1 out-1 in-2 out-2"},
	} {
		var names []string
		for _, spec := range tt.part.Terminals() {
			names = append(names, spec.Name)
		}
		if got := strings.Join(names, " "); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.part.Kind, got, tt.want)
		}
	}
	for _, k := range circuit.Kinds() {
		p := circuit.Part{Kind: k}
		if len(p.Terminals()) < 2 {
			t.Errorf("%s has fewer than two terminals", k)
		}
	}
}

// A network that nothing decides is refused with the terminal's name.
func TestSolveRefuses(t *testing.T) {
	x := example(t, "05-shunter-stop")
	x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5}, circuit.Part{Name: "lost", Kind: circuit.TerminalBlock})
	x.Circuit.Leads = append(x.Circuit.Leads, simple("lamp:1", "lost:1"), simple("lamp:2", "lost:2"))
	_, err := x.Circuit.Solve(x.Points[0])
	var floats *circuit.FloatingError
	if !errors.As(err, &floats) || floats.Terminal.Part != "lamp" {
		t.Errorf("a lamp joined to nothing: %v", err)
	}

	x = example(t, "05-shunter-stop")
	a, b := simple("battery:+", "battery:-"), simple("battery:+", "battery:-")
	a.Length, b.Length = 0, 0
	x.Circuit.Leads = append(x.Circuit.Leads, a, b)
	_, err = x.Circuit.Solve(x.Points[0])
	var undecided *circuit.UndecidedError
	if !errors.As(err, &undecided) || undecided.From.Part != "battery" {
		t.Errorf("two leads of no resistance side by side: %v", err)
	}

	x = example(t, "05-shunter-stop")
	x.Circuit.Leads[0].To.Name = "nowhere"
	var terminalError *circuit.UnknownTerminalError
	if _, err := x.Circuit.Solve(x.Points[0]); !errors.As(err, &terminalError) || terminalError.Lead != 0 {
		t.Errorf("a lead to a terminal that does not exist: %v", err)
	}

	x = example(t, "05-shunter-stop")
	x.Points[0].Parts["moter"] = circuit.State{}
	var partError *circuit.UnknownPartError
	if _, err := x.Circuit.Solve(x.Points[0]); !errors.As(err, &partError) || partError.Part != "moter" {
		t.Errorf("an operating point of a part that does not exist: %v", err)
	}

	x = example(t, "05-shunter-stop")
	leadFrom(&x.Circuit, "controller:out+").To, leadFrom(&x.Circuit, "controller:out-").To = terminal("motor:-"), terminal("motor:+")
	leadFrom(&x.Circuit, "cutout:out+").To, leadFrom(&x.Circuit, "cutout:out-").To = terminal("controller:in-"), terminal("controller:in+")
	var reversed *circuit.ReversedError
	if _, err := x.Circuit.Solve(x.Points[0]); !errors.As(err, &reversed) || x.Circuit.Parts[reversed.Part].Name != "controller" {
		t.Errorf("a controller the wrong way round: %v", err)
	}

	x = example(t, "19-limited")
	x.Points[0].Parts["controller"] = circuit.State{Duty: 0.9, Limit: 3000}
	if _, err := x.Circuit.Solve(x.Points[0]); err != nil {
		t.Errorf("a limit that is never reached: %v", err)
	}
}

func TestCutOffTerminalsAreAfloat(t *testing.T) {
	x := example(t, "04-shunter-cutout")
	s, err := x.Circuit.Solve(x.Points[1])
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := s.Volts(terminal("cutout:out+")); ok {
		t.Error("behind the open cutout there is a voltage")
	}
	if v, ok := s.Volts(terminal("cutout:in+")); !ok || v != 25.4 {
		t.Errorf("before the open cutout %v V, %v; want the pack's 25.4 V at rest", v, ok)
	}
	if _, ok := s.Volts(circuit.Terminal{Part: "cutout", Name: "none"}); ok {
		t.Error("a terminal that does not exist has a voltage")
	}
	var packs quantity.Amperes
	for _, p := range s.Packs {
		packs += p.Current
	}
	if packs > 1e-12 || packs < -1e-12 {
		t.Errorf("%v A with the cutout open", packs)
	}
}

// What a spec leaves unsaid is told, not taken in silence.
func TestAssumed(t *testing.T) {
	x := example(t, "05-shunter-stop")
	part(&x.Circuit, "battery").Resistance = 0
	part(&x.Circuit, "controller").Efficiency = 0
	x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp})
	x.Circuit.Leads = append(x.Circuit.Leads, simple("cutout:out+", "lamp:1"), simple("lamp:2", "cutout:out-"))
	s, err := x.Circuit.Solve(x.Points[0])
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, a := range s.Assumed {
		got[x.Circuit.Parts[a.Part].Name] += a.Text
	}
	for name, words := range map[string]string{"battery": "resistance is not stated", "controller": "efficiency is not stated", "lamp": "it is left out"} {
		if !strings.Contains(got[name], words) {
			t.Errorf("%s: %q, want %q", name, got[name], words)
		}
	}
	if len(got) != 3 {
		t.Errorf("assumed %v, want three", got)
	}
}

// States that are found by turns, each against Ohm's law.
func TestTurns(t *testing.T) {
	lead := func(from, to string) circuit.Lead {
		return circuit.Lead{From: terminal(from), To: terminal(to), Size: circuit.Metric(120), Length: 0.001} // 0.16 µΩ
	}
	bench := func(volts quantity.Volts, ohms quantity.Ohms) circuit.Circuit {
		return circuit.Circuit{
			Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Volts: volts, Resistance: ohms}, {Name: "socket", Kind: circuit.ChargerSocket}, {Name: "controller", Kind: circuit.Controller}, {Name: "motor", Kind: circuit.Motor, Resistance: 1}},
			Leads: []circuit.Lead{lead("pack:+", "socket:+"), lead("pack:-", "socket:-"), lead("pack:+", "controller:in+"), lead("pack:-", "controller:in-"), lead("controller:out+", "motor:+"), lead("controller:out-", "motor:-")},
		}
	}
	for _, tt := range []struct {
		name           string
		circuit        circuit.Circuit
		parts          map[string]circuit.State
		pack, charger  float64 // A; the pack's is positive on discharge
		motor, limited float64
	}{
		// 29 V over 0.2 Ω would be 25 A: 5 A are held.
		{"charger at its current", bench(24, 0.2), map[string]circuit.State{"socket": {Volts: 29, Current: 5}, "controller": {Off: true}}, -5, 5, 0, 0},
		{"charger at its voltage", bench(28.4, 0.2), map[string]circuit.State{"socket": {Volts: 29, Current: 5}, "controller": {Off: true}}, -3, 3, 0, 0},
		{"a charger takes nothing back", bench(30, 0.2), map[string]circuit.State{"socket": {Volts: 29, Current: 5}, "controller": {Off: true}}, 0, 0, 0, 0},
		// While the motor's current is looked for it is 1 Ω, so the charger is first
		// at its current; with 0.5 A it is at its voltage.
		{"from current to voltage", bench(28.8, 0.2), map[string]circuit.State{"socket": {Volts: 29, Current: 5}, "motor": {Draws: 0.5}}, -1, 1.5, 0.5, 0},
		// Behind 29 V the motor would exceed 24 A; behind what the charger leaves it is
		// below: V = 24 − 0.5·(0.81·V − 2), so V = 25/1.405.
		{"a limit that is let go", bench(24, 0.5), map[string]circuit.State{"socket": {Volts: 29, Current: 2}, "controller": {Duty: 0.9, Limit: 24}}, 0.81*25/1.405 - 2, 2, 0.9 * 25 / 1.405, 0},
		// 10 A into 1 Ω is 100 W, from 24 V behind 0.1 Ω: I = (24 − √(24² − 4·0.1·100))/0.2.
		{"a limit that is held", bench(24, 0.1), map[string]circuit.State{"controller": {Duty: 0.9, Limit: 10}}, (24 - math.Sqrt(24*24-4*0.1*100)) / 0.2, 0, 10, 1},
	} {
		s, err := tt.circuit.Solve(circuit.OperatingPoint{Name: tt.name, Kind: circuit.Charging, Parts: tt.parts})
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		for _, in := range s.Inside {
			want, is := map[string]float64{"cells": tt.pack, "charger": tt.charger, "winding": tt.motor}[in.Way]
			if is && math.Abs(float64(in.Current)-want) > 1e-4 {
				t.Errorf("%s, %s: %v A, want %v", tt.name, in.Way, in.Current, want)
			}
		}
		if len(s.Limited) != int(tt.limited) {
			t.Errorf("%s: controllers %v hold their limit", tt.name, s.Limited)
		}
	}
}

// Shares and drops of the shunter with two packs, from voltages and currents of the
// same solution.
func TestSharesAndDrops(t *testing.T) {
	x := example(t, "06-two-packs")
	s, err := x.Circuit.Solve(x.Points[0])
	if err != nil {
		t.Fatal(err)
	}
	var sum quantity.Fraction
	total := float64(s.Packs[0].Current + s.Packs[1].Current)
	for _, p := range s.Packs {
		sum += p.Share
		if math.Abs(float64(p.Share)-float64(p.Current)/total) > 1e-12 {
			t.Errorf("share %v of %v A in %v A", p.Share, p.Current, total)
		}
	}
	if math.Abs(float64(sum)-1) > 1e-12 {
		t.Errorf("the shares add up to %v", sum)
	}
	volts := func(text string) float64 {
		v, ok := s.Volts(terminal(text))
		if !ok {
			t.Fatalf("%s is afloat", text)
		}
		return float64(v)
	}
	for _, l := range s.Loads {
		var supply, load float64
		switch x.Circuit.Parts[l.Part].Name {
		case "controller":
			supply = max(volts("front:+"), volts("rear:+")) - min(volts("front:-"), volts("rear:-"))
			load = volts("controller:in+") - volts("controller:in-")
		case "motor":
			supply = volts("controller:out+") - volts("controller:out-")
			load = volts("motor:+") - volts("motor:-")
		}
		if math.Abs(float64(l.Drop)-(supply-load)) > 1e-12 || math.Abs(float64(l.Share)-(supply-load)/supply) > 1e-12 || l.Drop <= 0 {
			t.Errorf("%s: drop %v V, share %v, of %v V less %v V", x.Circuit.Parts[l.Part].Name, l.Drop, l.Share, supply, load)
		}
	}
	if len(s.Loads) != 2 {
		t.Errorf("%d loads", len(s.Loads))
	}
}

// A controller behind a controller: V = 0.5·0.8·24 into 2 Ω, by the duties.
func TestControllerBehindController(t *testing.T) {
	c := circuit.Circuit{
		Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Volts: 24}, {Name: "first", Kind: circuit.Controller}, {Name: "second", Kind: circuit.Controller}, {Name: "motor", Kind: circuit.Motor, Resistance: 2}},
	}
	for _, pair := range [][2]string{{"pack:+", "first:in+"}, {"pack:-", "first:in-"}, {"first:out+", "second:in+"}, {"first:out-", "second:in-"}, {"second:out+", "motor:+"}, {"second:out-", "motor:-"}} {
		c.Leads = append(c.Leads, circuit.Lead{From: terminal(pair[0]), To: terminal(pair[1]), Size: circuit.Metric(120), Length: 0.001})
	}
	s, err := c.Solve(circuit.OperatingPoint{Name: "both", Parts: map[string]circuit.State{"first": {Duty: 0.8}, "second": {Duty: 0.5}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(s.Leads[4].Current); math.Abs(got-4.8) > 1e-5 {
		t.Errorf("%v A in the motor, want 4.8", got)
	}
	if got := float64(s.Packs[0].Current); math.Abs(got-4.8*0.4) > 1e-5 {
		t.Errorf("%v A from the pack, want 1.92", got)
	}
}
