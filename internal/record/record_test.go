package record

import (
	"math"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/predict"
)

// Numbers are handed on in nine digits, and as nothing where there is none.
func TestNumbersHandedOn(t *testing.T) {
	if x := number(1. / 3); x == nil || *x != 0.333333333 {
		t.Errorf("%v", x)
	}
	if x := number(2e9 / 3); x == nil || *x != 666666667 {
		t.Errorf("%v", x)
	}
	for _, none := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if number(none) != nil || stated(none) != nil && !math.IsInf(none, 1) {
			t.Errorf("%v is handed on", none)
		}
	}
	if stated(0) != nil || stated(-1) != nil || stated(2) == nil || number(0) == nil {
		t.Error("what is stated")
	}
}

// Of an answer that there is none of, nothing is handed on but the reason.
func TestNothingIsHandedOn(t *testing.T) {
	r := OfPrediction(&predict.Prediction{Err: "None."})
	if r.Error != "None." || r.Basis.Misfit != nil || r.Accuracy.Time != nil || r.Accuracy.Voltage != nil || r.Storage != nil || len(r.RunTimes)+len(r.Charges)+len(r.Life) != 0 {
		t.Errorf("%+v", r)
	}
}

// An end without a ferrule says nothing of one.
func TestEndWithoutAFerrule(t *testing.T) {
	if r := endOf(&circuit.WhipEnd{Kind: "ring", Terminal: "M6"}); r.Ferrule != nil || r.Collar != "" {
		t.Errorf("%+v", r)
	}
	e := circuit.WhipEnd{Kind: "ferrule"}
	e.Ferrule.Area, e.Ferrule.Colour = 2.5, "blue"
	if r := endOf(&e); r.Ferrule == nil || *r.Ferrule != 2.5 || r.Collar != "blue" {
		t.Errorf("%+v", r)
	}
}
