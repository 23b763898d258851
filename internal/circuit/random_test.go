package circuit_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// randomCircuit is packs, resistors, motors, diodes, switches and controllers
// between terminal blocks, joined so that nothing floats.
func randomCircuit(r *rand.Rand) (circuit.Circuit, circuit.OperatingPoint) {
	c := circuit.Circuit{}
	op := circuit.OperatingPoint{Name: "random", Kind: circuit.Cruise, Parts: map[string]circuit.State{}}
	blocks := 2 + r.IntN(6)
	way := make([]int, blocks)
	for b := range blocks {
		c.Parts = append(c.Parts, circuit.Part{Name: fmt.Sprint("b", b), Kind: circuit.TerminalBlock, Ways: 60})
	}
	gauges := []circuit.Size{circuit.Gauge(16), circuit.Gauge(10), circuit.Metric(1.5), circuit.Metric(4), circuit.Metric(16)}
	wire := func(part, terminal string, block int) {
		way[block]++
		l := circuit.Lead{From: circuit.Terminal{Part: part, Name: terminal}, To: circuit.Terminal{Part: fmt.Sprint("b", block), Name: fmt.Sprint(way[block])},
			Size: gauges[r.IntN(len(gauges))], Length: quantity.Metres(0.02 + 2*r.Float64()), Ambient: quantity.Celsius(5 + 50*r.Float64())}
		if r.IntN(2) == 0 {
			l.From, l.To = l.To, l.From
		}
		c.Leads = append(c.Leads, l)
	}
	pair := func(n int) (int, int) {
		if n < blocks { // the first go from block to block, so that all hang together
			return n - 1, n
		}
		a := r.IntN(blocks)
		return a, (a + 1 + r.IntN(blocks-1)) % blocks
	}
	add := func(p circuit.Part, n int, terminals ...string) {
		c.Parts = append(c.Parts, p)
		a, b := pair(n)
		for i, terminal := range terminals {
			wire(p.Name, terminal, []int{a, b, a, b}[i])
		}
	}
	count := blocks + r.IntN(8)
	for n := 1; n <= count; n++ {
		name := fmt.Sprint("p", n)
		switch kind := r.IntN(8); {
		case n > 1 && kind == 7 && n >= blocks && c.Parts[blocks].Kind == circuit.Pack: // across the first pack, the right way round
			name, motor := name, "m"+name
			c.Parts = append(c.Parts, circuit.Part{Name: name, Kind: circuit.Controller, Resistance: 0.01, Efficiency: quantity.Fraction(0.8 + 0.2*r.Float64())},
				circuit.Part{Name: motor, Kind: circuit.Motor, Resistance: quantity.Ohms(0.1 + r.Float64())})
			wire(name, "in+", 0)
			wire(name, "in-", 1)
			for _, side := range []string{"+", "-"} {
				c.Leads = append(c.Leads, circuit.Lead{From: circuit.Terminal{Part: name, Name: "out" + side}, To: circuit.Terminal{Part: motor, Name: side}, Size: circuit.Metric(4), Length: 0.5})
			}
			op.Parts[name] = circuit.State{Duty: quantity.Fraction(0.05 + 0.95*r.Float64())}
			op.Parts[motor] = circuit.State{BackEMF: quantity.Volts(10 * r.Float64())}
		case n == 1 || kind == 0:
			add(circuit.Part{Name: name, Kind: circuit.Pack, Volts: quantity.Volts(6 + 40*r.Float64()), Resistance: quantity.Ohms(0.005 + 0.2*r.Float64())}, n, "+", "-")
		case kind <= 2 || n < blocks: // a spine that conducts
			add(circuit.Part{Name: name, Kind: circuit.Resistor, Resistance: quantity.Ohms(math.Pow(10, -2+5*r.Float64()))}, n, "1", "2")
		case kind == 3:
			add(circuit.Part{Name: name, Kind: circuit.Motor, Resistance: quantity.Ohms(0.05 + r.Float64())}, n, "+", "-")
			op.Parts[name] = circuit.State{BackEMF: quantity.Volts(-10 + 30*r.Float64())}
		case kind == 4:
			add(circuit.Part{Name: name, Kind: circuit.Diode, Volts: quantity.Volts(0.3 + r.Float64()), Resistance: quantity.Ohms(0.005 + 0.05*r.Float64())}, n, "anode", "cathode")
		case kind == 5:
			add(circuit.Part{Name: name, Kind: circuit.Switch, Resistance: quantity.Ohms(0.001 + 0.01*r.Float64())}, n, "in", "out")
			op.Parts[name] = circuit.State{Position: circuit.Position(r.IntN(2))}
		default:
			add(circuit.Part{Name: name, Kind: circuit.Fuse, Resistance: quantity.Ohms(0.001 + 0.01*r.Float64())}, n, "in", "out")
		}
	}
	return c, op
}

// Kirchhoff's laws on ten thousand random networks, from results alone: at every
// node the currents add up to nothing; the drop of every lead is the difference
// of its ends' voltages and I·R; power in is power out. Tolerance 1e-9 of the
// greatest current, voltage or power of the network.
func TestKirchhoff(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1847)) // a fixed seed: the same networks each time
	solved, refused, worstCurrent, worstDrop, worstPower := 0, 0, 0.0, 0.0, 0.0
	networks := 10000
	if testing.Short() {
		networks = 500
	}
	for k := 0; solved < networks; k++ {
		c, op := randomCircuit(r)
		s, err := c.Solve(op)
		if reversed := (*circuit.ReversedError)(nil); errors.As(err, &reversed) {
			refused++
			continue
		}
		if err != nil {
			t.Fatalf("network %d: %v", k, err)
		}
		solved++
		node := func(at circuit.Terminal) string {
			if at.Part[0] == 'b' {
				return at.Part
			}
			return at.String()
		}
		sum := map[string]float64{}
		most, volts := 0.0, 1.0
		flow := func(from, to circuit.Terminal, amps quantity.Amperes) {
			sum[node(from)] -= float64(amps)
			sum[node(to)] += float64(amps)
			most = max(most, math.Abs(float64(amps)))
		}
		for i, l := range c.Leads {
			flow(l.From, l.To, s.Leads[i].Current)
		}
		for _, in := range s.Inside {
			flow(in.From, in.To, in.Current)
			if math.IsNaN(float64(in.Current)) || math.IsNaN(float64(in.Drop)) || math.IsNaN(float64(in.Heat)) {
				t.Fatalf("network %d: %+v", k, in)
			}
			if in.Heat < -1e-9 {
				t.Fatalf("network %d: a part that cools: %+v", k, in)
			}
		}
		for at, amps := range sum {
			if off := math.Abs(amps) / max(most, 1e-3); off > 1e-9 {
				t.Fatalf("network %d: %v A are left over at %s", k, amps, at)
			} else {
				worstCurrent = max(worstCurrent, off)
			}
		}
		for i, l := range c.Leads {
			a, okA := s.Volts(l.From)
			b, okB := s.Volts(l.To)
			if okA != okB {
				t.Fatalf("network %d: lead %d floats at one end", k, i)
			}
			if !okA {
				continue
			}
			volts = max(volts, math.Abs(float64(a)))
			perMetre, err := circuit.OhmsPerMetre(l.Size, circuit.Flexible, false)
			if err != nil {
				t.Fatal(err)
			}
			ohms := float64(perMetre.PerMetre) * float64(l.Length)
			if l.Ambient != 0 {
				ohms *= (234.5 + float64(l.Ambient)) / 254.5
			}
			off := max(math.Abs(float64(a-b-s.Leads[i].Drop)), math.Abs(ohms*float64(s.Leads[i].Current)-float64(a-b))) / volts
			if off > 1e-9 {
				t.Fatalf("network %d: lead %d: %v V against %v A in %v Ω", k, i, a-b, s.Leads[i].Current, ohms)
			}
			worstDrop = max(worstDrop, off)
		}
		tellegen, power := 0.0, 1.0 // over all branches, leads and parts, Σ U·I is nothing
		for _, l := range s.Leads {
			tellegen += float64(l.Drop) * float64(l.Current)
		}
		for _, in := range s.Inside {
			tellegen += float64(in.Drop) * float64(in.Current)
			power = max(power, math.Abs(float64(in.Drop)*float64(in.Current)))
		}
		if math.Abs(tellegen) > 1e-9*power {
			t.Fatalf("network %d: Σ U·I = %v W", k, tellegen)
		}
		off := math.Abs(float64(s.Supplied-s.Taken)) / max(1, float64(s.Supplied))
		if off > 1e-9 {
			t.Fatalf("network %d: %v W in, %v W out", k, s.Supplied, s.Taken)
		}
		worstPower = max(worstPower, off)
	}
	if refused > solved/20 {
		t.Errorf("%d networks refused because a controller was fed the wrong way round", refused)
	}
	t.Logf("%d networks, %d refused; worst: node %.1e, lead %.1e, power %.1e", solved, refused, worstCurrent, worstDrop, worstPower)
}

// What bytes make of a circuit is solved, or refused with a reason: never NaN.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
	f.Add([]byte{0, 0, 0, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() int {
			if len(data) == 0 {
				return 0
			}
			b := data[0]
			data = data[1:]
			return int(b)
		}
		kinds := circuit.Kinds()
		var c circuit.Circuit
		op := circuit.OperatingPoint{Name: "fuzz", Parts: map[string]circuit.State{}}
		var all []circuit.Terminal
		for n := range 2 + next()%6 {
			p := circuit.Part{Name: fmt.Sprint(n), Kind: kinds[next()%len(kinds)], Volts: quantity.Volts(next() % 30), Resistance: quantity.Ohms(next()%4) / 10,
				Poles: next() % 3, Throws: next() % 3, Coil: quantity.Ohms(next() % 3), CommonPositive: next()%2 == 1,
				Nominal: quantity.Volts(next() % 20), Cells: next() % 4, Reference: quantity.Volts(next() % 2), Pull: quantity.Ohms(next()%2) * 1000, Clamps: quantity.Volts(next()%3) * 10, BothWays: next()%2 == 1,
				Idle: quantity.Amperes(next()%2) / 100, Isolated: next()%2 == 1, Window: circuit.VoltRange{From: quantity.Volts(next() % 20)}}
			op.Parts[p.Name] = circuit.State{Position: circuit.Position(next() % 3), Duty: quantity.Fraction(next()%5)/4 - 0.25, Limit: quantity.Amperes(next() % 40), Draws: quantity.Amperes(next() % 3), Off: next()%5 == 1,
				Current: quantity.Amperes(next() % 3), Volts: quantity.Volts(next() % 40)}
			for _, spec := range p.Terminals() {
				all = append(all, circuit.Terminal{Part: p.Name, Name: spec.Name})
			}
			c.Parts = append(c.Parts, p)
		}
		for range next() % 16 {
			c.Leads = append(c.Leads, circuit.Lead{From: all[next()%len(all)], To: all[next()%len(all)], Size: circuit.Metric(quantity.SquareMillimetres(next() % 5)), Length: quantity.Metres(next()%3) / 2, Insulation: quantity.Celsius(next() % 120)})
		}
		c.Check()
		s, err := c.Solve(op)
		if err != nil {
			var floats *circuit.FloatingError
			var undecided *circuit.UndecidedError
			var unsettled *circuit.UnsettledError
			var reversed *circuit.ReversedError
			if !errors.As(err, &floats) && !errors.As(err, &undecided) && !errors.As(err, &unsettled) && !errors.As(err, &reversed) {
				t.Fatalf("an error of no stated type: %v", err)
			}
			c.Judge(nil)
			return
		}
		for i, l := range s.Leads {
			if math.IsNaN(float64(l.Current)) || math.IsInf(float64(l.Current), 0) {
				t.Errorf("lead %d: %v A", i, l.Current)
			}
		}
		c.Judge([]*circuit.Solution{s})
		c.CutList(0.1)
	})
}
