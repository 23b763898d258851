package circuit_test

import (
	"slices"
	"strings"
	"testing"

	"voltwright/internal/circuit"
)

// What stays live in the whole shunter.
func TestLive(t *testing.T) {
	x := example(t, "20-whole-shunter")
	c := &x.Circuit
	at := func(name string) int {
		return slices.IndexFunc(c.Parts, func(p circuit.Part) bool { return p.Name == name })
	}
	l, err := c.Live(at("cutout"))
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Fed) != 0 || l.Bypass != nil || len(l.FedBehind) != 0 {
		t.Errorf("with the cutout open: fed %v, bypass %v, packs behind %v", l.Fed, l.Bypass, l.FedBehind)
	}
	for _, want := range []string{"front:+", "stop:out", "cutout:in+", "socket:+", "charge-fuse:in"} {
		if !slices.Contains(l.Terminals, terminal(want)) {
			t.Errorf("with the cutout open %s is not live", want)
		}
	}
	for _, dead := range []string{"cutout:out+", "controller:in+", "lamp-fuse:in", "front:-", "horn:1"} {
		if slices.Contains(l.Terminals, terminal(dead)) {
			t.Errorf("with the cutout open %s is live", dead)
		}
	}
	if l, err = c.Live(at("stop")); err != nil || slices.Contains(l.Terminals, terminal("stop:out")) {
		t.Errorf("with the stop open stop:out is live (%v)", err)
	}
	// A lamp that takes its supply before the cutout keeps drawing, and only it.
	leadFrom(c, "on:3").From = terminal("plus:5")
	if l, err = c.Live(at("cutout")); err != nil {
		t.Fatal(err)
	}
	var fed []string
	for _, i := range l.Fed {
		fed = append(fed, c.Parts[i].Name)
	}
	if got := strings.Join(fed, " "); got != "head tail horn" {
		t.Errorf("fed past the cutout: %q, want head tail horn", got)
	}
}

// Two contactors that reverse a motor short the pack if both close; a changeover
// cannot. The first such state is told.
func TestReversingWithTwoContactors(t *testing.T) {
	c := circuit.Circuit{Parts: []circuit.Part{
		{Name: "pack", Kind: circuit.Pack, Volts: 25, Resistance: 0.05},
		{Name: "ahead", Kind: circuit.Contactor, Poles: 2, Resistance: 0.001, Takes: 3},
		{Name: "back", Kind: circuit.Contactor, Poles: 2, Resistance: 0.001, Takes: 3},
		{Name: "motor", Kind: circuit.Motor, Resistance: 0.2},
	}}
	for _, pair := range [][2]string{{"pack:+", "ahead:in-1"}, {"pack:-", "ahead:in-2"}, {"ahead:in-1", "back:in-1"}, {"ahead:in-2", "back:in-2"},
		{"ahead:out-1", "motor:+"}, {"ahead:out-2", "motor:-"}, {"back:out-1", "motor:-"}, {"back:out-2", "motor:+"}} {
		c.Leads = append(c.Leads, simple(pair[0], pair[1]))
	}
	shorts, err := c.Shorts()
	if err != nil || len(shorts) != 1 || shorts[0].Pack != 0 || len(shorts[0].Path) == 0 || len(shorts[0].With) != 0 {
		t.Fatalf("%+v, %v: want the pack shorted with both contactors closed", shorts, err)
	}
	through := map[int]bool{}
	for _, step := range shorts[0].Path {
		through[step.Part] = true
	}
	if !through[1] || !through[2] {
		t.Errorf("the path %v does not go through both contactors", shorts[0].Path)
	}
	for _, name := range []string{"08-reversing", "20-whole-shunter", "12-key-and-contactor", "14-charging", "15-diode-or"} {
		x := example(t, name)
		if shorts, err := x.Circuit.Shorts(); err != nil || len(shorts) != 0 {
			t.Errorf("%s: %+v, %v", name, shorts, err)
		}
	}
}

// Too many contacts are not guessed at.
func TestTooManyStates(t *testing.T) {
	x := example(t, "05-shunter-stop")
	for k := range 13 {
		name := string(rune('a' + k))
		x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: name, Kind: circuit.Switch, Resistance: 0.01})
	}
	if _, err := x.Circuit.Shorts(); err == nil {
		t.Error("2^15 combinations were tried")
	}
	x.Points = nil
	for _, v := range judge(t, x) {
		if v.Rule == circuit.ShortCircuit && v.CannotJudge == "" {
			t.Error("the verdict on shorts does not say that it cannot judge")
		}
	}
}

// A stop in the return, between the packs and the controller, has the motor's
// return on its far side as well, yet it interrupts the controller's current.
func TestStopInTheReturn(t *testing.T) {
	x := example(t, "05-shunter-stop")
	c := &x.Circuit
	leadFrom(c, "fuse:out").To = terminal("cutout:in+")
	leadFrom(c, "stop:out").To = terminal("cutout:in-")
	leadFrom(c, "battery:-").To = terminal("stop:in")
	part(c, "stop").Inductive = 0
	for _, v := range judge(t, x) {
		if v.Rule == circuit.ContactDirect && about(c, v) == "stop" && (!v.OK || v.Limit.Value != 60) {
			t.Errorf("OK %v, limit %v A, %s %s; want the 60 A of no motor", v.OK, v.Limit.Value, v.Detail, v.CannotJudge)
		}
	}
}

// An open stop may leave lamps lit, and says so.
func TestLampsPastTheStop(t *testing.T) {
	x := example(t, "05-shunter-stop")
	x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5})
	x.Circuit.Leads = append(x.Circuit.Leads, simple("fuse:out", "lamp:1"), simple("lamp:2", "battery:-"))
	for _, v := range judge(t, x) {
		if v.Rule == circuit.LiveWhenOpen && about(&x.Circuit, v) == "stop" && (!v.OK || !strings.Contains(v.Detail, "lamp")) {
			t.Errorf("OK %v, %q", v.OK, v.Detail)
		}
	}
}
