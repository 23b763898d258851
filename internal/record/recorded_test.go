package record

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
	"voltwright/internal/wiring"
)

// recordedCircuits have each sort of part, with and without a cutout, and one has faults where it is spoilt.
var recordedCircuits = []string{"01-barrow-switch", "06-two-packs", "11-lamps-and-horn", "14-charging", "19-limited"}

// Worked circuits, computed and handed on.
func TestRecordOfWirings(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	for _, name := range recordedCircuits {
		x, err := circuittest.Named(name)
		if err != nil {
			t.Fatal(err)
		}
		w := wiring.Compute(&x.Circuit, x.Points)
		all = append(all, recorded.Case{Name: x.Name, Value: OfWiring(w)})
		if name != "01-barrow-switch" {
			continue
		}
		spoilt := append([]circuit.OperatingPoint{{Name: "of a part that is none", Parts: map[string]circuit.State{"none": {}}}}, x.Points...)
		all = append(all, recorded.Case{Name: x.Name + ", one point spoilt", Value: OfWiring(wiring.Compute(&x.Circuit, spoilt))})
		faulty := x.Circuit
		faulty.Leads = append([]circuit.Lead{{From: circuit.Terminal{Part: "nowhere", Name: "x"}, To: faulty.Leads[0].To}}, faulty.Leads...)
		all = append(all, recorded.Case{Name: x.Name + ", a lead to nowhere", Value: OfWiring(wiring.Compute(&faulty, x.Points))})
	}
	// One of which little is stated: no resistance, no length, a lead with a stripe, at another table.
	x, err := circuittest.Named("03-barrow-controller")
	if err != nil {
		t.Fatal(err)
	}
	bare := x.Circuit
	bare.Parts, bare.Leads, bare.Table = slices.Clone(bare.Parts), slices.Clone(bare.Leads), circuit.ElectricalCode
	for i := range bare.Parts {
		bare.Parts[i].Resistance, bare.Parts[i].Efficiency, bare.Parts[i].Volts = 0, 0, 0
	}
	bare.Leads[0].Length, bare.Leads[1].Stripe, bare.Leads[2].Size = 0, "white", circuit.Size{}
	all = append(all, recorded.Case{Name: "little stated", Value: OfWiring(wiring.Compute(&bare, x.Points))})
	recorded.Hold(t, "testdata/recorded/wirings.txt", all)
}

// filled gives every exported field of a value a number, a text or two items of its own, so that no two could be taken for
// each other.
func filled(v reflect.Value, n *int) {
	switch v.Kind() {
	case reflect.Float64:
		*n++
		v.SetFloat(float64(*n))
	case reflect.Int:
		*n++
		v.SetInt(int64(*n))
	case reflect.String:
		*n++
		v.SetString("text " + strconv.Itoa(*n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Pointer:
		if v.Type().Elem().PkgPath() != reflect.TypeFor[battery.Estimate]().PkgPath() {
			v.Set(reflect.New(v.Type().Elem()))
			filled(v.Elem(), n)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			filled(v.Index(i), n)
		}
	case reflect.Array:
		for i := range v.Len() {
			filled(v.Index(i), n)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[quantity.Quantity]() {
			*n++
			v.Set(reflect.ValueOf(quantity.Quantity{Dimension: quantity.Resistance, Value: float64(*n), U: 0.5}))
			return
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				filled(v.Field(i), n)
			}
		}
	}
}

// withoutReasons empties the reasons why there is no value.
func withoutReasons(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			withoutReasons(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			withoutReasons(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			switch f := v.Type().Field(i); {
			case f.Name == "Err":
				v.Field(i).SetString("")
			case f.IsExported():
				withoutReasons(v.Field(i))
			}
		}
	}
}

// Every field of a prediction is handed on where it belongs: each has a value of its own here.
func TestRecordOfPredictions(t *testing.T) {
	var whole predict.Prediction
	n := 0
	filled(reflect.ValueOf(&whole).Elem(), &n)
	reasons := whole
	reasons.Err = ""
	all := []recorded.Case{{Name: "reasons beside every value", Value: OfPrediction(&reasons)}}
	withoutReasons(reflect.ValueOf(&whole))
	all = append(all, recorded.Case{Name: "every value", Value: OfPrediction(&whole)})
	recorded.Hold(t, "testdata/recorded/predictions.txt", all)
}

// A drive with everything stated, one without a surface, and one of which nothing is known.
func TestRecordOfDrives(t *testing.T) {
	in := drivetrain.NothingStated()
	in.Plate = drive.Plate{Rated: quantity.Exact(quantity.Volts(24)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(2800)),
		NoLoadCurrent: quantity.Exact(quantity.Amperes(1.2)), Resistance: quantity.Exact(quantity.Ohms(0.25))}
	in.Motors, in.Ratio, in.Wheel, in.Ground = 2, quantity.Exact(quantity.Number(10)), quantity.Exact(quantity.Metres(0.13)), "steel-rail"
	in.Vehicle, in.Payload = quantity.Of[quantity.Kilograms](70, 2), quantity.Of[quantity.Kilograms](200, 5)
	in.Control, in.Setting, in.Efficiency = drivetrain.ByDuty, quantity.Exact(quantity.Fraction(0.75)), quantity.Exact(quantity.Fraction(0.95))
	in.Copper, in.Insulation, in.Limit, in.Wanted = quantity.Exact(quantity.Kilograms(0.4)), "F", quantity.Exact(quantity.Amperes(40)), quantity.Exact(quantity.MetresPerSecond(1.2))
	hill := drive.OneIn(60)
	in.Hill, in.Deceleration = &hill, quantity.Exact(quantity.MetresPerSecondSquare(0.5))
	in.Supply = drivetrain.Supply{Full: 28.4, Nominal: 25.6, Opens: quantity.Exact(quantity.Volts(23)), Resistance: quantity.Exact(quantity.Ohms(0.02))}
	in.Runs = []drivetrain.Run{{ID: "a", Name: "A", Payload: quantity.Exact(quantity.Kilograms(120)), Ground: "steel-rail", Setting: quantity.Exact(quantity.Fraction(0.6)), Volts: quantity.Of[quantity.Volts](25.6, 0.1),
		Top: quantity.Of[quantity.MetresPerSecond](1.2, 0.05), Mean: quantity.Of[quantity.MetresPerSecond](0.9, 0.02), PerDistance: quantity.Of[quantity.WattHoursPerKilometre](22, 1)},
		{ID: "b", Name: "B", WheelsUp: true, Payload: quantity.Exact(quantity.Kilograms(0))}}
	steep, floor := in, in
	grade := drive.Grade(0.9)
	steep.Hill, floor.Ground = &grade, "floor"
	var all []recorded.Case
	for name, one := range map[string]drivetrain.Input{"everything stated": in, "too steep for it": steep, "on a floor": floor, "nothing known": drivetrain.NothingStated()} {
		all = append(all, recorded.Case{Name: name, Value: OfPerformance(drivetrain.Compute(one))})
	}
	slices.SortFunc(all, func(a, b recorded.Case) int { return strings.Compare(a.Name, b.Name) })
	recorded.Hold(t, "testdata/recorded/drives.txt", all)
}
