package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestNumberScale(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		free   bool
		want   int
		labels string
	}{
		{20.6, 26.4, true, 6, "20 21 22 23 24 25 26 27"},
		{20.6, 26.4, true, 5, "20 22 24 26 28"},
		{2.5, 9, true, 6, "0 2 4 6 8 10"},
		{-9, -2.5, true, 6, "−10 −8 −6 −4 −2 0"},
		{-0.04, 0.06, true, 6, "−0.04 −0.02 0.00 0.02 0.04 0.06"},
		{-0.1, 21.5, true, 3, "0 10 20 30"},
		{-21.5, 0.1, true, 3, "−30 −20 −10 0"},
		{-1, 21.5, true, 3, "−10 0 10 20 30"},
		{24, 24, true, 6, "21 22 23 24 25 26 27"},
		{0, 0, true, 4, "−0.5 0.0 0.5"},
		{0.1, 0.3, false, 2, "0.1 0.2 0.3"},
		{0, 187, false, 5, "0 50 100 150"},
		{1e6, 1.2e6, false, 4, "1000000 1050000 1100000 1150000 1200000"},
	} {
		s := numberScale(c.lo, c.hi, c.free, c.want)
		if got := strings.Join(s.labels, " "); got != c.labels {
			t.Errorf("numberScale(%g, %g, %t, %d) = %s, want %s", c.lo, c.hi, c.free, c.want, got, c.labels)
		}
		if c.free && (s.min > c.lo || s.max < c.hi) {
			t.Errorf("numberScale(%g, %g): ends %g and %g leave data out", c.lo, c.hi, s.min, s.max)
		}
	}
}

// Whatever the range, ticks are multiples of 1, 2 or 5 times a power of ten, inside the axis, and not more than asked.
func TestTicksAreRound(t *testing.T) {
	for power := -6.0; power < 7; power += 0.37 {
		span := math.Pow(10, power)
		for _, lo := range []float64{0, -span / 3, span * 7} {
			for _, want := range []int{2, 5, 9} {
				s := numberScale(lo, lo+span, false, want)
				if len(s.ticks) > want+1 || len(s.ticks) < want/3 {
					t.Errorf("%g to %g: %d ticks, about %d wanted", lo, lo+span, len(s.ticks), want)
				}
				mantissa := s.step / math.Pow(10, math.Floor(math.Log10(s.step)+1e-9))
				if !slices.Contains([]float64{1, 2, 5}, math.Round(mantissa*1e6)/1e6) {
					t.Errorf("%g to %g: ticks are %g apart", lo, lo+span, s.step)
				}
				for i, v := range s.ticks {
					if v < lo-1e-9*span || v > lo+span+1e-9*span {
						t.Errorf("%g to %g: tick %g is outside", lo, lo+span, v)
					}
					if i > 0 && s.labels[i] == s.labels[i-1] {
						t.Errorf("%g to %g: two ticks are lettered %s", lo, lo+span, s.labels[i])
					}
				}
			}
		}
	}
}

func TestClockScale(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		want   int
		unit   string
		labels string
	}{
		{0, 0.9, 5, "s", "0.0 0.2 0.4 0.6 0.8"},
		{0, 33, 9, "s", "0 5 10 15 20 25 30"},
		{0, 150, 6, "s", "0 30 60 90 120 150"},
		{0, 5700, 9, "min", "0 15 30 45 60 75 90"},
		{5250, 5500, 9, "min:s", "87:30 88:00 88:30 89:00 89:30 90:00 90:30 91:00 91:30"},
		{0, 9300, 6, "h:min", "0:00 0:30 1:00 1:30 2:00 2:30"},
		{0, 29000, 9, "h", "0 1 2 3 4 5 6 7 8"},
		{3600, 3603, 4, "min:s", "60:00 60:01 60:02 60:03"},
		{7300, 7302, 4, "h:min:s", "2:01:40.0 2:01:40.5 2:01:41.0 2:01:41.5 2:01:42.0"},
		{-90, 90, 7, "s", "−90 −60 −30 0 30 60 90"},
		{0, 400 * 86400, 5, "h", "0 3072 6144 9216"},
	} {
		s := clockScale(c.lo, c.hi, c.want)
		if got := strings.Join(s.labels, " "); got != c.labels || s.unit != c.unit {
			t.Errorf("clockScale(%g, %g, %d) = %s in %s, want %s in %s", c.lo, c.hi, c.want, got, s.unit, c.labels, c.unit)
		}
	}
}

func TestDayScale(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     int
		unit     string
		labels   string
	}{
		{"2026-05-09", "2026-05-09", 5, "2026", "9 May|10 May"},
		{"2026-05-09", "2026-05-12", 5, "2026", "9 May|10 May|11 May|12 May"},
		{"2026-02-20", "2026-03-09", 5, "2026", "22 Feb|1 Mar|8 Mar"},
		{"2024-02-27", "2024-03-02", 9, "2024", "27 Feb|28 Feb|29 Feb|1 Mar|2 Mar"},
		{"2025-12-20", "2026-01-10", 9, "", "22 Dec|2026|8 Jan"},
		{"2026-01-15", "2026-05-20", 5, "2026", "Feb|Mar|Apr|May"},
		{"2024-06-02", "2026-04-26", 5, "", "Jul|2025|Jul|2026"},
		{"2024-06-02", "2026-04-26", 9, "", "Jul|Oct|2025|Apr|Jul|Oct|2026|Apr"},
		{"2019-03-01", "2026-04-26", 5, "", "2020|2022|2024|2026"},
		{"1899-03-01", "2026-04-26", 5, "", "1900|1950|2000"},
	} {
		day := func(text string) float64 {
			d, err := time.Parse(time.DateOnly, text)
			if err != nil {
				t.Fatal(err)
			}
			return Days(d.Date())
		}
		s := dayScale(day(c.from), day(c.to), c.want)
		if got := strings.Join(s.labels, "|"); got != c.labels || s.unit != c.unit {
			t.Errorf("%s to %s with %d: %s in %q, want %s in %q", c.from, c.to, c.want, got, s.unit, c.labels, c.unit)
		}
	}
	for span := 1.0; span < 60000; span *= 1.07 {
		for _, from := range []float64{-400, 0, 19876, 20411} {
			for _, want := range []int{4, 5, 9} {
				s := dayScale(from, from+math.Floor(span), want)
				if len(s.ticks) > want || span > 16 && len(s.ticks) == 0 {
					t.Fatalf("%g days from %g: %d ticks, %d wanted", span, from, len(s.ticks), want)
				}
				for i, v := range s.ticks {
					if v < s.min || v > s.max || i > 0 && (v <= s.ticks[i-1] || s.labels[i] == s.labels[i-1]) {
						t.Fatalf("%g days from %g: %v as %q", span, from, s.ticks, s.labels)
					}
				}
			}
		}
	}
}

// The table and its file have dates as ISO 8601 writes them.
func TestTableOfDays(t *testing.T) {
	head, rows := dated(40).Table()
	if head[0] != "Date" || rows[0][0] != "2024-11-18" || rows[4][0] != "2024-12-28" {
		t.Errorf("%v %v", head, rows)
	}
	p := dated(40)
	p.X.Unit = "d"
	if p.Check() == nil {
		t.Error("days with a unit are taken")
	}
	p = dated(40)
	p.Upper.Format, p.Upper.Unit = Day, ""
	if p.Check() == nil {
		t.Error("days that go up are taken")
	}
}
