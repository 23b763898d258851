package wiring

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// PowerStep is one step of a first power-up: what is done, and what is then measured where.
type PowerStep struct {
	Name  string // by which a reading names it: "behind main fuse"
	Do    string // what is done before it is measured, a sentence
	Plus  circuit.Terminal
	Minus circuit.Terminal // of the black lead of the meter; its red one is at Plus
	Reads Reads
	Stop  string // what not to do where it reads otherwise, a sentence
}

// Reads is what a meter has to show: from Low to High, ends included. A step at which nothing is measured has no unit.
type Reads struct {
	Unit      string  // "V", "Ω"; "": nothing is measured
	Low, High float64 // High is +Inf where there is no most
}

// Where is what the leads of the meter go to, in words.
func (p *PowerStep) Where() string {
	return "red at " + p.Plus.Part + " " + p.Plus.Name + ", black at " + p.Minus.Part + " " + p.Minus.Name
}

// Holds tells whether a reading is inside.
func (r Reads) Holds(x float64) bool { return x >= r.Low && x <= r.High }

const (
	// meterShare and meterVolts are what a meter of no stated accuracy may be off by: 1 % and 0.1 V. Common practice, no source.
	meterShare, meterVolts = 0.01, 0.1
	// coldLamp is the share of its resistance at work that a filament has when it is cold. Common practice, no source.
	coldLamp = 0.1
	// convertersOff is by how much the output of a converter may be off. Common practice, no source.
	convertersOff = 0.05
	// nothingJoined is the resistance from which on nothing is joined. Own choice, no source.
	nothingJoined = 1e5
	// atRest is the resistance of a motor behind a controller that is off, or that is measured by itself: as good as none. Own choice, no source.
	atRest = 1e9
)

// powerMaker makes the steps of one circuit, from its packs on, one state after another.
type powerMaker struct {
	c     *circuit.Circuit
	least func(part int) quantity.Volts // of a pack at rest
	steps []PowerStep
	fuses map[string]bool // that are in
	shut  map[string]bool // contacts that are closed
}

// FirstPower is the order in which a vehicle gets power for the first time, from its own circuit: fuses out and contacts open, each pack
// by itself, what lies between its two sides, then fuse by fuse and contact by contact, what converts and what drives, the stops, and
// the charger last. least is the lowest voltage at rest of a pack that may be joined. What a step has to read is solved from the circuit
// in that state, with packs anywhere between least and full, and the meter's own width. Nil where a pack states no full voltage.
// The order is common practice, no source.
func FirstPower(c *circuit.Circuit, least func(part int) quantity.Volts) []PowerStep {
	m := &powerMaker{c: c, least: least, fuses: map[string]bool{}, shut: map[string]bool{}}
	packs := m.of(circuit.Pack)
	for _, p := range packs {
		if !(p.Full > 0) {
			return nil
		}
	}
	if len(packs) == 0 {
		return nil
	}
	m.steps = append(m.steps, PowerStep{Name: "before", Do: m.before(), Stop: "Nobody else is near, and whoever is there knows where the stop is."})
	for _, p := range packs {
		m.volts("pack "+p.Name, "Measure "+p.Name+" at its own terminals, the red lead of the meter at +.", circuit.Terminal{Part: p.Name, Name: "+"}, circuit.Terminal{Part: p.Name, Name: "-"},
			"With a minus sign its leads are the wrong way round; below the least it is flat or a cell is gone. Do not join it, and do not charge it.")
	}
	m.between(packs[0])
	m.near(packs)
	m.contacts(packs[0])
	m.outputs()
	m.charge(packs[0])
	return m.steps
}

func (m *powerMaker) of(kinds ...circuit.Kind) []*circuit.Part {
	var all []*circuit.Part
	for i := range m.c.Parts {
		if slices.Contains(kinds, m.c.Parts[i].Kind) {
			all = append(all, &m.c.Parts[i])
		}
	}
	return all
}

func (m *powerMaker) names(kinds ...circuit.Kind) string {
	var all []string
	for _, p := range m.of(kinds...) {
		all = append(all, p.Name)
	}
	if n := len(all) - 1; n > 0 {
		return strings.Join(all[:n], ", ") + " and " + all[n]
	}
	return strings.Join(all, "")
}

var closable = []circuit.Kind{circuit.Switch, circuit.Relay, circuit.Contactor, circuit.EmergencyStop, circuit.Cutout, circuit.ReversingSwitch, circuit.HalfSpeedSwitch}

func (m *powerMaker) before() string {
	do := "Lift the wheels off the ground and chock it. The charger is unplugged."
	if fuses := m.names(circuit.Fuse, circuit.Breaker); fuses != "" {
		do += " Draw " + fuses + "."
	}
	if open := m.names(circuit.EmergencyStop, circuit.Switch); open != "" {
		do += " Open " + open + "."
	}
	return do + " Look along every lead: number, colour, end, nothing bare, nothing loose."
}

// solved is the circuit in the present state, with the packs at the given voltage; nil where it has no solution.
func (m *powerMaker) solved(volts func(*circuit.Part, int) quantity.Volts) *circuit.Solution {
	c := *m.c
	c.Parts = slices.Clone(m.c.Parts)
	op := circuit.OperatingPoint{Name: "first power", Parts: map[string]circuit.State{}}
	for i := range c.Parts {
		p := &c.Parts[i]
		switch {
		case p.Kind == circuit.Pack:
			op.Parts[p.Name] = circuit.State{Volts: volts(&m.c.Parts[i], i)}
		case p.Kind == circuit.Fuse || p.Kind == circuit.Breaker:
			if !m.fuses[p.Name] {
				p.Kind, p.Poles, p.Throws = circuit.Switch, 0, 0
				op.Parts[p.Name] = circuit.State{Position: circuit.Opened}
			}
		case slices.Contains(closable, p.Kind):
			if !m.shut[p.Name] {
				op.Parts[p.Name] = circuit.State{Position: circuit.Opened}
			}
		case p.Kind == circuit.Controller:
			op.Parts[p.Name] = circuit.State{Off: true}
		case p.Kind == circuit.Motor:
			p.Resistance = atRest
		}
	}
	s, err := c.Solve(op)
	if err != nil {
		return nil
	}
	return s
}

// across is what lies between two terminals; nothing where an open contact cuts one of them off.
func across(s *circuit.Solution, plus, minus circuit.Terminal) float64 {
	high, okHigh := s.Volts(plus)
	low, okLow := s.Volts(minus)
	if !okHigh || !okLow {
		return 0
	}
	return float64(high - low)
}

// volts adds a step at which a voltage is measured.
func (m *powerMaker) volts(name, do string, plus, minus circuit.Terminal, stop string) {
	low := m.solved(func(p *circuit.Part, i int) quantity.Volts { return min(m.least(i), p.Full) })
	high := m.solved(func(p *circuit.Part, _ int) quantity.Volts { return p.Full })
	if low == nil || high == nil {
		return
	}
	a, b := across(low, plus, minus), across(high, plus, minus)
	a, b = min(a, b), max(a, b)
	width := func(x float64) float64 { return meterShare*math.Abs(x) + meterVolts }
	m.steps = append(m.steps, PowerStep{Name: name, Do: do, Plus: plus, Minus: minus, Stop: stop, Reads: Reads{"V", down(a - width(a)), up(b + width(b))}})
}

// down and up round to a tenth of a volt, away from what is between.
func down(x float64) float64 { return math.Floor(x*10+1e-9) / 10 }
func up(x float64) float64   { return math.Ceil(x*10-1e-9) / 10 }

// between adds the step at which the resistance from positive to negative is measured with the packs parted, every contact closed.
func (m *powerMaker) between(pack *circuit.Part) {
	whole := &powerMaker{c: m.c, least: m.least, fuses: map[string]bool{}, shut: map[string]bool{}}
	for _, p := range m.of(circuit.Fuse, circuit.Breaker) {
		whole.fuses[p.Name] = true
	}
	how := "close every switch and stop"
	again := "; then open them again. A controller's capacitors make it rise slowly from a low value."
	if len(m.of(circuit.Controller)) > 0 {
		for _, p := range m.of(closable...) {
			whole.shut[p.Name] = true
		}
	} else { // with a motor joined its winding would be all that is measured
		how, again = "leave every switch and stop open", "."
	}
	s := whole.solved(func(p *circuit.Part, _ int) quantity.Volts { return p.Full })
	if s == nil {
		return
	}
	amps, volts := 0.0, 0.0
	for _, p := range s.Packs {
		amps, volts = amps+math.Max(0, float64(p.Current)), math.Max(volts, float64(p.Volts))
	}
	ohms := nothingJoined
	if amps > 0 {
		ohms = min(ohms, volts/amps*coldLamp)
	}
	ohms = math.Floor(ohms*10) / 10
	first := m.firstFuse(pack)
	if first == nil {
		return
	}
	m.steps = append(m.steps, PowerStep{Name: "nothing joined", Do: "With all fuses still out, " + how + ". Behind the first fuse, at " + first.Part + " " + first.Name + ", against the packs' negative, first see that there is no voltage; then measure resistance" + again,
		Plus: *first, Minus: circuit.Terminal{Part: pack.Name, Name: "-"}, Reads: Reads{"Ω", ohms, math.Inf(1)},
		Stop: "Below that something joins positive and negative. Find it before any fuse goes in."})
}

// firstFuse is the far side of the first fuse or breaker on the way from a pack's +.
func (m *powerMaker) firstFuse(pack *circuit.Part) *circuit.Terminal {
	from := circuit.Terminal{Part: pack.Name, Name: "+"}
	var found *circuit.Terminal
	for _, f := range m.of(circuit.Fuse, circuit.Breaker) {
		for _, ends := range [2][2]string{{"in", "out"}, {"out", "in"}} {
			near := circuit.Terminal{Part: f.Name, Name: ends[0]}
			if m.c.Joined(from, near, func(p *circuit.Part) bool { return p.Kind != circuit.Fuse && p.Kind != circuit.Breaker }) && (found == nil || m.behind(f) > 0 && m.behind(&m.c.Parts[m.index(found.Part)]) == 0) {
				found = &circuit.Terminal{Part: f.Name, Name: ends[1]}
			}
		}
	}
	return found
}

func (m *powerMaker) index(name string) int {
	return slices.IndexFunc(m.c.Parts, func(p circuit.Part) bool { return p.Name == name })
}

// behind counts the controllers and motors that a fuse alone feeds: the main one comes before that of a lamp.
func (m *powerMaker) behind(fuse *circuit.Part) int {
	n := 0
	for _, k := range m.of(circuit.Controller, circuit.Motor) {
		for _, t := range k.Terminals() {
			for _, end := range []string{"in", "out"} {
				if m.c.Joined(circuit.Terminal{Part: fuse.Name, Name: end}, circuit.Terminal{Part: k.Name, Name: t.Name}, func(p *circuit.Part) bool { return p.Name != fuse.Name }) {
					n++
				}
			}
		}
	}
	return n
}

// near puts the fuses of the packs in, one after the other, with every contact open.
func (m *powerMaker) near(packs []*circuit.Part) {
	for _, f := range m.of(circuit.Fuse, circuit.Breaker) {
		for _, ends := range [2][2]string{{"in", "out"}, {"out", "in"}} {
			for _, p := range packs {
				from := circuit.Terminal{Part: p.Name, Name: "+"}
				unfused := func(q *circuit.Part) bool {
					return q.Kind != circuit.Fuse && q.Kind != circuit.Breaker && !slices.Contains(closable, q.Kind)
				}
				if m.fuses[f.Name] || !m.c.Joined(from, circuit.Terminal{Part: f.Name, Name: ends[0]}, unfused) {
					continue
				}
				far := circuit.Terminal{Part: f.Name, Name: ends[1]}
				m.joins(f, circuit.Terminal{Part: f.Name, Name: ends[0]}, far, p)
				m.fuses[f.Name] = true
				m.volts("behind "+f.Name, "Put "+f.Name+" in, with every switch and stop open.", far, circuit.Terminal{Part: p.Name, Name: "-"},
					"Nothing there: the fuse or an end is bad. A spark or a fuse that opens: draw it, and measure the resistance again.")
			}
		}
	}
}

// joins adds a step before a fuse that joins a pack to another one: the voltage across its empty holder.
func (m *powerMaker) joins(f *circuit.Part, near, far circuit.Terminal, pack *circuit.Part) {
	s := m.solved(func(p *circuit.Part, _ int) quantity.Volts { return p.Full })
	if s == nil || across(s, far, circuit.Terminal{Part: pack.Name, Name: "-"}) < float64(pack.Full)/4 {
		return
	}
	off := up(meterShare*float64(pack.Full) + meterVolts)
	m.steps = append(m.steps, PowerStep{Name: "across " + f.Name, Do: "Before " + f.Name + " goes in, measure across its empty holder: it joins " + pack.Name + " to another pack.", Plus: near, Minus: far,
		Reads: Reads{"V", -off, off}, Stop: "More than that, and one pack charges the other as fast as their resistances let it: charge the lower one first."})
}

// contacts closes them one after the other, from the packs on, and puts in the fuses behind them.
func (m *powerMaker) contacts(pack *circuit.Part) {
	from, minus := circuit.Terminal{Part: pack.Name, Name: "+"}, circuit.Terminal{Part: pack.Name, Name: "-"}
	rest := m.of(append(slices.Clone(closable), circuit.Fuse, circuit.Breaker)...)
	for len(rest) > 0 {
		reached := func(q *circuit.Part) bool { return m.shut[q.Name] || m.fuses[q.Name] || !slices.Contains(rest, q) }
		at := slices.IndexFunc(rest, func(p *circuit.Part) bool {
			in, out := sides(p)
			past := func(q *circuit.Part) bool { return q != p && reached(q) }
			return !m.fuses[p.Name] && (m.c.Joined(from, circuit.Terminal{Part: p.Name, Name: in}, past) || m.c.Joined(from, circuit.Terminal{Part: p.Name, Name: out}, past))
		})
		if at < 0 { // fed from elsewhere, such as behind a controller
			at = slices.IndexFunc(rest, func(p *circuit.Part) bool { return !m.fuses[p.Name] })
			if at < 0 {
				return
			}
		}
		p := rest[at]
		rest = slices.DeleteFunc(rest, func(q *circuit.Part) bool { return q == p || m.fuses[q.Name] })
		in, out := sides(p)
		if m.c.Joined(from, circuit.Terminal{Part: p.Name, Name: out}, func(q *circuit.Part) bool { return q != p && reached(q) }) {
			out = in // it is wired from the other side
		}
		there := circuit.Terminal{Part: p.Name, Name: out}
		around := "More than that, and something goes round it: draw the fuse."
		if s := m.solved(func(q *circuit.Part, _ int) quantity.Volts { return q.Full }); s != nil && across(s, there, minus) > 1 {
			around = "Less than that, and what fills the capacitors does not: do not close it."
		}
		switch {
		case p.Kind == circuit.Fuse || p.Kind == circuit.Breaker:
			m.fuses[p.Name] = true
			m.volts("behind "+p.Name, "Put "+p.Name+" in.", there, minus, "Draw it again: what hangs behind it is looked at first.")
		case p.Kind == circuit.Relay || p.Kind == circuit.Contactor:
			m.volts("open "+p.Name, "Before "+p.Name+" pulls in, wait for what fills the capacitors, and measure behind it.", there, minus, "Without what it should read, do not let it pull in.")
			m.shut[p.Name] = true
			m.volts("closed "+p.Name, "Let "+p.Name+" pull in.", there, minus, "Open the stop.")
		default:
			m.volts("open "+p.Name, "With "+p.Name+" still open, measure behind it.", there, minus, around)
			m.shut[p.Name] = true
			m.volts("closed "+p.Name, "Close "+p.Name+".", there, minus, "A spark, a smell or a sound that you do not expect: open it, and draw the fuse.")
		}
	}
}

// sides are the terminals of a contact or fuse that the packs and what they feed are on.
func sides(p *circuit.Part) (in, out string) {
	switch p.Kind {
	case circuit.Cutout, circuit.ReversingSwitch:
		return "in+", "out+"
	case circuit.HalfSpeedSwitch:
		return "a+", "+"
	}
	terminals := p.Terminals()
	return terminals[0].Name, terminals[1].Name
}

// outputs looks at what converts and what drives, and tries the stops.
func (m *powerMaker) outputs() {
	for _, p := range m.of(circuit.Converter) {
		if p.Nominal > 0 {
			off := convertersOff * float64(p.Nominal)
			m.steps = append(m.steps, PowerStep{Name: "output " + p.Name, Do: "Measure the output of " + p.Name + " before anything is joined to it.", Plus: circuit.Terminal{Part: p.Name, Name: "out+"}, Minus: circuit.Terminal{Part: p.Name, Name: "out-"},
				Reads: Reads{"V", down(float64(p.Nominal) - off - meterVolts), up(float64(p.Nominal) + off + meterVolts)}, Stop: "Draw its fuse: what hangs on it would be burnt."})
		}
	}
	controllers := m.of(circuit.Controller)
	for _, p := range controllers {
		m.steps = append(m.steps, PowerStep{Name: "rest " + p.Name, Do: "With the throttle let go, measure the output of " + p.Name + ".", Plus: circuit.Terminal{Part: p.Name, Name: "out+"}, Minus: circuit.Terminal{Part: p.Name, Name: "out-"},
			Reads: Reads{"V", -0.5, 0.5}, Stop: "Open the stop: it would move off by itself."})
	}
	if len(m.of(circuit.Motor)) > 0 {
		start := "Open the throttle a little"
		if len(controllers) == 0 {
			start = "Let the motor turn for a moment"
		}
		m.steps = append(m.steps, PowerStep{Name: "turning", Do: start + ", the wheels still off the ground: they turn the way they should, and stand still again when you let go. Then open each stop while they turn.",
			Stop: "If they turn the wrong way, change the two leads of the motor over, with the fuse drawn. If a stop does not stop them, draw the fuse, and do not ride."})
	}
	for _, p := range m.of(circuit.EmergencyStop) {
		if len(controllers) == 0 {
			break
		}
		m.shut[p.Name] = false
		k := controllers[0]
		m.volts("stopped "+p.Name, "Open "+p.Name+", and wait until the capacitors have run down.", circuit.Terminal{Part: k.Name, Name: "in+"}, circuit.Terminal{Part: k.Name, Name: "in-"},
			"What is fed with the stop open goes on when it is wanted least. Draw the fuse, and find the way round it.")
		m.shut[p.Name] = true
	}
}

// charge is the last step: the charger.
func (m *powerMaker) charge(pack *circuit.Part) {
	for _, p := range m.of(circuit.ChargerSocket, circuit.Charger) {
		plus, minus := circuit.Terminal{Part: p.Name, Name: "+"}, circuit.Terminal{Part: p.Name, Name: "-"}
		m.volts("unplugged "+p.Name, "With nothing plugged in, measure at "+p.Name+".", plus, minus, "With a minus sign its leads are the wrong way round: do not plug the charger in.")
		high := float64(pack.Full)
		m.steps = append(m.steps, PowerStep{Name: "charging " + p.Name, Do: "Plug the charger in, and measure at " + pack.Name + " after a minute and again when it ends. Stay with it.", Plus: circuit.Terminal{Part: pack.Name, Name: "+"}, Minus: circuit.Terminal{Part: pack.Name, Name: "-"},
			Reads: Reads{"V", down(float64(m.least(m.index(pack.Name))) * (1 - meterShare)), up(high*(1+meterShare) + meterVolts)}, Stop: "Above that, pull the charger out of the mains: it is for other cells, or for more of them."})
	}
}

// Said is what it has to read, in words.
func (r Reads) Said() string {
	switch {
	case r.Unit == "":
		return ""
	case math.IsInf(r.High, 1) && r.Low >= nothingJoined:
		return "nothing: more than 100 kΩ"
	case math.IsInf(r.High, 1):
		return fmt.Sprintf("%.3g %s or more", r.Low, r.Unit)
	case r.Low <= 0 && r.High <= 0.5:
		return fmt.Sprintf("next to nothing: less than %.1f %s", math.Max(-r.Low, r.High), r.Unit)
	}
	return fmt.Sprintf("%.1f to %.1f %s", r.Low, r.High, r.Unit)
}
