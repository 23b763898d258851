package quantity_test

import (
	"fmt"

	"voltwright/internal/quantity"
)

func ExampleParse() {
	for _, text := range []string{"60 mohm", "2:07:30.5", "12 AWG", "41 °F", "(25.84 ± 0.06) V"} {
		q, err := quantity.Parse(text)
		fmt.Println(q, "is", q.Dimension.WithArticle(), err)
	}
	_, err := quantity.Parse("25,8 V")
	fmt.Println(err)
	// Output:
	// 60 mΩ is a resistance <nil>
	// 2 h 7 min 30.5 s is a time <nil>
	// 12 AWG is a cross-section <nil>
	// 41 °F is a temperature <nil>
	// 25.84 V ± 0.06 V is a voltage <nil>
	// 25,8 has a decimal comma; write it with a point: 25.8
}

func ExampleParseAs() {
	_, err := quantity.ParseAs("4 V", quantity.Charge)
	fmt.Println(err)
	_, err = quantity.ParseAs("4 ah", quantity.Charge)
	fmt.Println(err)
	// Output:
	// 4 V is a voltage; a charge such as 5.2 Ah is wanted
	// "ah" is not a known unit; the nearest is Ah
}

func ExampleProduct() {
	meter, _ := quantity.ParseAccuracy("±(0.5 % + 2 digits)")
	volts := quantity.Of[quantity.Volts](25.84, quantity.Volts(meter.Standard(25.84, 0.01)))
	amperes := quantity.Of[quantity.Amperes](7.9, 0.1)
	fmt.Println(volts)
	fmt.Println(quantity.Product(volts, amperes, quantity.PowerFrom))
	// Output:
	// (25.84 ± 0.17) V
	// (204 ± 6) W
}

func ExamplePropagate() {
	// The voltage under load and at rest read with one meter, whose error is
	// the same in both: most of it cancels in the difference.
	sag := func(x []float64) float64 { return x[0] - x[1] }
	x, u := []float64{26.31, 25.42}, []float64{0.08, 0.08}
	_, apart := quantity.Propagate(sag, x, u, nil)
	_, together := quantity.Propagate(sag, x, u, [][]float64{{1, 0.95}, {0.95, 1}})
	fmt.Printf("%.3f V, %.3f V\n", apart, together)
	// Output:
	// 0.113 V, 0.025 V
}

func ExampleClock() {
	fmt.Println(quantity.Clock(7650.48, 0.01))
	fmt.Println(quantity.Clock(7650.48, 60))
	fmt.Println(quantity.Clock(59.996, 0.01))
	// Output:
	// 2 h 7 min 30.48 s
	// 2 h 8 min
	// 1 min 0.00 s
}

func ExampleQuantity_Customary() {
	for _, text := range []string{"6.5 km/h", "64 kg", "2.5 mm²", "25.8 V"} {
		q, _ := quantity.Parse(text)
		if twin, ok := q.Customary(); ok {
			fmt.Println(q.Rounded(), "≈", twin.Rounded())
		} else {
			fmt.Println(q.Rounded())
		}
	}
	// Output:
	// 6.5 km/h ≈ 4.04 mph
	// 64 kg ≈ 141 lb
	// 2.5 mm² ≈ 13 AWG
	// 25.8 V
}

func ExampleColumnUnit() {
	column := []quantity.Quantity{
		quantity.Of[quantity.Ohms](0.0482, 0.0012).Quantity(),
		quantity.Of[quantity.Ohms](0.0031, 0.0004).Quantity(),
	}
	unit := quantity.ColumnUnit(column...)
	for _, q := range column {
		p, _ := q.PartsIn(unit)
		fmt.Println(p.Value, p.Plus, p.Unit)
	}
	// Output:
	// 48.2 2.4 mΩ
	// 3.1 0.8 mΩ
}
