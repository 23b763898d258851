package demo

import "math"

// A pack is a battery as the simulation knows it: an open-circuit curve, an ohmic resistance that rises towards
// empty, one resistor and capacitor in parallel for the slow part of the sag, and a lump of heat.
// Currents are positive on discharge.
type pack struct {
	curve    curve
	series   int
	capacity float64 // Ah that can be drawn at the currents of the run
	ohms     float64 // Ω, whole pack, well above empty
	slowOhms float64 // Ω of the slow branch
	slowTime float64 // s, time constant of the slow branch
	heat     float64 // J/K of the pack
	cooling  float64 // W/K to the air
	// accept is the extra resistance that a lead-acid battery shows while it is charged; nil for none.
	accept func(soc float64) float64

	soc     float64
	slow    float64 // V across the slow branch
	celsius float64
}

// weak is how much the resistances have grown at this state of charge.
func (p *pack) weak() float64 { return 1 + 3.4*math.Exp(-p.soc/0.06) }

func (p *pack) emf() float64 { return float64(p.series)*p.curve.at(p.soc) - p.slow }

func (p *pack) resistance(charging bool) float64 {
	r := p.ohms * p.weak()
	if charging && p.accept != nil {
		r += p.accept(p.soc)
	}
	return r
}

// carry moves the pack on by dt seconds at the given current.
func (p *pack) carry(amps, dt, ambient float64) {
	r := p.slowOhms * p.weak()
	p.slow += (r*amps - p.slow) * (1 - math.Exp(-dt/p.slowTime))
	p.soc -= amps * dt / 3600 / p.capacity
	p.soc = math.Min(1, math.Max(0, p.soc))
	loss := amps * amps * (p.ohms*p.weak() + r)
	p.celsius += (loss - p.cooling*(p.celsius-ambient)) * dt / p.heat
}

// A bank is packs in parallel. Their currents follow from one terminal voltage.
type bank []*pack

// at returns the terminal voltage when the whole bank carries amps.
func (b bank) at(amps float64) float64 {
	var top, bottom float64
	for _, p := range b {
		g := 1 / p.resistance(amps < 0)
		top += p.emf() * g
		bottom += g
	}
	return (top - amps) / bottom
}

// into returns the current (negative: charging) that holds the bank at the given terminal voltage.
func (b bank) into(volts float64) float64 {
	var amps float64
	for _, p := range b {
		amps += (p.emf() - volts) / p.resistance(true)
	}
	return amps
}

// carry moves every pack on by dt at its own share of amps, and returns the terminal voltage.
func (b bank) carry(amps, dt, ambient float64) float64 {
	volts := b.at(amps)
	for _, p := range b {
		p.carry((p.emf()-volts)/p.resistance(amps < 0), dt, ambient)
	}
	return volts
}

// A cutout opens the supply when the voltage has stayed below opens for delay seconds, and stays open.
type cutout struct {
	opens, delay float64
	below        float64
	open         bool
}

func (c *cutout) watch(volts, dt float64) {
	if c == nil {
		return
	}
	if volts >= c.opens {
		c.below = 0
		return
	}
	if c.below += dt; c.below >= c.delay {
		c.open = true
	}
}
