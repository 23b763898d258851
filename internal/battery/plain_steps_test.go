package battery

import (
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/quantity"
)

// plainCell is a cell stepped on by small plain steps from the facts of its chemistry: the equations in the comment of Cell, written out
// again and solved by Euler's method. Nothing is taken from what is under test but the curve, which is held to scipy elsewhere.
type plainCell struct {
	c                        *Chemistry
	ah                       float64 // of one cell
	z, d, v1, v2, t          float64
	capacity, k, rated, back float64
}

func plainOf(c *Chemistry, ah, charge, t float64) *plainCell {
	p := &plainCell{c: c, ah: ah, z: charge, t: t, capacity: ah, back: c.Facts["charge-return"].Value}
	if table := c.CapacityTemperature; table != nil { // straight between the points, level beyond
		part := table.Points[0][1]
		for i := 1; i < len(table.Points); i++ {
			a, b := table.Points[i-1], table.Points[i]
			if t >= a[0] {
				part = a[1] + (b[1]-a[1])*min(1, (t-a[0])/(b[0]-a[0]))
			}
		}
		p.capacity *= part
	}
	if f, ok := c.Facts["peukert"]; ok {
		p.k, p.rated = f.Value, ah/c.Facts["rated-hours"].Value
	}
	return p
}

func (p *plainCell) fact(name string) float64 { return p.c.Facts[name].Value }

func (p *plainCell) warm(name string) float64 {
	return math.Exp(p.fact(name) / 8.31446261815324 * (1/(p.t+273.15) - 1/298.15))
}

func (p *plainCell) ocv(z float64) float64 {
	v, _ := p.c.Curve().At(z)
	return float64(v)
}

func (p *plainCell) emf() float64  { return p.ocv(p.z-p.d) - p.v1 - p.v2 }
func (p *plainCell) ohms() float64 { return p.fact("ohmic") / p.ah * p.warm("activation-ohmic") }

func (p *plainCell) step(amps, h, ambient float64) {
	r0 := p.fact("ohmic") / p.ah
	branch, slow := p.warm("activation-branch"), p.warm("activation-lag")
	r1, r2 := r0*p.fact("branch-share")*branch, r0*p.fact("slow-share")*slow
	rate := amps / 3600 / p.capacity
	if amps < 0 {
		rate /= p.back
	}
	if p.k > 1 && amps > p.rated {
		rate *= math.Pow(amps/p.rated, p.k-1)
	}
	lag := p.fact("lag-time") * slow
	heat := amps*amps*p.ohms() + p.v1*p.v1/r1 + p.v2*p.v2/r2 + amps*(p.ocv(p.z)-p.ocv(p.z-p.d)) - amps*(p.t+273.15)*p.fact("entropic")
	c := p.fact("heat-capacity") * p.ah
	dz, dd := -rate, (lag*rate-p.d)/(lag*15/20.1907)
	d1, d2 := (r1*amps-p.v1)/(p.fact("branch-time")*branch), (r2*amps-p.v2)/(p.fact("slow-time")*slow)
	dt := (heat - c/p.fact("cooling-time")*(p.t-ambient)) / c
	p.z, p.d, p.v1, p.v2, p.t = p.z+h*dz, p.d+h*dd, p.v1+h*d1, p.v2+h*d2, p.t+h*dt
}

// plainPackOf is a typical pack and its plain cell.
func plainPackOf(t *testing.T, name string, ah float64, series, parallel int, charge, celsius, leads float64) (Pack, *plainCell) {
	t.Helper()
	pack := typicalPack(t, name, ah, series)
	pack.Parallel, pack.Charge, pack.Temperature, pack.Leads = parallel, charge, quantity.Celsius(celsius), quantity.Ohms(leads)
	return pack, plainOf(chemistry(t, name), ah, charge, celsius)
}

// TestAgainstPlainSteps runs packs of every chemistry down under loads of every sort, from any charge and at any temperature, and holds the times of
// the levels, the charge and energy by then, the warmth and what is left to small plain steps of the documented equations.
func TestAgainstPlainSteps(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 8))
	names := []string{"nmc", "nca", "lfp", "lto", "nimh", "sodium-ion", "lead-acid-agm", "lead-acid-flooded", "lead-acid-gel"}
	held := 0
	for n := range 72 {
		name := names[n%len(names)]
		c := chemistry(t, name)
		ah, series, parallel := 1+15*random.Float64(), 1+random.IntN(8), 1+random.IntN(3)
		charge, celsius, ambient := 0.7+0.3*random.Float64(), -8+45*random.Float64(), -8+45*random.Float64()
		leads := 0.1 * float64(series) / ah * 0.1 * random.Float64()
		pack, plain := plainPackOf(t, name, ah, series, parallel, charge, celsius, leads)
		amps := ah * float64(parallel) * (0.15 + 0.6*random.Float64())
		volts := float64(c.Nominal()) * float64(series)
		load := []Load{Drawing(quantity.Amperes(amps)), Delivering(quantity.Watts(amps * volts)), Across(quantity.Ohms(volts / amps))}[random.IntN(3)]
		o, err := RunTimes([]Pack{pack}, Steady(load), nil, quantity.Celsius(ambient))
		if err != nil {
			t.Fatalf("%s, %v: %v", name, load, err)
		}
		const h = 0.5
		var out, joules, at float64
		warmest := celsius
		for i := 0; at < 40000; {
			emf, ohms := float64(series)*plain.emf(), float64(series)/float64(parallel)*plain.ohms()+leads
			var now float64
			switch load.kind {
			case currentLoad:
				now = load.value
			case powerLoad:
				now = (emf - math.Sqrt(max(0, emf*emf-4*ohms*load.value))) / 2 / ohms
			default:
				now = emf / (ohms + load.value)
			}
			v := emf - now*ohms
			for ; i < len(o.Levels) && v <= float64(o.Levels[i].Volts); i++ {
				l := o.Levels[i]
				if at < 60 { // a pack that hardly runs says nothing
					continue
				}
				held++
				left := plain.z * plain.capacity * float64(parallel)
				for what, x := range map[string][2]float64{"s": {float64(l.At), at}, "Ah out": {float64(l.Charge), out / 3600}, "Wh": {float64(l.Energy), joules / 3600}} {
					if math.Abs(x[0]/x[1]-1) > 0.004 {
						t.Errorf("%d: %s of %.3g Ah, %d in series, %v from %.2f at %.0f °C, to %s: %.6g %s, by plain steps %.6g", n, name, ah, series, load, charge, celsius, l.Name, x[0], what, x[1])
					}
				}
				if math.Abs(float64(l.Left)-max(0, left)) > 0.002*ah*float64(parallel) {
					t.Errorf("%d: %s to %s: %.5g Ah are left, by plain steps %.5g Ah", n, name, l.Name, float64(l.Left), left)
				}
				if i == len(o.Levels)-1 && math.Abs(float64(o.Packs[0].Warmest)-warmest) > 0.1 {
					t.Errorf("%d: %s: %.4g °C at the warmest, by plain steps %.4g °C", n, name, float64(o.Packs[0].Warmest), warmest)
				}
			}
			if i >= len(o.Levels) {
				break
			}
			out, joules, at = out+now*h, joules+now*v*h, at+h
			plain.step(now/float64(parallel), h, ambient)
			warmest = max(warmest, plain.t)
		}
	}
	if held < 120 {
		t.Errorf("only %d levels were held", held)
	}
}

// TestUnlikePacksAgainstPlainSteps: two packs of unlike chemistry, size, charge and warmth side by side share a load by Millman's theorem at every moment.
func TestUnlikePacksAgainstPlainSteps(t *testing.T) {
	for _, x := range []struct {
		names   [2]string
		ah      [2]float64
		charge  [2]float64
		celsius [2]float64
	}{
		{[2]string{"nmc", "nca"}, [2]float64{5, 3}, [2]float64{0.9, 0.95}, [2]float64{20, 25}}, {[2]string{"lfp", "lfp"}, [2]float64{10, 4}, [2]float64{0.8, 0.3}, [2]float64{5, 5}}, {[2]string{"lead-acid-agm", "lead-acid-flooded"}, [2]float64{17, 20}, [2]float64{0.9, 0.7}, [2]float64{15, 15}},
	} {
		var packs []Pack
		var cells []*plainCell
		for i, name := range x.names {
			p, c := plainPackOf(t, name, x.ah[i], 4, 1, x.charge[i], x.celsius[i], 0.002)
			packs, cells = append(packs, p), append(cells, c)
		}
		const amps, seconds, h = 3, 1800, 0.05
		o, err := Simulate(Scenario{Packs: packs, Demand: Steady(Drawing(amps)), Ambient: 10, Until: seconds})
		if err != nil {
			t.Fatal(err)
		}
		var out [2]float64
		var v float64
		for range int(seconds / h) {
			er, g := 0.0, 0.0
			for _, c := range cells {
				r := 4*c.ohms() + 0.002
				er, g = er+4*c.emf()/r, g+1/r
			}
			v = (er - amps) / g
			for i, c := range cells {
				share := (4*c.emf() - v) / (4*c.ohms() + 0.002)
				out[i] += share * h / 3600
				c.step(share, h, 10)
			}
		}
		close1(t, "volts", float64(o.Volts), v, 1e-3)
		for i, p := range o.Packs {
			if math.Abs(float64(p.Out)-out[i]) > 0.009 { // a curve that is tabled anew between its points is off by some tenths of a millivolt
				t.Errorf("%v: the pack of %g Ah gives %.5g Ah, by plain steps %.5g Ah", x.names, x.ah[i], float64(p.Out), out[i])
			}
			if math.Abs(p.Charge-cells[i].z) > 0.002 || math.Abs(float64(p.Temperature)-cells[i].t) > 0.05 {
				t.Errorf("%v: the pack of %g Ah is at %.4f and %.4g °C, by plain steps at %.4f and %.4g °C", x.names, x.ah[i], p.Charge, float64(p.Temperature), cells[i].z, cells[i].t)
			}
		}
	}
}

// TestChargesAgainstPlainSteps: current, then voltage, until the current has fallen to a twentieth of the capacity.
func TestChargesAgainstPlainSteps(t *testing.T) {
	for _, x := range []struct {
		name          string
		ah, from, cap float64
		celsius       float64
	}{{"nmc", 5, 0.2, 0.4, 20}, {"lfp", 12, 0.05, 0.6, 25}, {"nca", 3, 0.5, 0.3, 30}, {"sodium-ion", 1.5, 0.3, 0.45, 20}, {"nmc", 8, 0.7, 0.18, 12}} {
		pack, c := plainPackOf(t, x.name, x.ah, 5, 1, x.from, x.celsius, 0.001)
		amps := x.ah * x.cap
		got, err := Charge(pack, Charger{Current: quantity.Amperes(amps)}, quantity.Celsius(x.celsius))
		if err != nil {
			t.Fatal(err)
		}
		full := 5 * c.fact("full-voltage")
		const h = 0.1
		var held, tapered, in, joules float64
		warmest := x.celsius
		now := amps
		for held+tapered < 60000 {
			emf, ohms := 5*c.emf(), 5*c.ohms()+0.001
			v := emf + now*ohms
			if v >= full || tapered > 0 {
				if now = (full - emf) / ohms; now <= x.ah/20 {
					break
				}
				v = full
				tapered += h
			} else {
				held += h
			}
			in, joules = in+now*h, joules+now*v*h
			c.step(-now, h, x.celsius)
			warmest = max(warmest, c.t)
		}
		close1(t, x.name+", with the current held", float64(got.Current), held, 0.004)
		close1(t, x.name+", all in all", float64(got.Total), held+tapered, 0.004)
		close1(t, x.name+", Ah", float64(got.Charge), in/3600, 0.003)
		close1(t, x.name+", Wh", float64(got.Energy), joules/3600, 0.003)
		close1(t, x.name+", at the end", got.AtEnd, c.z, 0.002)
		if math.Abs(float64(got.Warmest)-warmest) > 0.05 || !got.Finished {
			t.Errorf("%s: %.4g °C at the warmest, by plain steps %.4g °C", x.name, float64(got.Warmest), warmest)
		}
	}
}
