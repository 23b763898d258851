package drive

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/quantity"
)

// gravity is the standard acceleration of free fall, m/s² (3rd CGPM, 1901).
const gravity = 9.80665

// AirDensity is that of air at sea level and 15 °C, kg/m³ (International
// Standard Atmosphere, ISO 2533).
const AirDensity = 1.225

// Grade is rise over run, the tangent of the slope: 0.02 rises 2 m in 100 m of
// level distance. Downhill is below zero.
type Grade float64

// OneIn is the grade that rises 1 in n; a negative n falls.
func OneIn(n float64) Grade { return Grade(1 / n) }

// AtAngle is the grade of a slope of so many degrees, below 90.
func AtAngle(degrees float64) Grade { return Grade(math.Tan(degrees * math.Pi / 180)) }

// Angle is the slope in degrees.
func (g Grade) Angle() float64 { return math.Atan(float64(g)) * 180 / math.Pi }

func (g Grade) sinCos() (sin, cos float64) {
	h := math.Hypot(1, float64(g))
	return float64(g) / h, 1 / h
}

// String says a grade as railways do, with its per cent: "1 in 60 up (1.7 %)"; "level" for none.
func (g Grade) String() string {
	switch {
	case g == 0:
		return "level"
	case g < 0:
		return fmt.Sprintf("1 in %s down (%s %%)", quantity.Figures(-1/float64(g), 3), quantity.Figures(100*float64(g), 2))
	}
	return fmt.Sprintf("1 in %s up (%s %%)", quantity.Figures(1/float64(g), 3), quantity.Figures(100*float64(g), 2))
}

// ParseGrade reads a grade as people write it: "1 in 60", "1:60", "-2 %",
// "3 % down", "1.5°", "level". A downward one has a minus sign or the word down. Other forms are an error that names these.
func ParseGrade(text string) (Grade, error) {
	s := strings.TrimSpace(strings.ToLower(strings.ReplaceAll(text, "−", "-")))
	sign := 1.0
	if t, ok := strings.CutSuffix(s, "down"); ok {
		s, sign = strings.TrimSpace(t), -1
	} else if t, ok := strings.CutSuffix(s, "up"); ok {
		s = strings.TrimSpace(t)
	}
	if t, ok := strings.CutPrefix(s, "-"); ok {
		if sign < 0 {
			return 0, errors.New("a grade that is both below zero and down: leave one out")
		}
		s, sign = strings.TrimSpace(t), -1
	}
	number := func(t string) (float64, bool) {
		v, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
		return v, err == nil && finite(v) && v >= 0
	}
	bad := fmt.Errorf("%q is no grade; write it as 1 in 60, 2 %%, 1.5° or level, with down behind it where it falls", text)
	if s == "level" || s == "flat" {
		return 0, nil
	}
	for _, mark := range []string{" in ", ":"} {
		if a, b, ok := strings.Cut(s, mark); ok {
			rise, ok1 := number(a)
			run, ok2 := number(b)
			if !ok1 || !ok2 || run == 0 || !finite(rise/run) {
				return 0, bad
			}
			return Grade(sign * rise / run), nil
		}
	}
	for _, mark := range []struct {
		suffix string
		grade  func(float64) float64
		below  float64
	}{
		{"%", func(v float64) float64 { return v / 100 }, math.Inf(1)},
		{"°", func(v float64) float64 { return float64(AtAngle(v)) }, 89},
		{"degrees", func(v float64) float64 { return float64(AtAngle(v)) }, 89},
	} {
		if t, ok := strings.CutSuffix(s, mark.suffix); ok {
			v, ok := number(t)
			if !ok || v > mark.below {
				return 0, bad
			}
			return Grade(sign * mark.grade(v)), nil
		}
	}
	return 0, bad
}

// TyreRolling is the rolling coefficient of a car tyre on a road from its
// pressure and speed, c = 0.005 + (1/p)·(0.01 + 0.0095·(v/100)²), p in bar over
// atmospheric and v in km/h. For the tyres of cars from about 1.5 to 5 bar; a
// small tyre rolls worse. Source: engineeringtoolbox.com, d_1303.
func TyreRolling(bar float64, v quantity.MetresPerSecond) quantity.Number {
	kmh := 3.6 * float64(v)
	return quantity.Number(0.005 + (0.01+0.0095*(kmh/100)*(kmh/100))/bar)
}

// Way is what lies under the wheels and before the nose.
type Way struct {
	Rolling quantity.Number // coefficient, force over weight
	Grade   Grade
	Air     float64 // density, kg/m³; 0 takes AirDensity
}

func (w Way) density() float64 {
	if w.Air == 0 {
		return AirDensity
	}
	return w.Air
}

// Wagon is a vehicle that is pulled.
type Wagon struct {
	Mass    quantity.Kilograms // with what it carries
	Rolling quantity.Number    // its own coefficient; 0 takes that of the way
}

// Resistance is what the way asks of a train, newtons against the motion:
//
//	rolling  Σ m·g·c·cos θ,  climbing  m·g·sin θ,  air  ½·ρ·C_d·A·v²
//
// Source: the textbook sum, as in the week-2 assignment of the NPTEL course on
// electric vehicles; checked in road_test.go.
type Resistance struct {
	Rolling, Climbing, Air Newtons
}

// Sum is the whole.
func (r Resistance) Sum() Newtons { return r.Rolling + r.Climbing + r.Air }

// TotalMass is vehicle, payload and wagons.
func (v Vehicle) TotalMass() quantity.Kilograms {
	m := v.Mass + v.Payload
	for _, w := range v.Wagons {
		m += w.Mass
	}
	return m
}

// Resistance is what the way asks of the train at a speed forward. At a stand the
// rolling part is the most that it can hold.
func (v Vehicle) Resistance(w Way, speed quantity.MetresPerSecond) Resistance {
	sin, cos := w.Grade.sinCos()
	held := float64(v.Mass+v.Payload) * float64(w.Rolling)
	for _, wagon := range v.Wagons {
		c := wagon.Rolling
		if c == 0 {
			c = w.Rolling
		}
		held += float64(wagon.Mass) * float64(c)
	}
	return Resistance{
		Rolling:  Newtons(held * gravity * cos),
		Climbing: Newtons(float64(v.TotalMass()) * gravity * sin),
		Air:      Newtons(v.airFactor(w) * float64(speed) * float64(speed)),
	}
}

// airFactor is ½·ρ·C_d·A, N/(m/s)².
func (v Vehicle) airFactor(w Way) float64 { return w.density() * v.DragArea / 2 }

// Grip is the most that the driven wheels can pull, or brake, before they slip:
// µ·m·g·cos θ, with m the part of vehicle and payload that rests on them. See
// Adhesions for rails. A pull at a stand beyond it spins the wheels.
func (v Vehicle) Grip(w Way, adhesion quantity.Number, driven quantity.Fraction) Newtons {
	_, cos := w.Grade.sinCos()
	return Newtons(float64(adhesion) * float64(driven) * float64(v.Mass+v.Payload) * gravity * cos)
}

// KineticEnergy is ½·m·v² of the whole train, joules; what turns with the wheels
// is left out.
func (v Vehicle) KineticEnergy(speed quantity.MetresPerSecond) float64 {
	return float64(v.TotalMass()) * float64(speed) * float64(speed) / 2
}

// OverturnSpeed is the speed at which a rigid vehicle on level track begins to
// tip outward in a curve: √(g·R·b/h), with b half the gauge and h the height of
// the centre of mass over the rails, all above 0. A vehicle on springs, or with
// passengers who lean, tips sooner. Source: statics, moments about the outer rail.
func OverturnSpeed(radius, halfGauge, height quantity.Metres) quantity.MetresPerSecond {
	return quantity.MetresPerSecond(math.Sqrt(gravity * float64(radius) * float64(halfGauge/height)))
}

// CentreHeight is the height of the centre of mass of two bodies together; their
// masses are not both 0. Source: statics.
func CentreHeight(a quantity.Kilograms, heightA quantity.Metres, b quantity.Kilograms, heightB quantity.Metres) quantity.Metres {
	return quantity.Metres((float64(a)*float64(heightA) + float64(b)*float64(heightB)) / float64(a+b))
}
