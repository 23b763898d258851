package runlog

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// metre is one metre to the north in degrees, on a sphere of 6 371 008.8 m.
const metre = 180 / math.Pi / 6371008.8

func TestZoneIsAsWideAsItsParts(t *testing.T) {
	if zoneRadius != 400 || zoneClear != 200 || longStay != 120 {
		t.Errorf("a zone of %g m that keeps %g m clear, and a stay of %g s: want 400, 200 and 120", zoneRadius, zoneClear, longStay)
	}
}

// The centres were reckoned apart from this program, with the hmac, hashlib and math of Python's library: the first eight bytes
// of HMAC-SHA256 of "zone k" under the seed are a share of the circle's area, the next eight one of its turn, each to 53 bits.
func TestCentreOfZone(t *testing.T) {
	var counted, sevens [32]byte
	for i := range counted {
		counted[i], sevens[i] = byte(i), 7
	}
	for _, c := range []struct {
		at   Point
		seed [32]byte
		k    int
		want Point
	}{
		{Point{31.5, -40.25}, counted, 0, Point{31.500412528, -40.249245341}},
		{Point{31.5, -40.25}, counted, 1, Point{31.500063390, -40.249107341}},
		{Point{-60, 170}, sevens, 12, Point{-59.999899144, 169.999510083}},
		{Point{89, 10}, counted, 0, Point{89.000412528, 10.036869003}},
		{Point{89.9, 10}, counted, 0, Point{89.900412528, 10.064345282}}, // no longitude runs away at the pole
	} {
		got := c.at.moved(c.seed, c.k)
		if math.Abs(got.Lat-c.want.Lat) > 1e-9 || math.Abs(got.Long-c.want.Long) > 1e-9 {
			t.Errorf("%v, zone %d: %.9f %.9f, want %v", c.at, c.k, got.Lat, got.Long, c.want)
		}
	}
}

// Places within 70 m of one that has a zone share it, whichever of several it is.
func TestWhoSharesAZone(t *testing.T) {
	north := func(metres float64) Point { return Point{metres * metre, 20} }
	for _, c := range []struct {
		name   string
		visits []Visit
		zones  int
	}{
		{"one log, 69.9 m apart", []Visit{{Points: []Point{north(0), north(69.9)}}}, 1},
		{"one log, 70.1 m apart", []Visit{{Points: []Point{north(0), north(70.1)}}}, 2},
		{"two logs, 69.9 m apart", []Visit{{Points: []Point{north(0)}}, {Points: []Point{north(69.9)}}}, 1},
		{"by the first of two", []Visit{{Points: []Point{north(0), north(1000)}}, {Points: []Point{north(30)}}}, 2},
		{"by the second of two", []Visit{{Points: []Point{north(0), north(1000)}}, {Points: []Point{north(1030)}}}, 2},
		{"one that shares makes no place", []Visit{{Points: []Point{north(0), north(60), north(120)}}}, 2},
		{"after one that shares", []Visit{{Points: []Point{north(0), north(10), north(500)}}}, 2},
		{"none", []Visit{{}}, 0},
	} {
		zones := Zones(c.visits)
		if len(zones) != c.zones {
			t.Errorf("%s: %d zones, want %d", c.name, len(zones), c.zones)
		}
		for _, z := range zones {
			if z.Radius != 400 {
				t.Errorf("%s: a zone of %g m", c.name, z.Radius)
			}
		}
	}
	// The second place of a log has a centre of its own, drawn for its number.
	var seed [32]byte
	zones, a, b := Zones([]Visit{{Points: []Point{north(0), north(5000)}, Seed: seed}}), north(0).moved(seed, 0), north(5000).moved(seed, 1)
	if want := []Zone{{a.Lat, a.Long, 400}, {b.Lat, b.Long, 400}}; !slices.Equal(zones, want) {
		t.Errorf("zones %v, want %v", zones, want)
	}
}

func TestWhatIsHidden(t *testing.T) {
	zones := []Zone{{10, 20, 400}, {11, 20, 400}}
	for _, c := range []struct {
		lat, long float64
		want      bool
	}{{10, 20, true}, {10 + 399.9*metre, 20, true}, {10 + 400.1*metre, 20, false}, {11 - 399.9*metre, 20, true}, {10.5, 20, false}, {10, 20 + 399.9*metre/math.Cos(10*math.Pi/180), true}, {10, 20 + 400.1*metre/math.Cos(10*math.Pi/180), false}} {
		if got := hidden(zones, c.lat, c.long); got != c.want {
			t.Errorf("%.6f %.6f hidden: %v", c.lat, c.long, got)
		}
	}
	edge := Zone{10, 20, greatCircle(10, 20, 10.003, 20)}
	if !hidden([]Zone{edge}, 10.003, 20) {
		t.Error("a position on the edge of a zone is shown")
	}
	if hidden(nil, 10, 20) {
		t.Error("a position is hidden by no zone")
	}
}

func TestWhatIsAPlace(t *testing.T) {
	for _, c := range []struct {
		lat, long float64
		want      bool
	}{{90, 0, true}, {-90, 0, true}, {90.001, 0, false}, {-90.001, 0, false}, {0, 180, true}, {0, -180, true}, {0, 180.001, false}, {1, -180.001, false}, {0, 0, false}, {0, 5, true}, {5, 0, true}, {91, 181, false}, {math.NaN(), 5, false}, {5, math.NaN(), false}} {
		if got := isPlace(c.lat, c.long); got != c.want {
			t.Errorf("%g %g is a place: %v", c.lat, c.long, got)
		}
	}
}

// What of a run gets a zone: where it starts, stands for two minutes, pauses for two, and goes on after a step back in time.
// The end is added by who reads to it.
func TestWhereALogStayed(t *testing.T) {
	type fix struct{ t, north float64 }
	for _, c := range []struct {
		name string
		run  []fix
		want []float64 // m to the north of the first
	}{
		{"a start", []fix{{0, 0}}, []float64{0}},
		{"no stay: it starts where it stands", []fix{{0, 0}, {60, 0}, {130, 0}, {200, 1}}, []float64{0}},
		{"no stay within 20 m of its start", []fix{{0, 0}, {60, 20}, {180, 20}}, []float64{0}},
		{"on its way", []fix{{0, 0}, {60, 100}, {120, 200}, {180, 300}}, []float64{0}},
		{"a stay of 119 s", []fix{{0, 0}, {60, 100}, {179, 100}, {181, 200}}, []float64{0}},
		{"a stay of 120 s", []fix{{0, 0}, {60, 100}, {180, 100}, {181, 200}}, []float64{0, 100}},
		{"a stay that does not end", []fix{{0, 0}, {60, 100}, {180, 100}}, []float64{0, 100}},
		{"a stay is noted once", []fix{{0, 0}, {60, 100}, {180, 100}, {300, 100}, {420, 101}}, []float64{0, 100}},
		{"a stay within 29.9 m", []fix{{0, 0}, {60, 100}, {120, 129.9}, {180, 70.1}, {181, 300}}, []float64{0, 100}},
		{"no stay within 30.1 m", []fix{{0, 0}, {60, 100}, {120, 130.1}, {180, 100}, {181, 300}}, []float64{0}},
		{"two stays", []fix{{0, 0}, {60, 100}, {180, 100}, {190, 200}, {310, 200}}, []float64{0, 100, 200}},
		{"a pause of 119 s", []fix{{0, 0}, {60, 100}, {179, 200}}, []float64{0}},
		{"a pause of 120 s", []fix{{0, 0}, {60, 100}, {180, 200}}, []float64{0, 100, 200}},
		{"a pause in which it went nowhere", []fix{{0, 0}, {60, 100}, {180, 110}}, []float64{0, 100}},
		{"a step back in time", []fix{{0, 0}, {60, 100}, {59, 200}}, []float64{0, 100, 200}},
		{"two rows of one time", []fix{{0, 0}, {60, 100}, {60, 200}}, []float64{0}},
		{"a pause after it was last seen 20 m on", []fix{{0, 0}, {60, 100}, {70, 120}, {190, 300}}, []float64{0, 120, 300}},
	} {
		w := &stayWatch{}
		for _, f := range c.run {
			w.add(f.t, 10+f.north*metre, 20)
			w.add(f.t, 0, 0) // of a receiver that has none: it changes nothing
		}
		var got []float64
		for _, p := range w.points {
			got = append(got, math.Round(10*(p.Lat-10)/metre)/10)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Nothing of a log without positions, and the end of one that has them, where it last was.
func TestWhereALogEnds(t *testing.T) {
	none, err := Stays(strings.NewReader("time (s),voltage (V),current (A)\n0,26,5\n10,26,5\n20,26,5\n"), NewOptions())
	if err != nil || len(none) != 0 {
		t.Errorf("%v, %v of a log without positions", none, err)
	}
	some, err := Stays(strings.NewReader("time (s),voltage (V),current (A),lat,lon\n0,26,5,10.00,20\n10,26,5,10.01,20\n20,26,5,10.02,20\n30,26,5,,\n"), NewOptions())
	if want := []Point{{10, 20}, {10.02, 20}}; err != nil || !slices.Equal(some, want) {
		t.Errorf("%v, %v, want %v", some, err, want)
	}
}
