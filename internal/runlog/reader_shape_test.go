package runlog

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"voltwright/internal/finding"
)

// TestRowsOfOneShape: numbers of every length, with and without a sign and a mark, beside each other in rows of which each is like some row
// before, read as strconv.ParseFloat reads them, and most of them by the shape of a row before.
func TestRowsOfOneShape(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 64))
	number := func(whole, places int, sign string) string {
		text := []byte(sign)
		for range whole {
			text = append(text, byte('0'+random.IntN(10)))
		}
		if places > 0 {
			text = append(text, '.')
		}
		for range places {
			text = append(text, byte('0'+random.IntN(10)))
		}
		return string(text)
	}
	for _, end := range []string{"\n", "\r\n"} {
		byShape, rows := 0, 0
		for whole := 1; whole <= 4; whole++ {
			for places := range 12 {
				var b bytes.Buffer
				b.WriteString("time (s),current (A),voltage (V),remark (1)" + end)
				var want []float64
				for k := range 40 {
					sign := []string{"", "-"}[k/3%2]
					current := number(min(whole, 3), places, sign)
					v, err := strconv.ParseFloat(current, 64)
					if err != nil {
						t.Fatal(err)
					}
					want = append(want, v)
					fmt.Fprintf(&b, "%d.%02d,%s,%s,%s%s", k, random.IntN(100), current, number(2, 3, ""), number(whole, 0, ""), end)
				}
				s, err := NewScanner(finding.NewStream("log"), bytes.NewReader(b.Bytes()), NewOptions())
				if err != nil {
					t.Fatal(err)
				}
				flip := 1.0
				if s.flip[Current] {
					flip = -1
				}
				k := 0
				block := newBlock()
				for more := true; more; {
					more = s.fill(block, func(x Sample) { block.add(&x) })
					for n := range block.n {
						if got := flip * block.at(Current, n); math.Float64bits(got+0) != math.Float64bits(want[k]+0) {
							t.Errorf("%d and %d digits, row %d: %v, not %v", whole, places, k, got, want[k])
						}
						k++
					}
					block.drop(block.n)
				}
				if k != len(want) {
					t.Errorf("%d and %d digits: %d rows of %d", whole, places, k, len(want))
				}
				rows += k
				for _, x := range s.shapes {
					byShape += x.read
				}
			}
		}
		if byShape < rows/2 {
			t.Errorf("%d of %d rows are read by a shape", byShape, rows)
		}
	}
}

// TestNotOfTheShape: what differs from a row in anything but the value of a digit has not its shape.
func TestNotOfTheShape(t *testing.T) {
	const row = "12.50,-3.75,1000,26.123456\n"
	var x rowShape
	if !x.learn([]byte(row), []int{0, 5, 6, 11, 12, 16, 17, 26}, make([]bool, 4), '.') {
		t.Fatal("no shape")
	}
	behind := string(make([]byte, 8*shapeWords))
	if !x.is([]byte("98.76,-0.12,4321,00.000009\n" + behind)) {
		t.Error("other digits make another shape")
	}
	for at := range row {
		for c := range 256 {
			other := []byte(row + behind)
			other[at] = byte(c)
			if alike := c == int(row[at]) || isDigit(byte(c)) && isDigit(row[at]); x.is(other) != alike {
				t.Errorf("%q for %q: of the shape: %v", byte(c), row[at], !alike)
			}
		}
	}
	for _, text := range []string{"1.5,é\n", "1.,2\n", ".5,2\n", "1 ,2\n", "1234567890123456,2\n"} {
		end := bytes.IndexByte([]byte(text), ',')
		if (&rowShape{}).learn([]byte(text), []int{0, end, end + 1, len(text) - 1}, make([]bool, 2), '.') {
			t.Errorf("%q has a shape", text)
		}
	}
}
