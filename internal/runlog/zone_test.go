package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// ridden is a made ride in the open sea: it stands at its start, goes north, stands, goes on, and ends where it stands.
func ridden(lat0, long0 float64) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A),speed (km/h),Latitude,Longitude,Altitude (m),Heading (deg)\n")
	lat, t := lat0, 0
	row := func(step float64) {
		lat += step / 111194.93
		fmt.Fprintf(&b, "%d,26.0,%g,%.2f,%.7f,%.7f,%d,%d\n", t, 1+step, step/10*3.6, lat, long0, 40+t%7, 355)
		t += 10
	}
	for range 3 {
		row(0)
	}
	for range 60 {
		row(25)
	}
	for range 20 {
		row(0)
	}
	for range 60 {
		row(25)
	}
	row(0)
	return b.String()
}

func column(text, head string) (out []string) {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	at := -1
	for k, name := range strings.Split(lines[0], ",") {
		if name == head {
			at = k
		}
	}
	for _, l := range lines[1:] {
		if cells := strings.Split(l, ","); at >= 0 {
			out = append(out, cells[at])
		}
	}
	return out
}

func visitOf(t *testing.T, text string, seed byte) Visit {
	t.Helper()
	points, err := Stays(strings.NewReader(text), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	return Visit{Points: points, Seed: [32]byte{seed}}
}

// Nothing within 200 m of the start, the end or the long stop is published, all the rest is, and with it altitude and heading.
func TestZonesHideStartEndAndStops(t *testing.T) {
	const lat0, long0 = 31.5, -40.25
	for seed := range byte(40) {
		raw := ridden(lat0, long0)
		zones := Zones([]Visit{visitOf(t, raw, seed)})
		if len(zones) != 3 {
			t.Fatalf("%d zones, want those of start, stop and end: %v", len(zones), zones)
		}
		clean, taken, err := cleaned(t, []byte(raw), NewOptions(), PublishedPlaces{Asked: true, Zones: zones})
		if err != nil {
			t.Fatal(err)
		}
		was, is := column(raw, "Latitude"), column(string(clean), "Latitude")
		heights, ways := column(string(clean), "Altitude (m)"), column(string(clean), "Heading (deg)")
		shown := 0
		for k := range was {
			var lat float64
			if _, err := fmt.Sscan(was[k], &lat); err != nil {
				t.Fatal(err)
			}
			from := math.Inf(1)
			for _, at := range []float64{0, 1500, 3000} {
				from = math.Min(from, greatCircle(lat, long0, lat0+at/111194.93, long0))
			}
			if from <= 200 && is[k] != "" {
				t.Errorf("seed %d: %s stands there, %.0f m from a place", seed, is[k], from)
			}
			if from > zoneRadius+zoneOff+stayWithin && is[k] != was[k] {
				t.Errorf("seed %d: %q for %s, %.0f m from any place", seed, is[k], was[k], from)
			}
			if (is[k] == "") != (heights[k] == "") || (is[k] == "") != (ways[k] == "") {
				t.Errorf("height %q and heading %q beside %q", heights[k], ways[k], is[k])
			}
			if is[k] != "" {
				shown++
			}
		}
		if shown < 20 || len(taken.Zoned) != 4 {
			t.Errorf("seed %d: %d positions are left, of %v", seed, shown, taken.Zoned)
		}
		if d := differs([]byte(raw), clean, NewOptions()); d != "" {
			t.Error(d)
		}
	}
}

// Whoever does not ask publishes none, and a run that lies wholly within its zones publishes none either.
func TestNoPositionsUnasked(t *testing.T) {
	raw := ridden(31.5, -40.25)
	for name, places := range map[string]PublishedPlaces{"unasked": {}, "inside": {Asked: true, Zones: []Zone{{31.51, -40.25, 5000}}}} {
		clean, _, err := cleaned(t, []byte(raw), NewOptions(), places)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(clean), "31.5") || strings.Contains(string(clean), "-40.2") || strings.Contains(string(clean), "355") {
			t.Errorf("%s: a position or a heading is left:\n%.300s", name, clean)
		}
	}
}

// Many runs from one place share one centre, so that no mean of theirs leads to it; the centre lies within zoneOff of where the
// first began, is the same each time, and is another one for another log.
func TestOnePlaceHasOneCentre(t *testing.T) {
	var visits []Visit
	for k := range 200 {
		visits = append(visits, Visit{Points: []Point{{31.5 + float64(k%7)*1e-5, -40.25 + float64(k%5)*1e-5}}, Seed: [32]byte{byte(k)}})
	}
	zones := Zones(visits)
	if len(zones) != 1 {
		t.Fatalf("%d centres for one place", len(zones))
	}
	if again := Zones(visits); again[0] != zones[0] {
		t.Error("the centre moved")
	}
	if other := Zones(visits[1:]); other[0] == zones[0] {
		t.Error("another log gives the same centre")
	}
	far, n := 0.0, 2000
	var north, east float64
	for k := range n {
		p := Point{31.5, -40.25}
		c := p.moved([32]byte{byte(k), byte(k >> 8)}, 0)
		d := greatCircle(p.Lat, p.Long, c.Lat, c.Long)
		if d > zoneOff*1.0001 {
			t.Fatalf("%g m off", d)
		}
		far += d / float64(n)
		north += (c.Lat - p.Lat) * 111194.93 / float64(n)
		east += (c.Long - p.Long) * 111194.93 * math.Cos(31.5*math.Pi/180) / float64(n)
	}
	// Evenly over a disc the mean distance is ⅔ of its radius, and the means of both components are zero within 100/√(4·2000) m a sigma.
	if math.Abs(far-zoneOff*2/3) > 2.5 || math.Abs(north) > 4.5 || math.Abs(east) > 4.5 {
		t.Errorf("mean distance %.1f m, north %.1f m, east %.1f m", far, north, east)
	}
}
