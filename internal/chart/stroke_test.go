package chart

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestStrokeIsWrittenShort(t *testing.T) {
	for _, c := range []struct {
		line []dot
		want string
	}{
		{[]dot{{1, 2}}, "M1 2"},
		{[]dot{{0.3, 2}, {0.8, 1.5}}, "M.3 2l.5-.5"},
		{[]dot{{10, 10}, {20, 10}, {30, 10}, {30, 20}}, "M10 10l20 0 0 10"}, // the point on the way is not needed
		{[]dot{{10, 10}, {10, 90}, {10, 20}}, "M10 10l0 80 0-70"},           // and one beyond the ends is
		{[]dot{{10, 10}, {10.04, 10.04}}, "M10 10"},
		{[]dot{{-0.04, 5}, {20, -3.25}}, "M0 5l20-8.3"}, // −3.25 is −32.5 tenths, rounded away from zero
	} {
		if got := stroke(c.line); got != c.want {
			t.Errorf("%v is written %q, want %q", c.line, got, c.want)
		}
	}
}

// Read back, a stroke passes every point of its line at no more than a quarter of a unit, and the rounding to tenths.
func TestStrokeKeepsItsLine(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 200 {
		line := []dot{{40, 100}}
		for range 300 {
			last := line[len(line)-1]
			line = append(line, dot{last.x + float64(r.IntN(30))/10, 150 + 80*math.Sin(last.x/17) + r.NormFloat64()*float64(r.IntN(9))})
		}
		drawn := readStroke(t, stroke(line))
		if len(drawn) >= len(line) {
			t.Fatalf("%d points of %d are drawn", len(drawn), len(line))
		}
		for _, p := range line {
			nearest := math.Inf(1)
			for i := 1; i < len(drawn); i++ {
				nearest = min(nearest, off(p, drawn[i-1], drawn[i]))
			}
			if nearest > 0.25+0.0708 { // half of a tenth in both directions
				t.Fatalf("%v lies %.3f off the drawn line", p, nearest)
			}
		}
	}
}

var numbers = regexp.MustCompile(`-?(?:\d+(?:\.\d+)?|\.\d+)`)

// readStroke reads the data of a path that stroke wrote.
func readStroke(t *testing.T, path string) []dot {
	t.Helper()
	if strings.Count(path, "M") != 1 || strings.Count(path, "l") > 1 {
		t.Fatalf("%q is not one line", path)
	}
	var all []float64
	for _, n := range numbers.FindAllString(path, -1) {
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, v)
	}
	out := []dot{{all[0], all[1]}}
	for i := 2; i < len(all); i += 2 {
		last := out[len(out)-1]
		out = append(out, dot{last.x + all[i], last.y + all[i+1]})
	}
	return out
}

// off is the distance of p from the line between a and b, told by the nearest of its places.
func off(p, a, b dot) float64 {
	f := 0.0
	if l := (b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y); l > 0 {
		f = min(1, max(0, ((p.x-a.x)*(b.x-a.x)+(p.y-a.y)*(b.y-a.y))/l))
	}
	return math.Hypot(a.x+f*(b.x-a.x)-p.x, a.y+f*(b.y-a.y)-p.y)
}
