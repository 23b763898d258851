package runlog

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// TestTimesAsTheyAreChosen: which column is the time, and which the second one, from columns of numbers and of written times.
func TestTimesAsTheyAreChosen(t *testing.T) {
	for _, x := range []struct {
		name, head, rows string
		time, second     string // numbers of columns from 1, "" for none
	}{
		{"a day and a clock", "day,clock,U,I", "2026-04-12,10:00:0%d,26,0", "1 2", ""}, {"a clock and a day", "clock,day,U,I", "10:00:0%d,2026-04-12,26,0", "1 2", ""}, {"a day, a clock and another time", "day,clock,time_s,U,I", "2026-04-12,10:00:0%d,%d,26,0", "3", "1 2"}, {"a day with another column between", "day,note,clock,U,I", "2026-04-12,x,10:00:0%d,26,0", "3", ""}, {"a clock between two days", "x,clock,date,U,I", "2026-04-12,10:00:0%d,2026-04-12,26,0", "2 3", ""},
		{"two clocks", "Time,Clock,U,I", "10:00:0%d,11:00:0%d,26,0", "1", ""}, {"two clocks, the better named one", "x,Time,U,I", "10:00:0%d,11:00:0%d,26,0", "2", ""}, {"two dates", "Date,Timestamp,U,I", "2026-04-12 10:00:0%d,2026-04-12 11:00:0%d,26,0", "2", ""}, {"a clock and a date with one", "Time,Stamp,U,I", "10:00:0%d,2026-04-12 11:00:0%d,26,0", "1", "2"}, {"a step's clock", "Step Time,U,I", "10:00:0%d,26,0", "", ""}, {"a step's clock and a clock", "Step Time,Time,U,I", "10:00:0%d,11:00:0%d,26,0", "2", ""},
		{"a time of cycles is none", "cycle time (s),U,I", "%d,26,0", "", ""}, {"numbers under another head", "x,U,I", "%d,26,0", "", ""}, {"dates under any head", "x,U,I", "2026-04-12 10:00:0%d,26,0", "1", ""}, {"clocks under any head", "x,U,I", "10:00:0%d,26,0", "1", ""}, {"a date in no known form", "time,U,I", "12.13.2026 10:00:0%d,26,0", "1", ""},
	} {
		var b strings.Builder
		b.WriteString(x.head + "\n")
		for k := range 8 {
			b.WriteString(strings.ReplaceAll(x.rows, "%d", string(rune('0'+k))) + "\n")
		}
		s, err := NewScanner(finding.NewStream("log"), strings.NewReader(b.String()), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		var got [2][]string
		for _, c := range s.columns {
			switch c.role {
			case roleNumericTime, roleWrittenTime, roleDate, roleClock:
				got[c.slot] = append(got[c.slot], string(rune('1'+c.index)))
			}
		}
		if a, b := strings.Join(got[0], " "), strings.Join(got[1], " "); a != x.time || b != x.second {
			t.Errorf("%s: time %q, second %q, want %q, %q; %s", x.name, a, b, x.time, x.second, s.Dialect())
		}
	}
}
