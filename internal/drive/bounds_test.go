package drive

import (
	"errors"
	"testing"
)

// The greatest power of a motor with friction: (V − I₀·R)²/(4·R), here (24 − 5·2)²/(4·2) W, by hand.
func TestMostPowerWithFriction(t *testing.T) {
	near(t, "most power", float64(Motor{K: 0.1, R: 2, Friction: 0.5}.MostPower(24)), 24.5, 1e-14)
}

// What is refused of an efficiency is told in per cent.
func TestEfficiencyIsToldInPerCent(t *testing.T) {
	v := Vehicle{Motor: Motor{K: 0.083, R: 0.21, Friction: 0.13, Winding: 20}, Parallel: 2, Ratio: 9.8, GearEfficiency: 1.1, Wheel: 0.13, Mass: 60}
	var refused *InputError
	if err := v.Check(); !errors.As(err, &refused) || refused.What != "the gear's efficiency" || refused.Value < 109.99 || refused.Value > 110.01 || refused.Unit != "%" {
		t.Errorf("%v", err)
	}
}
