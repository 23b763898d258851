package runlog

import "voltwright/internal/quantity"

// At is the fitted voltage at a time t after the fit's Start.
func (f ReboundFit) At(t quantity.Seconds) quantity.Volts {
	slope := make([]float64, 3)
	p := []float64{float64(f.Asymptote.Value), float64(f.Amplitude.Value), float64(f.TimeConstant.Value)}
	return quantity.Volts(relaxation(float64(t), p, slope))
}
