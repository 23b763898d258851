package demo

import (
	"math"
	"math/rand/v2"
)

// A row is what the meters could see at one instant. Speed is in m/s, distance in m.
type row struct {
	at, volts, amps, celsius, speed, distance float64
}

// An outing is one run in the making: the bank, the cutout if there is one, and the true values sampled so far.
type outing struct {
	bank    bank
	cutout  *cutout
	ambient float64
	tick    float64 // s between two steps of the simulation
	every   int     // steps between two samples
	steps   int
	rng     *rand.Rand

	volts, amps, speed, distance float64
	rows                         []row
}

func newOuting(seed uint64, ambient, tick, sample float64, packs ...*pack) *outing {
	s := &outing{
		bank: packs, ambient: ambient, tick: tick, every: int(math.Round(sample / tick)),
		rng: rand.New(rand.NewPCG(seed, 0x5175696c6c6574)),
	}
	for _, p := range packs {
		p.celsius = ambient
	}
	s.volts = s.bank.at(0)
	return s
}

func (s *outing) now() float64 { return float64(s.steps) * s.tick }

func (s *outing) dead() bool { return s.cutout != nil && s.cutout.open }

// advance carries amps for one step and takes a sample when one is due.
func (s *outing) advance(amps float64) {
	if s.dead() && amps > 0 {
		amps = 0
	}
	s.volts, s.amps = s.bank.carry(amps, s.tick, s.ambient), amps
	s.cutout.watch(s.volts, s.tick)
	if s.steps%s.every == 0 {
		s.rows = append(s.rows, row{s.now(), s.volts, s.amps, s.bank[0].celsius, s.speed, s.distance})
	}
	s.steps++
	s.distance += s.speed * s.tick
}

// hold carries a current that may depend on the time since its beginning and on the terminal voltage, for a while.
// It ends early when the cutout opens.
func (s *outing) hold(seconds float64, amps func(t, volts float64) float64) {
	for n := int(math.Round(seconds / s.tick)); n > 0 && !s.dead(); n-- {
		s.advance(amps(seconds-float64(n)*s.tick, s.volts))
	}
}

// rest stands still with everything off, or nearly: drain is what the controller or the cutout itself draws.
func (s *outing) rest(seconds, drain float64) {
	s.speed = 0
	for n := int(math.Round(seconds / s.tick)); n > 0; n-- {
		s.advance(drain)
	}
}

// charge holds the current until the voltage is reached, then the voltage until the current has fallen to the end
// current, or until the time is up.
func (s *outing) charge(amps, volts, end, atMost float64) {
	for n := int(math.Round(atMost / s.tick)); n > 0; n-- {
		i := math.Max(-amps, s.bank.into(volts))
		if i > -end {
			return
		}
		s.advance(i)
	}
}
